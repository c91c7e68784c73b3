"""Stock out of a spreadsheet: shown as what it would become, brought in, and an empty file."""

from typing import Any

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import exceptions
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, View
from nursery.api.exports import HELD
from nursery.api.json_body import strictly
from nursery.api.weather import AsItCame, one_of
from nursery.domain.stock_file import Choices, Field
from nursery.domain.stock_file.cells import ORDERS, key
from nursery.paper import stock_template
from nursery.services import clock, stock_file, words
from nursery.services.stock_file import LONGEST_NAME, File
from nursery.services.table_file import MOST_BYTES, TableTooLarge

MOST_CHOICES = 24_000
SAID = [
    OpenApiParameter("name", str, required=True, description="what the file is called"),
    OpenApiParameter(
        "choices",
        str,
        description='JSON: {"columns": {"2": "count", "3": null}, "order": "day_first", "names": '
        '{"crop": {"name in the file": "id of a row, or + for a new one"}}, "sheet": "Stock", '
        '"left_out": 3}; columns count from 0, `left_out` is how many faulty rows stay out',
    ),
]
FILE = {"text/csv": OpenApiTypes.BINARY}


class Shown(View):
    """What each row of a file would become, and what is wrong with it by row and column."""

    open_to = {"POST": GROWERS}
    parser_classes = (AsItCame,)

    @extend_schema(
        operation_id="preview_stock_file",
        parameters=SAID,
        request=FILE,
        responses=shapes.answers(dict, 400, 401, 403, 413, 422),
    )
    def post(self, request: Request) -> Response:
        file, language = read(request), _language(request)
        return Response(stock_file.shown(self.caller.nursery, file, language, clock.now()))


class BroughtIn(View):
    """The file once more, and the seal of what was shown: all of that is written, or nothing."""

    open_to = {"POST": GROWERS}
    parser_classes = (AsItCame,)

    @extend_schema(
        operation_id="bring_in_stock_file",
        parameters=[*SAID, OpenApiParameter("seal", str, required=True)],
        request=FILE,
        responses=shapes.answers(dict, 400, 401, 403, 409, 413, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        file, language = read(request), _language(request)
        seal = request.query_params.get("seal", "")
        done = stock_file.bring_in(self.caller, file, seal, language, clock.now())
        return Response(done, status=201)


class Template(View):
    """An empty file to be filled in: `stock-en.csv`, `stock-es.xlsx` and so on."""

    open_to = {"GET": GROWERS}

    @extend_schema(
        operation_id="read_stock_template",
        responses={
            **shapes.answers(None, 401, 403, 404),
            (200, "text/csv"): OpenApiTypes.BINARY,
        },
    )
    def get(self, request: Request, name: str) -> HttpResponse:
        del request
        content, media = stock_template.one(name)
        kept = {**HELD, "Content-Disposition": f'attachment; filename="{name}"'}
        return HttpResponse(content, content_type=media, headers=kept)


def read(request: Request) -> File:
    """Return the file in a request and what is said of it in the address.

    Raises:
        ParseError: nothing says what it is called, or what is said of it is no JSON of that form.
        TableTooLarge: it has more bytes than are read.
    """
    name = " ".join(request.query_params.get("name", "").split())[:LONGEST_NAME]
    raw = request.query_params.get("choices", "")
    if not name or len(raw) > MOST_CHOICES:
        raise exceptions.ParseError
    length = int(request.META.get("CONTENT_LENGTH") or 0)
    if length > MOST_BYTES:
        raise TableTooLarge(value=length, most=MOST_BYTES)
    try:
        said = strictly(raw) if raw else {}
        choices = _choices(said)
        sheet = said.get("sheet")
    except (ValueError, TypeError, KeyError, AttributeError):
        raise exceptions.ParseError from None
    return File(name, request.body, choices, None if sheet is None else str(sheet))


def _choices(raw: Any) -> Choices:
    left_out = raw.get("left_out", 0)
    if type(left_out) is not int or left_out < 0:
        raise ValueError(left_out)
    return Choices(
        columns={
            int(at): None if column is None else Field(column)
            for at, column in raw.get("columns", {}).items()
        },
        order=one_of(raw.get("order"), *ORDERS),
        names={
            Field(column).value: {key(str(said)): str(ident) for said, ident in chosen.items()}
            for column, chosen in raw.get("names", {}).items()
        },
        left_out=left_out,
    )


def _language(request: Request) -> str:
    return words.choose(request.headers.get("Accept-Language"))
