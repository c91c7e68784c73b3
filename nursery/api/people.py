"""People: whose papers end, who looked at what, and erasing somebody who asks for it."""

from datetime import date
from typing import Any

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, READERS, View
from nursery.services import access, clock, erasure, qualified


class PaperEnd(serializers.Serializer[Any]):
    person = serializers.CharField()
    name = serializers.CharField()
    kind = serializers.ChoiceField(["training", "licence"])
    what = serializers.CharField()
    number = serializers.CharField(allow_null=True)
    until = serializers.DateField()
    days = serializers.IntegerField()


class PaperHeld(serializers.Serializer[Any]):
    kind = serializers.ChoiceField(["training", "licence"])
    what = serializers.CharField()
    number = serializers.CharField(allow_null=True)
    until = serializers.DateField(allow_null=True)
    in_date = serializers.BooleanField()


class Worker(serializers.Serializer[Any]):
    id = serializers.CharField()
    name = serializers.CharField()
    role = serializers.CharField()
    papers = PaperHeld(many=True)
    rooms = serializers.ListField(child=serializers.CharField())
    lacks = serializers.ListField(child=serializers.CharField())


class Qualified(serializers.Serializer[Any]):
    on = serializers.DateField()
    within = serializers.IntegerField()
    ends = PaperEnd(many=True)
    people = Worker(many=True)


class Accessed(serializers.Serializer[Any]):
    id = serializers.CharField()
    at = serializers.DateTimeField()
    did = serializers.CharField()
    role = serializers.CharField()
    person = serializers.CharField()
    name = serializers.CharField(allow_null=True)
    of = serializers.CharField()
    of_name = serializers.CharField(allow_null=True)


class AccessPage(serializers.Serializer[Any]):
    items = Accessed(many=True)
    next = serializers.CharField(allow_null=True)
    months = serializers.IntegerField()


class EraseAsked(serializers.Serializer[Any]):
    why = serializers.ChoiceField([why.value for why in erasure.Why])
    notes = serializers.BooleanField()


class ErasureAhead(serializers.Serializer[Any]):
    label = serializers.CharField()  # type: ignore[assignment]  # a field's own word for its title
    erased = serializers.DateField(allow_null=True)
    revisions = serializers.IntegerField()
    notes = serializers.IntegerField()
    account = serializers.BooleanField()
    backups = serializers.IntegerField()


class Papers(View):
    """Who is authorised, and whose training and licences are in date today."""

    open_to = {"GET": READERS}

    @extend_schema(responses=shapes.answers(Qualified, 401, 403))
    def get(self, request: Request) -> Response:
        return Response(qualified.now(self.caller.nursery, clock.now()))


class Access(View):
    """Who looked at or took away what, the latest first."""

    open_to = {"GET": GROWERS}

    @extend_schema(
        parameters=[
            OpenApiParameter("person", str, description="of one of the nursery's people"),
            OpenApiParameter("on", date, description="of one day in the nursery's zone"),
            OpenApiParameter("after", str, description="`next` of the page before"),
        ],
        responses=shapes.answers(AccessPage, 400, 401, 403),
    )
    def get(self, request: Request) -> Response:
        query = request.query_params
        asked = access.Asked(query.get("person", ""), _day(query.get("on")), query.get("after", ""))
        return Response(access.page(self.caller.nursery, asked))


class Erasure(View):
    """What erasing somebody would come to; erase them."""

    open_to = {"GET": GROWERS, "POST": GROWERS}

    @extend_schema(
        operation_id="read_erasure", responses=shapes.answers(ErasureAhead, 401, 403, 404)
    )
    def get(self, request: Request, ident: str) -> Response:
        return Response(erasure.ahead(self.caller.nursery, ident))

    @extend_schema(
        request=EraseAsked, responses=shapes.answers(ErasureAhead, 400, 401, 403, 404, 409)
    )
    def post(self, request: Request, ident: str) -> Response:
        said = shapes.checked(EraseAsked, request)
        asked = erasure.Asked(erasure.Why(said["why"]), said["notes"])
        return Response(erasure.erase(self.caller, ident, asked, clock.now()))


def _day(text: str | None) -> date | None:
    """Read a day of the query.

    Raises:
        BodyMisfit: it is none.
    """
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise shapes.BodyMisfit("on") from None
