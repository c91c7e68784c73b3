"""Daily weather from a file: shown, taken, listed and forgotten."""

import re
from collections.abc import Callable
from typing import Any, TypeVar

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import exceptions, serializers
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, READERS, View
from nursery.api.json_body import strictly
from nursery.domain.weather import UNITS, Choices, Measure
from nursery.domain.weather.dates import ORDERS
from nursery.domain.weather.table import MARKS
from nursery.services import clock, weather
from nursery.services.weather import File, Series

T = TypeVar("T")
NAME = re.compile(r"[a-z0-9-]{1,40}", re.ASCII)
MOST_CHOICES = 4000
CHOICES = OpenApiParameter(
    "choices",
    str,
    description='JSON: {"columns": {"2": ["rain_mm", "inch"]}, "days": [0], "order": "day_first", '
    '"mark": "comma", "leave_out": true}; places count from 0',
)
FILE = {"text/csv": OpenApiTypes.BINARY}


class AsItCame(BaseParser):
    """A file is no form: its bytes stay in the body, whatever asks for its fields before."""

    media_type = "text/csv"

    def parse(self, *_: Any, **__: Any) -> dict[str, Any]:
        """Return no fields, and leave the stream unread."""
        return {}


class Weathers(serializers.Serializer[Any]):
    """`units` says in which units each measure may stand in a file."""

    items = serializers.ListField(child=serializers.DictField())
    units = serializers.DictField()


class Every(View):
    """Every series of daily weather, with the days that each of its years holds."""

    open_to = {"GET": READERS}

    @extend_schema(operation_id="list_weather", responses=shapes.answers(Weathers, 401, 403))
    def get(self, request: Request) -> Response:
        units = {measure.value: list(known) for measure, known in UNITS.items()}
        return Response({"items": weather.every(self.caller.nursery), "units": units})


class Shown(View):
    """What a file holds: columns, units, gaps, and what is wrong with it by row and column."""

    open_to = {"POST": GROWERS}
    parser_classes = (AsItCame,)

    @extend_schema(
        operation_id="preview_weather",
        parameters=[CHOICES],
        request=FILE,
        responses=shapes.answers(dict, 400, 401, 403, 413),
    )
    def post(self, request: Request) -> Response:
        return Response(weather.shown(request.body, choices(request)).as_json())


class One(View):
    """One series: a file is taken into it whole, or not at all."""

    open_to = {"PUT": GROWERS, "DELETE": GROWERS}
    parser_classes = (AsItCame,)

    @extend_schema(
        operation_id="take_weather",
        parameters=[
            CHOICES,
            OpenApiParameter("name", str, required=True),
            OpenApiParameter("source", str),
            OpenApiParameter("invented", bool, description="never told as measured"),
        ],
        request=FILE,
        responses=shapes.answers(dict, 400, 401, 403, 409, 413, 422),
    )
    def put(self, request: Request, ident: str) -> Response:
        said = request.query_params
        name = said.get("name", "").strip()
        if not NAME.fullmatch(ident) or not 1 <= len(name) <= 120:
            raise exceptions.ParseError
        series = Series(ident, name, said.get("source", "")[:400], said.get("invented") == "true")
        file = File(request.body, choices(request))
        caller = self.caller
        taken = weather.take(caller.nursery, series, file, caller.person, clock.now())
        return Response(taken)

    @extend_schema(
        operation_id="forget_weather", responses={204: None, **shapes.answers(None, 401, 403, 404)}
    )
    def delete(self, request: Request, ident: str) -> Response:
        weather.forget(self.caller.nursery, ident, clock.now())
        return Response(status=204)


def choices(request: Request) -> Choices:
    """Return what the grower says of a file, out of the address.

    Raises:
        ParseError: it is no JSON of that form.
    """
    return said(request, _said) or Choices()


def said(request: Request, read: Callable[[Any], T]) -> T | None:
    """Return what is said in the address, None where nothing is.

    Raises:
        ParseError: it is no JSON of that form.
    """
    raw = request.query_params.get("choices", "")
    if not raw:
        return None
    try:
        return read(strictly(raw[:MOST_CHOICES]))
    except (ValueError, TypeError, KeyError, AttributeError):
        raise exceptions.ParseError from None


def one_of(raw: Any, *known: str) -> str | None:
    """Return a word that is one of those known, or None.

    Raises:
        ValueError: it is another.
    """
    if raw not in (None, *known):
        raise ValueError(raw)
    return None if raw is None else str(raw)


def _said(raw: Any) -> Choices:
    return Choices(
        columns={int(place): _column(*told) for place, told in raw.get("columns", {}).items()},
        days=tuple(int(place) for place in raw.get("days", ())),
        order=one_of(raw.get("order"), *ORDERS),
        mark=one_of(raw.get("mark"), *MARKS),
        leave_out=raw.get("leave_out") is True,
    )


def _column(measure: str, unit: str) -> tuple[Measure, str]:
    known = Measure(measure)
    if unit not in UNITS[known]:
        raise ValueError(unit)
    return known, unit
