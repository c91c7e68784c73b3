"""Phones of a nursery, as its grower sees them."""

import json
from datetime import datetime, timedelta
from typing import Any

import pytest

from nursery.domain.entry import write_instant
from nursery.services import clock
from tests.api.conftest import NOW, Cast
from tests.phone import Writer

pytestmark = pytest.mark.usefixtures("everybody")


def invite(cast: Cast, **extra: Any) -> dict[str, Any]:
    answer = cast.grower.post(
        "/api/v1/invites", '{"device_name": "blue"}', content_type="application/json", **extra
    )
    assert answer.status_code == 201
    told: dict[str, Any] = answer.json()
    return told


def listed(cast: Cast) -> dict[str, dict[str, Any]]:
    items = cast.grower.get("/api/v1/devices").json()["items"]
    return {item["name"]: item for item in items}


def test_an_invitation_is_a_link_and_a_code_to_scan(cast: Cast) -> None:
    told = invite(cast)
    assert told["link"] == f"http://testserver/#/join/{told['code']}"
    assert told["qr"].startswith("<svg")
    assert told["for_phones"] is False
    assert invite(cast, secure=True)["for_phones"] is True
    body = json.dumps({"code": told["link"].rsplit("/", 1)[1], "install": "i-blue"})
    answer = cast.nobody.post("/api/v1/sync/enrol", body, content_type="application/json")
    assert answer.status_code == 201
    assert "blue" in listed(cast)


def test_the_link_leads_where_phones_find_the_server(cast: Cast, settings: Any) -> None:
    settings.ORIGINS = ["https://book.invalid:8601", "https://localhost:8601"]
    told = invite(cast)
    assert told["link"] == f"https://book.invalid:8601/#/join/{told['code']}"
    assert told["for_phones"] is True


def test_a_phone_tells_what_it_holds(cast: Cast, writer: Writer) -> None:
    first = writer.write("noted", ["b-1"], {"text": "x"}, NOW)
    for _ in range(2):
        writer.write("noted", ["b-1"], {"text": "lost"}, NOW)
    last = writer.write("noted", ["b-1"], {"text": "y"}, NOW)
    oldest = write_instant(NOW - timedelta(days=3))
    cast.phone.push(first)
    cast.phone.push(
        last,
        app="2026.12.0",
        persisted=False,
        phone_time=write_instant(NOW + timedelta(minutes=7)),
        outbox={"unsent": 5, "n_max": 8, "oldest": oldest, "photos": 2},
    )
    phone = listed(cast)["a"]
    assert phone | {"id": "", "joined_at": ""} == {
        "id": "",
        "name": "a",
        "joined_at": "",
        "revoked_at": None,
        "last_seen_at": phone["joined_at"],
        "unsent": 5,
        "photos_unsent": 2,
        "oldest_unsent_at": "2031-02-28T02:00:00Z",
        "persisted": False,
        "app": "2026.12.0",
        "skew_ms": 420_000,
        "missing": [[2, 3]],
        "silent": False,
    }


@pytest.mark.parametrize(("hours", "silent"), [(47, False), (48, True)])
def test_a_phone_is_silent_after_two_days_with_records_on_board(
    cast: Cast, writer: Writer, monkeypatch: pytest.MonkeyPatch, hours: int, silent: bool
) -> None:
    text = writer.write("noted", ["b-1"], {"text": "x"}, NOW)
    cast.phone.push(text, outbox={"unsent": 2, "n_max": 2})
    later: datetime = NOW + timedelta(hours=hours)
    monkeypatch.setattr(clock, "now", lambda: later)
    assert listed(cast)["a"]["silent"] is silent


def test_a_phone_that_was_shut_out_stays_in_the_list_behind_the_others(cast: Cast) -> None:
    told = listed(cast)
    assert list(told) == ["a", "lost"]
    assert told["lost"]["revoked_at"] is not None
    cast.grower.delete(f"/api/v1/devices/{told['a']['id']}")
    assert cast.phone.get("/api/v1/batches").json()["code"] == "device_revoked"


def test_what_a_shut_out_phone_holds_can_be_handed_in(cast: Cast, writer: Writer) -> None:
    text = writer.write("noted", ["b-1"], {"text": "x"}, NOW)
    cast.grower.delete(f"/api/v1/devices/{listed(cast)['a']['id']}")
    assert cast.phone.push(text).status_code == 403
    file = {"epoch": cast.phone.epoch, "install": "i-a", "entries": [text]}
    for status in ("stored", "known"):
        answer = cast.grower.post(
            "/api/v1/sync/rescue", json.dumps(file), content_type="application/json"
        )
        assert [one["status"] for one in answer.json()["results"]] == [status]
