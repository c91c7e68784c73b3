"""Links by which the authority reads: make one, open it, see what was read by it, end it."""

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office_shapes, shapes
from nursery.api.door import ANYBODY, GROWERS, LINK_COOKIE, View, Ways, address, from_here
from nursery.api.office import who
from nursery.api.phones import phones_origin
from nursery.services import access, clock, links, qr
from nursery.services.access import Did


class Links(View):
    """The links of the nursery; a new one, told once as a link and as a QR code of it."""

    open_to = {"GET": GROWERS, "POST": GROWERS}

    @extend_schema(
        operation_id="list_links", responses=shapes.answers(office_shapes.Links, 401, 403)
    )
    def get(self, request: Request) -> Response:
        return Response({"items": links.every(self.caller.nursery)})

    @extend_schema(
        request=office_shapes.NewLink,
        responses=shapes.answers(office_shapes.LinkMade, 400, 401, 403, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(office_shapes.NewLink, request)
        now = clock.now()
        ident, secret = links.make(self.caller.nursery, asked["name"], asked["ends_at"], now)
        access.note(self.caller, Did.LINK_MADE, ident, now)
        # What stands behind `#` is told to no server and no log on the way.
        link = f"{phones_origin(request)}/#/read/{secret}"
        body = {"id": ident, "link": link, "qr": qr.svg(link), "ends_at": asked["ends_at"]}
        return Response(body, status=201, headers={"Cache-Control": "no-store"})


class Link(View):
    """One link with the pages that were read by it; end it."""

    open_to = {"GET": GROWERS, "DELETE": GROWERS}

    @extend_schema(
        operation_id="read_link", responses=shapes.answers(office_shapes.LinkRead, 401, 403, 404)
    )
    def get(self, request: Request, ident: str) -> Response:
        return Response(links.one(self.caller.nursery, ident))

    @extend_schema(responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def delete(self, request: Request, ident: str) -> Response:
        now = clock.now()
        links.end(self.caller.nursery, ident, now)
        access.note(self.caller, Did.LINK_ENDED, ident, now)
        return Response(status=204)


class Reading(View):
    """Begin to read by a link, in this browser, until the link ends; stop reading by it."""

    authentication_classes: Ways = []
    open_to = {"POST": ANYBODY, "DELETE": ANYBODY}

    @extend_schema(
        request=office_shapes.Secret, responses=shapes.answers(shapes.Who, 400, 403, 429)
    )
    def post(self, request: Request) -> Response:
        from_here(request)
        secret = shapes.checked(office_shapes.Secret, request)["secret"]
        now = clock.now()
        link = links.opened(secret, now, address(request))
        access.note(link.caller, Did.LINK_OPENED, link.caller.ident, now)
        answer = Response(who(link.name, link.caller))
        answer.set_cookie(
            LINK_COOKIE, secret, expires=link.ends_at, secure=True, httponly=True,
            samesite="Strict", path="/",
        )  # fmt: skip
        return answer

    @extend_schema(responses={204: None, **shapes.answers(None, 403)})
    def delete(self, request: Request) -> Response:
        from_here(request)
        answer = Response(status=204)
        answer.set_cookie(
            LINK_COOKIE, "", max_age=0, secure=True, httponly=True, samesite="Strict", path="/"
        )
        return answer
