"""Batches of which the same is told share one clock in the release file."""

from typing import Any

from nursery.domain.release_file.shared_clocks import clocks
from tests.domain.house import House, day, day_1

SEEN = {"inspector": "P", "answer": "nothing", "plants": 54, "active_growth": True}


def inspected(*trays: str) -> House:
    """Each tray has a record of its own inspection, of the same day."""
    house = day_1()
    for tray in trays:
        house.add("inspected", tray, "2031-08-27 09:00", SEEN)
    return house


def told(house: House, *trays: str) -> list[dict[str, Any]]:
    book = house.book()
    return clocks([book.batches[name] for name in trays], book, day("2031-08-31"))


def test_which_record_an_inspection_stands_in_parts_no_clock() -> None:
    house = inspected("t1", "t2")
    (clock,) = told(house, "t1", "t2")
    assert clock["batches"] == ["t1", "t2"]
    assert [one["code"] for one in clock["met"]] == ["inspected"]
    assert clock["released"] is None


def test_nor_does_it_where_an_inspection_lapses() -> None:
    house = inspected("t1", "t2")
    for tray in ("t1", "t2"):
        house.add("inspected", tray, "2031-08-29 09:00", SEEN)
    (clock,) = told(house, "t1", "t2")
    assert [one["code"] for one in clock["lapses"]] == ["inspection_lapses"]


def test_one_that_was_not_inspected_has_a_clock_of_its_own() -> None:
    shared = [one["batches"] for one in told(inspected("t1", "t2"), "t1", "t2", "t3")]
    assert shared == [["t1", "t2"], ["t3"]]


def test_of_one_notice_the_parts_of_its_batches_are_added_up() -> None:
    house = inspected("t1", "t2")
    shares = [{"id": "t1", "count": 53}, {"id": "t2", "count": 50}]
    house.release(("t1", "t2"), "2031-08-30 08:30", count=103, plants=shares)
    house.add("sent", "t2", "2031-08-30 10:00", {"to": "TR3", "plants": shares[1:]})
    (clock,) = told(house, "t1", "t2")
    released = clock["released"]
    assert (released["said"], released["alive"], released["out"]) == (103, 106, 0)


def test_a_part_that_nobody_wrote_leaves_the_sum_open() -> None:
    house = inspected("t1", "t2")
    house.release(("t1", "t2"), "2031-08-30 08:30", count=106)
    (clock,) = told(house, "t1", "t2")
    assert (clock["released"]["said"], clock["released"]["alive"]) == (None, 106)


def test_plants_under_no_conditions_have_no_clock_to_share() -> None:
    house = House()
    house.row("consignment", "c-1", {"name": "Own", "without_conditions": True})
    house.arrive("2031-03-03 07:30", ("t1",))
    assert told(house, "t1") == []
