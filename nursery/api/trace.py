"""Views of a trace: what it may begin with, and where everything stands."""

from collections.abc import Iterable
from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office_shapes, shapes
from nursery.api.door import GROWERS, READERS, View
from nursery.api.paper import MEDIA, Pdf, Plain
from nursery.domain.trace_start import Start
from nursery.paper import trace as paper
from nursery.services import clock, trace, trace_acts, trace_starts
from nursery.services.trace_acts import Call

MOST_STARTS = 200
OF = OpenApiParameter(
    "of", str, many=True, required=True, description="kind:id; a position is block/number"
)


class Consigned(serializers.Serializer[Any]):
    entry = serializers.CharField()
    batch = serializers.CharField()
    receiver = serializers.CharField()
    plants = serializers.IntegerField()
    on = serializers.DateField()
    paper = serializers.CharField(allow_null=True)


class Standing(serializers.Serializer[Any]):
    block = serializers.CharField()
    plants = serializers.ListField(child=serializers.DictField())


class TraceShape(serializers.Serializer[Any]):
    """One step back, one step forward, and everything that stands where.

    `field` has the plants that were put last into their positions, `before` those in whose place
    another stands since. `held` names the orders that hold each batch, `calls` who asked for a
    trace of these batches and why, `told` who was notified.
    """

    of = serializers.ListField(child=serializers.CharField())
    at = serializers.DateTimeField()
    as_of_seq = serializers.IntegerField()
    asked = serializers.ListField(child=serializers.CharField())
    made = serializers.ListField(child=serializers.CharField())
    back = serializers.ListField(child=serializers.CharField())
    consignments = serializers.ListField(child=serializers.CharField())
    sums = serializers.DictField(child=serializers.IntegerField())
    field = Standing(many=True)
    before = Standing(many=True)
    reserve = serializers.DictField(child=serializers.IntegerField())
    ended = serializers.DictField(child=serializers.DictField(child=serializers.IntegerField()))
    sent = Consigned(many=True)
    people = serializers.ListField(child=serializers.DictField())
    rooms = serializers.ListField(child=serializers.DictField())
    things = serializers.ListField(child=serializers.DictField())
    held = serializers.DictField(child=serializers.ListField(child=serializers.DictField()))
    calls = serializers.ListField(child=serializers.DictField())
    told = serializers.ListField(child=serializers.DictField())
    nursery = serializers.DictField()
    names = serializers.DictField(child=serializers.DictField(child=serializers.CharField()))


class Trace(View):
    """From batches, consignments, suppliers, places, people, tools, water or positions."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="read_trace",
        parameters=[OF],
        responses=shapes.answers(TraceShape, 400, 401, 403),
    )
    def get(self, request: Request) -> Response:
        return Response(trace.of(self.caller.nursery, starts(request), clock.now()))


class OnPaper(View):
    """A trace as a PDF, sums first."""

    open_to = {"GET": READERS}
    takes = True
    renderer_classes: list[type[BaseRenderer]] = [Plain, Pdf]

    @extend_schema(
        operation_id="print_trace",
        parameters=[OF, OpenApiParameter("language", str)],
        responses={(200, MEDIA): OpenApiTypes.BINARY, **shapes.answers(None, 400, 401, 403)},
    )
    def get(self, request: Request) -> Response:
        told = trace.of(self.caller.nursery, starts(request), clock.now())
        made = paper.pdf(told, request.query_params.get("language"))
        kept = {"Content-Disposition": 'inline; filename="trace.pdf"', "Cache-Control": "no-store"}
        return Response(made, content_type=MEDIA, headers=kept)


class Starts(View):
    """What is called so, for a trace to begin with."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="find_trace_starts",
        parameters=[OpenApiParameter("called", str)],
        responses=shapes.answers(shapes.Items, 401, 403),
    )
    def get(self, request: Request) -> Response:
        called = request.query_params.get("called", "")
        return Response({"items": trace_starts.search(self.caller.nursery, called)})


class Suspects(serializers.Serializer[Any]):
    of = serializers.ListField(
        child=serializers.CharField(max_length=140), min_length=1, max_length=MOST_STARTS
    )


class CallShape(Suspects):
    """Who asked for the hold, what their order is called, and why."""

    reference = serializers.CharField(max_length=64)
    asked_by = serializers.CharField(max_length=120)
    reason = serializers.CharField(max_length=400)


class Held(serializers.Serializer[Any]):
    batches = serializers.ListField(child=serializers.CharField())


class Hold(View):
    """One act: every traced batch that lives or was planted is held until the order is lifted."""

    open_to = {"POST": GROWERS}

    @extend_schema(
        operation_id="hold_trace",
        request=CallShape,
        responses=shapes.answers(Held, 400, 401, 403, 409, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(CallShape, request)
        call = Call(asked["reference"], asked["asked_by"], asked["reason"])
        nursery, person = self.caller.nursery, self.caller.person
        held = trace_acts.hold(nursery, person, _read(asked["of"]), call, clock.now())
        return Response({"batches": held}, status=201)


class DrillShape(Suspects):
    seconds = serializers.IntegerField(min_value=0, max_value=1_000_000)


class Drills(View):
    """Drills and how long they took; a drill ends when its page is printed."""

    open_to = {"GET": READERS, "POST": GROWERS}

    @extend_schema(operation_id="list_drills", responses=shapes.answers(shapes.Items, 401, 403))
    def get(self, request: Request) -> Response:
        del request
        return Response({"items": trace_acts.drills(self.caller.nursery)})

    @extend_schema(
        operation_id="keep_drill",
        request=DrillShape,
        responses=shapes.answers(office_shapes.Written, 400, 401, 403, 409, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(DrillShape, request)
        nursery, person = self.caller.nursery, self.caller.person
        some, seconds = _read(asked["of"]), asked["seconds"]
        ident = trace_acts.drill(nursery, person, some, seconds, clock.now())
        return Response({"id": ident}, status=201)


def starts(request: Request) -> list[Start]:
    """Read what a trace is to begin with.

    Raises:
        BodyMisfit: nothing, too much, or something that nobody can begin with.
    """
    return _read(request.query_params.getlist("of"))


def _read(some: Iterable[str]) -> list[Start]:
    told = list(dict.fromkeys(some))
    if not 0 < len(told) <= MOST_STARTS:
        raise shapes.BodyMisfit("of")
    try:
        return [Start.read(text) for text in told]
    except ValueError:
        raise shapes.BodyMisfit("of") from None
