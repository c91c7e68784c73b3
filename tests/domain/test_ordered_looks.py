"""Look-overs that an order names by their days (rule C-12)."""

from datetime import date

import pytest

from nursery.domain import checks, ordered_looks, quarantine
from tests.domain.house import House, day, day_1, instant

DAYS = ["2031-08-13", "2031-08-27", "2031-09-10"]
STORM = "2031-08-13 08:42"


def ordered(about: str | tuple[str, ...] = "t1", at: str = STORM, **more: object) -> House:
    house = day_1()
    house.order(about, at, "look", "BO-3", looks_on=DAYS, **more)
    return house


def done(house: House, batch: str = "t1") -> list[bool]:
    return [one.done is not None for one in ordered_looks.of_batch(batch, house.book())]


@pytest.mark.parametrize(
    ("looks", "expected"),
    [
        ((), [False, False, False]),
        (("2031-08-13 10:00",), [True, False, False]),
        (("2031-08-12 10:00",), [False, False, False]),
        (("2031-08-14 10:00", "2031-08-26 10:00"), [True, False, False]),
        (("2031-08-30 10:00", "2031-09-10 10:00"), [False, True, True]),
        (("2031-11-20 10:00",), [False, False, True]),
    ],
)
def test_a_look_answers_the_day_it_was_made_on_or_after_and_no_later_one(
    looks: tuple[str, ...], expected: list[bool]
) -> None:
    house = ordered()
    for at in looks:
        house.looked(at, ("t1",))
    assert done(house) == expected


def test_a_blank_answers_nothing() -> None:
    house = ordered()
    house.looked("2031-08-13 10:00", ("t1",), answer="not_looked", why="too dark")
    assert done(house) == [False, False, False]


def test_an_order_reaches_its_own_plants_alone_and_one_about_a_room_all_in_it() -> None:
    assert done(ordered("t1"), "t2") == []
    assert done(ordered("room"), "t2") == [False, False, False]
    assert done(ordered("shade"), "t2") == []


def test_an_order_about_a_room_reaches_what_stood_there_then() -> None:
    house = day_1()
    house.add("moved", "t1", "2031-08-01 08:00", {"to": "shade"})
    house.order("room", STORM, "look", "BO-3", looks_on=DAYS)
    house.add("moved", "t2", "2031-08-20 08:00", {"to": "shade"})
    assert done(house, "t1") == []
    assert len(done(house, "t2")) == 3


def test_a_child_owes_what_its_parent_owed_at_its_birth_and_has_its_looks() -> None:
    house = ordered()
    house.looked("2031-08-13 10:00", ("t1",))
    parts = {
        "parents": [{"id": "t1", "left": 40}],
        "children": [{"id": "k", "label": "K", "count": 13, "place": "bench"}],
    }
    house.add("split", ("t1", "k"), "2031-08-20 09:00", parts)
    house.looked("2031-08-27 10:00", ("t1",))
    house.order(("t1", "room"), "2031-08-28 09:00", "look", "BO-4", looks_on=["2031-09-01"])
    assert done(house, "k") == [True, False, False, False]
    assert done(house, "t1") == [True, True, False, False]
    house.looked("2031-08-27 11:00", ("k",))
    assert done(house, "k")[:2] == [True, True]


def test_a_parent_that_the_book_does_not_know_adds_nothing() -> None:
    house = day_1()
    new = {"id": "k", "label": "K", "place": "bench"}
    cuttings = {"batch": new, "cuttings": 5, "parents": ["lost"]}
    house.add("stuck", "k", "2031-08-20 09:00", cuttings)
    assert done(house, "k") == []


def test_a_release_waits_for_each_look_and_for_the_last_of_the_days() -> None:
    house = ordered()
    house.looked("2031-08-13 10:00", ("t1",))
    book = house.book()
    clock = quarantine.clock(book.batches["t1"], book)
    assert clock is not None
    assert clock.earliest == date(2031, 9, 10)
    missing = [one.params for one in clock.unmet if one.code == "ordered_look_missing"]
    assert missing == [{"reference": "BO-3", "on": on} for on in DAYS[1:]]


def test_a_day_named_beside_the_looks_is_the_earliest_if_it_is_later() -> None:
    book = ordered(not_before="2031-09-20").book()
    clock = quarantine.clock(book.batches["t1"], book)
    assert clock is not None
    assert clock.earliest == date(2031, 9, 20)


def due(house: House, first: str, last: str) -> list[tuple[str, str | None]]:
    found = checks.due(house.book(), day(first), day(last))
    return [(one.params["on"], one.answered_by) for one in found if one.kind == "ordered_look"]


def test_each_look_is_due_on_its_day_and_stays_until_it_is_made() -> None:
    house = ordered()
    assert due(house, "2031-08-01", "2031-08-12") == []
    assert due(house, "2031-08-13", "2031-08-20") == [("2031-08-13", None)]
    assert due(house, "2031-08-28", "2031-08-29") == [("2031-08-13", None), ("2031-08-27", None)]
    house.looked("2031-08-13 10:00", ("t1",))
    (answered,) = due(house, "2031-08-13", "2031-08-20")
    assert answered[1] is not None
    assert due(house, "2031-08-20", "2031-08-26") == []


def test_plants_that_are_gone_owe_no_look() -> None:
    house = ordered()
    house.add("lost", "t1", "2031-08-20 09:00", {"count": 53, "fate": "culled"})
    assert due(house, "2031-08-21", "2031-09-30") == []
    assert due(house, "2031-08-13", "2031-09-30") == [("2031-08-13", None)]
    assert instant("2031-08-20 09:00") == house.batch("t1").gone_at
