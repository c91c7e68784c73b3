"""Onset of rains and dry spells against published rules, plain enumeration and simulation."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nursery.science.season import (
    Onset,
    OnsetRule,
    Weather,
    dry_run_survival,
    dry_spell_probability,
    fit_wet_dry,
    mean_spells,
    onset,
    rains_hold,
    season_onsets,
    wet_share,
)
from tests.examples import examples

# An invented series of 90 days, from day 0 [mm].
SERIES = np.zeros(90)
for day, fallen in {9: 12, 10: 9, 22: 6, 35: 15, 36: 8, 40: 3, 44: 10, 49: 5, 53: 12, 58: 7,
                    62: 20, 67: 4, 70: 9, 75: 11, 80: 6}.items():  # fmt: skip
    SERIES[day] = fallen

AMOUNT_ALONE = OnsetRule(20.0, 3, 1, 0.85, longest_dry_days=0, look_ahead_days=0)
SIVAKUMAR = OnsetRule(20.0, 3, 1, 0.85, longest_dry_days=7, look_ahead_days=30)
# Its amount is "more than 20 mm"; the next float above 20 says so.
GUIDE_EVENT_4 = OnsetRule(np.nextafter(20.0, 21.0), 3, 1, 0.85, 9, 21)
EXTENSION_MANUAL = OnsetRule(20.0, 3, 1, 0.85, longest_dry_days=9, look_ahead_days=20)
INDIA = OnsetRule(25.0, 5, 3, 2.5, longest_dry_days=366, look_ahead_days=0)

ONSETS = {
    "amount alone, no dry rule (Sivakumar 1988, from memory)": (AMOUNT_ALONE, 10),
    "Sivakumar 1988: no dry spell over 7 days in 30 (from memory)": (SIVAKUMAR, 36),
    "climatic guide, event 4: no dry spell over 9 days in 21": (GUIDE_EVENT_4, 36),
    "extension manual: no dry spell of 10 days in the next 20": (EXTENSION_MANUAL, 36),
    "India: 25 mm in 5 days with 3 rainy (of 2.5 mm)": (INDIA, None),
}


@pytest.mark.parametrize(("rule", "expected"), ONSETS.values(), ids=ONSETS.keys())
def test_the_rains_set_in_where_the_rule_says(rule: OnsetRule, expected: int | None) -> None:
    assert onset(SERIES, rule) == Onset(expected, None)


def test_india_wants_three_rainy_days_of_five() -> None:
    rain = np.array([0, 12.0, 0, 12.0, 1.0, 0, 9, 9, 9, 0])
    assert onset(rain, INDIA).day == 7
    assert onset(rain, replace(INDIA, wet_day_mm=0.85)).day == 4


def test_thirty_days_of_zeros_have_no_onset() -> None:
    assert onset(np.zeros(30), SIVAKUMAR) == Onset(None, None)


def test_an_amount_made_of_tenths_is_reached() -> None:
    assert onset(np.array([6.6, 6.7, 6.7]), AMOUNT_ALONE).day == 2
    assert onset(np.array([6.6, 6.7, 6.6]), AMOUNT_ALONE).day is None


def test_a_dry_day_is_never_the_onset() -> None:
    """Else the day after a false start could pass, with one dry day less ahead of it."""
    rain = np.zeros(60)
    rain[[5, 16, 20, 24, 28, 32]] = [25, 10, 10, 10, 10, 10]
    assert onset(rain, OnsetRule(20.0, 3, 1, 0.85, 9, 20)) == Onset(None, None)


def test_a_look_ahead_past_the_end_of_the_record_gives_no_date() -> None:
    assert onset(SERIES[:67], SIVAKUMAR) == Onset(36, None)
    assert onset(SERIES[:66], SIVAKUMAR) == Onset(None, 36)


def test_the_search_starts_on_the_set_day() -> None:
    assert onset(SERIES, AMOUNT_ALONE, start=11) == Onset(36, None)
    assert onset(SERIES, AMOUNT_ALONE, start=90) == Onset(None, None)


MISSING = {
    "a missing day that could have been an earlier onset": (30, SIVAKUMAR, Onset(None, 30)),
    "a missing day that decides the amount": (36, SIVAKUMAR, Onset(None, 36)),
    "a missing day in the look-ahead that decides": (44, replace(SIVAKUMAR, longest_dry_days=4),
                                                     Onset(None, 36)),
    "a missing day that cannot matter": (45, SIVAKUMAR, Onset(36, None)),
    "a missing day after the look-ahead": (89, SIVAKUMAR, Onset(36, None)),
}  # fmt: skip


@pytest.mark.parametrize(("day", "rule", "expected"), MISSING.values(), ids=MISSING.keys())
def test_a_missing_day_hides_the_onset_only_if_it_decides(
    day: int, rule: OnsetRule, expected: Onset
) -> None:
    rain = SERIES.copy()
    rain[day] = np.nan
    assert onset(rain, rule) == expected


short_rains = st.lists(st.sampled_from([0.0, 0.5, 3.0, 12.0, float("nan")]), min_size=1,
                       max_size=14).map(np.array)  # fmt: skip
rules = st.builds(
    OnsetRule,
    amount_mm=st.sampled_from([3.0, 12.0, 20.0]),
    within_days=st.integers(2, 4),
    wet_days=st.integers(1, 2),
    wet_day_mm=st.just(0.85),
    longest_dry_days=st.integers(0, 4),
    look_ahead_days=st.integers(0, 6),
)


def plainly(rain: list[float], rule: OnsetRule, day: int) -> tuple[bool, bool]:
    """Say of a day without anything missing: does the amount fall, and do the rains then hold?"""
    window = rain[max(0, day - rule.within_days + 1) : day + 1]
    fallen = (
        sum(window) >= rule.amount_mm - 1e-9
        and sum(mm >= rule.wet_day_mm for mm in window) >= rule.wet_days
        and rain[day] >= rule.wet_day_mm
    )
    run = longest = 0
    for mm in rain[day + 1 : day + 1 + rule.look_ahead_days]:
        run = 0 if mm >= rule.wet_day_mm else run + 1
        longest = max(longest, run)
    return fallen, longest <= rule.longest_dry_days


@given(short_rains, rules)
def test_onset_agrees_with_every_way_to_fill_the_gaps(
    rain: "np.ndarray[Any, Any]", rule: OnsetRule
) -> None:
    gaps = np.flatnonzero(np.isnan(rain))[:5]
    rain[np.isnan(rain)] = 0.0
    holed = rain.copy()
    holed[gaps] = np.nan
    firsts = set()
    for filling in product([0.0, 2000.0], repeat=len(gaps)):
        rain[gaps] = filling
        days = (day for day in range(len(rain)) if all(plainly(rain.tolist(), rule, day)))
        firsts.add(next(days, None))
    found = onset(holed, rule)
    if found.day is not None:
        assert firsts == {found.day}
        assert found.day + rule.look_ahead_days < len(rain)
    elif found.unsure is None:
        assert firsts == {None}
    else:
        assert found.unsure == min(day for day in firsts if day is not None)


@given(short_rains.filter(lambda rain: not np.isnan(rain).any()), rules)
def test_rains_hold_agrees_with_a_walk_through_the_days(
    rain: "np.ndarray[Any, Any]", rule: OnsetRule
) -> None:
    surely, maybe = rains_hold(rain, rule)
    for day in range(len(rain) - rule.look_ahead_days):
        ahead = replace(rule, look_ahead_days=0)
        events = [i for i in range(day + 1) if plainly(rain.tolist(), ahead, i)[0]]
        longer = replace(rule, look_ahead_days=day - events[-1] + rule.look_ahead_days) if (
            events and day - events[-1] + rule.look_ahead_days <= 366) else rule  # fmt: skip
        holds = bool(events) and plainly(rain.tolist(), longer, events[-1])[1]
        assert surely[day] == holds
        assert maybe[day] or not holds


@given(short_rains, rules)
def test_on_its_onset_day_the_rains_hold(rain: "np.ndarray[Any, Any]", rule: OnsetRule) -> None:
    found = onset(rain, rule)
    surely, maybe = rains_hold(rain, rule)
    assert not (surely & ~maybe).any()
    if found.day is not None:
        assert surely[found.day]


def test_before_the_record_the_rains_may_have_set_in_but_not_surely() -> None:
    surely, maybe = rains_hold(np.array([3.0, 3.0, 0, 0, 0, 0]), OnsetRule(20, 3, 1, 0.85, 2, 1))
    assert surely.tolist() == [False] * 6
    assert maybe.tolist() == [True, True, True, False, False, False]


def test_the_onset_of_each_season_runs_over_the_turn_of_the_year() -> None:
    rain = np.zeros(365 + 366 + 365)
    first = date(2031, 1, 1)
    for at in (date(2031, 12, 30), date(2033, 1, 4)):
        rain[(at - first).days] = 30.0
    weather = Weather(first, rain, np.full(len(rain), 4.0))
    october = 274  # planting day of 1 October
    assert season_onsets(weather, AMOUNT_ALONE, october) == {
        2031: Onset(90, None),
        2032: Onset(95, None),
        2033: Onset(None, None),
    }


def test_a_season_without_rain_takes_no_rain_from_the_next() -> None:
    rain = np.zeros(365 + 366 + 365)
    rain[-1] = 30.0
    weather = Weather(date(2031, 1, 1), rain, rain)
    found = season_onsets(weather, replace(AMOUNT_ALONE, look_ahead_days=0), 364)
    assert found[2031] == Onset(None, None)
    assert found[2033] == Onset(1, None)


def test_a_season_that_begins_before_the_record_is_left_out() -> None:
    weather = Weather(date(2031, 6, 1), np.zeros(500), np.zeros(500))
    assert list(season_onsets(weather, AMOUNT_ALONE, 0)) == [2032]


# run, days, probability; the day before is wet. p01 0.25 and p11 0.662 are those of Tel Aviv
# (Gabriel & Neumann 1962, from memory); the first was checked by counting all 2^12 sequences.
DRY_RUNS = [
    (8, 12, 0.13949658),
    (10, 21, 0.154131),
    (8, 30, 0.4397),
    (10, 30, 0.243458),
    (15, 30, 0.046857),
]


@pytest.mark.parametrize(("run", "days", "expected"), DRY_RUNS)
def test_dry_runs_are_as_likely_as_computed(run: int, days: int, expected: float) -> None:
    found = dry_spell_probability(0.25, 0.662, run, days)
    assert found == pytest.approx(expected, abs=1e-6)
    assert isinstance(found, float)


# further days, probability; (1 - p)^k, computed
SURVIVALS = [(1, 0.75), (5, 0.237305), (7, 0.133484), (10, 0.056314)]


@pytest.mark.parametrize(("days", "expected"), SURVIVALS)
def test_a_dry_spell_lasts_on(days: int, expected: float) -> None:
    assert dry_run_survival(0.25, days) == pytest.approx(expected, abs=1e-6)


def test_tel_aviv_is_wet_on_43_days_of_100() -> None:
    """Stationary share and mean spells of the chain, computed."""
    assert wet_share(0.25, 0.662) == pytest.approx(0.4252, abs=6e-5)
    assert mean_spells(0.25, 0.662) == pytest.approx((4.0, 2.9586), abs=6e-5)


@given(st.floats(0, 1), st.floats(0, 1), st.integers(1, 5), st.integers(0, 9))
@settings(max_examples=examples(40), deadline=None)
def test_dry_runs_agree_with_counting_all_sequences(
    p01: float, p11: float, run: int, days: int
) -> None:
    total = 0.0
    for sequence in product((0, 1), repeat=days):
        chance, yesterday = 1.0, 1
        for wet in sequence:
            p_wet = p11 if yesterday else p01
            chance *= p_wet if wet else 1 - p_wet
            yesterday = wet
        if "0" * run in "".join(map(str, sequence)):
            total += chance
    assert dry_spell_probability(p01, p11, run, days) == pytest.approx(total, abs=1e-9)


@given(st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.integers(1, 12), st.integers(0, 40))
def test_longer_runs_are_rarer_and_longer_waits_see_more_of_them(
    p01: float, p11: float, run: int, days: int
) -> None:
    here = dry_spell_probability(p01, p11, run, days)
    assert 0 <= here <= 1
    assert dry_spell_probability(p01, p11, run + 1, days) <= here + 1e-12
    assert dry_spell_probability(p01, p11, run, days + 1) >= here - 1e-12


def test_dry_spells_take_arrays_and_let_missing_values_through() -> None:
    found = dry_spell_probability(np.array([0.25, np.nan, 1.0]), 0.662, 8, 12)
    assert isinstance(found, np.ndarray)
    assert found[0] == pytest.approx(0.13949658)
    assert np.isnan(found[1])
    assert found[2] == 0.0  # after a dry day always rain: a run of 1 only


def test_counts_of_pairs_are_the_fit() -> None:
    """350 wet of 1399 after dry, 688 of 1039 after wet: Tel Aviv's counts, from memory."""
    pairs = [(0, 1)] * 350 + [(0, 0)] * 1049 + [(1, 1)] * 688 + [(1, 0)] * 351
    p01, p11 = fit_wet_dry(pairs)  # each pair a year of its own
    assert (p01, p11) == pytest.approx((0.250, 0.662), abs=6e-4)


