"""Every route of the product."""

from django.conf import settings
from django.urls import URLPattern, URLResolver, include, path, re_path

from config import front
from nursery.api import health

urlpatterns: list[URLPattern | URLResolver] = [
    path("healthz", health.alive),
    path("readyz", health.ready),
    path("api/v1/", include("nursery.api.urls")),
]

if settings.ADMIN:
    from django.contrib import admin

    urlpatterns.append(path("admin/", admin.site.urls))

# Any other page is a screen of the phone app, which finds its own way.
urlpatterns.append(re_path(r"^(?!api/|static/|assets/|admin/)[^.]*$", front.screen))
