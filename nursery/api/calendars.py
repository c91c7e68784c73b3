"""Calendars: make an address, list them, end one; and what is read at one without signing in."""

from typing import Any

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import ANYBODY, GROWERS, View, Ways
from nursery.api.office_shapes import NAME
from nursery.api.phones import phones_origin
from nursery.paper import calendar
from nursery.services import calendars, clock, qr


class CalendarShape(serializers.Serializer[Any]):
    id = serializers.CharField()
    name = serializers.CharField()
    person = serializers.CharField(allow_blank=True)
    language = serializers.CharField()
    made_at = serializers.DateTimeField()
    ended_at = serializers.DateTimeField(allow_null=True)
    read_at = serializers.DateTimeField(allow_null=True)


class Calendars(serializers.Serializer[Any]):
    items = CalendarShape(many=True)


class CalendarWish(serializers.Serializer[Any]):
    name = serializers.CharField(max_length=120)
    language = serializers.CharField(max_length=8)
    person = serializers.RegexField(NAME, required=False)


class CalendarMade(serializers.Serializer[Any]):
    """`link` is told this once."""

    id = serializers.CharField()
    link = serializers.CharField()
    qr = serializers.CharField()


class Addresses(View):
    """The addresses of the nursery's calendar; a new one, told once, with a QR code of it."""

    open_to = {"GET": GROWERS, "POST": GROWERS}

    @extend_schema(operation_id="list_calendars", responses=shapes.answers(Calendars, 401, 403))
    def get(self, request: Request) -> Response:
        del request
        return Response({"items": calendars.every(self.caller.nursery)})

    @extend_schema(
        operation_id="make_calendar",
        request=CalendarWish,
        responses=shapes.answers(CalendarMade, 400, 401, 403, 404, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(CalendarWish, request)
        wish = calendars.Wish(asked["name"], asked["language"], asked.get("person", ""))
        ident, secret = calendars.make(self.caller.nursery, wish, clock.now())
        link = f"{phones_origin(request)}/api/v1/calendar/{secret}.ics"
        body = {"id": ident, "link": link, "qr": qr.svg(link)}
        return Response(body, status=201, headers={"Cache-Control": "no-store"})


class Address(View):
    """End one address: whoever reads there finds nothing from then on."""

    open_to = {"DELETE": GROWERS}

    @extend_schema(
        operation_id="end_calendar", responses={204: None, **shapes.answers(None, 401, 403, 404)}
    )
    def delete(self, request: Request, ident: str) -> Response:
        del request
        calendars.end(self.caller.nursery, ident, clock.now())
        return Response(status=204)


class Feed(View):
    """The calendar at one address. Nobody signs in: the address itself is the secret."""

    authentication_classes: Ways = []
    open_to = {"GET": ANYBODY}

    @extend_schema(
        operation_id="read_calendar",
        responses={(200, "text/calendar"): OpenApiTypes.STR, **shapes.answers(None, 404, 429)},
    )
    def get(self, request: Request, secret: str) -> HttpResponse:
        del request
        feed = calendars.by_secret(secret, clock.now())
        kept = {
            "Cache-Control": "private, no-store",
            "Content-Disposition": 'inline; filename="calendar.ics"',
        }
        return HttpResponse(calendar.ics(feed), content_type=calendar.MEDIA, headers=kept)
