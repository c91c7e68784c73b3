"""Holds that have ended, so that labels which say otherwise are taken off (rule H-10)."""

import pytest

from nursery.domain import holds, past_holds
from tests.domain.house import House, instant


def standing(*trays: str) -> House:
    house = House()
    house.arrive("2031-03-03 07:30", trays, place="bench")
    for tray in trays:
        house.count(tray, 54, "2031-03-03 08:10")
    return house


def told(house: House) -> dict[str, tuple[str, str]]:
    return {one.subject: (one.by, one.reference) for one in past_holds.of_book(house.book())}


def test_a_batch_that_was_never_held_wears_no_such_label() -> None:
    assert told(standing("t1")) == {}


def test_an_order_about_a_batch_is_told_once_it_is_lifted() -> None:
    """Rule H-3."""
    house = standing("t1", "t2")
    house.order("t1", "2031-05-04 10:00", "hold", "Q-09")
    assert told(house) == {}
    house.order("t1", "2031-06-06 10:00", "lift", "LF-12", lifts="Q-09")
    (one,) = past_holds.of_book(house.book())
    assert (one.subject, one.by, one.reference) == ("t1", "order", "Q-09")
    assert (one.since, one.until) == (instant("2031-05-04 10:00"), instant("2031-06-06 10:00"))
    assert one.as_json() == {
        "subject": "t1",
        "by": "order",
        "reference": "Q-09",
        "since": "2031-05-04T00:00:00.000Z",
        "until": "2031-06-06T00:00:00.000Z",
    }


def test_a_batch_that_is_held_by_another_order_still_wears_its_label() -> None:
    house = standing("t1")
    house.order("t1", "2031-05-04 10:00", "hold", "Q-09")
    house.order("t1", "2031-05-05 10:00", "hold", "Q-10")
    house.order("t1", "2031-06-06 10:00", "lift", "LF-12", lifts="Q-09")
    assert told(house) == {}
    house.order("t1", "2031-06-07 10:00", "lift", "LF-13")
    assert told(house) == {"t1": ("order", "Q-10")}
    house.order("t1", "2031-07-01 10:00", "hold", "Q-11")
    assert told(house) == {}


def test_what_was_split_while_it_was_held_is_told_too() -> None:
    house = standing("t1", "t2")
    house.order("t1", "2031-05-04 10:00", "hold", "Q-09")
    child = {"id": "t1b", "label": "T1B", "count": 20}
    split = {"parents": [{"id": "t1", "left": 34}], "children": [child]}
    house.add("split", ("t1", "t1b"), "2031-05-10 08:00", split)
    house.order("t1b", "2031-06-06 10:00", "lift", "LF-12")
    assert told(house) == {"t1b": ("order", "Q-09")}
    house.order("t1", "2031-06-07 10:00", "lift", "LF-13")
    later = {"parents": [{"id": "t1", "left": 20}], "children": [{**child, "id": "t1c"}]}
    house.add("split", ("t1", "t1c"), "2031-06-08 08:00", later)
    assert told(house) == {"t1": ("order", "Q-09"), "t1b": ("order", "Q-09")}


def test_an_order_about_a_room_was_worn_by_the_room_and_by_what_stood_in_it() -> None:
    house = standing("t1", "t2")
    house.arrive("2031-03-03 07:30", ("t3",), place="shade")
    house.count("t3", 54, "2031-03-03 08:10")
    house.order("room", "2031-05-04 10:00", "hold", "Q-09")
    book = house.book()
    held = past_holds.places_held(book)
    assert {seat: [one.reference for one in some] for seat, some in held.items()} == {
        "room": ["Q-09"]
    }
    assert told(house) == {}
    house.order("room", "2031-06-06 10:00", "lift", "LF-12")
    order = ("order", "Q-09")
    assert told(house) == {"room": order, "t1": order, "t2": order}
    house.count("t2", 0, "2031-06-07 08:00")
    assert told(house) == {"room": order, "t1": order}


def test_a_find_that_was_lifted_is_told_for_all_that_it_put_in_doubt() -> None:
    """Rule E-9."""
    house = standing("t1", "t2")
    found = house.add("found", "t1", "2031-05-04 07:20", {"suspicion": True})
    book = house.book()
    (spell,) = past_holds.places_held(book)["room"]
    assert (spell.by, spell.reference) == ("find", found)
    assert told(house) == {}
    house.order("t2", "2031-05-10 10:00", "lift", "LF-11")
    assert told(house) == {"t2": ("find", found)}
    house.order("t1", "2031-06-06 10:00", "lift", "LF-12")
    assert told(house) == {
        "room": ("find", found),
        "t1": ("find", found),
        "t2": ("find", found),
    }
    assert past_holds.places_held(house.book()) == {}


def test_the_last_end_comes_first() -> None:
    house = standing("t1", "t2")
    for tray, on in (("t1", "06"), ("t2", "07")):
        house.order(tray, "2031-05-04 10:00", "hold", "Q-09")
        house.order(tray, f"2031-06-{on} 10:00", "lift", "LF-12")
    assert list(told(house)) == ["t2", "t1"]


@pytest.mark.parametrize("tray", ["t1", "t2"])
def test_whatever_is_held_now_is_never_told(tray: str) -> None:
    house = standing("t1", "t2")
    house.order("room", "2031-05-04 10:00", "hold", "Q-09")
    house.order("room", "2031-06-06 10:00", "lift", "LF-12")
    house.order(tray, "2031-06-08 10:00", "hold", "Q-12")
    book = house.book()
    ended = {one.subject for one in past_holds.of_book(book)}
    assert not ended & set(holds.of_book(book))
    assert tray not in ended


def test_of_several_holds_the_one_that_ended_last_is_told() -> None:
    house = standing("t1")
    house.order("t1", "2031-05-04 10:00", "hold", "Q-09")
    house.order("t1", "2031-05-05 10:00", "treat", "Q-09", times=2)
    house.order("t1", "2031-06-08 10:00", "lift", "LF-14")
    house.order("room", "2031-05-04 10:00", "hold", "Q-08")
    house.order("room", "2031-06-06 10:00", "lift", "LF-12")
    assert told(house)["t1"] == ("order", "Q-09")
