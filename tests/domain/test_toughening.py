"""The program of toughening: forward, stay, back one step, or wait (rules U-1 to U-5)."""

from dataclasses import fields
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.toughening import (
    Advice,
    Doing,
    Limits,
    Program,
    Seen,
    Sky,
    Standing,
    Step,
    advise,
)
from nursery.domain.toughening import light_of as light_under
from nursery.science import light

PROGRAM = Program(
    Name("six_weeks"),
    "Six weeks",
    (
        Step(Name("s70"), 70),
        Step(Name("s50"), 50, Count(6)),
        Step(Name("s30"), 30, Count(6), checks=(Name("scorch"),)),
        Step(Name("s30_mornings"), 30, Count(6), sun_hours=4),
        Step(Name("s0"), 0, checks=(Name("scorch"), Name("root_check"))),
    ),
    "invented for the test",
)
BEGAN = date(2032, 2, 6)
CHECKED = frozenset({"scorch", "root_check"})


def told(at: int, today: date, seen: Seen = Seen(), sky: Sky = Sky(), **more: Any) -> Advice:  # noqa: B008
    program = Program(PROGRAM.id, PROGRAM.name, PROGRAM.steps, PROGRAM.source, Limits(**more))
    return advise(program, Standing(at, BEGAN), today, seen, sky)


def codes(advice: Advice) -> list[str]:
    return [reason.code for reason in advice.reasons]


def test_23_percent_scorched_goes_back_from_50_to_70_whatever_is_forecast() -> None:
    # The acceptance story, 12 February: 14 of 60, and 37 °C for three days.
    sky = Sky(highs_c=(37, 37, 37))
    advice = told(1, date(2032, 2, 12), Seen(14, 60), sky)
    assert (advice.doing, advice.to.shade_percent) == (Doing.BACK, 70)
    assert advice.reasons[0].params == {"n": 14, "of": 60, "percent": 23, "most": 5}


def test_three_days_of_37_stop_a_step_whose_days_are_over() -> None:
    advice = told(1, date(2032, 2, 12), sky=Sky(highs_c=(37, 37, 37)))
    assert (advice.doing, advice.to.shade_percent) == (Doing.FREEZE, 50)
    assert advice.reasons[0].params == {"high": 37, "n": 3, "most": 35.0}


# What a limit lets pass once it is set so high, or so low.
LOOSE: dict[str, tuple[float | bool, Seen, Sky]] = {
    "scorch_share": (0.5, Seen(14, 60), Sky()),
    "wilt_share": (0.5, Seen(wilted=5, wilted_of=20), Sky()),
    "heat_c": (40, Seen(), Sky(highs_c=(37,))),
    "heat_above_mean_c": (10, Seen(), Sky(highs_c=(33,), mean_high_c=25)),
    "wind_kmh": (60, Seen(), Sky(wind_kmh=(50,))),
    "cold_c": (2, Seen(), Sky(lows_c=(5,))),
    "tropical": (False, Seen(), Sky(lows_c=(5,))),
}


@pytest.mark.parametrize("limit", [one.name for one in fields(Limits)])
def test_each_limit_of_a_program_stops_or_turns_a_step(limit: str) -> None:
    loose, seen, sky = LOOSE[limit]
    stopped = told(1, date(2032, 2, 12), seen, sky).doing
    assert stopped in (Doing.BACK, Doing.FREEZE)
    assert told(1, date(2032, 2, 12), seen, sky, **{limit: loose}).doing is Doing.FORWARD


@pytest.mark.parametrize(
    ("sky", "code"),
    [
        (Sky(highs_c=(34.9,)), None),
        (Sky(highs_c=(35,)), "toughening_heat"),
        (Sky(highs_c=(33,), mean_high_c=26), "toughening_sudden_heat"),
        (Sky(highs_c=(33,), mean_high_c=26.1), None),
        (Sky(wind_kmh=(12, 40)), "toughening_wind"),
        (Sky(wind_kmh=(39.9,)), None),
        (Sky(lows_c=(7.9, 12)), "toughening_cold"),
        (Sky(lows_c=(8,)), None),
        (Sky(water_failed=True), "toughening_water_failed"),
    ],
)
def test_heat_wind_cold_and_want_of_water_stop_every_step(sky: Sky, code: str | None) -> None:
    advice = told(0, BEGAN + timedelta(days=5), sky=sky)
    assert codes(advice) == ([code] if code else [])
    assert advice.doing is (Doing.FREEZE if code else Doing.FORWARD)


def test_cold_stops_no_plants_of_cold_lands() -> None:
    assert told(0, date(2032, 2, 20), sky=Sky(lows_c=(2,)), tropical=False).doing is Doing.FORWARD


@pytest.mark.parametrize(
    ("seen", "doing"),
    [
        (Seen(3, 60), Doing.FORWARD),
        (Seen(4, 60), Doing.BACK),
        (Seen(wilted=3, wilted_of=60), Doing.FORWARD),
        (Seen(wilted=4, wilted_of=60), Doing.BACK),
        (Seen(), Doing.FORWARD),
        (Seen(0, 0), Doing.FORWARD),
    ],
)
def test_more_than_one_in_twenty_hurt_goes_back(seen: Seen, doing: Doing) -> None:
    assert told(1, date(2032, 2, 20), seen).doing is doing


