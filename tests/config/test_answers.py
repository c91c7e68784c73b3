"""What every answer carries, and what the logs say of it."""

import json
import logging
from pathlib import Path

import pytest
from django.test import Client

from config import logs, web


@pytest.fixture
def client() -> Client:
    return Client()


def test_the_browser_is_told_to_load_from_here_alone(client: Client) -> None:
    headers = client.get("/x.js").headers
    policy = headers["Content-Security-Policy"]
    for wish in (
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "img-src 'self' blob: data:",
        "frame-ancestors 'none'",
    ):
        assert wish in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Permissions-Policy"].startswith("camera=(self)")


NAMES = {
    "a proxy's name is kept": ("abc-DEF_12345", True),
    "a name that could forge a log line is not": ('x"}\n{"level": "error', False),
    "a name that is too long is not": ("a" * 65, False),
}


@pytest.mark.parametrize(("name", "kept"), NAMES.values(), ids=NAMES.keys())
def test_request_id(client: Client, name: str, *, kept: bool) -> None:
    answer = client.get("/healthz", headers={"X-Request-Id": name})
    assert (answer.headers["X-Request-Id"] == name) is kept
    assert len(answer.headers["X-Request-Id"]) >= 8


def test_a_log_line_names_the_route_and_nothing_that_was_sent(
    client: Client, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO, logger="nursery.requests"):
        answer = client.get("/rooms/a-secret-name?pin=2714", headers={"Authorization": "secret"})
    (record,) = (record for record in caplog.records if record.name == "nursery.requests")
    line = logs.Lines().format(record)
    assert json.loads(line)["status"] == answer.status_code
    assert json.loads(line)["method"] == "GET"
    assert "secret" not in line
    assert "2714" not in line


def test_a_log_line_is_one_line_of_json_with_its_trace_and_its_request() -> None:
    fault = (ZeroDivisionError, ZeroDivisionError("by nought"), None)
    record = logging.makeLogRecord({"msg": "broke: %s\n%s", "args": ("a", "b"), "exc_info": fault})
    token = logs.request_id.set("abc")
    line = logs.Lines().format(record)
    logs.request_id.reset(token)
    assert "\n" not in line
    read = json.loads(line)
    assert (read["message"], read["request"]) == ("broke: a\nb", "abc")
    assert "ZeroDivisionError" in read["trace"]


def test_an_unbuilt_app_says_how_to_build_it(client: Client, settings: object) -> None:
    settings.WEB_ROOT = settings.WHITENOISE_ROOT = None  # type: ignore[attr-defined]
    answer = client.get("/")
    assert answer.status_code == 503
    assert b"npm run build" in answer.content


@pytest.mark.django_db  # closing an answer looks after the thread's connection
@pytest.mark.parametrize("path", ["/", "/stock", "/batches/b-17"])
def test_every_screen_is_answered_by_the_app(
    path: str, client: Client, settings: object, tmp_path: Path
) -> None:
    (tmp_path / "index.html").write_text("<!doctype html>the app")
    settings.WEB_ROOT = settings.WHITENOISE_ROOT = tmp_path  # type: ignore[attr-defined]
    answer = client.get(path)
    assert (answer.status_code, answer.headers["Cache-Control"]) == (200, "no-cache")
    assert b"the app" in answer.getvalue()
    answer.close()


@pytest.mark.parametrize("path", ["/api/v1/nothing", "/assets/gone-abcdefgh.js", "/x.js"])
def test_what_is_no_screen_is_not_answered_by_the_app(path: str, client: Client) -> None:
    assert client.get(path).status_code == 404


FILES = {
    "/assets/index-BaN8Uk3_.js": (True, None),
    "/assets/style.css": (False, None),
    "/sw.js": (False, "no-cache"),
    "/index.html": (False, "no-cache"),
    "/manifest.webmanifest": (False, "no-cache"),
}


@pytest.mark.parametrize(("url", "wish"), FILES.items(), ids=FILES.keys())
def test_how_long_a_browser_may_keep(url: str, wish: tuple[bool, str | None]) -> None:
    headers: dict[str, str] = {}
    web.add_headers(headers, url, url)
    assert (web.is_hashed("", url), headers.get("Cache-Control")) == wish
