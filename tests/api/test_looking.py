"""What the grower does about records that wait: dated ahead, unreadable, or about a new place."""

import json
from datetime import timedelta

import pytest

from nursery.services import refold
from nursery.store.models import SubjectRow
from tests.api.conftest import NOW, Cast
from tests.phone import Writer

pytestmark = pytest.mark.usefixtures("everybody")

AHEAD = NOW + timedelta(days=400)


def looks(cast: Cast, what: str) -> list[dict[str, object]]:
    found: list[dict[str, object]] = cast.grower.get("/api/v1/needs-a-look").json()[what]
    return found


def test_a_record_dated_ahead_counts_once_the_grower_says_that_its_date_is_right(
    cast: Cast, tray: str, writer: Writer
) -> None:
    text = writer.write("counted", [tray], {"method": "full", "alive": 50, "saw": None}, AHEAD)
    cast.phone.push(text)
    assert cast.grower.get(f"/api/v1/batches/{tray}").json()["alive"] == 54
    ident = json.loads(text)["id"]
    assert [item["id"] for item in looks(cast, "set_aside")] == [ident]
    answer = cast.grower.post(f"/api/v1/set-aside/{ident}")
    assert answer.status_code == 204
    assert looks(cast, "set_aside") == []
    assert cast.grower.get(f"/api/v1/batches/{tray}").json()["alive"] == 50
    again = cast.grower.post(f"/api/v1/set-aside/{ident}")
    assert (again.status_code, again.json()["code"]) == (404, "unknown")


def test_an_unreadable_text_leaves_the_list_once_somebody_looked_and_is_kept(
    cast: Cast, tray: str
) -> None:
    cast.phone.push("{", "[]")
    first, second = looks(cast, "kept_raw")
    assert cast.stranger.post(f"/api/v1/kept-raw/{first['ref']}").status_code == 404
    assert cast.grower.post(f"/api/v1/kept-raw/{first['ref']}").status_code == 204
    assert looks(cast, "kept_raw") == [second]
    assert cast.grower.post(f"/api/v1/kept-raw/{first['ref']}").status_code == 404
    answer = cast.phone.push("{")
    assert answer.json()["results"][0]["status"] == "kept_raw"
    assert looks(cast, "kept_raw") == [second]


def test_a_place_is_read_with_what_follows_for_it_though_nobody_wrote_of_it(cast: Cast) -> None:
    room = {"name": "Room", "kind": "room", "floor_m2": 24}
    assert cast.grower.get("/api/v1/places/r-1").status_code == 404
    cast.grower.put("/api/v1/rows/place/r-1", {"body": room}, content_type="application/json")
    told = cast.grower.get("/api/v1/places/r-1").json()
    assert (told["inside"], told["timeline"]) == ([], [])
    assert told["outlook"]["entering"]["answer"] == "yes"


def test_a_place_that_a_phone_named_is_described_under_its_name(cast: Cast, writer: Writer) -> None:
    batch = {"id": "b-9", "label": "T9", "place": "Bench_4", "crop": "Passion_fruit"}
    body = {"batch": batch, "alive": 48, "method": "full"}
    cast.phone.push(writer.write("taken_on", ["b-9"], body, NOW))
    stands = cast.grower.get("/api/v1/batches/b-9").json()
    assert (stands["place"], stands["place_name"], stands["alive"]) == ("Bench_4", None, 48)
    row = {"body": {"name": "Bench 4", "kind": "bench"}}
    answer = cast.grower.put("/api/v1/rows/place/Bench_4", row, content_type="application/json")
    assert answer.status_code == 200
    assert cast.grower.get("/api/v1/batches/b-9").json()["place_name"] == "Bench 4"


def test_a_row_of_a_terrace_is_no_batch_whenever_the_terrace_is_described(
    cast: Cast, tray: str, writer: Writer
) -> None:
    body = {"block": "T-9", "row": "2", "positions": ["13"]}
    cast.phone.push(writer.write("planted", [tray, "T-9.2"], body, NOW))
    assert [one["subject"] for one in looks(cast, "doubts")] == ["T-9.2"]
    row = {"body": {"name": "Terrace 9", "kind": "terrace"}}
    cast.grower.put("/api/v1/rows/place/T-9", row, content_type="application/json")
    nursery = SubjectRow.objects.get(ident="T-9.2").nursery.ident
    assert refold.stale(nursery) == 1
    later = body | {"positions": ["14"]}
    cast.phone.push(writer.write("planted", [tray, "T-9.2"], later, NOW))
    stands = cast.grower.get("/api/v1/places/T-9.2").json()["positions"]
    assert {name: one["batch"] for name, one in stands.items()} == {"13": tray, "14": tray}
    assert looks(cast, "doubts") == []
    assert refold.differences(nursery) == []
