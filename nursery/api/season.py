"""The season sheet: when to plant, at what odds, and what a delay costs."""

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import READERS, View
from nursery.services import clock, season


class Sheet(serializers.Serializer[Any]):
    """Weather and odds are null while too few years are on record; `stale` ones are made anew."""

    as_of_seq = serializers.IntegerField()
    stale = serializers.BooleanField()
    today = serializers.DateField()
    weather = serializers.DictField(allow_null=True)
    weeks = serializers.ListField(child=serializers.DictField())
    odds = serializers.DictField(allow_null=True)
    site = serializers.BooleanField()
    currency = serializers.CharField(allow_null=True)
    items = serializers.ListField(child=serializers.DictField())


class Season(View):
    """Each consignment with its clocks, readiness, labour, blocks and the price of a delay."""

    open_to = {"GET": READERS}

    @extend_schema(operation_id="read_season", responses=shapes.answers(Sheet, 401, 403))
    def get(self, request: Request) -> Response:
        return Response(season.read(self.caller.nursery, clock.now()))
