"""What a person does at the office: sign in, keep the rows of reference data, invite phones."""

from django.contrib.auth import login, logout
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import ANYBODY, GROWERS, READERS, BySession, View, Ways, from_here
from nursery.services import clock, nurseries, people, reading, rows
from nursery.services.errors import Unknown


class Session(View):
    """Sign in, say who is signed in, sign out. Signing out deletes nothing on any phone."""

    authentication_classes: Ways = [BySession]
    open_to = {"GET": READERS, "POST": ANYBODY, "DELETE": READERS}

    @extend_schema(request=shapes.SignIn, responses=shapes.answers(shapes.Who, 400, 403, 429))
    def post(self, request: Request) -> Response:
        from_here(request)
        asked = shapes.checked(shapes.SignIn, request)
        account = people.sign_in(asked["email"], asked["password"], clock.now())
        caller = people.caller(account, request.headers.get("X-Nursery"), clock.now())
        login(request._request, account)  # noqa: SLF001  # REST framework's own door to it
        return Response(_who(account.name, caller))

    @extend_schema(responses=shapes.answers(shapes.Who, 401, 403))
    def get(self, request: Request) -> Response:
        return Response(_who(getattr(request.user, "name", ""), self.caller))

    @extend_schema(responses={204: None, **shapes.answers(None, 401, 403)})
    def delete(self, request: Request) -> Response:
        logout(request._request)  # noqa: SLF001  # REST framework's own door to it
        return Response(status=204)


def _who(name: str, caller: people.Caller) -> dict[str, object]:
    nursery = nurseries.one(caller.nursery)
    return {
        "name": name,
        "role": caller.role,
        "person": caller.person,
        "nursery": {"id": nursery.ident, "name": nursery.name, "zone": nursery.zone},
    }


class Rows(View):
    """The rows of one type of reference data."""

    open_to = {"GET": READERS}

    @extend_schema(operation_id="list_rows", responses=shapes.answers(shapes.Items, 401, 403))
    def get(self, request: Request, kind: str) -> Response:
        return Response({"items": reading.reference_rows(self.caller.nursery, kind)})


class Row(View):
    """One row: its latest revision; a new revision; out of use."""

    open_to = {"GET": READERS, "PUT": GROWERS, "DELETE": GROWERS}

    @extend_schema(
        operation_id="read_row", responses=shapes.answers(shapes.RowShape, 401, 403, 404)
    )
    def get(self, request: Request, kind: str, ident: str) -> Response:
        return Response(rows.one(self.caller.nursery, kind, ident).as_json())

    @extend_schema(
        request=shapes.RowShape, responses=shapes.answers(shapes.RowShape, 400, 401, 403, 409, 422)
    )
    def put(self, request: Request, kind: str, ident: str) -> Response:
        asked = shapes.checked(shapes.RowShape, request)
        draft = rows.Row(kind, ident, asked.get("rev"), asked["body"])
        return Response(rows.put(self.caller.nursery, draft, clock.now()).as_json())

    @extend_schema(responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def delete(self, request: Request, kind: str, ident: str) -> Response:
        rows.remove(self.caller.nursery, kind, ident, clock.now())
        return Response(status=204)


class Invites(View):
    """A one-time code by which one phone joins."""

    open_to = {"POST": GROWERS}

    @extend_schema(
        request=shapes.Invite, responses=shapes.answers(shapes.Invited, 400, 401, 403, status=201)
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(shapes.Invite, request)
        code, ends = people.invite(self.caller.nursery, asked["device_name"], clock.now())
        return Response({"code": code, "ends_at": ends}, status=201)


class Devices(View):
    """The phones of the nursery, and what they said that they hold unsent."""

    open_to = {"GET": GROWERS}

    @extend_schema(responses=shapes.answers(shapes.Items, 401, 403))
    def get(self, request: Request) -> Response:
        return Response({"items": people.devices(self.caller.nursery)})


class Device(View):
    """Shut a phone out. What it still holds can be handed in by the grower."""

    open_to = {"DELETE": GROWERS}

    @extend_schema(responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def delete(self, request: Request, ident: str) -> Response:
        if not people.revoke(self.caller.nursery, ident, clock.now()):
            raise Unknown("device", ident)
        return Response(status=204)
