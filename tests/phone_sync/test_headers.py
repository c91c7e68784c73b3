"""Requirement 30: the office never tells a browser to forget what it keeps."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from tests.sync.doors import EMAIL, PASSWORD, open_nursery


def routes(patterns: list[Any], prefix: str = "") -> Iterator[str]:
    for pattern in patterns:
        route = prefix + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from routes(pattern.url_patterns, route)
        elif isinstance(pattern, URLPattern):
            yield "/" + route.replace("<str:kind>", "place").replace("<str:ident>", "r-1")


@pytest.mark.django_db(transaction=True)
def test_requirement_30_no_route_ever_sends_clear_site_data(settings: Any) -> None:
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    open_nursery()
    asked = 0
    for signed_in in (False, True):
        client = Client(SERVER_NAME="localhost", raise_request_exception=False)
        if signed_in:
            body = {"email": EMAIL, "password": PASSWORD}
            assert client.post("/api/v1/session", body, "application/json").status_code == 200
        for path in routes(get_resolver().url_patterns):
            for method in ("GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE"):
                answer = client.generic(method, path, b"{}", content_type="application/json")
                assert "Clear-Site-Data" not in answer.headers, f"{method} {path}"
                answer.close()
                asked += 1
    assert asked > 200