def test_the_shadiest_step_has_none_before_it() -> None:
    advice = told(0, date(2032, 2, 20), Seen(30, 60))
    assert (advice.doing, advice.to.id) == (Doing.BACK, "s70")


def test_a_step_waits_for_its_days() -> None:
    advice = told(1, date(2032, 2, 11))
    assert (advice.doing, advice.on) == (Doing.STAY, date(2032, 2, 12))
    assert advice.reasons[0].params == {"on": "2032-02-12", "days": 1}


def test_a_step_waits_for_its_checks() -> None:
    advice = told(2, date(2032, 2, 20))
    assert (advice.doing, codes(advice)) == (Doing.STAY, ["toughening_unchecked"])
    assert told(2, date(2032, 2, 20), Seen(checks=CHECKED)).to.id == "s30_mornings"


def test_after_the_last_step_only_its_checks_are_wanting() -> None:
    advice = told(4, date(2032, 3, 9), Seen(2, 60, checks=frozenset({"scorch"})))
    assert advice.doing is Doing.DONE
    assert advice.reasons[0].params == {"n": 1, "checks": ["root_check"]}


@pytest.mark.parametrize(
    ("at", "today", "says"),
    [
        (5, date(2032, 2, 20), "at must"),
        (-1, date(2032, 2, 20), "at must"),
        (0, date(2032, 2, 5), "since"),
    ],
)
def test_what_cannot_be_is_refused(at: int, today: date, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        told(at, today)


@pytest.mark.parametrize(
    ("steps", "says"),
    [
        ((), "at least one"),
        ((Step(Name("a"), 50), Step(Name("a"), 30)), "a twice"),
        ((Step(Name("a"), 30), Step(Name("b"), 50)), "shadiest"),
        ((Step(Name("a"), 101),), "from 0 to 100"),
        ((Step(Name("a"), -1),), "from 0 to 100"),
        ((Step(Name("a"), 50, Count(0)),), "1 or more"),
    ],
)
def test_a_program_that_cannot_be_is_refused(steps: tuple[Step, ...], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Program(Name("p"), "p", steps, "invented")


@pytest.mark.parametrize(
    ("shade", "step"),
    [(80, "s70"), (70, "s70"), (60, "s70"), (50, "s50"), (30, "s30_mornings"), (0, "s0")],
)
def test_plants_are_taken_for_standing_on_a_step_that_is_no_lighter(shade: int, step: str) -> None:
    assert PROGRAM.steps[PROGRAM.nearest(shade)].id == step
    assert PROGRAM.place(step) is not None
    assert PROGRAM.place("other") is None


def test_light_under_a_step_is_worked_out_from_the_sky() -> None:
    # FAO-56 examples 8 and 10: Ra 25.1 MJ on 15 May at 22°54' S, n/N 0.65 -> Rs 14.5 MJ m-2 d-1;
    # by hand 14.5 x 0.45 x 4.57 = 29.7 mol, and half of it under 50 %.
    assert light.outdoor_light(-22.9, 135, 0.65) == pytest.approx(29.7, abs=0.1)
    step = PROGRAM.steps[1]
    assert light_under(step, -22.9, [135], 0.65) == pytest.approx(14.85, abs=0.05)


def test_hours_without_cloth_are_the_brightest_ones() -> None:
    closed, opened = (Step(Name("x"), 30, sun_hours=hours) for hours in (None, 4))
    under, some = (light_under(step, 8.0, [40, 60], 0.5) for step in (closed, opened))
    sky = (light.outdoor_light(8.0, 40, 0.5) + light.outdoor_light(8.0, 60, 0.5)) / 2
    assert under == pytest.approx(0.7 * sky)
    assert under < some < sky
    whole = light_under(Step(Name("x"), 30, sun_hours=24), 8.0, [40, 60], 0.5)
    assert whole == pytest.approx(sky)


@given(st.floats(-66, 66), st.integers(1, 366), st.floats(0, 24), st.floats(0, 24))
def test_more_hours_hold_more_of_the_day(at: float, day: int, some: float, more: float) -> None:
    some, more = sorted((some, more))
    shares = [light.noon_share(at, day, hours) for hours in (some, more)]
    assert 0 <= shares[0] <= shares[1] + 1e-12
    assert shares[1] <= 1 + 1e-12


@given(
    st.integers(0, 4),
    st.integers(0, 60),
    st.integers(0, 60),
    st.integers(0, 60),
    st.lists(st.floats(-10, 50), max_size=5),
    st.booleans(),
)
def test_no_advice_gives_hurt_or_hot_plants_more_sun(
    at: int, days: int, scorched: int, wilted: int, highs: list[float], failed: bool
) -> None:
    seen = Seen(scorched, 60, wilted, 60, CHECKED)
    sky = Sky(highs_c=tuple(highs), water_failed=failed)
    advice = told(at, BEGAN + timedelta(days=days), seen, sky)
    place = PROGRAM.place(advice.to.id)
    assert place is not None
    if scorched > 3 or wilted > 3:
        assert place == max(0, at - 1)
    elif failed or max(highs, default=0) >= 35:
        assert place == at
    assert place <= at + 1
