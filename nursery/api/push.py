"""Web push: a phone learns the key, has itself told of what a person is reminded of, and stops."""

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, PHONES, ByDevice, View, Ways
from nursery.api.office_shapes import NAME
from nursery.services import clock, push, push_key, reminders


class PushKeyShape(serializers.Serializer[Any]):
    """`key` is what a browser subscribes with; `people` are those whose pushes the phone shows."""

    key = serializers.CharField()
    people = serializers.ListField(child=serializers.CharField())


class PushKeys(serializers.Serializer[Any]):
    p256dh = serializers.CharField(max_length=100)
    auth = serializers.CharField(max_length=40)


class PushWish(serializers.Serializer[Any]):
    """A subscription as the browser gives it, and for whom it is."""

    person = serializers.RegexField(NAME)
    endpoint = serializers.CharField(max_length=2000)
    keys = PushKeys()


class PushEnd(serializers.Serializer[Any]):
    person = serializers.RegexField(NAME)


class PushShown(serializers.Serializer[Any]):
    person = serializers.CharField()
    device = serializers.CharField()
    device_name = serializers.CharField(allow_blank=True)
    made_at = serializers.DateTimeField()


class PushesShown(serializers.Serializer[Any]):
    items = PushShown(many=True)


class PhoneView(View):
    """Of phones alone: whoever signed in on one is not asked."""

    authentication_classes: Ways = [ByDevice]


class Key(PhoneView):
    """The key that a browser subscribes with, and whose pushes this phone shows already."""

    open_to = {"GET": PHONES}

    @extend_schema(
        operation_id="read_push_key", responses=shapes.answers(PushKeyShape, 401, 403, 503)
    )
    def get(self, request: Request) -> Response:
        del request
        shown = push.every(self.caller.nursery)
        people = [one["person"] for one in shown if one["device"] == self.caller.ident]
        body = {"key": push_key.public(), "people": people}
        return Response(body, headers={"Cache-Control": "no-store"})


class Subscription(PhoneView):
    """Have this phone show what a person is told, or have it stop."""

    open_to = {"POST": PHONES, "DELETE": PHONES}

    @extend_schema(
        operation_id="subscribe_push",
        request=PushWish,
        responses={204: None, **shapes.answers(None, 400, 401, 403, 404, 422)},
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(PushWish, request)
        keys = asked["keys"]
        browser = push.Browser(asked["endpoint"], keys["p256dh"], keys["auth"])
        nursery, device = self.caller.nursery, self.caller.ident
        push.subscribe(nursery, device, asked["person"], browser, clock.now())
        reminders.channel_added(nursery, clock.now())
        return Response(status=204)

    @extend_schema(
        operation_id="unsubscribe_push",
        request=PushEnd,
        responses={204: None, **shapes.answers(None, 400, 401, 403)},
    )
    def delete(self, request: Request) -> Response:
        person = shapes.checked(PushEnd, request)["person"]
        push.unsubscribe(self.caller.nursery, self.caller.ident, person, clock.now())
        return Response(status=204)


class Subscriptions(View):
    """Which phones show pushes, and to whom."""

    open_to = {"GET": GROWERS}

    @extend_schema(operation_id="list_pushes", responses=shapes.answers(PushesShown, 401, 403))
    def get(self, request: Request) -> Response:
        del request
        return Response({"items": push.every(self.caller.nursery)})
