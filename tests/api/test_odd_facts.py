"""Odd facts and impossible rows: a clear answer or a question, and nothing told is lost."""

import json
from datetime import timedelta
from typing import Any

import pytest

from tests.api.conftest import NOW, Cast
from tests.phone import Writer

SINCE = {"since": "2030-01-01", "source": "CQ-118"}


def put(cast: Cast, kind: str, ident: str, body: dict[str, Any]) -> Any:
    text = json.dumps({"body": body})
    address = f"/api/v1/rows/{kind}/{ident}"
    return cast.grower.put(address, text, content_type="application/json")


def permit(*terms: dict[str, Any]) -> dict[str, Any]:
    told = [{"id": f"t-{n}", **SINCE, **one} for n, one in enumerate(terms)]
    return {"reference": "CQ-118", "holder": "G", "terms": told}


def typed(cast: Cast, *terms: dict[str, Any]) -> None:
    """Type the permit and the consignment that the tray came by."""
    assert put(cast, "permit", "cq-118", permit(*terms)).status_code == 200
    line = {"id": "l-1", "crop": "finger-lime", "stated": 54}
    body = {"name": "Liners", "permit": "cq-118", "lines": [line]}
    assert put(cast, "consignment", "c-1", body).status_code == 200


def told(cast: Cast, text: str) -> str:
    """Send one record; return how the office took it."""
    [result] = cast.phone.push(text).json()["results"]
    return str(result["status"])


def doubts(cast: Cast, subject: str) -> dict[str, dict[str, Any]]:
    """Return what the grower is asked about a batch, by code."""
    items = cast.grower.get("/api/v1/needs-a-look").json()["doubts"]
    return {d["code"]: d for item in items if item["subject"] == subject for d in item["doubts"]}


def kept(cast: Cast, text: str) -> bool:
    """Whether a record stands in the book word for word."""
    return text.encode() in b"".join(cast.phone.get("/api/v1/sync/pull", {"after": ""}))


IMPOSSIBLE: dict[str, tuple[dict[str, Any], str]] = {
    "fewer days than none": ({"rule": "growing_days", "says": {"days": -1}}, "days"),
    "more than a century": ({"rule": "growing_days", "says": {"days": 40_000}}, "days"),
    "a week without a working day": (
        {"rule": "days_off", "says": {"weekdays": [1, 2, 3, 4, 5, 6, 7]}},
        "weekdays",
    ),
    "no inspection number": ({"rule": "inspection", "says": {"number": 0}}, "number"),
    "a sample surer than sure": (
        {"rule": "sample_level", "says": {"at": "look_over", "prevalence": 0.1, "confidence": 2}},
        "confidence",
    ),
    "traps for no area": (
        {
            "rule": "traps",
            "says": {"m2_per_trap": 0, "area": "floor", "per_door": 1, "per_vent": 1},
        },
        "m2_per_trap",
    ),
}


@pytest.mark.parametrize(("term", "field"), IMPOSSIBLE.values(), ids=IMPOSSIBLE.keys())
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_permit_that_nobody_can_keep_is_turned_down_by_its_field_and_the_old_one_stays(
    cast: Cast, language: str, term: dict[str, Any], field: str
) -> None:
    sound = permit({"rule": "growing_days", "says": {"days": 180}})
    assert put(cast, "permit", "cq-118", sound).status_code == 200
    answer = cast.grower.put(
        "/api/v1/rows/permit/cq-118",
        json.dumps({"rev": 1, "body": permit(term)}),
        content_type="application/json",
        headers={"Accept-Language": language},
    )
    assert answer.status_code == 422
    problem = answer.json()
    assert field in json.dumps(problem["params"])
    assert problem["detail"] != ""
    assert cast.grower.get("/api/v1/rows/permit/cq-118").json()["body"] == sound


