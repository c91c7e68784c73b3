"""All in, all out: emptied, cleaned, empty for its hours, checked, and then open (A-1 to A-5)."""

from typing import Any

import pytest

from nursery.domain import all_out, doubtful, gates, outlook
from nursery.domain.gate import Act, Gate
from nursery.domain.place import Place
from tests.domain.house import PAPER, TERMS, TRAYS, House, day, day_1, instant, term

ALL_OUT = term("out", "all_out", {"empty_hours": 168})
Step = tuple[str, str, dict[str, Any]]

OUT = "2031-11-24 10:10"
EMPTIED: Step = ("emptied", "2031-11-24 11:30", {})
WASHED: Step = ("cleaned", "2031-11-25 07:30", {"product": "soap"})
CLEANED: Step = ("cleaned", "2031-11-26 10:00", {"product": "peroxide"})
CHECKED: Step = ("readied", "2031-12-03 10:30", {})


def full() -> House:
    house = day_1()
    terms = [*TERMS, ALL_OUT]
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
    dead = {"count": 2, "fate": "died", "kept": True}
    house.add("lost", "t5", "2031-03-24 07:40", dead, by="w1")
    return house


def burn(house: House, at: str = "2031-11-24 09:30", count: int = 2) -> None:
    share = [{"id": "t5", "count": count}]
    body = {"what": "bag", "method": "burned", "witness": "P", "plants": share}
    house.add("disposed", "t5", at, body)


def all_moved(house: House) -> None:
    house.release(TRAYS, "2031-11-24 08:30")
    for tray in TRAYS:
        house.add("moved", tray, OUT, {"to": "shade"})


def empty(*steps: Step) -> House:
    house = full()
    burn(house)
    all_moved(house)
    for kind, at, body in steps:
        house.add(kind, "room", at, body)
    return house


def ask(
    house: House, act: str = "accepting", at: str = "2031-12-03 12:00", room: str = "room"
) -> Gate:
    book = house.book()
    return gates.answer(Act(act), book.places.get(room) or Place(room), book, instant(at))


def said(gate: Gate) -> tuple[str, str]:
    return gate.answer.value, gate.code


@pytest.mark.parametrize(
    ("steps", "at", "expected"),
    [
        ((), "2031-12-03 12:00", ("wait", "not_emptied")),
        ((EMPTIED,), "2031-12-03 12:00", ("wait", "not_cleaned")),
        ((WASHED, CLEANED), "2031-12-03 12:00", ("wait", "not_emptied")),
        ((EMPTIED, WASHED, CLEANED), "2031-12-03 09:59", ("wait", "stays_empty")),
        ((EMPTIED, WASHED, CLEANED), "2031-12-03 10:00", ("wait", "not_checked")),
        ((EMPTIED, CLEANED, CHECKED), "2031-12-03 10:31", ("yes", "free_to_accept")),
        (
            (EMPTIED, CLEANED, ("readied", "2031-12-02 10:30", {})),
            "2031-12-03 10:31",
            ("wait", "not_checked"),
        ),
        (
            (("emptied", "2031-11-24 09:00", {}), CLEANED, CHECKED),
            "2031-12-03 10:31",
            ("wait", "not_emptied"),
        ),
    ],
)
def test_a_room_accepts_once_all_was_done_in_this_order(
    steps: tuple[Step, ...], at: str, expected: tuple[str, str]
) -> None:
    """Rule A-2; the story, day 7: from 3 December."""
    assert said(ask(empty(*steps), at=at)) == expected


def test_the_wait_says_until_when_and_of_a_day_whether_it_opens_on_it() -> None:
    house = empty(EMPTIED, CLEANED)
    gate = ask(house, at="2031-11-26 18:00")
    assert gate.opens_at == instant("2031-12-03 10:00")
    assert gate.params["hours"] == 168
    book = house.book()
    answers = {
        on: gates.on_day(Act.ACCEPTING, book.places["room"], book, day(on)).code
        for on in ("2031-12-02", "2031-12-03")
    }
    assert answers == {"2031-12-02": "stays_empty", "2031-12-03": "not_checked"}


def test_new_plants_begin_it_all_again() -> None:
    house = empty(EMPTIED, CLEANED, CHECKED)
    house.arrive("2031-12-04 08:00", ("n1",))
    house.count("n1", 10, "2031-12-04 08:10")
    gate = ask(house, at="2031-12-05 12:00")
    assert said(gate) == ("no", "room_has_plants")
    assert gate.params == {"labels": ["N1"], "alive": 10}


