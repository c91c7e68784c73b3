"""The order of a round (rules I-1, I-2), by the vectors that the phone is held to as well."""

import json
from datetime import timedelta
from itertools import pairwise, permutations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import checks, round_order
from nursery.domain.round_order import Turn
from tests.domain.house import House, day, day_1, instant
from tests.steps import ROOT

VECTORS = json.loads((ROOT / "tests/vectors/round-order.json").read_text())
CASES = {case["name"]: case for case in VECTORS["cases"]}


def turn_of(raw: dict[str, Any]) -> Turn:
    flags = (bool(raw.get("finds")), bool(raw.get("held")), bool(raw.get("mixed")))
    doubt = round_order.doubt_of(*flags)
    return Turn(raw["id"], raw["label"], raw["place"] or "", raw.get("alive", 50), doubt)


def living(raw: dict[str, Any]) -> bool:
    return raw.get("alive", 50) != 0 and not raw.get("closed", False)


@pytest.mark.parametrize("name", CASES)
def test_rooms_and_batches_come_as_the_vectors_say(name: str) -> None:
    rows = [("place", raw["id"], {"parent": None, **raw}) for raw in VECTORS["places"]]
    book = House([(kind, ident, _bare(body)) for kind, ident, body in rows]).book()
    steps = round_order.walk(book)
    for some in list(permutations(filter(living, CASES[name]["batches"])))[:24]:
        rooms: dict[str, list[Turn]] = {}
        for raw in some:
            room = book.room(raw["place"]) or ""
            rooms.setdefault(room, []).append(turn_of(raw))
        told = [
            [one.room, [turn.batch for turn in one.turns]]
            for one in round_order.in_order(rooms, steps)
        ]
        assert told == CASES[name]["rooms"]


def _bare(body: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in body.items() if key != "id"}


def test_places_in_a_ring_of_parents_come_last() -> None:
    rows = [
        ("place", name, {"name": name, "kind": "bench", "parent": parent})
        for name, parent in (("a", "b"), ("b", "a"), ("c", None))
    ]
    assert [*round_order.walk(House(rows).book())] == ["c", "a", "b"]


@given(st.lists(st.text("T1029-R", max_size=5)))
def test_labels_have_one_order_whatever_they_are_sorted_from(labels: list[str]) -> None:
    once = sorted(labels, key=round_order.label_key)
    labels.reverse()
    assert sorted(labels, key=round_order.label_key) == once
    assert all(round_order.by_label(one, other) <= 0 for one, other in pairwise(once))


def asked(house: House, at: str) -> list[tuple[str, str | None, str, bool]]:
    book, now = house.book(), instant(at)
    due = checks.due(book, day(at[:10]) - timedelta(days=7), day(at[:10]))
    return [
        (one.room, turn.batch, turn.doubt, turn.asked)
        for one in round_order.of_book(book, due, now)
        for turn in one.turns
    ]


def test_a_round_of_the_story_asks_for_what_is_due_and_unanswered() -> None:
    house = day_1()
    house.looked("2031-03-24 07:10", ("t1", "t2"))
    told = asked(house, "2031-03-24 09:00")
    assert [one[1] for one in told] == ["t1", "t2", "t3", "t4", "t5", "t6"]
    assert [one[3] for one in told] == [False, False, True, True, True, True]


def test_a_find_puts_its_tray_last_and_where_the_finder_worked_is_looked_over_too() -> None:
    house = day_1()
    house.looked("2031-05-03 09:00")
    house.add("entered", "citrus", "2031-05-03 10:00", {"who": "w2", "purpose": "weeding"}, by="w2")
    house.add("left", "citrus", "2031-05-03 12:00", {"who": "w2"}, by="w2")
    house.add("entered", "room", "2031-05-04 07:00", {"who": "w2", "purpose": "look"}, by="w2")
    house.find("t4", "2031-05-04 07:20")
    told = asked(house, "2031-05-04 08:00")
    assert [one[:3] for one in told][-2:] == [("room", "t6", "held"), ("room", "t4", "suspect")]
    assert ("citrus", None, "", True) in told


@pytest.mark.parametrize(
    ("at", "is_open"),
    [("2031-03-23 23:59", False), ("2031-03-24 00:00", True), ("2031-03-31 00:00", False)],
)
def test_a_check_is_open_between_its_two_instants(at: str, is_open: bool) -> None:
    book = day_1().book()
    week = [
        one
        for one in checks.due(book, day("2031-03-24"), day("2031-03-30"))
        if one.kind == "look_over" and one.params["week_of"] == "2031-03-24"
    ]
    assert {round_order.is_open(one, instant(at)) for one in week} == {is_open}


def test_a_tray_in_which_nothing_lives_is_not_walked_to() -> None:
    house = day_1()
    house.count("t6", 0, "2031-03-24 07:00")
    assert "t6" not in [one[1] for one in asked(house, "2031-03-24 09:00")]
