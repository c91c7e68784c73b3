"""A survival count is a due check of its block (rules F-30, F-31)."""

from typing import Any

import pytest

from nursery.domain import checks
from nursery.domain.due_check import Check
from nursery.domain.errors import RowImpossible
from tests.domain.house import House, day

LAYOUT: dict[str, Any] = {
    "rows": [
        {"number": 1, "first": 1, "holes": 3},
        {"number": 2, "first": 1, "holes": 3, "stands": "shelter"},
    ],
    "count_months": [6, 1],
}
PLANTED = "2032-03-12 09:00"


def house(**more: Any) -> House:
    told = House()
    told.row("layout", "tr3", {**LAYOUT, **more})
    new = {"id": "t1", "label": "T1", "crop": "lime"}
    told.add("taken_on", "t1", "2032-03-01 09:00", {"batch": new, "alive": 9, "method": "full"})
    body = {"block": "tr3", "row": "1", "positions": ["1", "2"], "batch": "t1"}
    told.add("planted", ("t1", "tr3.1"), PLANTED, body)
    return told


def seen(told: House, at: str, position: str = "1") -> str:
    row = "2" if position.startswith("S") else "1"
    one = {"position": position, "state": "alive"}
    return told.add("surveyed", f"tr3.{row}", at, {"block": "tr3", "row": row, "seen": [one]})


def asked(told: House, first: str = "2032-03-12", last: str = "2032-12-31") -> list[Check]:
    found = checks.due(told.book(), day(first), day(last))
    return [one for one in found if one.kind == "survival"]


def months(found: list[Check]) -> list[int]:
    return [one.params["months"] for one in found]


def test_a_block_is_counted_at_its_chosen_months() -> None:
    one, six = asked(house())
    assert [one.params, six.params] == [
        {"months": 1, "on": "2032-04-12"},
        {"months": 6, "on": "2032-09-12"},
    ]
    book = house().book()
    assert {check.subject for check in (one, six)} == {"tr3"}
    assert (book.day(six.opens_at), book.day(six.due_by)) == (day("2032-09-12"), day("2032-10-03"))
    assert one.open
    assert six.open
    assert one.id != six.id


@pytest.mark.parametrize(
    ("at", "answers"),
    [
        ("2032-08-21 09:00", (False, False)),
        ("2032-08-22 09:00", (False, True)),
        ("2032-09-13 09:00", (False, True)),
        ("2032-11-30 09:00", (False, True)),
        ("2032-04-01 09:00", (True, False)),
    ],
)
def test_a_look_answers_a_count_from_three_weeks_before_its_day(
    at: str, answers: tuple[bool, bool]
) -> None:
    """Rule F-31. A look between the counts answers the first of them late."""
    told = house()
    entry = seen(told, at)
    one, six = asked(told)
    late = at.startswith("2032-08")
    assert one.answered_by == (entry if answers[0] or late else None)
    assert six.answered_by == (entry if answers[1] else None)


def test_a_count_that_was_missed_is_past_once_the_next_one_has_come() -> None:
    """Rule F-30: until then it stays, however late."""
    assert months(asked(house(), "2032-09-11", "2032-09-11")) == [1]
    assert months(asked(house(), "2032-09-12", "2032-09-12")) == [6]
    assert months(asked(house(), "2040-01-01", "2040-01-01")) == [6]
    assert months(asked(house(), "2032-03-12", "2032-04-11")) == []


def test_one_that_is_skipped_is_closed_with_its_reason() -> None:
    told = house()
    _, six = asked(told)
    body = {"check": six.id, "reason": "flood"}
    entry = told.add("skipped", "tr3", "2032-09-14 09:00", body)
    one, six = asked(told)
    assert (six.skipped_by, six.why, six.open) == (entry, "flood", False)
    assert one.open
    seen(told, "2032-09-20 09:00")
    assert asked(told)[1].skipped_by is None


def test_shelter_trees_and_blocks_without_plants_ask_for_nothing() -> None:
    told = house()
    seen(told, "2032-09-13 09:00", "S1")
    assert all(one.open for one in asked(told))
    told.row("layout", "tr4", LAYOUT)
    assert {one.subject for one in asked(told)} == {"tr3"}
    assert asked(house(count_months=[])) == []


def test_a_count_that_was_done_before_the_days_is_told_no_more() -> None:
    told = house()
    seen(told, "2032-09-13 09:00")
    assert asked(told, "2032-10-20", "2032-12-01") == []


def test_the_days_that_belong_to_one_count_are_the_layouts() -> None:
    """Rules F-30 and F-31."""
    told = house(count_days=8)
    early = seen(told, "2032-09-03 09:00")
    one, six = asked(told)
    assert (one.answered_by, six.answered_by) == (early, None)
    assert told.book().day(six.due_by) == day("2032-09-20")
    seen(told, "2032-09-04 09:00")
    assert asked(told)[1].answered_by is not None


@pytest.mark.parametrize(
    ("field", "value"),
    [("count_days", 0), ("count_days", 367), ("most_percent", 0), ("most_percent", 100.5)],
)
def test_days_and_shares_that_cannot_be_are_named(field: str, value: float) -> None:
    """Rules F-10 and F-17."""
    with pytest.raises(RowImpossible) as wrong:
        house(**{field: value})
    assert (wrong.value.params["field"], float(wrong.value.params["value"])) == (field, value)


def test_an_older_layout_has_the_usual_days_and_share() -> None:
    """Common practice, no source."""
    layout = house().book().row("layout", "tr3")
    assert (layout.count_days, layout.most_percent) == (21, 50.0)
