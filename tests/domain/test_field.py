"""A terrace of the story: planted by tray, counted after six months, nine holes filled."""

from typing import Any

import pytest

from nursery.domain.field import filling, survival
from nursery.domain.field.filling import Place
from nursery.domain.kinds.field import Placing, Standing
from nursery.domain.occupants import Field, Occupant, Sight, occupants, told_by
from nursery.domain.reference.layouts import Rule
from nursery.domain.timeline import standing
from tests.domain.house import House, day, instant

PLANTED, COUNTED, FILLED = "2032-03-12 14:00", "2032-09-13 09:00", "2032-10-01 08:00"


def plant(house: House, batch: str, *positions: str, at: str = PLANTED, **more: Any) -> str:
    kind = more.pop("kind", "planted")
    body = {"block": "tr3", "positions": list(positions)}
    return house.add(kind, (batch, "tr3"), at, body, **more)


def survey(house: House, at: str = COUNTED, **states: str) -> str:
    seen = [
        {"position": name.removeprefix("p"), "state": state, "cause": "drought"}
        for name, state in states.items()
    ]
    return house.add("surveyed", "tr3", at, {"block": "tr3", "seen": seen})


def field_of(house: House) -> Field:
    entries = standing(house.entries).entries
    told = [told_by(entry) for entry in entries if isinstance(entry.body, Placing)]
    return occupants("tr3", told, house.book().day)


def test_plants_stand_where_they_were_put_with_their_batch_and_day() -> None:
    """Rule F-1."""
    house = House()
    plant(house, "t1", "1", "2")
    plant(house, "t2", "3")
    house.add("planted", ("t2", "tr4"), PLANTED, {"block": "tr4", "positions": ["1"]})
    found = field_of(house)
    assert {name: one.batch for name, one in found.standing.items()} == {
        "1": "t1", "2": "t1", "3": "t2",
    }  # fmt: skip
    assert {one.on for one in found.first} == {day("2032-03-12")}
    assert found.doubts == ()


@pytest.mark.parametrize(
    ("second", "kind", "code", "stands", "plants"),
    [
        ("t2", "planted", "planted_twice", "t2", 1),
        ("t1", "planted", "planted_twice", "t1", 1),
        ("t2", "refilled", "filled_living", "t2", 2),
    ],
)
def test_a_hole_that_two_told_of_is_kept_and_doubted(
    second: str, kind: str, code: str, stands: str, plants: int
) -> None:
    """Rule F-2."""
    house = House()
    first = plant(house, "t1", "1")
    then = plant(house, second, "1", at="2032-03-12 14:05", kind=kind)
    found = field_of(house)
    assert found.standing["1"].batch == stands
    assert len(found.positions["1"]) == plants
    [doubt] = found.doubts
    assert (doubt.code, doubt.entries) == (code, (first, then))


def test_what_is_planted_anew_is_no_first_planting() -> None:
    """Rules F-1, F-5: replacements never enter the first planting's survival."""
    house = House()
    plant(house, "t1", "1", "2", "3", "4")
    survey(house, p1="dead", p2="alive", p3="missing", p4="rootstock_only")
    plant(house, "t6", "1", "3", at=FILLED, kind="refilled")
    plant(house, "t6", "4", at=FILLED)
    survey(house, "2033-03-12 09:00", p1="dead", p2="alive", p3="alive", p4="alive")
    found = field_of(house)
    assert [one.first for one in found.positions["1"]] == [True, False]
    assert [one.first for one in found.positions["4"]] == [True, False]
    assert {one.batch for one in found.first} == {"t1"}
    assert survival.count(found.first).alive == 1
    assert survival.count(found.standing.values()).alive == 3
    every = [one for told in found.positions.values() for one in told]
    assert survival.curve(every) == survival.curve(found.first)


def test_a_position_that_nobody_planted_was_looked_at() -> None:
    """Rule F-3."""
    house = House()
    looked = survey(house, p7="dead")
    found = field_of(house)
    assert found.standing == {}
    [doubt] = found.doubts
    assert (doubt.code, doubt.entries, doubt.params) == (
        "looked_at_nothing", (looked,), {"position": "7"},
    )  # fmt: skip


def test_what_is_found_alive_later_was_not_gone() -> None:
    """Rule F-4."""
    house = House()
    plant(house, "t1", "1", "2")
    survey(house, p1="missing", p2="dead")
    survey(house, "2032-09-20 09:00", p1="alive", p2="missing")
    one, two = field_of(house).first
    assert (one.lives, one.gone_on, one.state) == (True, None, Standing.ALIVE)
    assert (two.lives, two.gone_on, two.state) == (False, day("2032-09-13"), Standing.MISSING)