def test_a_room_is_not_empty_while_the_bag_is_in_it() -> None:
    """Rule A-1; the story, day 7."""
    house = full()
    all_moved(house)
    house.add("emptied", "room", "2031-11-24 11:30", {})
    for act in ("emptying", "accepting"):
        gate = ask(house, act)
        assert (said(gate), gate.params["n"]) == (("no", "bag_in_room"), 2)
    assert codes(house) == {"emptied_too_soon": {"plants": 0, "bags": 1}}
    burn(house, "2031-11-24 12:00", 1)
    assert said(ask(house, "emptying")) == ("no", "bag_in_room")
    burn(house, "2031-11-24 12:10", 1)
    assert said(ask(house, "emptying")) == ("yes", "free_to_empty")
    # The bag was burned after it was written empty, so somebody must look again.
    assert said(ask(house)) == ("wait", "not_emptied")
    assert "emptied_too_soon" in codes(house)


def codes(house: House, room: str = "room") -> dict[str, dict[str, Any]]:
    book = house.book()
    found = doubtful.of_place(book.places[room], book)
    return {one.code: one.params for one in found if one.settled_by is None}


def test_a_room_with_plants_is_not_empty_whatever_is_written() -> None:
    """Rule A-3."""
    house = full()
    burn(house)
    house.add("emptied", "room", "2031-11-24 11:30", {})
    assert codes(house) == {"emptied_too_soon": {"plants": 6, "bags": 0}}
    assert said(ask(house, "emptying")) == ("no", "room_has_plants")


def test_emptied_in_its_time_stays_so_when_plants_come_and_die_later() -> None:
    house = empty(EMPTIED, CLEANED, CHECKED)
    house.arrive("2031-12-04 08:00", ("n1",))
    house.count("n1", 10, "2031-12-04 08:10")
    dead = {"count": 10, "fate": "died", "kept": True}
    house.add("lost", "n1", "2031-12-05 08:10", dead)
    assert codes(house) == {}
    assert said(ask(house, "emptying")) == ("no", "bag_in_room")


@pytest.mark.parametrize(
    ("steps", "act", "on", "expected"),
    [
        ((EMPTIED, CLEANED), "arrival", "2031-12-02", ["booked_too_soon"]),
        ((EMPTIED, CLEANED), "arrival", "2031-12-03", []),
        ((EMPTIED,), "arrival", "2031-12-20", ["booked_too_soon"]),
        ((EMPTIED, CLEANED), "watering", "2031-12-02", []),
    ],
)
def test_new_plants_cannot_be_booked_before_the_room_accepts_them(
    steps: tuple[Step, ...], act: str, on: str, expected: list[str]
) -> None:
    """Rule A-4; the story, day 7."""
    house = empty(*steps)
    house.add("booked", "room", "2031-11-26 17:00", {"act": act, "on": on})
    assert list(codes(house)) == expected


def test_where_no_term_asks_for_an_empty_room_it_is_free() -> None:
    house = day_1()
    house.add("booked", "room", "2031-03-04 17:00", {"act": "arrival", "on": "2031-03-05"})
    assert said(ask(house, at="2031-03-04 18:00")) == ("yes", "free_to_accept")
    assert said(ask(house, "emptying", "2031-03-04 18:00")) == ("yes", "free_to_empty")
    assert codes(house) == {}


def test_a_held_room_takes_nobody_in() -> None:
    house = empty(EMPTIED, CLEANED, CHECKED)
    house.order("veshmere", "2031-12-03 11:00", "hold", "EM-9")
    gate = ask(house)
    assert said(gate) == ("no", "held_by_place_order")
    assert gate.params["place"] == "veshmere"
    house.order("veshmere", "2031-12-03 11:30", "lift", "LF-9", lifts="EM-9")
    assert said(ask(house)) == ("yes", "free_to_accept")
    house.order("nowhere", "2031-12-03 11:00", "hold", "EM-9")
    assert said(ask(house)) == ("yes", "free_to_accept")


def test_a_held_room_that_nobody_described_is_named_by_its_id() -> None:
    house = House()
    house.order("veshmere", "2031-12-03 11:00", "hold", "EM-9")
    book = house.book()
    places = {"cellar": book.places["veshmere"]}
    other = type(book)(book.zone, {}, places, {}, ())
    gate = gates.answer(Act.ACCEPTING, Place("cellar"), other, instant("2031-12-03 12:00"))
    assert gate.params["place"] == "cellar"


def test_of_a_place_that_nobody_described_nobody_can_tell() -> None:
    assert said(ask(House(), room="nowhere")) == ("cannot_tell", "unknown_place")


def test_a_bench_is_as_empty_as_its_room_and_tells_no_doubt_of_its_own() -> None:
    house = full()
    assert said(ask(house, "emptying", room="bench")) == ("no", "room_has_plants")
    house.add("emptied", "bench", "2031-11-24 11:30", {})
    assert codes(house, "bench") == {}


