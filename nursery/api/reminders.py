"""Reminders: what falls when and for whom, saying that one has seen it, and how one is told."""

from datetime import timedelta
from typing import Any

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import View
from nursery.services import clock, reminders
from nursery.services.people import GROWER, PHONE

OFFICE_AND_PHONES = frozenset({GROWER, PHONE})
MOST_SEEN = 500
MOST_DAYS, USUAL_DAYS = 60, 14


class AttemptShape(serializers.Serializer[Any]):
    """One try by one channel; `unknown` where its worker died before it had an answer."""

    channel = serializers.ChoiceField(["push", "mail"])
    state = serializers.ChoiceField(["trying", "sent", "gone", "later", "failed", "unknown"])
    at = serializers.DateTimeField()
    message = serializers.CharField()


class ReminderSubject(serializers.Serializer[Any]):
    type = serializers.CharField(allow_null=True)
    id = serializers.CharField(allow_blank=True)


class ReminderShape(serializers.Serializer[Any]):
    """`on` is the day on which the thing is due, `due_at` when the reminder falls."""

    id = serializers.CharField()
    rule = serializers.CharField()
    occurrence = serializers.CharField()
    person = serializers.CharField()
    person_name = serializers.CharField(allow_blank=True)
    role = serializers.ChoiceField(["worker", "grower"])
    code = serializers.CharField()
    params = serializers.DictField()
    urgent = serializers.BooleanField()
    subject = ReminderSubject()
    wall = serializers.CharField()
    zone = serializers.CharField()
    due_at = serializers.DateTimeField()
    ends_at = serializers.DateTimeField(allow_null=True)
    on = serializers.DateField(allow_null=True)
    state = serializers.ChoiceField(["waiting", "sent", "unreached", "seen", "done", "dropped"])
    why = serializers.CharField(allow_blank=True)
    escalated = serializers.BooleanField()
    seen_at = serializers.DateTimeField(allow_null=True)
    seen_by = serializers.CharField(allow_null=True)
    next_at = serializers.DateTimeField(allow_null=True)
    attempts = AttemptShape(many=True)


class ReminderPage(serializers.Serializer[Any]):
    items = ReminderShape(many=True)
    next = serializers.CharField(allow_null=True)


class ReminderItems(serializers.Serializer[Any]):
    items = ReminderShape(many=True)


class SeenShape(serializers.Serializer[Any]):
    """`person` is who has seen it; at the office it is who signed in, where it is left out."""

    person = serializers.CharField(max_length=64, required=False, allow_blank=True)


class ManySeen(SeenShape):
    ids = serializers.ListField(
        child=serializers.CharField(max_length=40), min_length=1, max_length=MOST_SEEN
    )


class PersonWishes(serializers.Serializer[Any]):
    person = serializers.CharField()
    name = serializers.CharField()
    role = serializers.ChoiceField(["worker", "grower"])
    settings = serializers.DictField()
    in_force = serializers.DictField()
    address = serializers.CharField(allow_blank=True)
    has_address = serializers.BooleanField()
    push = serializers.BooleanField()


class LeadFigure(serializers.Serializer[Any]):
    """Days of lead; `usual` unless the nursery says otherwise. A minus is so many days after."""

    rule = serializers.CharField()
    lead_days = serializers.IntegerField()
    usual = serializers.IntegerField()
    role = serializers.ChoiceField(["worker", "grower"])
    urgent = serializers.BooleanField()
    # A field's own word for where its value stands.
    source = serializers.ChoiceField(["common", "own"])  # type: ignore[assignment]


class UsualWaits(serializers.Serializer[Any]):
    """What holds where the nursery says nothing: own choice of the product."""

    mail_after_hours = serializers.IntegerField()
    grower_after_hours = serializers.IntegerField()
    gap_minutes = serializers.IntegerField()
    source = serializers.ChoiceField(["common", "own"])  # type: ignore[assignment]


class ReminderSettings(serializers.Serializer[Any]):
    nursery = serializers.DictField()
    usual = UsualWaits()
    people = PersonWishes(many=True)
    figures = LeadFigure(many=True)


class WishesShape(serializers.Serializer[Any]):
    """What is left out is as the nursery has it.

    `at`, `lead_days` and the hours of waiting are the nursery's alone.
    """

    address = serializers.CharField(required=False, allow_blank=True)
    quiet_from = serializers.CharField(required=False)
    quiet_to = serializers.CharField(required=False)
    push = serializers.BooleanField(required=False)
    mail = serializers.BooleanField(required=False)
    digest_from = serializers.IntegerField(required=False)
    gap_minutes = serializers.IntegerField(required=False)
    at = serializers.CharField(required=False)
    mail_after_hours = serializers.IntegerField(required=False)
    grower_after_hours = serializers.IntegerField(required=False)
    lead_days = serializers.DictField(child=serializers.IntegerField(), required=False)


