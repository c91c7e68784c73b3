"""A row planted by taps: what is carried out, put in, left empty, broken and brought back."""

from typing import Any

from nursery.domain import fold
from nursery.domain.field import plan
from nursery.domain.field.filling import Place
from nursery.domain.reference import read
from nursery.domain.reference.layouts import Layout
from tests.domain.house import House

ROW = "tr4.2"


def house() -> House:
    house = House()
    house.arrive("2032-03-01 09:00", ("t2",))
    house.count("t2", 54, "2032-03-01 10:00")
    house.add("carried", ("t2", "tr4"), "2032-03-12 05:30", {**_way("out", 50)})
    return house


def _way(way: str, plants: int) -> dict[str, Any]:
    return {"way": way, "plants": plants, "block": "tr4"}


def put(house: House, at: str, *holes: str, kind: str = "planted", batch: str = "t2") -> None:
    body = {"block": "tr4", "row": "2", "positions": list(holes)}
    about = (batch, ROW) if batch else (ROW,)
    house.add(kind, about, f"2032-03-12 {at}", body)


def test_what_is_carried_out_is_planted_broken_or_back() -> None:
    """Rule F-9: fifty go out, two holes, one is broken, forty come back: seven are missing."""
    told = house()
    put(told, "07:30", "13")
    put(told, "07:31", "14")
    broken = {"count": 1, "fate": "culled", "cause": "broken_in_transit", "carried": True}
    told.add("lost", "t2", "2032-03-12 07:40", broken)
    told.add("carried", ("t2", "tr4"), "2032-03-12 16:20", _way("back", 40))
    batch = fold.batch("t2", told.entries)
    assert (batch.out, batch.alive, batch.ledger.planted) == (7, 51, 2)


def test_a_plant_that_two_phones_told_of_leaves_its_batch_once() -> None:
    """Rule F-9: the phone that died told of its row after all."""
    told = house()
    put(told, "11:19", "13", "14")
    put(told, "11:40", "14", "15")
    batch = fold.batch("t2", told.entries)
    assert (batch.out, batch.ledger.planted) == (47, 3)
    [doubt] = fold.place(ROW, told.entries).doubts
    assert (doubt.code, doubt.params["position"]) == ("planted_twice", "14")


def test_a_gap_that_is_filled_takes_one_more_plant_of_the_batch() -> None:
    """Rule F-9."""
    told = house()
    put(told, "11:19", "13")
    put(told, "11:40", "13", kind="refilled")
    assert fold.batch("t2", told.entries).ledger.planted == 2


def test_carrying_out_what_is_held_is_kept_and_doubted() -> None:
    """Rules F-9, H-4."""
    told = House()
    told.arrive("2032-03-01 09:00", ("t2",))
    told.count("t2", 54, "2032-03-01 10:00")
    told.order("t2", "2032-03-02 09:00", "hold", "Q-1")
    told.add("carried", ("t2", "tr4"), "2032-03-12 05:30", _way("out", 50))
    batch = fold.batch("t2", told.entries)
    assert batch.out == 50
    assert "against_hold" in {doubt.code for doubt in batch.doubts}


def test_a_row_keeps_who_stands_in_it_and_what_was_left_empty() -> None:
    """Rules F-1, F-4: a hole that is planted after all is empty no more."""
    told = house()
    put(told, "07:30", "13", "14")
    put(told, "07:31", "14", "15", "16", kind="left_empty", batch="")
    put(told, "07:32", "16")
    seen = [{"position": "13", "state": "dead", "cause": "drought"}]
    survey = {"block": "tr4", "row": "2", "seen": seen}
    told.add("surveyed", ROW, "2032-09-13 09:00", survey)
    row = fold.place(ROW, told.entries).phone()
    states = {name: (one["batch"], one["state"]) for name, one in row["positions"].items()}
    assert states == {"13": ("t2", "dead"), "14": ("t2", "alive"), "16": ("t2", "alive")}
    assert row["positions"]["13"]["cause"] == "drought"
    assert row["left_empty"] == ["15"]


def test_no_other_row_and_no_block_keeps_what_one_row_keeps() -> None:
    """Rule F-1."""
    told = house()
    put(told, "07:30", "13")
    told.add(
        "planted", ("t2", "tr4", ROW), "2032-03-12 07:31", {"block": "tr4", "positions": ["x"]}
    )
    assert set(fold.place(ROW, told.entries).phone()["positions"]) == {"13"}
    assert set(fold.place("tr4", told.entries).phone()["positions"]) == {"x"}


def test_positions_are_numbered_from_the_painted_end_those_of_shelter_trees_apart() -> None:
    """Rule F-8."""
    rows = [
        {"number": 1, "first": 1, "holes": 3},
        {"number": 2, "first": 1, "holes": 2, "stands": "shelter"},
        {"number": 3, "first": 4, "holes": 2},
    ]
    meant = [{"batch": "t2", "first": 1, "last": 4}, {"batch": "t3", "first": 5, "last": 5}]
    layout = read("layout", "tr4", {"rows": rows, "meant": meant})
    assert isinstance(layout, Layout)
    assert [list(plan.names(row)) for row in layout.rows] == [
        ["1", "2", "3"],
        ["S1", "S2"],
        ["4", "5"],
    ]
    assert list(plan.seats(layout)) == ["tr4.1", "tr4.2", "tr4.3"]
    assert plan.places(layout)["5"] == Place(2, 2)
    assert set(plan.places(layout)) == {"1", "2", "3", "4", "5"}
    assert plan.meant(layout) == {"1": "t2", "2": "t2", "3": "t2", "4": "t2", "5": "t3"}
