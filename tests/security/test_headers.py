"""What a browser is told with every answer: of every route, of files, of pages, of errors."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client, RequestFactory
from django.urls import URLPattern, URLResolver, get_resolver

from config import middleware
from nursery.api.door import COOKIE, LINK_COOKIE
from tests.api.conftest import Cast

JSON = "application/json"
METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "HEAD")
# What may be kept, and why.
KEPT = {"private, max-age=86400", "no-cache", "private, no-store"}
PAGES = ("/", "/stock", "/batches/b-1", "/release/c-1", "/none.js", "/assets/gone-abcdefgh.js")


def routes(of: Any = None, before: str = "") -> Iterator[tuple[str, URLPattern]]:
    """Yield every address of the resolver, filled in, with its pattern."""
    for one in (of or get_resolver()).url_patterns:
        text = before + re.sub(r"<[^>]*>", "b-1", str(one.pattern)).replace("^", "")
        if isinstance(one, URLResolver):
            yield from routes(one, text)
        elif "(?!" not in text:
            yield f"/{text}", one


ADDRESSES = [address for address, _ in routes()]


def told(answer: Any) -> None:
    """Hold an answer's headers to what all of them must say."""
    head = answer.headers
    policy = dict(part.partition(" ")[::2] for part in head["Content-Security-Policy"].split("; "))
    assert policy.get("frame-ancestors", "'none'") == "'none'"
    assert policy.get("default-src") in ("'self'", "'none'")
    assert "unsafe-inline" not in str(policy)
    assert "'unsafe-eval'" not in str(policy)
    assert head["X-Content-Type-Options"] == "nosniff"
    assert head["X-Frame-Options"] == "DENY"
    assert head["Referrer-Policy"] == "same-origin"
    assert head["Cross-Origin-Opener-Policy"] == "same-origin"
    assert head["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "microphone=()" in head["Permissions-Policy"]
    assert not {"Server", "X-Powered-By"} & set(head)
    assert not [name for name in head if name.startswith("Access-Control-")]


def test_the_resolver_was_walked() -> None:
    assert len(ADDRESSES) > 90
    assert {"/healthz", "/api/v1/sync/push", "/api/v1/calendar/b-1.ics"} <= set(ADDRESSES)


@pytest.mark.parametrize(("caller", "methods"), [("grower", ["GET"]), ("nobody", METHODS)])
@pytest.mark.usefixtures("tray")
def test_every_route_of_the_api(cast: Cast, caller: str, methods: list[str]) -> None:
    client = getattr(cast, caller)
    statuses = set()
    for address in ADDRESSES:
        for method in methods:
            answer = client.generic(method, address, b"" if method == "GET" else b"{}", JSON)
            told(answer)
            head = answer.headers
            assert head["Cache-Control"] in {"no-store", *KEPT}, (method, address)
            assert "camera=()" in head["Permissions-Policy"], (method, address)
            if head.get("Content-Type") != middleware.PDF:
                assert "default-src 'none'" in head["Content-Security-Policy"], (method, address)
            statuses.add(answer.status_code)
    assert {200, 404} <= statuses
    assert 500 not in statuses


@pytest.mark.django_db
@pytest.mark.parametrize("path", PAGES)
def test_pages_and_files_of_the_app(path: str, settings: Any, tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text("<!doctype html>the app")
    settings.WEB_ROOT = settings.WHITENOISE_ROOT = tmp_path
    answer = Client().get(path)
    told(answer)
    assert "camera=(self)" in answer.headers["Permissions-Policy"]
    assert answer.headers["Cache-Control"] == ("no-cache" if "." not in path else "no-store")
    assert "script-src 'self' 'wasm-unsafe-eval'" in answer.headers["Content-Security-Policy"]
    answer.close()


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/manifest.webmanifest", "/sw.js", "/assets/app-abcdefgh.js"])
def test_files_that_are_served_from_the_disk(path: str, settings: Any, tmp_path: Path) -> None:
    """These never come to a view, and pass through the same hands all the same."""
    (tmp_path / "assets").mkdir()
    (tmp_path / path[1:]).write_text("x")
    settings.WHITENOISE_ROOT = tmp_path
    answer = Client().get(path)
    assert answer.status_code == 200
    told(answer)
    answer.close()


ERRORS = {
    "an address of nobody": ("GET", "/api/v1/nothing", {}, 404),
    "a method that no page has": ("POST", "/", {}, 405),
    "a host that is not ours": ("GET", "/api/v1/begin", {"Host": "elsewhere.invalid"}, 400),
    "more than is read": ("POST", "/api/v1/session", {}, 413),
    "another language than JSON": ("POST", "/api/v1/session", {"Content-Type": "text/xml"}, 415),
}


@pytest.mark.django_db
@pytest.mark.parametrize(("method", "path", "headers", "status"), ERRORS.values(), ids=ERRORS)
def test_errors(method: str, path: str, headers: dict[str, str], status: int) -> None:
    body = b" " * (5 << 20) if status == 413 else b"{}"
    kind = headers.pop("Content-Type", JSON) if "Content-Type" in headers else JSON
    answer = Client().generic(method, path, body, kind, headers=headers)
    assert answer.status_code == status
    told(answer)
    assert answer.headers["Cache-Control"] == "no-store"
    assert b"Traceback" not in (b"".join(answer) if answer.streaming else answer.content)
    answer.close()


@pytest.mark.django_db
def test_a_fault_of_ours_says_nothing_of_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(*_: Any) -> None:
        raise RuntimeError("secret innards")

    monkeypatch.setattr("nursery.services.beginning.is_begun", breaks)
    client = Client(raise_request_exception=False)
    answer = client.get("/api/v1/begin")
    assert answer.status_code == 500
    told(answer)
    assert answer.headers["Cache-Control"] == "no-store"
    assert b"innards" not in answer.content


def test_what_an_answer_says_of_itself_is_left_as_it_is() -> None:
    own = {"Content-Security-Policy": "sandbox; default-src 'none'", "Cache-Control": "private"}
    answer = middleware.security_headers(lambda _: HttpResponse(headers=own))(
        RequestFactory().get("/api/v1/photos/x/320")
    )
    assert {name: answer.headers[name] for name in own} == own


def test_cookies_are_out_of_reach_of_scripts_and_other_sites(cast: Cast) -> None:
    """The token alone is read by the app, since it is to prove that it can."""
    session = cast.grower.cookies["nursery_session"]
    assert (session["httponly"], session["samesite"], session["path"]) == (True, "Strict", "/")
    token = cast.grower.cookies["nursery_csrf"]
    assert (token["httponly"], token["samesite"]) == ("", "Strict")
    link = cast.inspector.cookies[LINK_COOKIE]
    assert (link["httponly"], link["secure"], link["samesite"]) == (True, True, "Strict")
    assert link["domain"] == ""
    renewed = cast.phone.get("/api/v1/sync/pull").cookies[COOKIE]
    assert (renewed["httponly"], renewed["secure"], renewed["samesite"]) == (True, True, "Strict")
    assert (renewed["path"], renewed["domain"], renewed["max-age"]) == ("/", "", 400 * 24 * 3600)
