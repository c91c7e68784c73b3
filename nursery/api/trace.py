"""Views of a trace: what it may begin with, and where everything stands."""

from typing import Any

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import READERS, View
from nursery.domain.trace_start import Start
from nursery.services import clock, trace, trace_starts

MOST_STARTS = 200
OF = OpenApiParameter(
    "of", str, many=True, required=True, description="kind:id; a position is block/number"
)


class Consigned(serializers.Serializer[Any]):
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
    another stands since. `held` names the orders that hold each batch.
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
    held = serializers.DictField(child=serializers.ListField(child=serializers.CharField()))
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


def starts(request: Request) -> list[Start]:
    """Read what a trace is to begin with.

    Raises:
        BodyMisfit: nothing, too much, or something that nobody can begin with.
    """
    told = list(dict.fromkeys(request.query_params.getlist("of")))
    if not 0 < len(told) <= MOST_STARTS:
        raise shapes.BodyMisfit("of")
    try:
        return [Start.read(text) for text in told]
    except ValueError:
        raise shapes.BodyMisfit("of") from None
