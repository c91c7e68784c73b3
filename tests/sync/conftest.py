"""Every test here that touches the database leaves books that hold."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from django.db import connection

from tests import books
from tests.phone import Phone, Writer
from tests.sync.real import Real

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)


@pytest.fixture(autouse=True)
def sound_books(request: pytest.FixtureRequest) -> Iterator[None]:
    """Hold kept states and chains against the book once the test is done (`stored == folded`)."""
    touches = request.node.get_closest_marker("django_db") or _commits(request)
    if touches:
        request.getfixturevalue("transactional_db" if _commits(request) else "db")
    yield
    if touches and "broken_book" not in request.fixturenames:
        assert books.faults() == []


def _commits(request: pytest.FixtureRequest) -> bool:
    marker = request.node.get_closest_marker("django_db")
    wanted = marker is not None and marker.kwargs.get("transaction", False)
    return bool(wanted) or "transactional_db" in request.fixturenames


@pytest.fixture(autouse=True)
def quick_passwords(settings: Any) -> None:
    """What makes a password slow to guess makes a hundred sign-ins slow to test."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def broken_book() -> None:
    """For a test that breaks a book on purpose, to see that it is found."""


@pytest.fixture
def server(sound_books: None) -> Real:
    return Real(NOW)


@pytest.fixture
def phone(server: Real) -> Phone:
    """A phone that has taken its first snapshot."""
    phone = Phone(Writer("a"), server)
    phone.snapshot()
    return phone


@pytest.fixture
def on_postgres(sound_books: None) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("SQLite has one writer, so order of numbers is order of commits by its lock")