def test_the_turn_of_the_year_makes_no_pair() -> None:
    assert fit_wet_dry([[0, 0, 1], [1, 1, 1]]) == (0.5, 1.0)
    assert fit_wet_dry([0, 0, 1, 1, 1, 1]) == (0.5, 1.0)
    assert fit_wet_dry([[0, 0, 0], [1, 1, 1]]) == (0.0, 1.0)


def test_missing_days_make_no_pairs() -> None:
    assert fit_wet_dry([0, float("nan"), 1, 0, 1]) == (1.0, 0.0)
    assert np.isnan(fit_wet_dry([0, 1])[1])
    assert np.isnan(fit_wet_dry([0, float("nan"), 1])).all()
    assert np.isnan(fit_wet_dry([])).all()


@given(st.floats(0.1, 0.9), st.floats(0.1, 0.9), st.integers(0, 2**32 - 1))
@settings(max_examples=examples(20), deadline=None)
def test_a_long_record_gives_back_the_chain_it_came_from(p01: float, p11: float, seed: int) -> None:
    draws = np.random.default_rng(seed).random(20_000)
    wet = [True]
    for draw in draws:
        wet.append(bool(draw < (p11 if wet[-1] else p01)))
    assert fit_wet_dry(wet) == pytest.approx((p01, p11), abs=0.06)
    assert np.mean(wet) == pytest.approx(float(np.asarray(wet_share(p01, p11))), abs=0.06)


