"""An order about a block reaches what stands in its rows (rule F-29)."""

import pytest

from nursery.domain import doubtful, gates, grounds, holds
from nursery.domain.gate import Act
from nursery.domain.planting import facts
from nursery.domain.planting.facts import Group, of_block
from tests.domain.house import House, day, instant

NOW = "2032-09-14 08:00"
SHUT = ("moving", "moving_inside", "taking", "pruning", "potting", "sending", "planting")


def planted(*, surveyed: str | None = None, refilled: bool = False) -> House:
    """Return T2 with two plants in row 2 of terrace 4 and a reserve, and T3 in terrace 3."""
    house = House()
    house.row("consignment", "c-1", {"name": "Own seed", "without_conditions": True})
    house.row("place", "farm", {"name": "Farm", "kind": "block", "parent": "veshmere"})
    house.row("place", "tr4", {"name": "TR4", "kind": "terrace", "parent": "farm"})
    house.arrive("2031-03-03 07:30", ("t2", "t3", "t6"), place="shade")
    for tray in ("t2", "t3", "t6"):
        house.count(tray, 54, "2031-03-03 08:10")
    for tray, block, row in (("t2", "tr4", "2"), ("t3", "tr3", "1")):
        body = {"block": block, "row": row, "positions": ["13", "14"]}
        house.add("planted", (tray, f"{block}.{row}"), "2032-03-12 08:00", body)
    if surveyed:
        seen = [{"position": at, "state": surveyed} for at in ("13", "14")]
        look = {"block": "tr4", "row": "2", "seen": seen}
        house.add("surveyed", "tr4.2", "2032-09-01 08:00", look)
    if refilled:
        body = {"block": "tr4", "row": "2", "positions": ["13", "14"]}
        house.add("refilled", ("t6", "tr4.2"), "2032-09-02 08:00", body)
    return house


def held(house: House) -> dict[str, list[tuple[str, str | None]]]:
    found = holds.of_book(house.book())
    return {name: [(one.by, one.place) for one in some] for name, some in found.items()}


def test_a_row_lies_in_its_block_and_shares_its_room() -> None:
    """Rule F-29."""
    book = planted().book()
    assert book.outward("tr4.2") == ("tr4.2", "tr4", "farm", "veshmere")
    assert book.outward("nowhere.2") == ("nowhere.2",)
    assert book.room("tr4.2") == book.room("tr4") == "farm"


@pytest.mark.parametrize("about", ["tr4", "tr4.2", "farm"])
@pytest.mark.parametrize("act", SHUT)
def test_an_order_about_ground_shuts_every_act_but_care(about: str, act: str) -> None:
    """Rule F-29."""
    house = planted()
    house.order(about, "2032-09-13 14:00", "hold", "EM-77")
    book = house.book()
    found = gates.answer(Act(act), book.batches["t2"], book, instant(NOW))
    assert (found.answer.value, found.code) == ("no", "held_by_ground_order")
    assert found.params["place"] in {"TR4", "tr4.2", "Farm"}
    care = gates.answer(Act.TREATING, book.batches["t2"], book, instant(NOW))
    other = gates.answer(Act(act), book.batches["t3"], book, instant(NOW))
    assert (care.answer.value, other.answer.value) == ("yes", "yes")


def test_an_order_about_the_whole_nursery_is_told_once_for_plants_and_ground() -> None:
    """Rule F-29."""
    house = planted()
    house.order("veshmere", "2032-09-13 14:00", "hold", "EM-77")
    assert held(house)["t6"] == [("place_order", "veshmere")]
    assert held(house)["t2"] == [("ground_order", "veshmere"), ("place_order", "veshmere")]


@pytest.mark.parametrize(
    ("surveyed", "refilled", "who"),
    [
        (None, False, ["t2"]),
        ("dead", False, ["t2"]),
        ("rootstock_only", False, ["t2"]),
        ("missing", False, []),
        ("dead", True, ["t6"]),
    ],
)
def test_what_stands_there_is_held_dead_or_alive(
    surveyed: str | None, refilled: bool, who: list[str]
) -> None:
    """Rule F-29."""
    house = planted(surveyed=surveyed, refilled=refilled)
    house.order("tr4", "2032-09-13 14:00", "hold", "EM-77")
    assert sorted(held(house)) == who
    assert grounds.batches_in(house.book()).get("tr4.2", ()) == tuple(who)


@pytest.mark.parametrize(
    ("about", "lifts", "freed"),
    [("tr4", "EM-77", True), ("t2", None, True), ("t2", "EM-77", True), ("t2", "Q-9", False)],
)
def test_a_lift_of_the_order_or_about_the_plants_frees_them(
    about: str, lifts: str | None, freed: bool
) -> None:
    """Rules F-29, H-3."""
    house = planted()
    house.order("tr4", "2032-09-13 14:00", "hold", "EM-77")
    house.order(about, "2032-09-13 15:00", "lift", "L-1", lifts=lifts)
    assert ("t2" in held(house)) is not freed


def test_a_reserve_that_is_given_a_label_of_its_own_later_is_free() -> None:
    """Rule F-29."""
    house = planted()
    house.order("tr4", "2032-09-13 14:00", "hold", "EM-77")
    body = {
        "parents": [{"id": "t2", "left": 0}],
        "children": [{"id": "kid", "label": "KID", "count": 52, "place": "shade"}],
    }
    house.add("split", ("t2", "kid"), "2032-09-13 16:00", body)
    assert sorted(held(house)) == ["t2"]


def test_nothing_is_planted_on_held_ground() -> None:
    """Rule F-29: plants of another batch neither."""
    house = planted()
    house.order("farm", "2032-09-13 14:00", "hold", "EM-77")
    book = house.book()
    group = Group("t6", "T6", (book.batches["t6"],), ("tr4",), day("2032-09-20"))
    elsewhere = Group("t6", "T6", (book.batches["t6"],), ("tr3",), day("2032-09-20"))
    assert of_block("tr4", book, day("2032-09-14")).id == "tr4"
    assert facts._plants(group, 6, book, day("2032-09-14")).held
    assert not facts._plants(elsewhere, 6, book, day("2032-09-14")).held


@pytest.mark.parametrize("consented", [False, True])
def test_shelter_on_held_ground_is_felled_with_consent_alone(consented: bool) -> None:
    """Rules F-16, F-29: though the order is about the ground and no plant stands there."""
    house = planted(surveyed="missing")
    house.order("farm", "2032-09-13 14:00", "hold", "EM-77")
    if consented:
        body = {"what": "thinning", "reference": "C-4", "photo": "p"}
        house.add("accepted", "tr4", "2032-09-20 09:00", body)
    house.add("thinned", "tr4", "2032-11-01 08:00", {"block": "tr4", "rows": ["7"], "percent": 50})
    book = house.book()
    odd = [one.params["held_by"] for one in doubtful.of_place(book.places["tr4"], book)]
    assert odd == ([] if consented else [["EM-77"]])
