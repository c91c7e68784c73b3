"""What holds the positions of a block, one by one (rule F-40)."""

import pytest

from nursery.domain.assembled import of_book
from nursery.domain.field import held, positions
from nursery.domain.holds import Hold
from nursery.domain.reference import read
from nursery.domain.reference.layouts import Layout
from tests.domain.house import House, instant
from tests.domain.test_grounds import planted

ROWS = [
    {"number": 1, "first": 1, "holes": 10},
    {"number": 2, "first": 11, "holes": 5},
    {"number": 3, "first": 1, "holes": 2, "stands": "shelter"},
]


def told(house: House, block: str = "tr4") -> dict[str, list[tuple[str, str, str | None]]]:
    book, layout = house.book(), read("layout", block, {"rows": ROWS})
    assert isinstance(layout, Layout)
    standing = book.once(of_book)[block].standing
    found = held.positions(layout, standing, book)
    return {at: [(one.by, one.reference, one.place) for one in some] for at, some in found.items()}


@pytest.mark.parametrize("seen", [None, "alive", "dead", "missing", "rootstock_only"])
def test_a_position_is_held_with_the_batch_that_stands_there(seen: str | None) -> None:
    """Rule F-40: whether its plant lives or not."""
    house = planted(surveyed=seen)
    house.order("t2", "2032-09-13 14:00", "hold", "CALL-1")
    assert told(house) == {at: [("order", "CALL-1", None)] for at in ("13", "14")}


def test_a_plant_that_came_into_the_gap_is_of_another_batch() -> None:
    """Rule F-40."""
    house = planted(surveyed="dead", refilled=True)
    house.order("t2", "2032-09-13 14:00", "hold", "CALL-1")
    assert told(house) == {}


def test_held_ground_holds_every_position_of_the_crop_in_it() -> None:
    """Rules F-29, F-40: an order that holds plants and their ground is told once."""
    house = planted()
    house.order("tr4.2", "2032-09-13 14:00", "hold", "Q-1")
    ground = [("place_order", "Q-1", "tr4.2")]
    plants = [("ground_order", "Q-1", "tr4.2")]
    assert told(house) == {
        "11": ground, "12": ground, "13": plants, "14": plants, "15": ground,
    }  # fmt: skip


def test_an_order_about_other_ground_holds_no_position_here() -> None:
    """Rule F-40: the batch as a whole is held at every gate all the same."""
    house = planted()
    body = {"block": "tr4", "row": "1", "positions": ["1"]}
    house.add("planted", ("t3", "tr4.1"), "2032-03-12 09:00", body)
    house.order("tr3", "2032-09-13 14:00", "hold", "Q-1")
    assert told(house) == {}
    house.order("tr4.1", "2032-09-13 15:00", "hold", "Q-2")
    assert told(house)["1"] == [("ground_order", "Q-2", "tr4.1")]


def test_files_call_a_hold_by_its_order_and_a_find_by_its_kind() -> None:
    layout = read("layout", "tr4", {"rows": ROWS})
    assert isinstance(layout, Layout)
    since = instant("2032-09-13 14:00")
    some = (
        Hold("order", "CALL-1", since),
        Hold("find", "0190-find", since),
        Hold("breach", "0190-torn", since, orders=("Q-3", "Q-4")),
    )
    one = next(positions.told(layout, {}, {"1": some}, {}))
    assert one["held"] == "CALL-1, find, Q-3, Q-4"
    assert [hold["by"] for hold in one["holds"]] == ["order", "find", "breach"]
    assert "CALL-1, find, Q-3, Q-4" in positions.cells(one)