def test_a_room_is_told_with_its_benches_and_its_way_to_empty() -> None:
    house = empty(EMPTIED, CLEANED)
    house.add("watered", "bench", "2031-11-20 09:00")
    made = outlook.compose(house.book(), instant("2031-11-26 18:00"))
    room = made["places"]["room"]
    assert room["all_out"] == {
        "hours": 168,
        "plants": [],
        "bags": [],
        "in_bag": 0,
        "emptied_at": "2031-11-24T01:30:00.000Z",
        "cleaned_at": "2031-11-26T00:00:00.000Z",
        "accepts_from": "2031-12-03T00:00:00.000Z",
        "readied_at": None,
    }
    assert (room["accepting"]["answer"], room["emptying"]["answer"]) == ("wait", "yes")
    assert "all_out" not in made["places"]["bench"]
    assert "accepting" not in made["places"]["citrus"]


def second(place: str = "room", at: str = "2031-08-20 09:00") -> House:
    house = full()
    house.row("consignment", "c-2", {"name": "Bananas", "permit": "cq-118"})
    house.arrive(at, ("n1",), place, consignment="c-2")
    house.count("n1", 400, at)
    return house


def unasked(house: House, batch: str) -> list[tuple[tuple[str, ...], dict[str, Any]]]:
    book = house.book()
    found = doubtful.of_batch(book.batches[batch], book)
    return [(one.entries, one.params) for one in found if one.code == "put_in_unasked"]


def test_new_plants_put_beside_others_unasked_are_doubted_with_all_that_stand_there() -> None:
    """Rule A-5."""
    house = second()
    about = (("n1",), {"label": "N1", "place": "room"})
    assert unasked(house, "n1") == unasked(house, "t1") == [about]
    book = house.book()
    gate = gates.answer(Act.RELEASING, book.batches["t1"], book, instant("2031-11-24 09:00"))
    assert "doubt_open" in {part.code for part in gate.parts}


@pytest.mark.parametrize(
    ("what", "photo", "doubted"),
    [("arrival", PAPER, False), ("arrival", None, True), ("potting", PAPER, True)],
)
def test_the_authoritys_word_on_paper_lets_them_in(
    what: str, photo: str | None, doubted: bool
) -> None:
    house = second()
    body = {"what": what, "reference": "P-40", "photo": photo}
    house.add("accepted", "room", "2031-08-19 09:00", body)
    assert bool(unasked(house, "n1")) is doubted


def test_plants_of_the_same_day_in_another_room_or_after_the_others_left_are_no_matter() -> None:
    assert unasked(second(at="2031-03-03 11:00"), "n1") == []
    assert unasked(second(place="shade"), "n1") == []
    house = empty(EMPTIED, CLEANED, CHECKED)
    house.row("consignment", "c-2", {"name": "Bananas", "permit": "cq-118"})
    house.arrive("2031-12-04 09:00", ("n1",), "room", consignment="c-2")
    assert unasked(house, "n1") == []


def test_what_is_made_of_plants_came_with_them() -> None:
    house = full()
    new = {"id": "k", "label": "K", "count": 10, "place": "bench"}
    parts = {"parents": [{"id": "t1", "left": 43}], "children": [new]}
    house.add("split", ("t1", "k"), "2031-08-20 09:00", parts)
    cuttings = {"batch": {"id": "m", "label": "M", "place": "bench"}, "cuttings": 5}
    house.add("stuck", "m", "2031-08-20 09:00", {**cuttings, "parents": ["t2", "lost"]})
    assert unasked(house, "k") == unasked(house, "m") == []


def test_plants_brought_in_twice_are_one_matter_and_a_room_without_a_row_goes_by_its_id() -> None:
    house = second()
    house.add("moved", "n1", "2031-08-21 09:00", {"to": "shade"})
    house.add("moved", "n1", "2031-08-22 09:00", {"to": "bench"})
    assert len(unasked(house, "n1")) == 1
    other = full()
    for tray in ("t1",):
        other.add("moved", tray, "2031-08-01 09:00", {"to": "cellar"})
    other.row("consignment", "c-2", {"name": "Bananas", "permit": "cq-118"})
    other.arrive("2031-08-20 09:00", ("n1",), "cellar", consignment="c-2")
    assert unasked(other, "t1")[0][1]["place"] == "cellar"


def test_a_room_that_never_held_anything_is_empty() -> None:
    told = all_out.of_room("shade", full().book())
    assert (told.hours, told.plants, told.bags) == (None, (), ())
