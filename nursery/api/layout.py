"""Views of a block's layout: what it would be, and its positions as files."""

import json
from typing import Any, ClassVar

from django.http import HttpResponse
from django.utils.http import content_disposition_header
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, READERS, View
from nursery.domain.reference.layouts import Pattern
from nursery.services import layout

MOST_ROWS = 20_000
MOST_IN_A_ROW = 1_000_000
LONGEST_M = 10_000.0
SHORTEST_M = 0.05
WAYS = ("typed", "ground", "terraces")


def _metres(least: float = SHORTEST_M) -> serializers.FloatField:
    return serializers.FloatField(
        min_value=least, max_value=LONGEST_M, required=False, allow_null=True
    )


class AskedShape(serializers.Serializer[Any]):
    """Rows that are typed, ground with its outline, or the lines of terraces (GeoJSON)."""

    way = serializers.ChoiceField(choices=WAYS)
    crop = serializers.CharField(required=False, allow_null=True, max_length=64)
    counts = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=MOST_IN_A_ROW),
        required=False,
        max_length=MOST_ROWS,
    )
    in_row_m = _metres()
    between_m = _metres()
    pair_m = _metres()
    set_back_m = serializers.FloatField(min_value=0, max_value=LONGEST_M, default=0.0)
    pattern = serializers.ChoiceField(
        choices=[one.value for one in Pattern], default=Pattern.RECTANGULAR.value
    )
    outline = serializers.JSONField(required=False, allow_null=True)
    lines = serializers.JSONField(required=False, allow_null=True)
    painted_end = serializers.ListField(
        child=serializers.FloatField(), required=False, allow_null=True, min_length=2, max_length=2
    )
    bearing_deg = serializers.FloatField(min_value=0, max_value=360, default=0.0)
    rows_each = serializers.IntegerField(min_value=1, max_value=1000, default=1)
    side = serializers.ChoiceField(choices=("left", "right"), default="left")
    shelter_every = serializers.IntegerField(min_value=0, max_value=MOST_ROWS, default=0)
    shelter_m = _metres()
    species = serializers.CharField(required=False, allow_blank=True, max_length=60)
    goes = serializers.IntegerField(min_value=1, max_value=100, required=False, allow_null=True)


class FiguresShape(serializers.Serializer[Any]):
    """Null where nothing is known that would tell it. `standing` plants stand there by now."""

    rows = serializers.IntegerField()
    positions = serializers.IntegerField()
    shelter_rows = serializers.IntegerField()
    shelter = serializers.IntegerField()
    per_hectare = serializers.FloatField(allow_null=True)
    on_area = serializers.FloatField(allow_null=True)
    area_m2 = serializers.FloatField(allow_null=True)
    at_hand = serializers.IntegerField(allow_null=True)
    short = serializers.IntegerField(allow_null=True)
    standing = serializers.IntegerField()


class PreviewShape(serializers.Serializer[Any]):
    body = serializers.DictField()
    figures = FiguresShape()


class Preview(View):
    """The layout that somebody asks for, worked out; it is kept as a row of reference data."""

    open_to = {"POST": GROWERS}

    @extend_schema(
        operation_id="preview_layout",
        request=AskedShape,
        responses=shapes.answers(PreviewShape, 400, 401, 403, 404, 422),
    )
    def post(self, request: Request, ident: str) -> Response:
        asked = shapes.checked(AskedShape, request)
        return Response(layout.preview(self.caller.nursery, ident, asked))


class Csv(View):
    """Every position of a block as a table."""

    open_to = {"GET": READERS}
    takes = True
    media: ClassVar = {(200, "text/csv"): OpenApiTypes.BINARY}

    @extend_schema(
        operation_id="read_positions_csv",
        responses={**shapes.answers(None, 401, 403, 404), **media},
    )
    def get(self, request: Request, ident: str) -> HttpResponse:
        del request
        text = layout.as_csv(self.caller.nursery, ident)
        return _file(text, "text/csv; charset=utf-8", f"{ident}.csv")


class GeoJson(View):
    """Every position of a block as a point (RFC 7946)."""

    open_to = {"GET": READERS}
    takes = True
    media: ClassVar = {(200, "application/geo+json"): OpenApiTypes.BINARY}

    @extend_schema(
        operation_id="read_positions_geojson",
        responses={**shapes.answers(None, 401, 403, 404), **media},
    )
    def get(self, request: Request, ident: str) -> HttpResponse:
        del request
        text = json.dumps(layout.as_geojson(self.caller.nursery, ident), separators=(",", ":"))
        return _file(text, "application/geo+json", f"{ident}.geojson")


def _file(text: str, media: str, name: str) -> HttpResponse:
    held = content_disposition_header(as_attachment=True, filename=name) or "attachment"
    return HttpResponse(text, content_type=media, headers={"Content-Disposition": held})
