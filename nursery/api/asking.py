"""May this be done? Asked before an act is booked; a fact that has happened is never asked for."""

from datetime import date

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import READERS, View
from nursery.domain.gate import Act
from nursery.services import asking, clock


class May(View):
    """Yes, wait, no or cannot tell: of an act, now or on a day, with all its reasons."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="may",
        parameters=[
            OpenApiParameter("act", str, enum=[act.value for act in Act], required=True),
            OpenApiParameter("subject", str, description="batch or place", required=True),
            OpenApiParameter("on", date, description="a day; without it, now"),
        ],
        responses=shapes.answers(dict, 400, 401, 403, 404),
    )
    def get(self, request: Request) -> Response:
        query = request.query_params
        act, on = _act(query.get("act", "")), _day(query.get("on"))
        answer = asking.may(self.caller.nursery, act, query.get("subject", ""), on, clock.now())
        return Response(answer)


def _act(text: str) -> Act:
    try:
        return Act(text)
    except ValueError:
        raise shapes.BodyMisfit("act") from None


def _day(text: str | None) -> date | None:
    """Read a day that the zone's calendar can hold the end of."""
    try:
        found = None if text is None else date.fromisoformat(text)
    except ValueError:
        raise shapes.BodyMisfit("on") from None
    if found is not None and not 1900 <= found.year <= 9000:
        raise shapes.BodyMisfit("on")
    return found
