"""How a book is laid out: rooms, kin, and what it does with what nobody has described."""

import pytest

from nursery.domain import conditions, contacts, exposure, gates, holds
from nursery.domain.book import Book
from nursery.domain.gate import Act
from nursery.domain.terms import GrowingDays
from tests.domain.house import ROWS, House, day, day_1, instant, place

ROOMS = {
    "a bench in a room": ("bench", "room"),
    "a trap in a room": ("trap-a", "room"),
    "a room": ("room", "room"),
    "a room in a house": ("inner", "inner"),
    "a bed in a house": ("bed", "shade"),
    "a row of a terrace in no block": ("row-1", "tr3"),
    "a block": ("citrus", "citrus"),
    "the whole nursery": ("veshmere", "veshmere"),
    "a place whose surroundings nobody described": ("lost", "lost"),
    "a place that nobody described": ("attic", None),
}


def wide_house() -> House:
    more = (
        place("inner", "room", "shade"),
        place("bed", "bed", "shade"),
        place("row-1", "row", "tr3"),
        place("lost", "bench", "nowhere"),
    )
    return House([*ROWS, *more])


@pytest.mark.parametrize(("seat", "room"), ROOMS.values(), ids=ROOMS.keys())
def test_the_room_of_a_place(seat: str, room: str | None) -> None:
    """Rule E-2."""
    assert wide_house().book().rooms.get(seat) == room


def test_a_place_lies_in_all_that_is_around_it() -> None:
    book = wide_house().book()
    assert book.outward("bench") == ("bench", "room", "veshmere")
    assert set(book.subtree("shade")) == {"shade", "inner", "bed"}
    assert book.subtree("nowhere-at-all") == ("nowhere-at-all",)


def test_plants_in_a_place_that_nobody_described_are_in_a_room_of_its_own() -> None:
    house = wide_house()
    house.arrive("2031-03-03 07:30", ["x", "y"], place="attic")
    house.find("x", "2031-05-04 07:20")
    book = house.book()
    (incident,) = exposure.incidents(book)
    assert (incident.rooms, incident.exposed) == (("attic",), ("x", "y"))
    found = gates.answer(Act.MOVING_INSIDE, book.batches["y"], book, instant("2031-05-04 08:00"))
    assert found.code == "held_provisionally"


def mixed_in_a_ring(house: House) -> None:
    """Let U be made of V and T4, and V of U: two phones that wrote nonsense."""
    for child, parents in (("u", ("v", "t4")), ("v", ("u",))):
        body = {
            "parents": [{"id": name, "left": 1} for name in parents],
            "children": [{"id": child, "label": child, "count": 2, "place": "shade"}],
        }
        house.add("mixed", (child, *parents), "2031-04-01 08:00", body)


def test_a_ring_of_mixtures_ends() -> None:
    """Rule E-5."""
    house = day_1()
    mixed_in_a_ring(house)
    book = house.book()
    assert contacts.may_be(["t4"], book) == ("t4", "u", "v")
    assert contacts.may_be(["u"], book) == ("t4", "u", "v")
    assert book.ancestors("u") == ("t4", "v")
    assert set(book.parents_first) == set(book.batches)
    house.find("u", "2031-05-04 07:20")
    (incident,) = exposure.incidents(house.book())
    assert {"room", "shade"} == set(incident.rooms)


def test_a_batch_whose_parent_nobody_brought_in_inherits_no_hold_and_knows_no_term() -> None:
    """Rules G-3, Q-7."""
    house = day_1()
    stuck = {"batch": {"id": "cut", "label": "CUT"}, "cuttings": 20, "parents": ["ghost"]}
    house.add("stuck", "cut", "2031-05-01 09:00", stuck)
    book = house.book()
    assert "cut" not in holds.of_book(book)
    assert conditions.of_batch("cut", GrowingDays, day("2031-05-02"), book) == ()
    assert conditions.of_batch("ghost", GrowingDays, day("2031-05-02"), book) == ()


def test_two_ways_from_one_parent_lead_to_it_once() -> None:
    """The find is on a child of two siblings; their mother stood in the room as well."""
    house = day_1()
    for child, parents in (("a", ["t1"]), ("b", ["t1"]), ("c", ["a", "b"])):
        body = {
            "parents": [{"id": name, "left": 1} for name in parents],
            "children": [{"id": child, "label": child, "count": 2, "place": "shade"}],
        }
        house.add("joined", (child, *parents), "2031-04-01 08:00", body)
    house.find("c", "2031-05-04 07:20")
    (incident,) = exposure.incidents(house.book())
    assert incident.rooms == ("room", "shade")


def test_what_was_read_otherwise_stands_for_what_would_be_worked_out() -> None:
    book = wide_house().book()
    book.given(len_of_places, 7)
    assert book.once(len_of_places) == 7


def len_of_places(book: Book) -> int:
    return len(book.places)
