"""Plans worked back from the field. Nothing is written; a grower takes what they want of it."""

import math
from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, View
from nursery.services import backward, clock

MOST_PLANTS = 100_000
YEARS = range(1970, 2200)


class Lost(serializers.Serializer[Any]):
    """Shares that are lost before the nursery, in it, and in the field; those typed count."""

    before = serializers.FloatField(min_value=0, max_value=0.99, required=False)
    nursery = serializers.FloatField(min_value=0, max_value=0.99, required=False)
    field = serializers.FloatField(min_value=0, max_value=0.99, required=False)


class Backward(serializers.Serializer[Any]):
    """So many plants standing by these weeks; with a `release`, what follows from that day."""

    crop = serializers.CharField(max_length=64)
    plants = serializers.IntegerField(min_value=1, max_value=MOST_PLANTS)
    first = serializers.DateField()
    last = serializers.DateField()
    certainty = serializers.FloatField(min_value=0.5, max_value=0.99, default=0.9)
    lost = Lost(required=False)
    permit = serializers.CharField(max_length=64, required=False, allow_null=True)
    release = serializers.DateField(required=False, allow_null=True)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        days = [attrs["first"], attrs["last"], attrs.get("release") or attrs["first"]]
        if attrs["last"] < attrs["first"] or not all(day.year in YEARS for day in days):
            raise serializers.ValidationError({"last": "out of its range"})
        figures = [attrs["certainty"], *attrs.get("lost", {}).values()]
        if not all(math.isfinite(one) for one in figures):
            raise serializers.ValidationError({"certainty": "no number"})
        return attrs


class Plan(serializers.Serializer[Any]):
    """`start.middle` is as likely as not, `start.sure` has the certainty; `days` in their order."""

    as_of_seq = serializers.IntegerField()
    today = serializers.DateField()
    crop = serializers.CharField()
    plants = serializers.IntegerField()
    certainty = serializers.FloatField()
    start = serializers.DictField()
    days = serializers.ListField(child=serializers.DictField())
    missing = serializers.ListField(child=serializers.CharField())


class Backwards(View):
    """How many to start and when, so that enough plants stand in the field."""

    open_to = {"POST": GROWERS}

    @extend_schema(
        operation_id="plan_backward",
        request=Backward,
        responses=shapes.answers(Plan, 400, 401, 403),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(Backward, request)
        return Response(backward.ask(self.caller.nursery, asked, clock.now()))
