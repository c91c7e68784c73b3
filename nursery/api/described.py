"""The OpenAPI description, and how it names the ways to come in."""

from typing import Any

from django.conf import settings
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.views import SpectacularAPIView

from nursery.api.door import COOKIE, LINK_COOKIE


class DeviceCookie(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]  # untyped there
    target_class = "nursery.api.door.ByDevice"
    name = "device"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        return {"type": "apiKey", "in": "cookie", "name": COOKIE}


class LinkCookie(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]  # untyped there
    target_class = "nursery.api.door.ByLink"
    name = "link"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        return {"type": "apiKey", "in": "cookie", "name": LINK_COOKIE}


class SessionCookie(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]  # untyped there
    target_class = "nursery.api.door.BySession"
    name = "session"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        return {"type": "apiKey", "in": "cookie", "name": settings.SESSION_COOKIE_NAME}


class Description(SpectacularAPIView):
    """The OpenAPI description of these calls."""
