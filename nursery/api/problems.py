"""How an error looks to whoever asked: RFC 9457, with a code, its parameters and a sentence.

The sentence comes from the word catalogue, in the language that was asked for.
"""

import logging
from datetime import datetime
from math import ceil
from typing import Any

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.http import Http404
from rest_framework import exceptions
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.domain.errors import Refusal
from nursery.services import clock, words
from nursery.services.errors import Refused
from nursery.store.scope import NoSuchNursery

log = logging.getLogger("nursery.api")

MEDIA = "application/problem+json"
TOO_MANY = 429

# What the framework itself turns down, by its exception, and the code that we give it.
FRAMEWORK = {
    exceptions.ParseError: "body_unreadable",
    exceptions.NotAuthenticated: "sign_in",
    exceptions.AuthenticationFailed: "sign_in",
    exceptions.PermissionDenied: "not_allowed",
    exceptions.NotFound: "no_such_page",
    exceptions.MethodNotAllowed: "method_not_allowed",
    exceptions.NotAcceptable: "not_acceptable",
    exceptions.UnsupportedMediaType: "media_not_supported",
}


def problem(
    request: Request | None, status: int, code: str, params: dict[str, Any] | None = None
) -> Response:
    """Return the answer for one problem."""
    params = params or {}
    wished = request.headers.get("Accept-Language") if request is not None else None
    body = {
        "type": "about:blank",
        "status": status,
        "code": code,
        "params": params,
        "detail": words.say(words.choose(wished), f"problem.{code}", params),
    }
    return Response(body, status=status, content_type=MEDIA)


def handle(error: Exception, context: dict[str, Any]) -> Response | None:
    """Turn what a view raised into a problem; None lets the server answer 500."""
    request = context.get("request")
    if isinstance(error, Refusal):
        status = error.status if isinstance(error, Refused) else 422
        answer = problem(request, status, error.code, error.params)
        if status == TOO_MANY:
            answer["Retry-After"] = str(seconds_until(error.params["until"]))
        return answer
    if isinstance(error, (Http404, NoSuchNursery)):
        return problem(request, 404, "no_such_page")
    if isinstance(error, RequestDataTooBig):
        error = BodyTooLarge(settings.DATA_UPLOAD_MAX_MEMORY_SIZE)
    if not isinstance(error, exceptions.APIException):
        log.error("a request failed", exc_info=error)
        return None
    code = error.default_code
    for kind, name in FRAMEWORK.items():
        if isinstance(error, kind):
            code = name
    params: dict[str, Any] = {}
    if isinstance(error, Shut):
        code, params = error.code, error.params
    answer = problem(request, error.status_code, code, params)
    scheme = getattr(error, "auth_header", None)
    if scheme:
        answer["WWW-Authenticate"] = scheme
    return answer


def seconds_until(instant: str) -> int:
    """Return how long to wait for an instant, in whole seconds, one at least."""
    return max(1, ceil((datetime.fromisoformat(instant) - clock.now()).total_seconds()))


class Shut(exceptions.APIException):
    """The door stays shut, for a reason that has its own code."""

    status_code = 403

    def __init__(self, code: str, **params: Any) -> None:
        super().__init__(code)
        self.code = code
        self.params = params


class BodyTooLarge(Shut):
    """More than a request may carry."""

    status_code = 413

    def __init__(self, most: int) -> None:
        super().__init__("body_too_large", most=most >> 20)
