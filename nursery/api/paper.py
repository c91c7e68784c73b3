"""Views that answer with paper: what is printed."""

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.renderers import BaseRenderer, JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, PHONES, View
from nursery.paper import anteroom, labels, passport, round_sheet
from nursery.services import clock, held_now

MEDIA = "application/pdf"
MOST_SKIPPED = 10_000
MOST_ROOMS = 200


class Plain(JSONRenderer):
    """A file as it was made; a problem as JSON, whatever was asked for."""

    def render(self, data: Any, *args: Any, **kwargs: Any) -> bytes:
        if isinstance(data, bytes):
            return data
        made: bytes = super().render(data, *args, **kwargs)
        return made


class Pdf(Plain):
    media_type = MEDIA
    format = "pdf"


class Wanted(serializers.Serializer[Any]):
    batches = serializers.ListField(
        child=serializers.CharField(max_length=64), max_length=labels.MOST_LABELS, default=list
    )
    places = serializers.ListField(
        child=serializers.CharField(max_length=64), max_length=labels.MOST_LABELS, default=list
    )
    each = serializers.IntegerField(
        min_value=1, max_value=labels.MOST_EACH, default=labels.USUAL_EACH
    )
    skip = serializers.IntegerField(min_value=0, max_value=MOST_SKIPPED, default=0)
    each_plant = serializers.BooleanField(default=False)
    hold = serializers.BooleanField(default=False)


class HeldLabel(serializers.Serializer[Any]):
    """A batch or place that is held: by `orders`, else by an incident that `who` wrote `where`."""

    what = serializers.ChoiceField(["batch", "place"])
    id = serializers.CharField()
    name = serializers.CharField()
    since = serializers.DateTimeField()
    orders = serializers.ListField(child=serializers.CharField())
    kind = serializers.CharField()
    where = serializers.CharField(allow_null=True)
    who = serializers.CharField(allow_null=True)


class EndedLabel(serializers.Serializer[Any]):
    """What was held and is not any more; labels that say so are to be taken off."""

    what = serializers.ChoiceField(["batch", "place"])
    id = serializers.CharField()
    name = serializers.CharField()
    since = serializers.DateField()
    until = serializers.DateField()
    order = serializers.CharField(allow_null=True)


class HoldLabels(serializers.Serializer[Any]):
    held = HeldLabel(many=True)
    ended = EndedLabel(many=True)


class Labels(View):
    """Labels of batches and places in the nursery's own size, as a PDF.

    `each` is how many a tray gets, `skip` how many labels of the first sheet are used already. With
    `each_plant` every living plant of a batch gets one. With `hold` they say that it is held, since
    when and by whom, and nothing that is not held gets one.
    """

    open_to = {"POST": GROWERS | PHONES}
    takes = True
    renderer_classes: list[type[BaseRenderer]] = [Plain, Pdf]

    @extend_schema(
        request=Wanted,
        responses={
            (200, MEDIA): OpenApiTypes.BINARY,
            **shapes.answers(None, 400, 401, 403, 404, 422),
        },
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(Wanted, request)
        wanted = labels.Wanted(
            tuple(dict.fromkeys(asked["batches"])),
            tuple(dict.fromkeys(asked["places"])),
            asked["each"],
            asked["skip"],
            each_plant=asked["each_plant"],
            hold=asked["hold"],
        )
        made = labels.sheets(self.caller.nursery, wanted, clock.now())
        kept = {"Content-Disposition": 'inline; filename="labels.pdf"', "Cache-Control": "no-store"}
        return Response(made, content_type=MEDIA, headers=kept)


class Holds(View):
    """What may have a label of a hold, and what still wears one of a hold that has ended."""

    open_to = {"GET": GROWERS | PHONES}

    @extend_schema(operation_id="list_hold_labels", responses=shapes.answers(HoldLabels, 401, 403))
    def get(self, request: Request) -> Response:
        del request
        return Response(held_now.report(self.caller.nursery))


class Round(View):
    """Today's round on paper, as a PDF: of some rooms, or with none named of all.

    With `all=yes` it has all that stands there, not only what is due.
    """

    open_to = {"GET": GROWERS | PHONES}
    renderer_classes: list[type[BaseRenderer]] = [Plain, Pdf]

    @extend_schema(
        operation_id="print_round",
        parameters=[
            OpenApiParameter("room", str, many=True),
            OpenApiParameter("all", str, enum=["yes"]),
            OpenApiParameter("language", str),
        ],
        responses={
            (200, MEDIA): OpenApiTypes.BINARY,
            **shapes.answers(None, 401, 403, 404, 422),
        },
    )
    def get(self, request: Request) -> Response:
        asked = request.query_params
        rooms = tuple(dict.fromkeys(asked.getlist("room")))[:MOST_ROOMS]
        made = round_sheet.pdf(
            self.caller.nursery,
            rooms,
            clock.now(),
            asked.get("language"),
            every=asked.get("all") == "yes",
        )
        kept = {"Content-Disposition": 'inline; filename="round.pdf"', "Cache-Control": "no-store"}
        return Response(made, content_type=MEDIA, headers=kept)


class DoorCard(View):
    """What hangs in a room's anteroom, as a PDF of one page: who may go in, after what.

    As of now, and it says so: what is written later stands on phones and on the door alone.
    """

    open_to = {"GET": GROWERS | PHONES}
    renderer_classes: list[type[BaseRenderer]] = [Plain, Pdf]

    @extend_schema(
        operation_id="print_door_card",
        parameters=[OpenApiParameter("language", str)],
        responses={(200, MEDIA): OpenApiTypes.BINARY, **shapes.answers(None, 401, 403, 404)},
    )
    def get(self, request: Request, ident: str) -> Response:
        language = request.query_params.get("language")
        made = anteroom.pdf(self.caller.nursery, ident, clock.now(), language)
        return _inline(made, "door-card")


class Passport(View):
    """A draft of a batch's plant passport, as a PDF.

    Only who is authorised issues one. Where the plants may not leave, it says why not.
    """

    open_to = {"GET": GROWERS}
    renderer_classes: list[type[BaseRenderer]] = [Plain, Pdf]

    @extend_schema(
        operation_id="print_passport_draft",
        parameters=[OpenApiParameter("language", str)],
        responses={(200, MEDIA): OpenApiTypes.BINARY, **shapes.answers(None, 401, 403, 404, 422)},
    )
    def get(self, request: Request, ident: str) -> Response:
        language = request.query_params.get("language")
        made = passport.pdf(self.caller.nursery, ident, clock.now(), language)
        return _inline(made, "passport-draft")


def _inline(made: bytes, name: str) -> Response:
    kept = {"Content-Disposition": f'inline; filename="{name}.pdf"', "Cache-Control": "no-store"}
    return Response(made, content_type=MEDIA, headers=kept)
