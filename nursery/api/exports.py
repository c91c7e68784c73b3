"""Views of taking the book away: have a file made, see which were made, fetch one or a form."""

from typing import Any, ClassVar

from django.http import FileResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, View
from nursery.paper import export_forms
from nursery.services import clock, exports

HELD = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"}
MEDIA = {"csv": "text/csv; charset=utf-8", "geojson": "application/geo+json"}


class ExportShape(serializers.Serializer[Any]):
    """A file that was made; after `ends_at` it is deleted here."""

    id = serializers.CharField()
    made_at = serializers.DateTimeField()
    ends_at = serializers.DateTimeField()
    bytes = serializers.IntegerField()


class ExportsShape(serializers.Serializer[Any]):
    """`making` since when one is being made; `trouble` is what the machine said of the last try."""

    making = serializers.DateTimeField(allow_null=True)
    trouble = serializers.CharField(allow_null=True)
    kept_days = serializers.IntegerField()
    files = ExportShape(many=True)


class Exports(View):
    """The files of the whole book that were made; have one made."""

    open_to = {"GET": GROWERS, "POST": GROWERS}

    @extend_schema(operation_id="list_exports", responses=shapes.answers(ExportsShape, 401, 403))
    def get(self, request: Request) -> Response:
        del request
        return Response(exports.report(self.caller.nursery))

    @extend_schema(
        operation_id="make_export",
        request=None,
        responses=shapes.answers(ExportsShape, 401, 403, status=202),
    )
    def post(self, request: Request) -> Response:
        del request
        exports.ask(self.caller.nursery, clock.now())
        return Response(exports.report(self.caller.nursery), status=202)


class Export(View):
    """One file of the whole book, as it lies on the disk."""

    open_to = {"GET": GROWERS}
    media: ClassVar = {(200, "application/zip"): OpenApiTypes.BINARY}

    @extend_schema(
        operation_id="fetch_export",
        responses={**shapes.answers(None, 401, 403, 404), **media},
    )
    def get(self, request: Request, ident: str) -> HttpResponseBase:
        del request
        nursery = self.caller.nursery
        file = exports.file_of(nursery, ident)
        named = f"book-{exports.NOT_IN_NAMES.sub('-', nursery)}-{ident[:8]}.zip"
        return FileResponse(
            file.open("rb"),
            as_attachment=True,
            filename=named,
            content_type="application/zip",
            headers=HELD,
        )


class Form(View):
    """One form that the trade has agreed on, made now: `mcpd.csv`, `positions.geojson`."""

    open_to = {"GET": GROWERS}
    media: ClassVar = {(200, "text/csv"): OpenApiTypes.BINARY}

    @extend_schema(
        operation_id="read_form", responses={**shapes.answers(None, 401, 403, 404), **media}
    )
    def get(self, request: Request, name: str) -> HttpResponseBase:
        del request
        parts = export_forms.one(self.caller.nursery, name)
        kept = {**HELD, "Content-Disposition": f'attachment; filename="{name}"'}
        media = MEDIA[name.rpartition(".")[2]]
        return StreamingHttpResponse(parts, content_type=media, headers=kept)