def test_a_notice_from_before_the_inspection_is_kept_and_shuts_what_it_would_open(
    cast: Cast, tray: str, writer: Writer
) -> None:
    typed(
        cast,
        {"rule": "growing_days", "says": {"days": 1}},
        {"rule": "inspection", "says": {"number": 1}},
    )
    body = {"notice": "RN-9", "count": 54, "photo": "photo-9"}
    notice = writer.write("released", [tray], body, NOW + timedelta(hours=2))
    assert told(cast, notice) == "stored"
    seen = {"inspector": "P", "answer": "nothing", "plants": 54, "active_growth": True}
    late = writer.write("inspected", [tray], seen, NOW + timedelta(hours=20))
    assert told(cast, late) == "stored"
    asked = doubts(cast, tray)["released_unmet"]
    assert (asked["weight"], asked["params"]["numbers"]) == ("blocking", ["1"])
    may = cast.grower.get(f"/api/v1/may?act=sending&subject={tray}").json()
    assert may["answer"] != "yes"
    stands = cast.grower.get(f"/api/v1/batches/{tray}").json()
    assert stands["released"]["notice"] == "RN-9"


NEGATIVE: dict[str, tuple[str, dict[str, Any]]] = {
    "a loss": ("lost", {"count": -3, "fate": "died"}),
    "a count": ("counted", {"method": "full", "alive": -1}),
    "an arrival": (
        "received",
        {"consignment": "c-2", "batches": [{"id": "b-1", "label": "T1", "stated": -54}]},
    ),
    "a sample": ("sampled", {"sample": "S-1", "plants": -1}),
    "an order": ("ordered", {"act": "destroy", "reference": "Q-1", "count": -2}),
}


@pytest.mark.parametrize(("kind", "body"), NEGATIVE.values(), ids=NEGATIVE.keys())
def test_fewer_plants_than_none_are_kept_as_written_change_no_figure_and_are_asked_about(
    cast: Cast, tray: str, writer: Writer, kind: str, body: dict[str, Any]
) -> None:
    before = cast.grower.get(f"/api/v1/batches/{tray}").json()
    text = writer.write(kind, [tray], body, NOW)
    assert told(cast, text) == "stored"
    after = cast.grower.get(f"/api/v1/batches/{tray}").json()
    assert (after["alive"], after["ledger"]) == (before["alive"], before["ledger"])
    asked = doubts(cast, tray)["unreadable_body"]
    assert (asked["weight"], asked["params"]["kind"]) == ("blocking", kind)
    assert asked["entries"] == [json.loads(text)["id"]]
    assert kept(cast, text)


@pytest.mark.parametrize(
    ("order", "code"), [(None, "licence_missing"), ("Q-09", "ordered_without_licence")]
)
def test_a_treatment_without_a_licence_is_kept_and_asked_about(
    cast: Cast, tray: str, writer: Writer, order: str | None, code: str
) -> None:
    row = {"name": "Oil", "licensed": True, "reentry_hours": 12}
    assert put(cast, "product", "oil", row).status_code == 200
    body = {
        "product": "oil",
        "started_at": "2031-03-03T01:30:00.000Z",
        "ended_at": "2031-03-03T02:00:00.000Z",
        "reentry_until": "2031-03-03T14:00:00.000Z",
        "operator": "p-1",
        "order": order,
    }
    text = writer.write("treated", [tray], body, NOW)
    assert told(cast, text) == "stored"
    assert code in doubts(cast, tray)
    [stands] = cast.grower.get(f"/api/v1/batches/{tray}").json()["record"]["treatments"]
    assert (stands["entry"], stands.get("licence")) == (json.loads(text)["id"], None)
    assert kept(cast, text)


@pytest.mark.parametrize("verdict", ["negative", "confirmed"])
def test_a_result_of_an_unknown_sample_is_kept_and_asked_about(
    cast: Cast, tray: str, writer: Writer, verdict: str
) -> None:
    body = {"sample": "S-77", "verdict": verdict, "photo": "photo-77"}
    text = writer.write("resulted", [tray], body, NOW)
    assert told(cast, text) == "stored"
    asked = doubts(cast, tray)
    assert asked["unknown_sample"]["params"] == {"sample": "S-77", "verdict": verdict}
    assert ("pest_result" in asked) is (verdict == "confirmed")
    assert kept(cast, text)
