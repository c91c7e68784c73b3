"""The first page: the phone app as it was built, or how to build it."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

NOT_BUILT = (
    "The phone app is not built, so there is nothing to show here; the API under /api/v1/ works.\n"
    "Build it with: cd frontend && npm ci && npm run build\n"
    "Then start the server again.\n"
)


@require_safe
def screen(_request: HttpRequest) -> HttpResponse:
    """Answer with the app, whatever the screen's address: it works the address out itself."""
    if settings.WEB_ROOT is None:
        return HttpResponse(NOT_BUILT, status=503, content_type="text/plain; charset=utf-8")
    page = (settings.WEB_ROOT / "index.html").read_bytes()
    return HttpResponse(page, headers={"Cache-Control": "no-cache"})
