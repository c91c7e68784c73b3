"""Two addresses for machines: is the process alive, and can it work?"""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_safe

from nursery.services import health

NEVER_KEEP = {"Cache-Control": "no-store"}


@require_safe
def alive(_request: HttpRequest) -> HttpResponse:
    """Answer without touching anything else."""
    return HttpResponse("alive\n", content_type="text/plain", headers=NEVER_KEEP)


@require_safe
def ready(_request: HttpRequest) -> JsonResponse:
    """Answer 200 if everything that this process needs is right, else 503 with what is not."""
    findings = health.readiness()
    good = all(finding.good for finding in findings)
    body = {
        "ready": good,
        "checks": {finding.code: {"good": finding.good} | finding.params for finding in findings},
    }
    return JsonResponse(body, status=200 if good else 503, headers=NEVER_KEEP)
