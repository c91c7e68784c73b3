"""What whoever signed in keeps of their own: the password, and where they are signed in."""

from dataclasses import asdict
from typing import cast

from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.base_user import AbstractBaseUser
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office_shapes, shapes
from nursery.api.door import BySession, View, Ways, address
from nursery.services import clock, sessions
from nursery.services.errors import Unknown
from nursery.services.people import GROWER, INSPECTOR

SIGNED_IN = frozenset({GROWER, INSPECTOR})


def _account(request: Request) -> AbstractBaseUser:
    """Return whose session it is: no door of these opens without one."""
    return cast("AbstractBaseUser", request.user)


class Password(View):
    """Change one's own password. All other sessions end; this one goes on under a new key."""

    authentication_classes: Ways = [BySession]
    open_to = {"PUT": SIGNED_IN}

    @extend_schema(
        request=office_shapes.NewPassword,
        responses={204: None, **shapes.answers(None, 400, 401, 403, 422, 429)},
    )
    def put(self, request: Request) -> Response:
        asked = shapes.checked(office_shapes.NewPassword, request)
        typed = asked["old"], asked["new"]
        account = sessions.change_password(
            _account(request), request.session.session_key, typed, clock.now(), address(request)
        )
        update_session_auth_hash(request._request, account)  # noqa: SLF001  # as at sign-in
        return Response(status=204)


class Desks(View):
    """One's own sessions: all of them; end all but this one."""

    authentication_classes: Ways = [BySession]
    open_to = {"GET": SIGNED_IN, "DELETE": SIGNED_IN}

    @extend_schema(
        operation_id="list_desks", responses=shapes.answers(office_shapes.Desks, 401, 403)
    )
    def get(self, request: Request) -> Response:
        found = sessions.of(_account(request), request.session, clock.now())
        return Response({"items": [asdict(one) for one in found]})

    @extend_schema(
        operation_id="end_other_desks",
        responses={204: None, **shapes.answers(None, 401, 403)},
    )
    def delete(self, request: Request) -> Response:
        sessions.end_others(_account(request), request.session.session_key, clock.now())
        return Response(status=204)


class Desk(View):
    """End one of one's own sessions."""

    authentication_classes: Ways = [BySession]
    open_to = {"DELETE": SIGNED_IN}

    @extend_schema(
        operation_id="end_desk", responses={204: None, **shapes.answers(None, 401, 403, 404)}
    )
    def delete(self, request: Request, ident: str) -> Response:
        if not sessions.end(_account(request), ident, clock.now()):
            raise Unknown("session", ident[:80])
        return Response(status=204)
