"""Permits with impossible conditions, templates, and "what if?" without a trace."""

import json
from typing import Any

import pytest

from nursery.domain import reference, terms
from nursery.services import templates, words
from nursery.store.models import CheckRow, FeedRow, HeadRow, OutlookRow, RefRow, SubjectRow
from tests.api.conftest import NOW, Cast
from tests.domain.house import PAPER, TERMS, term

ROWS: list[tuple[str, str, dict[str, Any]]] = [
    ("place", "room", {"name": "Room", "kind": "room", "bench_m2": 15}),
    (
        "permit",
        "cq-118",
        {
            "reference": "CQ-118",
            "holder": "G",
            "terms": [*TERMS, term("out", "all_out", {"empty_hours": 168})],
            "photo": PAPER,
        },
    ),
    ("consignment", "c-1", {"name": "Liners", "permit": "cq-118"}),
]
BANANA = {"what": "consignment", "on": "2031-08-20", "plants": 400, "room": "room", "days": 180}


def put(cast: Cast, kind: str, ident: str, body: dict[str, Any], rev: int | None = None) -> Any:
    said = json.dumps({"body": body, "rev": rev})
    return cast.grower.put(f"/api/v1/rows/{kind}/{ident}", said, content_type="application/json")


def ask(cast: Cast, *some: Any) -> Any:
    said = json.dumps({"suppose": list(some)})
    return cast.grower.post("/api/v1/what-if", said, content_type="application/json")


@pytest.fixture
def in_room(cast: Cast, tray: str, writer: Any) -> None:
    for kind, ident, body in ROWS:
        assert put(cast, kind, ident, body).status_code == 200
    cast.phone.push(writer.write("moved", [tray], {"to": "room"}, NOW))


def kept() -> dict[str, Any]:
    """Return everything that the store holds of a nursery's book."""
    models = (HeadRow, FeedRow, RefRow, SubjectRow, OutlookRow, CheckRow)
    return {model.__name__: list(model.objects.order_by("pk").values()) for model in models}


@pytest.mark.usefixtures("in_room")
def test_what_if_answers_and_leaves_the_book_as_it_was(cast: Cast) -> None:
    """The story, day 6: one group, so no; and no trace, not even a forecast."""
    before = kept()
    answer = ask(cast, BANANA)
    assert answer.status_code == 200, answer.content
    told = answer.json()
    assert (told["answer"], told["on"]) == ("no", "2031-03-03")
    group = next(one for one in told["reasons"] if one["code"] == "one_group")
    assert group["params"]["release"] == "2032-02-16"
    rows = {row["id"]: row for row in told["batches"]}
    assert rows["b-1"]["before"]["together"] == "2031-08-30"
    assert rows["b-1"]["after"]["together"] == "2032-02-16"
    assert kept() == before
    assert told["as_of_seq"] == before["HeadRow"][0]["last_seq"]


@pytest.mark.usefixtures("in_room")
@pytest.mark.parametrize("language", words.languages())
def test_every_reason_of_an_answer_can_be_said(cast: Cast, language: str) -> None:
    told = ask(cast, BANANA, {"what": "treatment", "on": "2031-05-30", "order": "Q-1"}).json()
    for one in told["reasons"]:
        assert words.say(language, f"reason.{one['code']}", one["params"])


WRONG: dict[str, tuple[list[Any], int, str]] = {
    "nothing": ([], 400, "body_misfit"),
    "no object": ([5], 400, "body_misfit"),
    "something unknown": ([{"what": "rain", "on": "2031-08-20"}], 422, "supposed_unreadable"),
    "no day": ([{"what": "notice"}], 422, "supposed_unreadable"),
    "another century": ([{"what": "notice", "on": "2999-01-01"}], 422, "supposed_unreadable"),
}


@pytest.mark.parametrize(("some", "status", "code"), WRONG.values(), ids=WRONG.keys())
def test_what_cannot_be_supposed_is_named(
    cast: Cast, some: list[Any], status: int, code: str
) -> None:
    answer = ask(cast, *some)
    assert (answer.status_code, answer.json()["code"]) == (status, code)


