"""Shelter that is felled over held plants: kept, and doubted until the authority consented."""

import pytest

from nursery.domain import doubtful
from nursery.domain.outlook import compose
from tests.domain.house import House, instant

FELLED = "2034-11-01 08:00"


def planted(block: str = "tr4") -> House:
    house = House()
    house.row("place", "tr4", {"name": "Terrace 4", "kind": "terrace"})
    house.arrive("2031-03-01 09:00", ("t2",))
    house.count("t2", 54, "2031-03-01 10:00")
    body = {"block": block, "positions": ["1", "2"]}
    house.add("planted", ("t2", block), "2032-03-12 09:00", body)
    return house


def felled(house: House) -> list[tuple[str, list[str]]]:
    house.add("thinned", "tr4", FELLED, {"block": "tr4", "rows": ["7"], "percent": 50})
    book = house.book()
    doubts = doubtful.of_place(book.places["tr4"], book)
    return [(one.code, one.params["held_by"]) for one in doubts]


def test_trees_felled_over_held_plants_are_doubted() -> None:
    """Rule F-16."""
    house = planted()
    house.order("t2", "2034-10-01 09:00", "hold", "BW-31")
    assert felled(house) == [("against_hold", ["BW-31"])]


def test_with_the_authoritys_consent_they_are_not() -> None:
    """Rule F-16."""
    house = planted()
    house.order("t2", "2034-10-01 09:00", "hold", "BW-31")
    consent = {"what": "thinning", "reference": "C-4"}
    house.add("accepted", "t2", "2034-10-20 09:00", consent)
    assert felled(house) == []


@pytest.mark.parametrize(
    ("block", "held"), [("tr4", "2034-11-02 09:00"), ("tr5", "2034-10-01 09:00"), ("tr4", "")]
)
def test_plants_of_another_block_or_held_later_or_never_stand_against_nothing(
    block: str, held: str
) -> None:
    """Rule F-16."""
    house = planted(block)
    if held:
        house.order("t2", held, "hold", "BW-31")
    assert felled(house) == []


def test_phones_are_told_nothing_of_each_row_of_a_block() -> None:
    house = planted()
    house.row("layout", "tr4", {"rows": [{"number": 1, "first": 1, "holes": 9}]})
    body = {"block": "tr4", "row": "1", "positions": ["3"]}
    house.add("planted", ("t2", "tr4.1"), "2032-03-12 09:10", body)
    told = compose(house.book(), instant(FELLED))["places"]
    assert "tr4" in told
    assert "tr4.1" not in told
