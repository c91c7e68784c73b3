"""Which conditions reach a consignment whose clock runs already, told for each of them."""

from typing import Any

import pytest

from nursery.domain import outlook
from tests.domain.house import House, instant, term, with_terms

OLD = term("days", "growing_days", {"days": 180}, since="2030-01-01")
NEW = {"since": "2031-04-01"}
CASES: dict[str, tuple[list[dict[str, Any]], dict[str, str]]] = {
    "held when the clock started": ([OLD], {"days": "term_applies"}),
    "newer, and says nothing of those inside": (
        [OLD, term("more", "growing_days", {"days": 200}, **NEW)],
        {"days": "term_applies", "more": "term_too_new"},
    ),
    "newer, and reaches those inside": (
        [OLD, term("more", "growing_days", {"days": 200}, **NEW, reaches_running=True)],
        {"days": "term_replaced", "more": "term_applies"},
    ),
    "will reach those inside": (
        [
            OLD,
            term("more", "growing_days", {"days": 200}, since="2031-07-01", reaches_running=True),
        ],
        {"days": "term_applies", "more": "term_to_come"},
    ),
    "a listing, whatever the clock": (
        [term("pests", "listed", {"pests": ["blackfly"]}, **NEW)],
        {"pests": "term_applies"},
    ),
    "days off that are still to come": (
        [term("off", "days_off", {"weekdays": [7]}, since="2031-07-01")],
        {"off": "term_to_come"},
    ),
    "two inspections are two": (
        [term(f"i{n}", "inspection", {"number": n}) for n in (1, 2)],
        {"i1": "term_applies", "i2": "term_applies"},
    ),
}


def told(house: House) -> dict[str, str]:
    (one,) = outlook.compose(house.book(), instant("2031-06-01 12:00"))["consignments"]
    return {said["id"]: said["reach"]["code"] for said in one["terms"]}


@pytest.mark.parametrize(("some", "expected"), CASES.values(), ids=CASES.keys())
def test_whether_a_condition_reaches_a_running_clock(
    some: list[dict[str, Any]], expected: dict[str, str]
) -> None:
    """Rules T-1, T-2, T-3, T-5, T-6."""
    house = with_terms(*some)
    house.arrive("2031-03-03 07:30")
    assert told(house) == expected


def test_a_replaced_condition_names_the_day_of_the_newer() -> None:
    newer = term("more", "growing_days", {"days": 200}, **NEW, reaches_running=True)
    house = with_terms(OLD, newer)
    house.arrive("2031-03-03 07:30")
    (one,) = outlook.compose(house.book(), instant("2031-06-01 12:00"))["consignments"]
    said = next(said for said in one["terms"] if said["id"] == "days")
    assert said["says"] == {"days": 180}
    assert said["reach"]["params"] == {
        "since": "2030-01-01",
        "started": "2031-03-03",
        "by": "2031-04-01",
    }


def test_of_goods_to_come_they_are_told_as_for_plants_that_come_today() -> None:
    house = with_terms(OLD, term("more", "growing_days", {"days": 200}, **NEW))
    assert told(house) == {"days": "term_replaced", "more": "term_applies"}


def test_goods_that_nobody_typed_have_no_conditions_to_tell() -> None:
    house = with_terms(OLD)
    house.arrive("2031-03-03 07:30")
    house.rows["consignment"].clear()
    assert told(house) == {}
