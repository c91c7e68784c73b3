"""What the grower does about records that nobody else can bring into the book."""

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, View
from nursery.services import clock, kept_raw, marks

DATE_IS_RIGHT = "date_is_right"


class SetAside(View):
    """Let a record that is dated ahead count from now on: a person says that its date is right."""

    open_to = {"POST": GROWERS}

    @extend_schema(request=None, responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def post(self, request: Request, ident: str) -> Response:
        marks.release(self.caller.nursery, ident, DATE_IS_RIGHT, clock.now())
        return Response(status=204)


class KeptRaw(View):
    """Say that a text which nobody could read was looked at. It stays kept."""

    open_to = {"POST": GROWERS}

    @extend_schema(request=None, responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def post(self, request: Request, ref: str) -> Response:
        kept_raw.looked_at(self.caller.nursery, ref, clock.now())
        return Response(status=204)
