"""How the plants of a block stand: survival, its interval, comparisons, gaps and their filling."""

from datetime import date
from typing import Any

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import READERS, View
from nursery.services import clock, standing


class CountedShape(serializers.Serializer[Any]):
    """Planted = alive + dead + missing + rootstock only; `causes` tells those that are gone."""

    planted = serializers.IntegerField()
    alive = serializers.IntegerField()
    dead = serializers.IntegerField()
    missing = serializers.IntegerField()
    rootstock_only = serializers.IntegerField()
    causes = serializers.DictField(child=serializers.IntegerField())


class StandingShape(serializers.Serializer[Any]):
    """`first` are the plants of the first planting, `standing` whoever was put there last."""

    as_of_seq = serializers.IntegerField()
    id = serializers.CharField()
    today = serializers.DateField()
    first = CountedShape()
    standing = CountedShape()
    filled = serializers.IntegerField()
    harmed = serializers.IntegerField()
    curve = serializers.DictField()
    groups = serializers.DictField(child=serializers.DictField())
    blocks = serializers.ListField(child=serializers.DictField())


class Standing(View):
    """A block that is laid out, or all such blocks in a place."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="read_standing", responses=shapes.answers(StandingShape, 401, 403, 404)
    )
    def get(self, request: Request, ident: str) -> Response:
        return Response(standing.read(self.caller.nursery, ident, clock.now()))


class TrapsShape(serializers.Serializer[Any]):
    """`index` are captures per trap and day; null where no trap that was read had hung out."""

    id = serializers.CharField()
    today = serializers.DateField()
    since = serializers.DateField()
    traps = serializers.ListField(child=serializers.DictField())
    read = serializers.IntegerField()
    trap_days = serializers.IntegerField()
    pests = serializers.ListField(child=serializers.DictField())
    days = serializers.ListField(child=serializers.DictField())


class Traps(View):
    """The traps in a block or another place, with their captures per trap and day."""

    open_to = {"GET": READERS}

    @extend_schema(operation_id="read_traps", responses=shapes.answers(TrapsShape, 401, 403, 404))
    def get(self, request: Request, ident: str) -> Response:
        return Response(standing.traps(self.caller.nursery, ident, clock.now()))


class ScoutingShape(serializers.Serializer[Any]):
    """Of `lot` living plants `seen` were looked at for certain; `untold` looks said no number."""

    as_of_seq = serializers.IntegerField()
    id = serializers.CharField()
    today = serializers.DateField()
    since = serializers.DateField()
    lot = serializers.IntegerField()
    seen = serializers.IntegerField()
    untold = serializers.IntegerField()
    looks = serializers.ListField(child=serializers.DictField())
    finds = serializers.ListField(child=serializers.DictField())
    pests = serializers.ListField(child=serializers.DictField())


class Scouting(View):
    """How plants of a block were looked over, and how surely a pest would have been found."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="read_scouting",
        parameters=[OpenApiParameter("since", date, description="without it, four weeks ago")],
        responses=shapes.answers(ScoutingShape, 400, 401, 403, 404),
    )
    def get(self, request: Request, ident: str) -> Response:
        since = _day(request.query_params.get("since"))
        return Response(standing.scouting(self.caller.nursery, ident, since, clock.now()))


def _day(text: str | None) -> date | None:
    try:
        return None if text is None else date.fromisoformat(text)
    except ValueError:
        raise shapes.BodyMisfit("since") from None


class PressureShape(serializers.Serializer[Any]):
    """Degree-days [°C d] of each pest whose row says how warmth carries it, as of the last day."""

    as_of_seq = serializers.IntegerField()
    id = serializers.CharField()
    today = serializers.DateField()
    series = serializers.CharField(allow_null=True)
    invented = serializers.BooleanField()
    pests = serializers.ListField(child=serializers.DictField())


class Pressure(View):
    """How far warmth has carried the pests of a place since they were first seen."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="read_pressure", responses=shapes.answers(PressureShape, 401, 403, 404)
    )
    def get(self, request: Request, ident: str) -> Response:
        return Response(standing.pressure(self.caller.nursery, ident, clock.now()))
