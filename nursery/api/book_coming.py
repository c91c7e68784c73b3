"""Bringing a taken-away book to an empty server, from its first page: sent, looked at, taken."""

from typing import Any

from django.contrib.auth import login
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office, shapes
from nursery.api.beginning import only_near
from nursery.api.door import ANYBODY, View, Ways
from nursery.services import book_coming, clock, people
from nursery.services.book_coming import MOST_SLICE, BookSliceDiffers
from nursery.services.bring_in import Account

SLICE = "application/octet-stream"
MOST_SIZE = 1 << 40


class BookSize(serializers.Serializer[Any]):
    """How many bytes the file has, and what it is called."""

    size = serializers.IntegerField(min_value=1, max_value=MOST_SIZE)
    name = serializers.CharField(max_length=400, required=False, default=book_coming.FILE)


class BookOnItsWay(serializers.Serializer[Any]):
    """By which name the file goes on, and up to which byte it has come."""

    id = serializers.CharField()
    came = serializers.IntegerField()
    slice = serializers.IntegerField()


class BookTold(serializers.Serializer[Any]):
    """What the book holds; it was looked through to its last line."""

    name = serializers.CharField()
    zone = serializers.CharField()
    lines = serializers.IntegerField()
    records = serializers.IntegerField()
    first = serializers.DateTimeField(allow_null=True)
    last = serializers.DateTimeField(allow_null=True)
    photos = serializers.IntegerField()
    lost = serializers.IntegerField()
    growers = serializers.ListField(child=serializers.CharField())
    fingerprint = serializers.CharField()


class BookAccount(serializers.Serializer[Any]):
    """With what its first grower signs in from now on."""

    email = serializers.CharField(max_length=254)
    password = serializers.CharField(max_length=200, trim_whitespace=False)


class Slice(BaseParser):
    """A slice is no form: its bytes stay in the body."""

    media_type = SLICE

    def parse(self, *_: Any, **__: Any) -> dict[str, Any]:
        """Return no fields, and leave the stream unread."""
        return {}


class Books(View):
    """A file begins its way here."""

    authentication_classes: Ways = []
    open_to = {"POST": ANYBODY}

    @extend_schema(
        operation_id="begin_book",
        request=BookSize,
        responses=shapes.answers(BookOnItsWay, 400, 403, 409, 507, status=201),
    )
    def post(self, request: Request) -> Response:
        only_near(request)
        asked = shapes.checked(BookSize, request)
        name = book_coming.begin(asked["size"], asked["name"])
        return Response({"id": name, "came": 0, "slice": MOST_SLICE}, status=201)


class Book(View):
    """One file on its way: the next slice, what it holds, and taking it."""

    authentication_classes: Ways = []
    open_to = {"GET": ANYBODY, "POST": ANYBODY}

    @extend_schema(operation_id="look_at_book", responses=shapes.answers(BookTold, 403, 404, 422))
    def get(self, request: Request, ident: str) -> Response:
        only_near(request)
        told = book_coming.look(ident)
        found = {name: getattr(told, name) for name in told.__slots__}
        return Response(found, headers={"Cache-Control": "no-store"})

    @extend_schema(
        operation_id="take_book",
        request=BookAccount,
        responses=shapes.answers(shapes.Who, 400, 403, 404, 409, 422, status=201),
    )
    def post(self, request: Request, ident: str) -> Response:
        only_near(request)
        asked = shapes.checked(BookAccount, request)
        now = clock.now()
        account = book_coming.take(ident, Account(**asked), now)
        login(request._request, account)  # noqa: SLF001  # REST framework's own door to it
        return Response(office.who(account.name, people.caller(account, None, now)), status=201)


class BookSlice(View):
    """The next slice of a file, from the byte `at` on."""

    authentication_classes: Ways = []
    open_to = {"PUT": ANYBODY}
    parser_classes = (Slice,)

    @extend_schema(
        operation_id="add_to_book",
        parameters=[OpenApiParameter("at", int, required=True)],
        request={SLICE: OpenApiTypes.BINARY},
        responses=shapes.answers(BookOnItsWay, 400, 403, 404, 409),
    )
    def put(self, request: Request, ident: str) -> Response:
        only_near(request)
        at = shapes.whole(request, "at", range(MOST_SIZE), 0)
        if int(request.META.get("CONTENT_LENGTH") or 0) > MOST_SLICE:
            raise BookSliceDiffers(value=at, offset=at)
        came = book_coming.append(ident, at, request.body)
        return Response({"id": ident, "came": came, "slice": MOST_SLICE})
