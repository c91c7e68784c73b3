"""A calendar is read at its address by whoever knows it, until that is ended; nothing else is."""

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from icalendar import Calendar

from nursery.services import calendars, clock
from nursery.store.models import CalendarLinkRow
from tests.api.conftest import NOW, Cast

ROWS: dict[str, dict[str, Any]] = {
    "nursery/veshmere": {
        "name": "Veshmere",
        "zone": "Etc/GMT-10",
        "planting": [{"first": "10-01", "last": "11-15"}],
    },
    "permit/cq-118": {"reference": "CQ-118", "holder": "Ana", "valid_to": "2031-06-30"},
}


@pytest.fixture
def rows(cast: Cast) -> None:
    for address, body in ROWS.items():
        put(cast, address, body)


def put(cast: Cast, address: str, body: dict[str, Any]) -> None:
    answer = cast.grower.put(
        f"/api/v1/rows/{address}", json.dumps({"body": body}), content_type="application/json"
    )
    assert answer.status_code == 200, answer.content


def made(cast: Cast, **more: Any) -> dict[str, Any]:
    body = json.dumps({"name": "Ana, phone", "language": "en", **more})
    answer = cast.grower.post("/api/v1/calendars", body, content_type="application/json")
    assert answer.status_code == 201, answer.content
    assert answer["Cache-Control"] == "no-store"
    told: dict[str, Any] = answer.json()
    return told


def read(link: str) -> Any:
    return Client().get(link.removeprefix("http://testserver"))


def events(link: str) -> dict[str, Any]:
    answer = read(link)
    assert answer.status_code == 200, answer.content
    return {str(one["SUMMARY"]): one for one in Calendar.from_ical(answer.content).walk("VEVENT")}


@pytest.mark.usefixtures("rows")
def test_a_calendar_reads_what_is_ahead(cast: Cast) -> None:
    link = made(cast)["link"]
    answer = read(link)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Cache-Control"] == "private, no-store"
    assert {"Permit CQ-118 ends", "Planting weeks"} <= events(link).keys()


@pytest.mark.usefixtures("rows")
def test_what_is_read_twice_is_the_same_byte_for_byte(cast: Cast) -> None:
    link = made(cast)["link"]
    assert read(link).content == read(link).content


@pytest.mark.usefixtures("rows")
def test_a_day_that_moves_keeps_its_identity_and_gets_a_higher_number(cast: Cast) -> None:
    link = made(cast)["link"]
    before = events(link)["Permit CQ-118 ends"]
    put(cast, "permit/cq-118", {**ROWS["permit/cq-118"], "valid_to": "2031-12-31"})
    after = events(link)["Permit CQ-118 ends"]
    assert before["UID"] == after["UID"]
    assert (before["SEQUENCE"], after["SEQUENCE"]) == (0, 1)
    assert after["DTSTART"].dt.isoformat() == "2031-12-31"
    cast.grower.delete("/api/v1/rows/permit/cq-118")
    gone = events(link)["No longer due: Permit CQ-118 ends"]
    assert (gone["UID"], gone["SEQUENCE"], gone["STATUS"]) == (before["UID"], 2, "CANCELLED")


@pytest.mark.usefixtures("rows")
def test_two_addresses_tell_the_same_things_each_in_its_language(cast: Cast) -> None:
    english, spanish = made(cast)["link"], made(cast, language="es")["link"]
    said = events(spanish)
    assert "Semanas de plantar" in said
    assert {one["UID"] for one in events(english).values()} == {one["UID"] for one in said.values()}


def test_one_that_was_ended_or_never_was_is_not_found(cast: Cast) -> None:
    told = made(cast)
    other = made(cast)["link"]
    assert cast.grower.delete(f"/api/v1/calendars/{told['id']}").status_code == 204
    never = read("/api/v1/calendar/" + "a" * 43 + ".ics")
    for answer in (read(told["link"]), never):
        assert (answer.status_code, answer.json()["code"]) == (404, "unknown")
    assert read(other).status_code == 200
    cast.grower.delete(f"/api/v1/calendars/{told['id']}")  # twice is once


def test_addresses_are_listed_without_their_secrets(cast: Cast) -> None:
    told = made(cast)
    secret = told["link"].rpartition("/")[2].removesuffix(".ics")
    assert len(secret) >= 43
    assert told["qr"].startswith("<svg")
    read(told["link"])
    answer = cast.grower.get("/api/v1/calendars")
    assert secret not in answer.content.decode()
    (one,) = answer.json()["items"]
    assert (one["name"], one["language"], one["ended_at"]) == ("Ana, phone", "en", None)
    assert one["read_at"] is not None
    assert CalendarLinkRow.objects.filter(secret_hash__contains=secret[:20]).count() == 0


def test_another_nursery_neither_lists_nor_ends_it(cast: Cast) -> None:
    told = made(cast)
    assert cast.stranger.get("/api/v1/calendars").json()["items"] == []
    assert cast.stranger.delete(f"/api/v1/calendars/{told['id']}").status_code == 404
    assert read(told["link"]).status_code == 200


@pytest.mark.parametrize(
    ("more", "status", "code"),
    [
        ({"language": "xx"}, 422, "language_unknown"),
        ({"person": "p-none"}, 404, "unknown"),
        ({"name": ""}, 400, "body_misfit"),
    ],
)
def test_an_address_that_cannot_be_is_turned_down(
    cast: Cast, more: dict[str, Any], status: int, code: str
) -> None:
    body = json.dumps({"name": "Ana", "language": "en", **more})
    answer = cast.grower.post("/api/v1/calendars", body, content_type="application/json")
    assert (answer.status_code, answer.json()["code"]) == (status, code)


def test_an_address_that_is_asked_too_often_waits_and_then_reads_on(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = made(cast)["link"]
    for _ in range(calendars.MOST_IN_A_WINDOW):
        assert read(link).status_code == 200
    answer = read(link)
    assert (answer.status_code, answer.json()["code"]) == (429, "calendar_asked_often")
    assert 0 < int(answer["Retry-After"]) <= 3600
    monkeypatch.setattr(clock, "now", lambda: NOW + timedelta(hours=1))
    assert read(link).status_code == 200
