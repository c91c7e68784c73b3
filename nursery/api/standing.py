"""How the plants of a block stand: survival, its interval, comparisons, gaps and their filling."""

from typing import Any

from drf_spectacular.utils import extend_schema
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
