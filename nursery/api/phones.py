"""Phones of a nursery: invite one, see what each holds, shut one out."""

from django.conf import settings
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office_shapes, shapes
from nursery.api.door import GROWERS, View
from nursery.services import access, clock, people, phones, qr
from nursery.services.access import Did
from nursery.services.errors import Unknown


class Invites(View):
    """A one-time code by which one phone joins, as a link and as a QR code of it."""

    open_to = {"POST": GROWERS}

    @extend_schema(
        request=office_shapes.Invite,
        responses=shapes.answers(office_shapes.Invited, 400, 401, 403, status=201),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(office_shapes.Invite, request)
        now = clock.now()
        code, ends = people.invite(self.caller.nursery, asked["device_name"], now)
        access.note(self.caller, Did.PHONE_INVITED, asked["device_name"], now)
        origin = phones_origin(request)
        # What stands behind `#` is told to no server and no log on the way.
        link = f"{origin}/#/join/{code}"
        body = {
            "code": code,
            "ends_at": ends,
            "link": link,
            "qr": qr.svg(link),
            "for_phones": origin.startswith("https://"),
        }
        return Response(body, status=201, headers={"Cache-Control": "no-store"})


def phones_origin(request: Request) -> str:
    """Return where phones find this server: by its certificate's name, or as whoever asks did."""
    vouched: list[str] = getattr(settings, "ORIGINS", [])
    return vouched[0] if vouched else f"{request.scheme}://{request.get_host()}"


class Devices(View):
    """The phones of the nursery, and what they said that they hold unsent."""

    open_to = {"GET": GROWERS}

    @extend_schema(responses=shapes.answers(office_shapes.Phones, 401, 403))
    def get(self, request: Request) -> Response:
        return Response({"items": phones.every(self.caller.nursery, clock.now())})


class Device(View):
    """Shut a phone out. What it still holds can be handed in by the grower."""

    open_to = {"DELETE": GROWERS}

    @extend_schema(responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def delete(self, request: Request, ident: str) -> Response:
        now = clock.now()
        if not people.revoke(self.caller.nursery, ident, now):
            raise Unknown("device", ident)
        access.note(self.caller, Did.PHONE_SHUT_OUT, ident, now)
        return Response(status=204)