def test_planted_is_alive_and_gone_by_cause() -> None:
    house = House()
    plant(house, "t1", "1", "2", "3", "4", "5")
    survey(house, p1="dead", p2="alive", p3="missing", p4="rootstock_only")
    house.add(
        "surveyed", "tr3", "2032-09-14 09:00",
        {"block": "tr3", "seen": [{"position": "5", "state": "dead"}]},
    )  # fmt: skip
    found = survival.count(field_of(house).first)
    assert (found.planted, found.alive, found.gone) == (5, 1, 4)
    assert (found.dead, found.missing, found.rootstock_only) == (2, 1, 1)
    assert found.planted == found.alive + found.dead + found.missing + found.rootstock_only
    assert found.causes == {"drought": 3, "unknown": 1}


def test_a_terrace_survives_by_its_share_and_plants_nobody_looked_at_say_nothing() -> None:
    """Rule F-5: 40 of 50 seen alive after 185 days."""
    house = House()
    plant(house, "t1", *(str(n) for n in range(60)))
    survey(house, **{f"p{n}": "dead" if n < 10 else "alive" for n in range(50)})
    curve = survival.curve(field_of(house).first)
    assert curve.times == (185.0,)
    assert curve.survival == pytest.approx((0.8,))


def test_batches_are_compared_once_two_were_looked_at() -> None:
    """Rule F-6."""
    house = House()
    plant(house, "t1", *(str(n) for n in range(20)))
    plant(house, "t2", *(str(n) for n in range(20, 40)))
    assert survival.compare(by_batch(house)) is None
    survey(house, **{f"p{n}": "dead" if 20 <= n < 32 else "alive" for n in range(40)})
    told = survival.compare(by_batch(house))
    assert told is not None
    assert told.p < 0.001


def test_up_to_a_hundred_groups_are_compared() -> None:
    """Rule F-6."""
    on, at = day("2031-09-01"), instant("2031-09-01 09:00")
    dead = (Sight(day("2032-03-01"), Standing.DEAD, None, "look"),)
    lives = (Sight(day("2032-03-01"), Standing.ALIVE, None, "look"),)
    groups = {
        str(n): [Occupant(f"p{n}", str(n), on, "e", True, at, dead if n % 3 else lives)]
        for n in range(survival.MOST_GROUPS + 1)
    }
    assert survival.compare(groups) is None
    groups.pop("0")
    told = survival.compare(groups)
    assert told is not None
    assert told.chi_square > 0


def by_batch(house: House) -> dict[str, list[Occupant]]:
    first = field_of(house).first
    return {name: [one for one in first if one.batch == name] for name in ("t1", "t2")}


ROW = {str(n): Place(5, n) for n in range(1, 71)}


def row_five(*gone: int) -> Field:
    house = House()
    plant(house, "t1", *ROW)
    survey(house, **{f"p{n}": "dead" if n in gone else "alive" for n in range(1, 71)})
    return field_of(house)


LAST_TEN = (*range(61, 65), *range(66, 71))


@pytest.mark.parametrize(
    ("gone", "rule", "filled"),
    [
        ((3, 30, *LAST_TEN), Rule.CLUSTERS, LAST_TEN),
        ((3, 30, *LAST_TEN), Rule.ALL, (3, 30, *LAST_TEN)),
        ((3, 30, *LAST_TEN), Rule.FOREST, ()),
        ((3, *range(10, 24)), Rule.FOREST, tuple(range(10, 24))),
        ((3, 4, 30, 31), Rule.CLUSTERS, ()),
        ((), Rule.ALL, ()),
    ],
)
def test_holes_are_filled_by_the_rule_of_the_block(
    gone: tuple[int, ...], rule: Rule, filled: tuple[int, ...]
) -> None:
    """Rules F-7, F-8."""
    told = filling.filling(row_five(*gone), ROW, rule, reserve=7)
    assert told.holes == tuple(str(n) for n in filled)
    assert sorted(told.holes + told.left) == sorted(str(n) for n in gone)
    assert told.short == max(0, len(filled) - 7)


def test_half_of_a_group_that_was_filled_leaves_the_other_half_to_fill() -> None:
    """Rule F-7: the reserve did for seven of nine, so two are still short."""
    house = House()
    plant(house, "t1", *ROW)
    survey(house, **{f"p{n}": "dead" for n in LAST_TEN})
    plant(house, "t6", *(str(n) for n in LAST_TEN[:7]), at=FILLED, kind="refilled")
    told = filling.filling(field_of(house), ROW, Rule.CLUSTERS, reserve=0)
    assert (told.holes, told.left, told.short) == (("69", "70"), (), 2)


def test_rows_that_are_next_have_neighbours_and_holes_without_a_place_have_none() -> None:
    """Rule F-8."""
    places = {"a": Place(1, 4), "b": Place(2, 5), "c": Place(3, 6), "d": Place(5, 6)}
    groups = filling.clusters({"a", "b", "c", "d", "x"}, places)
    assert groups == [{"a", "b", "c"}, {"d"}, {"x"}]


def test_a_position_that_the_layout_does_not_know_comes_first() -> None:
    house = House()
    plant(house, "t1", "x", "2")
    survey(house, px="dead", p2="dead")
    assert filling.filling(field_of(house), ROW, Rule.ALL, 5).holes == ("x", "2")
