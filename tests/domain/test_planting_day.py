"""Go, wait or no-go on a planting day (rules V-1 to V-4)."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.planting import (
    LAW,
    Block,
    Check,
    Colour,
    Day,
    Levels,
    Odds,
    Plants,
    checks,
    verdict,
)
from nursery.domain.reason import Reason
from nursery.domain.toughening import Advice, Doing, Step

LEVELS = Levels()
OPEN = Step(Name("s0"), 0)
DONE = Advice(Doing.DONE, OPEN, ())
# The acceptance story, 9 March: 72 + 72 + 70 = 214 pits, wet to 22 cm, 31 °C, 6 people booked.
BLOCKS = (
    Block(Name("TR3"), 72, 72, 85, 80),
    Block(Name("TR4"), 72, 72, 90, 80),
    Block(Name("TR5"), 70, 70, 40, 80),
)
PLANTS = Plants(214, released=241, toughened=DONE, full_weeks=6)
DAY = Day(22, 3, 0.35, 31, 22, 6, 6)


def found(plants: Plants = PLANTS, day: Day = DAY, **levels: Any) -> tuple[Check, ...]:
    return checks(plants, day, BLOCKS, replace(LEVELS, **levels))


def colour(what: str, of: tuple[Check, ...]) -> Colour:
    [check] = [one for one in of if one.what == what and one.block in (None, "TR3")]
    return check.colour


def not_green(of: tuple[Check, ...]) -> list[str]:
    return [check.key for check in of if check.colour is not Colour.GO]


def test_on_9_march_exactly_three_checks_are_not_green() -> None:
    assert not_green(found()) == ["dry_spell", "pots_full", "nurse_row:TR5"]
    assert "toughened" in {check.what for check in found()}


def test_each_signature_opens_its_own_check_of_its_own_block() -> None:
    day = found()
    assert verdict(day, ()) is Colour.WAIT
    two = {"dry_spell", "pots_full"}
    assert [verdict(day, two, name) for name in ("TR3", "TR4", "TR5")] == ["go", "go", "wait"]
    assert verdict(day, {*two, "nurse_row:TR5"}) is Colour.GO
    assert verdict(day, {*two, "nurse_row"}) is Colour.WAIT


@pytest.mark.parametrize(
    ("given", "what", "says"),
    [
        ({"wet_to_cm": 20}, "soil", "go"),
        ({"wet_to_cm": 19.9}, "soil", "wait"),
        ({"wet_to_cm": 9}, "soil", "no"),
        ({"wet_to_cm": None}, "soil", "cannot_tell"),
        ({"wet_days_ahead": 2}, "outlook", "go"),
        ({"wet_days_ahead": 1}, "outlook", "wait"),
        ({"wet_days_ahead": 0}, "outlook", "no"),
        ({"wet_days_ahead": None}, "outlook", "cannot_tell"),
        ({"dry_spell_risk": 0.29}, "dry_spell", "go"),
        ({"dry_spell_risk": 0.30}, "dry_spell", "wait"),
        ({"dry_spell_risk": 0.51}, "dry_spell", "no"),
        ({"high_c": 31.9}, "heat", "go"),
        ({"high_c": 32}, "heat", "wait"),
        ({"high_c": 35}, "heat", "wait"),
        ({"high_c": 35.1}, "heat", "no"),
        ({"wind_kmh": 29.9}, "wind", "go"),
        ({"wind_kmh": 30}, "wind", "wait"),
        ({"wind_kmh": 40.1}, "wind", "no"),
        ({"days_left": 8}, "days_left", "go"),
        ({"days_left": 7}, "days_left", "wait"),
        ({"days_left": 2}, "days_left", "no"),
        ({"days_left": None}, "days_left", "cannot_tell"),
        ({"people": 5}, "people", "wait"),
        ({"people": None}, "people", "cannot_tell"),
    ],
)
def test_the_figures_of_the_day(given: dict[str, Any], what: str, says: str) -> None:
    assert colour(what, found(day=replace(DAY, **given))) == says


@pytest.mark.parametrize(
    ("given", "what", "says"),
    [
        ({"released": 214}, "released", "go"),
        ({"released": 213}, "released", "no"),
        ({"released": 0}, "released", "no"),
        ({"held": True}, "holds", "no"),
        ({"reentry": True}, "reentry", "no"),
        ({"fit": 193}, "fit", "go"),
        ({"fit": 192}, "fit", "wait"),
        ({"fit": 160}, "fit", "no"),
        ({"full_weeks": 0}, "pots_full", "go"),
        ({"toughened": None}, "toughened", "cannot_tell"),
        ({"toughened": Advice(Doing.STAY, OPEN, ())}, "toughened", "wait"),
        ({"toughened": Advice(Doing.DONE, OPEN, (Reason("x"),))}, "toughened", "wait"),
        ({"toughened": Advice(Doing.BACK, OPEN, ())}, "toughened", "no"),
    ],
)
def test_the_plants_of_the_day(given: dict[str, Any], what: str, says: str) -> None:
    assert colour(what, found(replace(PLANTS, **given))) == says


@pytest.mark.parametrize(
    ("block", "says"),
    [
        (Block(Name("B"), 72, 72), {"pits": "go"}),
        (Block(Name("B"), 72, 71), {"pits": "wait"}),
        (Block(Name("B"), 72, 57), {"pits": "no"}),
        (Block(Name("B"), 72), {"pits": "cannot_tell"}),
        (Block(Name("B"), 72, 72, None, 80), {"pits": "go", "nurse_row": "cannot_tell"}),
    ],
)
def test_the_parts_of_the_field(block: Block, says: dict[str, str]) -> None:
    of = checks(PLANTS, DAY, [block], LEVELS)
    assert {one.what: one.colour for one in of if one.block == "B"} == says


def test_a_risk_out_of_odds_says_of_how_many_years_it_is() -> None:
    """Rule V-11."""
    day = replace(DAY, dry_spell_odds=Odds(30, invented=True))
    [check] = [one for one in found(day=day) if one.what == "dry_spell"]
    assert check.params == {"go": 0.3, "no": 0.5, "value": 0.35, "years": 30, "invented": True}
    assert check.colour is Colour.WAIT


@pytest.mark.parametrize(
    ("level", "what", "says"),
    [
        ({"wet_to_cm": 23}, "soil", "wait"),
        ({"wet_days": Count(4)}, "outlook", "wait"),
        ({"dry_spell_no": 0.34}, "dry_spell", "no"),
        ({"heat_go_c": 31}, "heat", "wait"),
        ({"fit_go": 1.01}, "fit", "wait"),
        ({"days_go": Count(22)}, "days_left", "wait"),
    ],
)
def test_a_level_that_the_grower_moves_moves_its_check(
    level: dict[str, Any], what: str, says: str
) -> None:
    """Rule V-2."""
    assert colour(what, found(**level)) == says
    assert colour(what, found()) != says


def test_plants_that_no_law_holds_need_no_notice_and_young_roots_no_warning() -> None:
    whats = {check.what for check in found(Plants(214, toughened=DONE))}
    assert not {"released", "pots_full"} & whats


@given(
    st.integers(0, 300),
    st.booleans(),
    st.booleans(),
    st.sets(st.sampled_from([check.key for check in found()] + ["released", "holds"])),
)
def test_no_signature_stands_for_the_authority(
    released: int, held: bool, reentry: bool, signed: set[str]
) -> None:
    plants = replace(PLANTS, released=released, held=held, reentry=reentry)
    of = found(plants)
    assert all(not check.may_be_signed for check in of if check.what in LAW)
    if held or reentry or released < 214:
        assert verdict(of, signed) is Colour.NO


def test_without_any_check_nothing_stands_in_the_way() -> None:
    assert verdict((), ()) is Colour.GO
