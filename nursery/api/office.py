"""What a person does at the office: sign in, keep the rows of reference data, write records."""

from django.contrib.auth import login, logout
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office_shapes, shapes
from nursery.api.door import (
    ANYBODY,
    GROWERS,
    READERS,
    ByLink,
    BySession,
    View,
    Ways,
    address,
    from_here,
)
from nursery.services import access, clock, desk, links, nurseries, people, reading, rows
from nursery.services.access import Did
from nursery.services.errors import SignInRefused

PERSON = "person"


class Session(View):
    """Sign in, say who is signed in, sign out. Signing out deletes nothing on any phone."""

    authentication_classes: Ways = [BySession, ByLink]
    open_to = {"GET": READERS, "POST": ANYBODY, "DELETE": READERS}

    @extend_schema(request=shapes.SignIn, responses=shapes.answers(shapes.Who, 400, 403, 429))
    def post(self, request: Request) -> Response:
        from_here(request)
        asked = shapes.checked(shapes.SignIn, request)
        now = clock.now()
        try:
            account = people.sign_in(asked["email"], asked["password"], now, address(request))
        except SignInRefused:
            known = people.account_of(asked["email"])
            if known is not None:
                access.of_account(known.pk, Did.SIGN_IN_FAILED, now)
            raise
        caller = people.caller(account, request.headers.get("X-Nursery"), now)
        login(request._request, account)  # noqa: SLF001  # REST framework's own door to it
        access.note(caller, Did.SIGNED_IN, "", now)
        return Response(who(account.name, caller))

    @extend_schema(responses=shapes.answers(shapes.Who, 401, 403))
    def get(self, request: Request) -> Response:
        name = getattr(request.user, "name", "") or links.name_of(self.caller)
        return Response(who(name, self.caller))

    @extend_schema(responses={204: None, **shapes.answers(None, 401, 403)})
    def delete(self, request: Request) -> Response:
        access.note(self.caller, Did.SIGNED_OUT, "", clock.now())
        logout(request._request)  # noqa: SLF001  # REST framework's own door to it
        return Response(status=204)


def who(name: str, caller: people.Caller) -> dict[str, object]:
    """Return who a caller is, and in which nursery."""
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
        return Response(
            {"items": reading.reference_rows(self.caller.nursery, kind, self.caller.role)}
        )


class Row(View):
    """One row: its latest revision; a new revision; out of use."""

    open_to = {"GET": READERS, "PUT": GROWERS, "DELETE": GROWERS}

    @extend_schema(
        operation_id="read_row", responses=shapes.answers(shapes.RowShape, 401, 403, 404)
    )
    def get(self, request: Request, kind: str, ident: str) -> Response:
        row = rows.one(self.caller.nursery, kind, ident)
        return Response(rows.shown_to(self.caller.role, row))

    @extend_schema(
        request=shapes.RowShape, responses=shapes.answers(shapes.RowShape, 400, 401, 403, 409, 422)
    )
    def put(self, request: Request, kind: str, ident: str) -> Response:
        asked = shapes.checked(shapes.RowShape, request)
        draft = rows.Row(kind, ident, asked.get("rev"), asked["body"])
        now = clock.now()
        answer = rows.put(self.caller.nursery, draft, now).as_json()
        if kind == PERSON:
            access.note(self.caller, Did.PERSON_CHANGED, ident, now)
        return Response(answer)

    @extend_schema(responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def delete(self, request: Request, kind: str, ident: str) -> Response:
        now = clock.now()
        rows.remove(self.caller.nursery, kind, ident, now)
        if kind == PERSON:
            access.note(self.caller, Did.PERSON_REMOVED, ident, now)
        return Response(status=204)


class Records(View):
    """Write one record at the desk: settle a doubt, say who wrote without a PIN."""

    open_to = {"POST": GROWERS}

    @extend_schema(
        request=office_shapes.Record,
        responses=shapes.answers(office_shapes.Written, 400, 401, 403, 409, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(office_shapes.Record, request)
        said = desk.Said(asked["kind"], asked["about"], asked["body"])
        ident = desk.write(self.caller.nursery, self.caller.person, said, clock.now())
        return Response({"id": ident}, status=201)
