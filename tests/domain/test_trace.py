"""The call of day 10: budwood behind trays T2 and T5 is suspect; U may hold plants of T5."""

from nursery.domain.field.assembled import fields
from nursery.domain.trace import Consigned, Traced, trace
from tests.domain.house import House, day

PLANTED, COUNTED = "2032-03-12 14:00", "2032-09-13 09:00"
GONE = ("1", "2", "3", "4", "55", "56", "57")


def planted() -> House:
    """T2 gives 50, T5 41, U 8 to terrace 3; 7 of them are gone after six months."""
    house = House()
    house.arrive("2031-03-03 08:10", ("t1", "t2", "t5"))
    for tray, alive in (("t1", 53), ("t2", 54), ("t5", 52)):
        house.count(tray, alive, "2031-03-03 09:10")
    mixed = {
        "parents": [{"id": "t1", "left": 49}, {"id": "t5", "left": 48}],
        "children": [{"id": "u", "label": "U", "count": 8}],
    }
    house.add("mixed", ("t1", "t5", "u"), "2031-04-01 09:00", mixed)
    house.add("lost", "t2", "2031-05-01 09:00", {"count": 1, "fate": "died"})
    house.add("lost", "t5", "2031-05-01 09:00", {"count": 3, "fate": "died"})
    house.add("lost", "t2", "2031-06-01 09:00", {"count": 1, "fate": "sampled"})
    at = iter(range(1, 200))
    for batch, plants in (("t2", 50), ("t5", 41), ("u", 8), ("t1", 45)):
        positions = [str(next(at)) for _ in range(plants)]
        house.add("planted", (batch, "tr3"), PLANTED, {"block": "tr3", "positions": positions})
    seen = [
        {"position": str(n), "state": "dead" if str(n) in GONE else "alive"} for n in range(1, 145)
    ]
    house.add("surveyed", "tr3", COUNTED, {"block": "tr3", "seen": seen})
    return house


def told(house: House, *start: str) -> Traced:
    book = house.book()
    return trace(start, book, fields(book.batches.values(), book.places.values(), book.day))


def test_all_that_may_be_of_the_suspect_trays_is_found_with_what_lives() -> None:
    """Rules N-1, N-2: 99 positions, 92 of them alive."""
    found = told(planted(), "t2", "t5")
    assert found.batches == ("t2", "t5", "u")
    assert (found.positions, found.living) == (99, 92)
    assert list(found.field) == ["tr3"]
    assert found.reserve == {"t2": 2, "t5": 4}
    assert found.ended == {"t2": {"died": 1, "sampled": 1}, "t5": {"died": 3}}
    assert found.sent == ()


def test_a_mixed_batch_is_wholly_in_the_trace_of_each_parent() -> None:
    """Rule N-1."""
    by_first, by_second = told(planted(), "t1"), told(planted(), "t5")
    assert (by_first.positions, by_second.positions) == (53, 49)
    assert "u" in by_first.batches
    assert "u" in by_second.batches


def test_one_step_back_are_parents_and_goods() -> None:
    """Rule N-3."""
    found = told(planted(), "u")
    assert found.back == ("t1", "t5")
    assert found.consignments == ("c-1",)
    assert told(planted(), "nobody") == Traced((), (), (), (), {}, {}, {}, {}, ())


def test_who_received_plants_is_named_with_the_day_and_the_paper() -> None:
    """Rule N-2."""
    house = planted()
    body = {"receiver": "Lower farm", "plants": [{"id": "t2", "count": 1}], "paper": "SL-1"}
    house.add("sent", "t2", "2032-09-01 09:00", body)
    found = told(house, "t2")
    assert found.sent == (Consigned("t2", "Lower farm", 1, day("2032-09-01"), "SL-1"),)
