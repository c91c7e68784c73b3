"""The call of day 10: budwood behind trays T2 and T5 is suspect; U may hold plants of T5."""

import pytest

from nursery.domain.assembled import fields
from nursery.domain.field import from_rows
from nursery.domain.trace import Consigned, Traced, to_hold, trace
from nursery.domain.trace_start import Start, batches_of
from nursery.domain.trace_ties import of_batches
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
    record = house.add("sent", "t2", "2032-09-01 09:00", body)
    found = told(house, "t2")
    assert found.sent == (Consigned(record, "t2", "Lower farm", 1, day("2032-09-01"), "SL-1"),)
    [written] = found.as_json()["sent"]
    assert written == {
        "entry": record, "batch": "t2", "receiver": "Lower farm", "plants": 1,
        "on": "2032-09-01", "paper": "SL-1",
    }  # fmt: skip


def starts(house: House, *of: str) -> tuple[str, ...]:
    book = house.book()
    some = fields(book.batches.values(), book.places.values(), book.day)
    return batches_of([Start.read(text) for text in of], book, some)


def shared() -> House:
    """The planted terraces, with a pruner that the quarantine room and the citrus block share."""
    house = planted()
    house.row("place", "room", {"name": "Room", "kind": "room", "shares": ["pruner 1"]})
    house.row("place", "citrus", {"name": "Citrus", "kind": "block", "shares": ["pruner 1"]})
    house.row(
        "consignment", "c-1", {"name": "Liners", "permit": "cq-118", "supplier": "Sarrow Budworks"}
    )
    new = {"id": "k", "label": "K", "place": "citrus"}
    house.add("taken_on", "k", "2031-03-01 09:00", {"batch": new, "alive": 9, "method": "full"})
    return house


@pytest.mark.parametrize(
    ("of", "expected"),
    [
        (("batch:t2",), ("t2",)),
        (("batch:t2", "batch:t5", "batch:none"), ("t2", "t5")),
        (("consignment:c-1",), ("t1", "t2", "t5")),
        (("supplier:Sarrow Budworks",), ("t1", "t2", "t5")),
        (("supplier:Nobody",), ()),
        (("place:bench",), ("t1", "t2", "t5")),
        (("place:tr3",), ("t1", "t2", "t5", "u")),
        (("place:citrus",), ("k",)),
        (("person:w1",), ("t2",)),
        (("thing:pruner 1",), ("k", "t1", "t2", "t5")),
        (("position:tr3/51",), ("t5",)),
        (("position:tr3/999",), ()),
        (("position:tr9/1",), ()),
    ],
)
def test_a_trace_begins_with_whatever_is_under_suspicion(
    of: tuple[str, ...], expected: tuple[str, ...]
) -> None:
    """Rule N-4."""
    house = shared()
    house.looked("2031-04-01 09:00", ("t2",))
    assert starts(house, *of) == expected


@pytest.mark.parametrize("text", ["", "batch", "batch:", "tray:t2"])
def test_what_is_no_start_is_said(text: str) -> None:
    with pytest.raises(ValueError, match="nothing that a trace begins with"):
        Start.read(text)


def test_a_start_is_written_as_it_is_read() -> None:
    assert str(Start.read("thing:water line 2")) == "thing:water line 2"


def test_who_worked_with_them_where_they_stood_and_the_tools_there_are_listed() -> None:
    """Rule N-5."""
    house = shared()
    house.looked("2031-04-01 09:00", ("t2",))
    house.looked("2031-05-02 09:00", ("t2",))
    house.add("moved", "t2", "2031-12-01 09:00", {"to": "shade"}, by="g")
    ties = of_batches(("t2", "none"), house.book())
    assert [(one["who"], one["since"], one["until"]) for one in ties["people"]] == [
        ("g", "2031-03-03", "2032-03-12"),
        ("w1", "2031-04-01", "2031-05-02"),
    ]
    assert ties["rooms"] == [
        {"place": "room", "since": "2031-03-03", "until": "2031-12-01"},
        {"place": "shade", "since": "2031-12-01", "until": None},
    ]
    assert ties["things"] == [{"thing": "pruner 1", "rooms": ["room"]}]


def test_rows_told_by_their_own_entries_are_the_field_that_the_states_tell() -> None:
    house = planted()
    house.add("refilled", ("t1", "tr3"), "2032-10-01 09:00", {"block": "tr3", "positions": ["1"]})
    told = house.add("planted", ("t1", "tr3"), PLANTED, {"block": "tr3", "positions": ["300"]})
    house.add("withdrawn", ("t1", "tr3"), "2032-03-12 15:00", corrects=told)
    # Another row's entry that names this one as well, and one about the block that plants nothing.
    house.add("planted", ("t1", "tr3"), PLANTED, {"block": "tr4", "positions": ["1"]})
    house.add("noted", "tr3", PLANTED, {"text": "dry"})
    book = house.book()
    by_states = fields(book.batches.values(), book.places.values(), book.day)["tr3"]
    about = [entry for entry in house.entries if "tr3" in entry.about]
    by_rows = from_rows.fields({"tr3": about}, book.day)
    assert list(by_rows) == ["tr3"]
    assert by_rows["tr3"] == by_states
    assert "300" not in by_states.positions


def test_a_plant_in_whose_place_another_stands_is_told_apart() -> None:
    """Rule N-2: the first planting's plant is traced, and so is that which fills its gap."""
    house = planted()
    house.add("refilled", ("t1", "tr3"), "2032-10-01 09:00", {"block": "tr3", "positions": ["1"]})
    found = told(house, "t2")
    assert (found.positions, found.living) == (49, 46)
    assert [one.position for one in found.before["tr3"]] == ["1"]
    assert found.sums()["replaced"] == 1
    assert [one.position for one in told(house, "t1").field["tr3"]][:2] == ["1", "92"]


def test_all_that_lives_or_was_planted_is_to_be_held() -> None:
    """Rule N-6: U is planted to the last plant, and T9 died to the last."""
    house = planted()
    house.arrive("2031-03-03 08:10", ("t9",))
    house.count("t9", 3, "2031-03-03 09:10")
    house.add("lost", "t9", "2031-05-01 09:00", {"count": 3, "fate": "died"})
    found = told(house, "t5", "t9")
    assert found.batches == ("t5", "t9", "u")
    assert to_hold(found, house.book()) == ("t5", "u")


def test_a_trace_in_json_has_what_was_made_apart_and_each_look_at_a_plant() -> None:
    written = told(planted(), "t2", "t5").as_json()
    assert (written["asked"], written["made"]) == (["t2", "t5"], ["u"])
    [block] = written["field"]
    assert block["plants"][0] == {
        "position": "1",
        "batch": "t2",
        "on": "2032-03-12",
        "first": True,
        "state": "dead",
        "cause": None,
        "seen": [{"on": "2032-09-13", "state": "dead", "cause": None}],
    }
    assert [one["position"] for one in block["plants"]][8:11] == ["9", "10", "11"]
