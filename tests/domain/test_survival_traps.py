"""Traps in the field: captures per trap and day, zero and not read apart, and the level to act."""

from datetime import timedelta
from typing import Any

import pytest

from nursery.domain.field import trapping
from nursery.domain.field.trapping import Reading
from tests.domain.house import House, day

HUNG, TODAY = day("2032-09-01"), day("2032-09-13")
FLY = "fly"


def trapped(house: House, at: str, count: int | None = None, **more: Any) -> None:
    catches = [] if not count else [{"pest": FLY, "count": count}]
    answer = "not_readable" if count is None else "read"
    house.add("trapped", "trap-a", at, {"answer": answer, "catches": catches, **more})


def read(house: House, hung: Any = HUNG) -> tuple[Reading, ...]:
    return trapping.readings("trap-a", hung, house.entries, house.book().day)


def told(house: House, **levels: float) -> dict[str, Any]:
    return trapping.of_traps({"trap-a": read(house), "trap-b": ()}, levels, TODAY)


def test_a_zero_and_a_trap_that_could_not_be_read_are_two_things() -> None:
    """Rule F-18."""
    house = House()
    trapped(house, "2032-09-05 08:00", 0)
    trapped(house, "2032-09-08 08:00", why="wet")
    zero, wet = read(house)
    assert (zero.read, zero.days, zero.caught) == (True, 4, {})
    assert (wet.read, wet.days, wet.why) == (False, None, "wet")
    assert [(one["read"], one["not_read"], one["trap_days"]) for one in told(house)["days"]] == [
        (1, 0, 4),
        (0, 1, 0),
    ]


@pytest.mark.parametrize(("replaced", "days"), [(False, 8), (True, 3)])
def test_the_days_of_a_trap_that_could_not_be_read_count_unless_it_was_changed(
    replaced: bool, days: int
) -> None:
    """Rule F-18."""
    house = House()
    trapped(house, "2032-09-05 08:00", 0)
    trapped(house, "2032-09-10 08:00", why="wet", replaced=replaced)
    trapped(house, "2032-09-13 08:00", 2)
    assert read(house)[-1].days == days


def test_a_trap_of_which_nobody_knows_since_when_it_hangs_begins_with_its_first_reading() -> None:
    """Rule F-18: the first servicing has no exposure, and no index (ISPM 26)."""
    house = House()
    trapped(house, "2032-09-05 08:00", 7)
    trapped(house, "2032-09-09 08:00", 2)
    assert [one.days for one in read(house, hung=None)] == [None, 4]
    some = {"trap-a": read(house, hung=None)[:1]}
    assert trapping.of_traps(some, {}, TODAY)["pests"] == []
    assert trapping.of_traps(some, {FLY: 0.5}, TODAY)["pests"] == [
        {"pest": FLY, "caught": 0, "index": None, "level": 0.5, "reached": None}
    ]


@pytest.mark.parametrize(
    ("level", "reached"), [(0.5, True), (0.51, False)], ids=["at the level", "below it"]
)
def test_captures_per_trap_and_day_are_held_to_the_level_of_the_pest(
    level: float, reached: bool
) -> None:
    """Rule F-18: six flies in twelve days; a catch that was corrected counts as corrected."""
    house = House()
    trapped(house, "2032-09-05 08:00", 9)
    first = house.raws[-1]["id"]
    body = {"answer": "read", "catches": [{"pest": FLY, "count": 1}, {"pest": FLY, "count": 3}]}
    house.add("trapped", "trap-a", "2032-09-05 08:00", body, corrects=first)
    trapped(house, "2032-09-13 08:00", 2)
    found = told(house, fly=level)
    assert (found["read"], found["trap_days"]) == (1, 12)
    assert found["pests"] == [
        {"pest": FLY, "caught": 6, "index": 0.5, "level": level, "reached": reached}
    ]
    assert [one["index"] for one in found["days"]] == [{FLY: 1.0}, {FLY: 0.25}]
    last, never = found["traps"]
    assert (last["on"], last["read"], last["days"], last["caught"]) == (
        *("2032-09-13", True, 8),
        {FLY: 2},
    )
    assert (never["trap"], never["on"], never["read"]) == ("trap-b", None, None)


def test_a_pest_without_a_level_reaches_none_and_old_readings_tell_nothing_of_today() -> None:
    """Rule F-18."""
    house = House()
    trapped(house, "2032-08-16 08:00", 40)
    trapped(house, "2032-09-13 08:00", 2)
    house.add("noted", "trap-a", "2032-09-13 08:05", {"text": "moved by a metre"})
    some = {
        "trap-a": trapping.readings("trap-a", day("2032-08-01"), house.entries, house.book().day)
    }
    found = trapping.of_traps(some, {}, TODAY)
    assert found["since"] == "2032-08-17"
    [fly] = found["pests"]
    assert (fly["caught"], fly["level"], fly["reached"]) == (2, None, None)


def test_what_a_trap_that_was_read_twice_on_a_day_caught_counts_without_more_days() -> None:
    """Rule F-18."""
    house = House()
    trapped(house, "2032-09-13 08:00", 1)
    trapped(house, "2032-09-13 16:00", 5)
    found = told(house)
    assert (found["trap_days"], found["pests"][0]["index"]) == (12, 0.5)
    today = told(House())
    assert (today["trap_days"], today["pests"], today["days"]) == (0, [], [])


@pytest.mark.parametrize(
    ("says", "state", "silent"),
    [
        ([], "never", None),
        ([("2032-09-12 08:00", 0)], "zero", 1),
        ([("2032-09-12 08:00", 2)], "caught", 1),
        ([("2032-09-12 08:00", 6)], "act", 1),
        ([("2032-08-30 08:00", 0)], "zero", 14),
        ([("2032-08-29 08:00", 0)], "late", 15),
        ([("2032-09-05 08:00", 0), ("2032-09-13 08:00", None)], "not_readable", 8),
        ([("2032-08-20 08:00", None)], "late", None),
    ],
    ids=["never", "zero", "caught", "act", "two weeks", "longer", "wet", "wet long ago"],
)
def test_a_trap_tells_by_its_own_last_reading(
    says: list[tuple[str, int | None]], state: str, silent: int | None
) -> None:
    """Rule F-19: a zero, a catch, a catch over the level and one not readable are apart."""
    house = House()
    for at, count in says:
        trapped(house, at, count)
    some = {"trap-a": read(house, day("2032-08-01") if state == "late" else HUNG)}
    [one] = trapping.of_traps(some, {FLY: 0.5}, TODAY)["traps"]
    assert (one["state"], one["silent"]) == (state, silent)


def test_after_how_many_days_it_says_nothing_is_the_nurserys_own() -> None:
    """Rule F-19."""
    house = House()
    trapped(house, "2032-09-12 08:00", 0)
    some = {"trap-a": read(house)}
    for days, state in ((1, "zero"), (0, "late")):
        [one] = trapping.of_traps(some, {}, TODAY, timedelta(days=days))["traps"]
        assert one["state"] == state


def test_a_catch_without_days_reaches_no_level() -> None:
    """Rule F-19: the first servicing has no exposure."""
    house = House()
    trapped(house, "2032-09-12 08:00", 60)
    [one] = trapping.of_traps({"trap-a": read(house, None)}, {FLY: 0.5}, TODAY)["traps"]
    assert (one["state"], one["index"]) == ("caught", {FLY: None})
