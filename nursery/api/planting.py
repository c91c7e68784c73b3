"""Planting days that come: go, wait or no, with every check and figure."""

from dataclasses import asdict
from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import READERS, View
from nursery.domain.reference import SOURCES, USUAL_LEVELS
from nursery.services import clock, outlook


class Planting(View):
    """The groups of plants that go out, each with its day as phones are told of it."""

    open_to = {"GET": READERS}

    @extend_schema(operation_id="read_planting", responses=shapes.answers(shapes.Items, 401, 403))
    def get(self, request: Request) -> Response:
        made = outlook.latest(self.caller.nursery, clock.now())
        return Response({"items": made.as_json()["planting"]})


class LevelsShape(serializers.Serializer[Any]):
    """Usual levels by name, and where each comes from: `trade` or `own`."""

    usual = serializers.DictField(child=serializers.FloatField())
    sources = serializers.DictField(child=serializers.CharField())


class Levels(View):
    """The levels that count where a nursery has set none of its own (rule V-2)."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="read_planting_levels", responses=shapes.answers(LevelsShape, 401, 403)
    )
    def get(self, request: Request) -> Response:
        return Response({"usual": asdict(USUAL_LEVELS), "sources": dict(SOURCES)})
