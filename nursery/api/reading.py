"""Views to read: stock, places, consignments, what is due, what needs a look."""

from datetime import timedelta

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, READERS, View
from nursery.services import clock, reading

AFTER = OpenApiParameter("after", str, description="`next` of the page before")
DAYS = OpenApiParameter("days", int, description="days ahead, up to 60; 0 for now")
MOST_DAYS = 60


class Reading(View):
    """Open to everybody of the nursery."""

    open_to = {"GET": READERS}


class Batches(Reading):
    """The stock: living batches, or all with `?closed=true`."""

    @extend_schema(
        operation_id="list_batches",
        parameters=[AFTER, OpenApiParameter("closed", bool)],
        responses=shapes.answers(shapes.ItemPage, 400, 401, 403),
    )
    def get(self, request: Request) -> Response:
        after = request.query_params.get("after", "")
        closed = request.query_params.get("closed") == "true"
        page = reading.batches(self.caller.nursery, after, clock.now(), closed=closed)
        return Response(page.as_json())


class Batch(Reading):
    """One batch: state, timeline with corrections, forecasts."""

    @extend_schema(operation_id="read_batch", responses=shapes.answers(dict, 401, 403, 404))
    def get(self, request: Request, ident: str) -> Response:
        return Response(reading.batch(self.caller.nursery, ident, clock.now()))


class Places(Reading):
    """The places that something was written about."""

    @extend_schema(
        operation_id="list_places",
        parameters=[AFTER],
        responses=shapes.answers(shapes.ItemPage, 400, 401, 403),
    )
    def get(self, request: Request) -> Response:
        after = request.query_params.get("after", "")
        return Response(reading.places(self.caller.nursery, after).as_json())


class Place(Reading):
    """One place: state, timeline, forecasts."""

    @extend_schema(operation_id="read_place", responses=shapes.answers(dict, 401, 403, 404))
    def get(self, request: Request, ident: str) -> Response:
        return Response(reading.place(self.caller.nursery, ident, clock.now()))


class Consignments(Reading):
    """Each consignment with its group's ledger and notices."""

    @extend_schema(responses=shapes.answers(shapes.Items, 401, 403))
    def get(self, request: Request) -> Response:
        return Response({"items": reading.consignments(self.caller.nursery, clock.now())})


class Due(Reading):
    """Checks that are open now, or open within so many days."""

    @extend_schema(
        parameters=[AFTER, DAYS], responses=shapes.answers(shapes.ItemPage, 400, 401, 403)
    )
    def get(self, request: Request) -> Response:
        days = shapes.whole(request, "days", range(MOST_DAYS + 1), 0)
        until = clock.now() + timedelta(days=days)
        after = request.query_params.get("after", "")
        return Response(reading.due(self.caller.nursery, until, after).as_json())


class Doubts(Reading):
    """Subjects with something that needs a look."""

    @extend_schema(parameters=[AFTER], responses=shapes.answers(shapes.ItemPage, 401, 403))
    def get(self, request: Request) -> Response:
        after = request.query_params.get("after", "")
        return Response(reading.doubts(self.caller.nursery, after).as_json())


class NeedsALook(View):
    """The grower's list: doubts, what was set aside or kept raw, phones that lost records."""

    open_to = {"GET": GROWERS}

    @extend_schema(responses=shapes.answers(dict, 401, 403))
    def get(self, request: Request) -> Response:
        return Response(reading.needs_a_look(self.caller.nursery, clock.now()))
