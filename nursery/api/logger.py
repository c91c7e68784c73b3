"""A room logger's file: shown day by day, then written as one reading a day."""

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, View
from nursery.api.weather import AsItCame
from nursery.services import clock, logger

FILE = {"text/csv": OpenApiTypes.BINARY}


class TakenShape(serializers.Serializer[Any]):
    """`before` were taken from a file already; a day that is not over is not taken."""

    days = serializers.IntegerField()
    before = serializers.IntegerField()
    not_over = serializers.IntegerField()


class Shown(View):
    """What a logger's file holds, day by day, and what is wrong with it by row and column."""

    open_to = {"POST": GROWERS}
    parser_classes = (AsItCame,)

    @extend_schema(
        operation_id="preview_logger",
        request=FILE,
        responses=shapes.answers(dict, 401, 403, 413),
    )
    def post(self, request: Request) -> Response:
        log = logger.shown(request.body)
        return Response(
            {
                "usable": log.usable,
                "days": [day.as_json() for day in log.days],
                "troubles": [one.as_json() for one in log.troubles[:50]],
                "trouble_count": len(log.troubles),
            }
        )


class Taken(View):
    """Write a reading of a room for each day of a file that none has told yet."""

    open_to = {"POST": GROWERS}
    parser_classes = (AsItCame,)

    @extend_schema(
        operation_id="take_logger",
        parameters=[OpenApiParameter("name", str, description="the file's name")],
        request=FILE,
        responses=shapes.answers(TakenShape, 401, 403, 404, 413, 422),
    )
    def post(self, request: Request, room: str) -> Response:
        file = (request.query_params.get("name", "")[:50], request.body)
        caller = self.caller
        taken = logger.take(caller.nursery, room, file, caller.person, clock.now())
        return Response({"days": taken.days, "before": taken.before, "not_over": taken.not_over})
