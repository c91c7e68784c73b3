"""The first page of an empty server: it begins the first nursery, and shuts for good with it.

Nobody can be asked for a password before there is an account, so only a browser on this computer
or on its own network is served, and a server with a proxy in front is begun by its command alone.
"""

from ipaddress import ip_address

from django.conf import settings
from django.contrib.auth import login
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office, office_shapes, shapes
from nursery.api.door import ANYBODY, View, Ways, from_here
from nursery.api.problems import Shut
from nursery.services import beginning, book_coming, clock, people, words
from nursery.services.beginning import Beginning


class Begin(View):
    """Whether this server waits for its first nursery, and what to choose from; begin it."""

    authentication_classes: Ways = []
    open_to = {"GET": ANYBODY, "POST": ANYBODY}

    @extend_schema(responses=shapes.answers(office_shapes.Start))
    def get(self, request: Request) -> Response:
        begun = beginning.is_begun()
        body = {
            "begun": begun,
            "here": is_near(request),
            "languages": list(words.languages()),
            "zones": [] if begun else beginning.zones(),
        }
        return Response(body, headers={"Cache-Control": "no-store"})

    @extend_schema(
        request=office_shapes.Begin,
        responses=shapes.answers(shapes.Who, 400, 403, 409, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        only_near(request)
        asked = shapes.checked(office_shapes.Begin, request)
        account = beginning.first(Beginning(**asked), clock.now())
        book_coming.clear()
        login(request._request, account)  # noqa: SLF001  # REST framework's own door to it
        caller = people.caller(account, None, clock.now())
        return Response(office.who(account.name, caller), status=201)


def only_near(request: Request) -> None:
    """Turn down whoever sits elsewhere, and what another site made a browser send."""
    from_here(request)
    if not is_near(request):
        raise Shut("begin_at_the_server")


def is_near(request: Request) -> bool:
    """Whether whoever asks sits at this computer, or on a private network with it.

    Behind a proxy everybody seems to.
    """
    if settings.PRODUCTION or settings.USE_X_FORWARDED_HOST or "X-Forwarded-For" in request.headers:
        return False
    try:
        address = ip_address(request.META.get("REMOTE_ADDR", ""))
    except ValueError:
        return False
    inside = getattr(address, "ipv4_mapped", None) or address
    return bool(inside.is_loopback or inside.is_private or inside.is_link_local)
