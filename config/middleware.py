"""What every answer passes through: its name in the logs, and what a browser may do with it."""

import logging
import re
import secrets
import time
from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest
from django.http.response import HttpResponseBase

from config import logs

Answer = Callable[[HttpRequest], HttpResponseBase]

log = logging.getLogger("nursery.requests")

NAME = re.compile(r"^[A-Za-z0-9_-]{8,64}$")

POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "img-src 'self' blob: data:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
PERMISSIONS = "camera=(self), geolocation=(self), microphone=(), payment=(), usb=()"
# What is no page of ours loads nothing and is asked for nothing, whatever a browser takes it for.
# A browser's own viewer of PDFs may count its parts to the answer that it shows: it has the pages'.
DATA_POLICY = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
DATA_PERMISSIONS = "camera=(), geolocation=(), microphone=(), payment=(), usb=()"
DATA = ("/api/", "/healthz", "/readyz")
PDF = "application/pdf"
NEVER_KEEP = "no-store"


def named_requests(get_response: Answer) -> Answer:
    """Give the request an id, or keep the proxy's, and write one line when it is answered."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        offered = request.headers.get("X-Request-Id", "")
        name = offered if NAME.match(offered) else secrets.token_urlsafe(9)
        token = logs.request_id.set(name)
        begun = time.perf_counter()
        try:
            response = get_response(request)
            response.headers["X-Request-Id"] = name
            _write(request, response.status_code, time.perf_counter() - begun)
            return response
        finally:
            logs.request_id.reset(token)

    return answer


def _write(request: HttpRequest, status: int, seconds: float) -> None:
    """Name the route, not the path: a path may hold what only its owner should know."""
    match = request.resolver_match
    extra = {
        "method": request.method,
        "route": match.route if match else "",
        "status": status,
        "ms": round(seconds * 1000, 1),
    }
    log.info("answered", extra=extra)


def security_headers(get_response: Answer) -> Answer:
    """Tell the browser to load from this server alone, to be framed by nobody and to keep nothing.

    The app itself is kept by its own files' words; of the API what may be kept says so.
    """

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        data = request.path.startswith(DATA)
        told = response.headers
        strict = data and told.get("Content-Type") != PDF
        told.setdefault("Content-Security-Policy", DATA_POLICY if strict else POLICY)
        told.setdefault("Permissions-Policy", DATA_PERMISSIONS if data else PERMISSIONS)
        told.setdefault("X-Frame-Options", "DENY")
        told.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        if data or response.status_code >= HTTPStatus.BAD_REQUEST:
            told.setdefault("Cache-Control", NEVER_KEEP)
        return response

    return answer
