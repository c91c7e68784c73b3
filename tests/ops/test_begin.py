import io
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from nursery.services import clock, nurseries, people, rows

pytestmark = pytest.mark.django_db

ASKED = {"zone": "Etc/GMT-10", "grower": "Ana", "email": "ana@veshmere.invalid"}


def begin(monkeypatch: pytest.MonkeyPatch, password: str, name: str, **changed: Any) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(password + "\n"))
    call_command("begin", name, **{**ASKED, **changed}, stdout=io.StringIO())


def test_a_grower_begins_a_nursery_and_signs_in(monkeypatch: pytest.MonkeyPatch) -> None:
    begin(monkeypatch, "three tall kettles", "Vivero Ñandú 2")
    assert nurseries.every() == ["vivero-nandu-2"]
    account = people.sign_in("ana@veshmere.invalid", "three tall kettles", clock.now())
    assert people.caller(account, None, clock.now()).role == people.GROWER
    assert rows.one("vivero-nandu-2", "person", "p-grower").body["name"] == "Ana"


@pytest.mark.parametrize(
    ("name", "password", "changed", "told"),
    [
        ("Veshmere", "three tall kettles", {"zone": "Mars/North"}, "Mars/North is no time zone"),
        ("Veshmere", "three tall kettles", {"email": "ana"}, "ana is no e-mail address"),
        ("Veshmere", "123", {}, "too short. Use 12 letters"),
        ("Veshmere", "professional", {}, "many people use"),
        ("Veshmere", "471147114711", {}, "figures alone"),
        ("Veshmere", "ana@veshmere", {}, "too much like"),
        ("!!", "three tall kettles", {}, "no letter from a to z"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_made(
    monkeypatch: pytest.MonkeyPatch, name: str, password: str, changed: dict[str, Any], told: str
) -> None:
    with pytest.raises(CommandError, match=told):
        begin(monkeypatch, password, name, **changed)
    assert nurseries.every() == []


def test_a_nursery_is_begun_once(monkeypatch: pytest.MonkeyPatch) -> None:
    begin(monkeypatch, "three tall kettles", "Veshmere")
    with pytest.raises(CommandError, match="begun already"):
        begin(monkeypatch, "three tall kettles", "Veshmere")
    with pytest.raises(CommandError, match="signs in with this address already"):
        begin(monkeypatch, "three tall kettles", "Veshmere Two")


def test_a_nursery_without_conditions_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    begin(monkeypatch, "three tall kettles", "Veshmere", no_conditions=True)
    assert rows.one("veshmere", "nursery", "veshmere").body["conditions"] is False
