"""Records of the desk: the grower confirms what was written without a PIN."""

import json
from typing import Any

import pytest

from tests.api.conftest import NOW, Cast
from tests.phone import Writer


def write(cast: Cast, kind: str, about: list[str], body: dict[str, Any]) -> Any:
    said = json.dumps({"kind": kind, "about": about, "body": body})
    return cast.grower.post("/api/v1/records", said, content_type="application/json")


def waiting(cast: Cast) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = cast.grower.get("/api/v1/needs-a-look").json()["unconfirmed"]
    return found


@pytest.fixture
def without_pin(cast: Cast, tray: str, writer: Writer) -> dict[str, Any]:
    """One note about two trays that somebody wrote without a PIN."""
    second = {"id": "b-2", "label": "T2"}
    cast.phone.push(
        writer.write("received", ["b-2"], {"consignment": "c-1", "batches": [second]}, NOW),
        writer.write("looked", [tray, "b-2"], {"answer": "nothing"}, NOW, confirmed=False),
    )
    [found] = waiting(cast)
    return found


def test_a_record_without_a_pin_waits_once_with_all_that_it_is_about(
    without_pin: dict[str, Any],
) -> None:
    assert without_pin["subjects"] == [{"id": "b-1", "label": "T1"}, {"id": "b-2", "label": "T2"}]
    assert without_pin["entry"]["kind"] == "looked"
    assert without_pin["entry"]["author"] == "p-w1"
    assert without_pin["doubt"] == f"unconfirmed:{without_pin['entry']['id']}"


@pytest.mark.parametrize(("by", "looker"), [(None, "p-w1"), ("p-w2", "p-w2")])
def test_the_growers_word_closes_it(
    cast: Cast, without_pin: dict[str, Any], by: str | None, looker: str
) -> None:
    body = {"doubt": without_pin["doubt"], "reason": "asked", "by": by}
    answer = write(cast, "settled", ["b-1", "b-2"], body)
    assert answer.status_code == 201, answer.content
    assert waiting(cast) == []
    for batch in ("b-1", "b-2"):
        told = cast.grower.get(f"/api/v1/batches/{batch}").json()
        assert [look["by"] for look in told["record"]["looks"]] == [looker]
        said = told["timeline"][-1]["entry"]
        assert (said["id"], said["author"], said["device"]) == (answer.json()["id"], "p-g", "desk")
        assert "p-w1" in {line["entry"]["author"] for line in told["timeline"]}


def test_records_of_the_desk_are_numbered_like_a_phones(cast: Cast, tray: str) -> None:
    for text in ("one", "two", "three"):
        assert write(cast, "noted", [tray], {"text": text}).status_code == 201
    lines = cast.grower.get(f"/api/v1/batches/{tray}").json()["timeline"]
    desk = [line["entry"] for line in lines if line["entry"]["install"] == "i-desk"]
    assert sorted(entry["n"] for entry in desk) == [1, 2, 3]
    assert {entry["offset_min"] for entry in desk} == {600}
    assert cast.grower.get("/api/v1/needs-a-look").json()["phones"] == []


WRONG: dict[str, tuple[str, dict[str, Any], str]] = {
    "no such kind": ("sung", {}, "kind"),
    "a field lacks": ("settled", {"reason": "x"}, "doubt"),
    "a field is another thing": ("settled", {"doubt": "d", "reason": 4}, "reason"),
}


@pytest.mark.parametrize(("kind", "body", "field"), WRONG.values(), ids=WRONG.keys())
def test_what_is_no_record_is_said_and_nothing_is_written(
    cast: Cast, tray: str, kind: str, body: dict[str, Any], field: str
) -> None:
    before = len(cast.grower.get(f"/api/v1/batches/{tray}").json()["timeline"])
    answer = write(cast, kind, [tray], body)
    assert (answer.status_code, answer.json()["code"]) == (422, "record_unreadable")
    assert answer.json()["params"] == {"kind": kind, "field": field}
    assert len(cast.grower.get(f"/api/v1/batches/{tray}").json()["timeline"]) == before
