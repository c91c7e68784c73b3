"""A room logger's file: shown day by day, then written as one reading a day."""

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, View
from nursery.api.weather import AsItCame, one_of, said
from nursery.domain.logger import UNITS, Choices, Quantity
from nursery.domain.weather.dates import ORDERS
from nursery.domain.weather.table import MARKS
from nursery.services import clock, logger
from nursery.services.logger import File

CHOICES = OpenApiParameter(
    "choices",
    str,
    description='JSON: {"columns": {"1": ["air_c", "fahrenheit"]}, "days": [0], '
    '"order": "day_first", "mark": "comma"}; places count from 0',
)
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
        parameters=[CHOICES],
        request=FILE,
        responses=shapes.answers(dict, 400, 401, 403, 413),
    )
    def post(self, request: Request) -> Response:
        units = {quantity.value: list(known) for quantity, known in UNITS.items()}
        return Response({**logger.shown(request.body, choices(request)).as_json(), "units": units})


class Taken(View):
    """Write a reading of a room for each day of a file that none has told yet."""

    open_to = {"POST": GROWERS}
    parser_classes = (AsItCame,)

    @extend_schema(
        operation_id="take_logger",
        parameters=[CHOICES, OpenApiParameter("name", str, description="the file's name")],
        request=FILE,
        responses=shapes.answers(TakenShape, 400, 401, 403, 404, 413, 422),
    )
    def post(self, request: Request, room: str) -> Response:
        name = request.query_params.get("name", "")[:50]
        file = File(name, request.body, choices(request))
        caller = self.caller
        taken = logger.take(caller.nursery, room, file, caller.person, clock.now())
        return Response({"days": taken.days, "before": taken.before, "not_over": taken.not_over})


def choices(request: Request) -> Choices:
    """Return what the grower says of a file, out of the address.

    Raises:
        ParseError: it is no JSON of that form.
    """
    return said(request, _said) or Choices()


def _said(raw: Any) -> Choices:
    return Choices(
        columns={int(place): _column(*told) for place, told in raw.get("columns", {}).items()},
        days=tuple(int(place) for place in raw.get("days", ())),
        order=one_of(raw.get("order"), *ORDERS),
        mark=one_of(raw.get("mark"), *MARKS),
    )


def _column(quantity: str, unit: str) -> tuple[Quantity, str]:
    known = Quantity(quantity)
    if unit not in UNITS[known]:
        raise ValueError(unit)
    return known, unit
