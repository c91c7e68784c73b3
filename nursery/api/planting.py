"""Planting days that come: go, wait or no, with every check and figure."""

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import READERS, View
from nursery.services import clock, outlook


class Planting(View):
    """The groups of plants that go out, each with its day as phones are told of it."""

    open_to = {"GET": READERS}

    @extend_schema(operation_id="read_planting", responses=shapes.answers(shapes.Items, 401, 403))
    def get(self, request: Request) -> Response:
        made = outlook.latest(self.caller.nursery, clock.now())
        return Response({"items": made.as_json()["planting"]})
