"""A password that somebody else knows is changed at the office computer, and ends every session."""

import json
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from tests.api.conftest import PASSWORD, Cast

NEW = "four short kettles"


def change(monkeypatch: pytest.MonkeyPatch, to: str) -> None:
    monkeypatch.setattr("getpass.getpass", lambda *_, **__: to)
    call_command("changepassword", "ana@veshmere.invalid", verbosity=0)


def sign_in(client: Any, password: str) -> int:
    said = json.dumps({"email": "ana@veshmere.invalid", "password": password})
    return int(client.post("/api/v1/session", said, "application/json").status_code)


def test_it_is_changed_and_every_session_ends_with_it(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    change(monkeypatch, NEW)
    assert cast.grower.get("/api/v1/batches").status_code == 401
    assert (sign_in(cast.nobody, PASSWORD), sign_in(cast.nobody, NEW)) == (403, 200)


@pytest.mark.parametrize("weak", ["short", "professional", "471147114711"])
def test_it_is_held_to_what_a_first_one_is_held_to(
    cast: Cast, monkeypatch: pytest.MonkeyPatch, weak: str
) -> None:
    with pytest.raises(CommandError, match="Aborting password change"):
        change(monkeypatch, weak)
    assert sign_in(cast.nobody, PASSWORD) == 200
