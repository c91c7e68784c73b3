"""The one door: who asks, for which nursery, and whether this view is open to them.

A person comes with a session (and Django's CSRF token), a phone and a link with the secret in their
cookie.
Every view says in `open_to` which roles may use which method; what it does not say is shut.
"""

from collections.abc import Sequence
from typing import Any, ClassVar, cast

from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.auth.models import AnonymousUser
from django.http import Http404
from rest_framework.authentication import BaseAuthentication, SessionAuthentication
from rest_framework.exceptions import ParseError
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from nursery.api.problems import Shut
from nursery.services import access, clock, limits, links, people, sessions
from nursery.services.errors import LinkEnded, NotTheirs
from nursery.services.people import GROWER, INSPECTOR, PHONE, Caller

COOKIE = "__Host-nursery-device"
COOKIE_AGE = 400 * 24 * 3600
LINK_COOKIE = "__Host-nursery-link"
Ways = Sequence[type[BaseAuthentication]]
PREFIX = "/api/v1/"
GIVEN = range(200, 300)
NUL = "\0"
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})

ANYBODY = "anybody"
READERS = frozenset({GROWER, INSPECTOR, PHONE})
GROWERS = frozenset({GROWER})
PHONES = frozenset({PHONE})
INSPECTORS = frozenset({INSPECTOR})


class ByDevice(BaseAuthentication):
    """A phone: its secret stands in a cookie that no script can read.

    There is no CSRF token, since one cached offline goes stale and then every queued record fails.
    A header that no form can send and the browser's own word on where a request comes from do it.
    """

    def authenticate(self, request: Request) -> tuple[AnonymousUser, Caller] | None:
        secret = request.COOKIES.get(COOKIE)
        if not secret:
            return None
        caller = people.device(secret)
        if caller is None:
            return None
        if caller.revoked:
            raise Shut("device_revoked")
        if request.method not in SAFE:
            if request.headers.get("X-Sync") != "1":
                raise Shut("origin")
            from_here(request)
        return AnonymousUser(), caller

    def authenticate_header(self, request: Request) -> str:
        return 'Device realm="nursery"'


def from_here(request: Request) -> None:
    """Turn down what a browser says that another site made it send.

    Raises:
        Shut: `origin`.
    """
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    origin = request.headers.get("Origin")
    ours = origin is None or origin == f"{request.scheme}://{request.get_host()}"
    if site not in ("same-origin", "none") or not ours:
        raise Shut("origin")


def address(request: Request) -> str:
    """Return where a request comes from, as far as a limit can be counted by it."""
    number = str(request.META.get("REMOTE_ADDR", ""))
    return limits.house_of(number, request.headers.get("X-Forwarded-For"))


class ByLink(BaseAuthentication):
    """Somebody from the authority: reads by a link, changes nothing, and each page is noted."""

    def authenticate(self, request: Request) -> tuple[AnonymousUser, Caller] | None:
        secret = request.COOKIES.get(LINK_COOKIE)
        if not secret or request.method not in SAFE:
            return None
        try:
            link = links.by_secret(secret, clock.now())
        except LinkEnded:
            raise Shut("link_ended") from None
        links.read(link.caller, request.path, clock.now())
        return AnonymousUser(), link.caller

    def authenticate_header(self, request: Request) -> str:
        return 'Link realm="nursery"'


class BySession(SessionAuthentication):
    """A person who signed in: the account's part in the nursery that they ask for."""

    def authenticate(self, request: Request) -> tuple[AbstractBaseUser, Caller] | None:
        found = super().authenticate(request)
        if found is None:
            return None
        account = found[0]
        try:
            caller = people.caller(account, request.headers.get("X-Nursery"), clock.now())
        except NotTheirs:
            raise Shut("not_theirs") from None
        sessions.use(request.session, account, clock.now())
        return account, caller

    def authenticate_header(self, request: Request) -> str:
        return 'Session realm="nursery"'


class Door(BasePermission):
    """Lets a caller in whose role the view is open to."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        roles = cast("View", view).open_to.get(request.method or "", frozenset())
        if roles == ANYBODY:
            return True
        return isinstance(request.auth, Caller) and request.auth.role in roles


class View(APIView):
    """The base of every view: authenticated by session, device or link, let in by `open_to`.

    On the grower's own phone, which has joined as well, who signed in may do what a grower may.
    What a view that `takes` answers is printed, saved or sent, and that it was is written down.
    """

    authentication_classes: Ways = [BySession, ByDevice, ByLink]
    permission_classes: Sequence[type[BasePermission]] = [Door]
    open_to: ClassVar[dict[str, frozenset[str] | str]] = {}
    takes: ClassVar[bool] = False

    @property
    def caller(self) -> Caller:
        return cast("Caller", self.request.auth)

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        # Nothing is called so, and not every database takes the question.
        if any(NUL in one for one in kwargs.values()):
            raise Http404
        super().initial(request, *args, **kwargs)
        if any(NUL in one for _, some in request.query_params.lists() for one in some):
            raise ParseError

    def finalize_response(
        self, request: Request, response: Response, *args: Any, **kwargs: Any
    ) -> Response:
        done: Response = super().finalize_response(request, response, *args, **kwargs)
        if self.takes and done.status_code in GIVEN and isinstance(request.auth, Caller):
            of = request.path.removeprefix(PREFIX)
            access.note(request.auth, access.Did.TAKEN_AWAY, of, clock.now())
        return done