IMPOSSIBLE: dict[str, tuple[dict[str, Any], str, str]] = {
    "more days than any calendar": (
        term("long", "growing_days", {"days": 100_000_000}),
        "says.days",
        "100000000",
    ),
    "a look every no days": (term("long", "look_over", {"every_days": 0}), "says.every_days", "0"),
    "an authority that never works": (
        term("long", "days_off", {"weekdays": [1, 2, 3, 4, 5, 6, 7]}),
        "says.weekdays",
        "[1, 2, 3, 4, 5, 6, 7]",
    ),
    "thresholds upside down": (
        term(
            "long",
            "generations",
            {"pest": "fly", "number": 1, "degree_days": 350, "lower": 30, "upper": 9},
        ),
        "says.upper",
        "9",
    ),
    "a rule that nobody knows": (term("long", "moon", {}), "rule", "moon"),
}


@pytest.mark.usefixtures("in_room")
@pytest.mark.parametrize(("wrong", "field", "value"), IMPOSSIBLE.values(), ids=IMPOSSIBLE.keys())
def test_a_permit_with_an_impossible_condition_is_turned_down_and_nothing_is_lost(
    cast: Cast, wrong: dict[str, Any], field: str, value: str
) -> None:
    """Rule R-6."""
    before = kept()
    body = ROWS[1][2]
    answer = put(cast, "permit", "cq-118", {**body, "terms": [*body["terms"], wrong]}, rev=1)
    told = answer.json()
    assert (answer.status_code, told["code"]) == (422, "term_unreadable")
    assert told["params"] == {
        "what": "permit",
        "id": "cq-118",
        "term": "long",
        "field": field,
        "value": value,
    }
    assert value in told["detail"]
    assert kept() == before
    row = cast.grower.get("/api/v1/rows/permit/cq-118").json()
    assert (row["rev"], row["body"]) == (1, body)


@pytest.mark.usefixtures("in_room")
def test_the_clock_tells_of_the_new_conditions(cast: Cast) -> None:
    off = term("off", "days_off", {"days": ["2031-08-30"]})
    body = ROWS[1][2]
    put(cast, "permit", "cq-118", {**body, "terms": [*body["terms"], off]})
    told = cast.grower.get("/api/v1/batches/b-1").json()["outlook"]
    assert (told["clock"]["earliest"], told["clock"]["notice_from"]) == (
        "2031-08-30",
        "2031-08-31",
    )


TEMPLATES = templates.every()


def test_a_template_fills_a_permit_that_the_book_takes(cast: Cast) -> None:
    told = cast.grower.get("/api/v1/templates").json()
    assert [one["id"] for one in told["items"]] == [one["id"] for one in TEMPLATES["items"]]
    for one in told["items"]:
        filled = [
            {"id": f"t{n}", "since": "2031-01-01", **said, "source": said["source"] or "typed"}
            for n, said in enumerate(one["terms"])
        ]
        body = {"reference": "X-1", "holder": "G", "terms": filled}
        assert put(cast, "permit", one["id"], body).status_code == 200
        row = reference.read("permit", one["id"], body)
        assert isinstance(row, reference.Permit)
        assert len(row.terms) == len(one["terms"])


@pytest.mark.parametrize("language", words.languages())
def test_every_template_has_a_name(language: str) -> None:
    names = [f"template.{one['id']}" for one in TEMPLATES["items"]]
    assert [name for name in names if not words.has(language, name)] == []


def test_every_rule_is_told_with_all_its_fields() -> None:
    told = {one["rule"]: {f["name"]: f for f in one["fields"]} for one in TEMPLATES["rules"]}
    assert set(told) == set(terms.RULES)
    assert told["growing_days"]["days"] == {
        "name": "days",
        "kind": "count",
        "many": False,
        "needed": True,
        "default": None,
        "choices": None,
    }
    assert told["generations"]["method"]["choices"] == [one.value for one in terms.Method]
    assert told["generations"]["method"]["default"] == "single_sine"
    assert (told["days_off"]["days"]["kind"], told["days_off"]["days"]["many"]) == ("day", True)
    assert told["days_off"]["days"]["default"] == []