class ReminderView(View):
    """Open to the office and to phones. What the authority reads has no reminders in it."""

    open_to = {"GET": OFFICE_AND_PHONES, "POST": OFFICE_AND_PHONES, "PUT": OFFICE_AND_PHONES}

    def who(self, asked: dict[str, Any]) -> str:
        """Return who has seen a reminder, as they say; a phone has to say."""
        person = str(asked.get("person") or self.caller.person)
        if not person and self.caller.role == PHONE:
            raise shapes.BodyMisfit("person")
        return person or f"account-{self.caller.ident}"


class Reminders(ReminderView):
    """Reminders in the order in which they fall: one person's, or at the office all."""

    open_to = {"GET": OFFICE_AND_PHONES}

    @extend_schema(
        operation_id="list_reminders",
        parameters=[
            OpenApiParameter("person", str),
            OpenApiParameter("state", str, enum=["open", "all"]),
            OpenApiParameter("days", int, description="days ahead, up to 60; usually 14"),
            OpenApiParameter("after", str, description="`next` of the page before"),
        ],
        responses=shapes.answers(ReminderPage, 400, 401, 403),
    )
    def get(self, request: Request) -> Response:
        person = request.query_params.get("person")
        state = request.query_params.get("state", "open")
        if state not in ("open", "all"):
            raise shapes.BodyMisfit("state")
        if not person and self.caller.role == PHONE:
            raise shapes.BodyMisfit("person")
        days = shapes.whole(request, "days", range(MOST_DAYS + 1), USUAL_DAYS)
        asked = reminders.Asked(
            person or None,
            request.query_params.get("after", ""),
            None if state == "all" else clock.now() + timedelta(days=days),
        )
        page = reminders.some(self.caller.nursery, asked)
        return Response(page.as_json())


class Reminder(ReminderView):
    """One reminder, with every attempt to reach somebody."""

    open_to = {"GET": OFFICE_AND_PHONES}

    @extend_schema(
        operation_id="read_reminder", responses=shapes.answers(ReminderShape, 401, 403, 404)
    )
    def get(self, request: Request, ident: str) -> Response:
        return Response(reminders.one(self.caller.nursery, ident))


class Seen(ReminderView):
    """Somebody has seen it: nobody else is reminded of the same."""

    open_to = {"POST": OFFICE_AND_PHONES}

    @extend_schema(
        operation_id="see_reminder",
        request=SeenShape,
        responses=shapes.answers(ReminderShape, 400, 401, 403, 404),
    )
    def post(self, request: Request, ident: str) -> Response:
        person = self.who(shapes.checked(SeenShape, request))
        return Response(reminders.see(self.caller.nursery, [ident], person, clock.now())[0])


class AllSeen(ReminderView):
    """The same for all that one message told of."""

    open_to = {"POST": OFFICE_AND_PHONES}

    @extend_schema(
        operation_id="see_reminders",
        request=ManySeen,
        responses=shapes.answers(ReminderItems, 400, 401, 403, 404),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(ManySeen, request)
        found = reminders.see(self.caller.nursery, asked["ids"], self.who(asked), clock.now())
        return Response({"items": found})


class Settings(ReminderView):
    """How the nursery and its people want to be reminded."""

    open_to = {"GET": OFFICE_AND_PHONES, "PUT": frozenset({GROWER})}

    @extend_schema(
        operation_id="read_reminder_settings",
        responses=shapes.answers(ReminderSettings, 401, 403),
    )
    def get(self, request: Request) -> Response:
        return Response(reminders.settings(self.caller.nursery, self.caller.role))

    @extend_schema(
        operation_id="put_reminder_settings",
        request=WishesShape,
        responses=shapes.answers(ReminderSettings, 400, 401, 403, 422),
    )
    def put(self, request: Request) -> Response:
        reminders.wish(self.caller, "", _wanted(request), clock.now())
        return Response(reminders.settings(self.caller.nursery, self.caller.role))


class OwnSettings(ReminderView):
    """How one person wants to be reminded."""

    open_to = {"PUT": OFFICE_AND_PHONES}

    @extend_schema(
        operation_id="put_own_reminder_settings",
        request=WishesShape,
        responses=shapes.answers(ReminderSettings, 400, 401, 403, 404, 422),
    )
    def put(self, request: Request, person: str) -> Response:
        reminders.wish(self.caller, person, _wanted(request), clock.now())
        return Response(reminders.settings(self.caller.nursery, self.caller.role))


def _wanted(request: Request) -> dict[str, Any]:
    """Return the wishes as they were sent; the service says of each whether it can be."""
    if not isinstance(request.data, dict):
        raise shapes.BodyMisfit("body")
    return dict(request.data)
