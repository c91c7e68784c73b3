"""Somebody from the authority reads by a link until its day, and all that is read is noted."""

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from nursery.api.door import LINK_COOKIE
from nursery.services import clock
from tests.api.conftest import NOW, Cast

pytestmark = pytest.mark.usefixtures("everybody")

TILL = "2031-03-10T02:00:00Z"


def made(cast: Cast, ends_at: str = TILL) -> Any:
    body = json.dumps({"name": "Dacio Brill", "ends_at": ends_at})
    return cast.grower.post("/api/v1/links", body, content_type="application/json")


def opened(secret: str, client: Client) -> Any:
    body = json.dumps({"secret": secret})
    return client.post("/api/v1/reading", body, content_type="application/json")


def secret_of(link: str) -> str:
    return link.rpartition("/")[2]


def test_a_link_opens_the_book_of_one_nursery_and_says_for_whom(cast: Cast, tray: str) -> None:
    answer = made(cast)
    assert answer.status_code == 201
    assert answer["Cache-Control"] == "no-store"
    assert "<svg" in answer.json()["qr"]
    inspector = Client()
    who = opened(secret_of(answer.json()["link"]), inspector).json()
    assert (who["name"], who["role"], who["nursery"]["id"]) == (
        "Dacio Brill", "inspector", "veshmere",
    )  # fmt: skip
    assert inspector.cookies[LINK_COOKIE]["httponly"]
    assert inspector.get("/api/v1/session").json()["name"] == "Dacio Brill"
    items = inspector.get("/api/v1/batches").json()["items"]
    assert [item["id"] for item in items] == [tray]
    elsewhere = inspector.get("/api/v1/batches", headers={"X-Nursery": "elsewhere"})
    assert [item["id"] for item in elsewhere.json()["items"]] == [tray]


def test_what_was_read_by_a_link_is_told_to_the_grower(cast: Cast, tray: str) -> None:
    answer = made(cast).json()
    inspector = Client()
    opened(secret_of(answer["link"]), inspector)
    inspector.get(f"/api/v1/batches/{tray}")
    inspector.get("/api/v1/consignments")
    told = cast.grower.get(f"/api/v1/links/{answer['id']}").json()
    assert [page["address"] for page in told["pages"]] == [
        "/api/v1/consignments",
        f"/api/v1/batches/{tray}",
    ]
    assert (told["reads"], told["name"]) == (2, "Dacio Brill")
    listed = {link["id"]: link for link in cast.grower.get("/api/v1/links").json()["items"]}
    assert listed[answer["id"]]["reads"] == 2
    assert cast.stranger.get(f"/api/v1/links/{answer['id']}").status_code == 404


def test_a_link_is_over_on_its_day_and_when_the_grower_ends_it(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = made(cast).json(), made(cast).json()
    readers = {link["id"]: Client() for link in (first, second)}
    for link in (first, second):
        opened(secret_of(link["link"]), readers[link["id"]])
    assert cast.grower.delete(f"/api/v1/links/{first['id']}").status_code == 204
    shut = readers[first["id"]].get("/api/v1/batches")
    assert (shut.status_code, shut.json()["code"]) == (403, "link_ended")
    assert readers[second["id"]].get("/api/v1/batches").status_code == 200
    monkeypatch.setattr(clock, "now", lambda: NOW + timedelta(days=7))
    for link in (first, second):
        assert readers[link["id"]].get("/api/v1/batches").status_code == 403
        again = opened(secret_of(link["link"]), Client())
        assert (again.status_code, again.json()["code"]) == (403, "link_ended")


def test_a_link_that_would_be_over_already_is_turned_down(cast: Cast) -> None:
    answer = made(cast, "2031-03-03T01:59:00Z")
    assert (answer.status_code, answer.json()["code"]) == (422, "link_ends_too_soon")
    assert cast.grower.get("/api/v1/links").json()["items"][0]["name"] == "Dacio Brill"


def test_a_link_writes_nothing_anywhere(cast: Cast) -> None:
    record = json.dumps({"kind": "noted", "about": ["b-1"], "body": {"text": "x"}})
    for address in ("records", "links", "sync/push", "begin"):
        answer = cast.inspector.post(f"/api/v1/{address}", record, content_type="application/json")
        assert answer.status_code in (400, 401, 409), address
    assert cast.inspector.delete("/api/v1/rows/place/r-1").status_code == 401


def test_the_authority_reads_who_the_people_are_and_no_hash_of_a_pin(cast: Cast) -> None:
    body = {
        "name": "Ilo", "role": "worker", "colour": "green", "shape": "circle",
        "language": "es", "pin_hash": "00ff", "pin_salt": "0a",
    }  # fmt: skip
    put = cast.grower.put(
        "/api/v1/rows/person/p-1", json.dumps({"body": body}), content_type="application/json"
    )
    assert put.status_code == 200, put.content
    seen = cast.inspector.get("/api/v1/rows/person").json()["items"]
    assert [one["body"]["name"] for one in seen] == ["Ilo"]
    for shown in (seen[0]["body"], cast.inspector.get("/api/v1/rows/person/p-1").json()["body"]):
        assert not {"pin_hash", "pin_salt"} & set(shown)
    grower = cast.grower.get("/api/v1/rows/person/p-1").json()["body"]
    assert grower["pin_hash"] == "00ff"


def test_reading_by_a_link_ends_in_this_browser_when_its_reader_says_so(cast: Cast) -> None:
    assert cast.inspector.get("/api/v1/batches").status_code == 200
    cast.inspector.delete("/api/v1/reading")
    assert cast.inspector.get("/api/v1/batches").status_code == 401