def test_a_chain_that_never_changes_has_no_long_run_share() -> None:
    assert np.isnan(wet_share(0.0, 1.0))
    assert wet_share(np.array([0.0, 0.5]), np.array([1.0, 0.5]))[1] == 0.5  # type: ignore[index]
    assert mean_spells(0.0, 1.0) == (float("inf"), float("inf"))


NAN = float("nan")
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "negative rain": (
        lambda: onset(np.array([1.0, -2.0]), SIVAKUMAR),
        r"rain_mm\[1\] must be rain of 0 to 2000 mm a day, not -2.0",
    ),
    "years x days": (lambda: onset(np.zeros((2, 3)), SIVAKUMAR), "rain_mm must be one series"),
    "no days": (lambda: rains_hold(np.zeros(0), SIVAKUMAR), "rain_mm must be one series of days"),
    "a start before the start": (lambda: onset(SERIES, SIVAKUMAR, -1), "start must be a whole"),
    "no amount": (lambda: replace(SIVAKUMAR, amount_mm=0), "amount_mm must be above 0"),
    "no days for the amount": (lambda: replace(SIVAKUMAR, within_days=0), "within_days must be"),
    "more wet days than days": (lambda: replace(SIVAKUMAR, wet_days=4), "wet_days must be .* 3"),
    "a wet day of nothing": (lambda: replace(SIVAKUMAR, wet_day_mm=NAN), "wet_day_mm must be"),
    "a negative spell": (lambda: replace(SIVAKUMAR, longest_dry_days=-1), "longest_dry_days must"),
    "half a day ahead": (
        lambda: replace(SIVAKUMAR, look_ahead_days=0.5),  # type: ignore[arg-type]
        "look_ahead_days must be a whole number",
    ),
    "a percentage": (lambda: dry_spell_probability(25, 0.6, 8, 12), "p_wet_after_dry must be"),
    "a missing share": (lambda: dry_spell_probability(0.2, NAN, 8, 12), "p_wet_after_wet must be"),
    "lengths that differ": (
        lambda: dry_spell_probability(np.zeros(2), np.zeros(3), 8, 12),
        "p_wet_after_dry and p_wet_after_wet must be equally long",
    ),
    "a run of no day": (lambda: dry_spell_probability(0.2, 0.6, 0, 12), "run_days must be"),
    "days before today": (lambda: dry_spell_probability(0.2, 0.6, 8, -1), "within_days must be"),
    "half wet": (
        lambda: fit_wet_dry([0, 0.5]),
        r"wet_days\[1\] must be 0 for dry or 1 for wet, not 0.5",
    ),
    "millimetres": (lambda: fit_wet_dry([0, 12]), r"wet_days\[1\] must be 0 for dry or 1"),
    "a cube of days": (lambda: fit_wet_dry(np.zeros((1, 1, 1))), "wet_days must be days or years"),
    "a survival of a percentage": (lambda: dry_run_survival(25, 3), "p_wet_after_dry must be"),
    "a survival backwards": (lambda: dry_run_survival(0.25, -3), "further_days must be"),
    "a share of a percentage": (lambda: wet_share(0.3, 60), "p_wet_after_wet must be"),
    "spells of a missing chain": (lambda: mean_spells(NAN, 0.5), "p_wet_after_dry must be"),
    "a season of no day": (
        lambda: season_onsets(Weather(date(2031, 1, 1), SERIES, SERIES), SIVAKUMAR, 366),
        "planting_day must be a whole number",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("call", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_bad_rain_is_turned_down(call: Callable[[], Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
