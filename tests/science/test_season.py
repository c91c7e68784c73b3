"""Planting scores: against a plain walk through every year, and what gaps in the record do."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nursery.science.season import (
    Layer,
    OnsetRule,
    Scores,
    Site,
    Soil,
    Weather,
    Window,
    month_day,
    planting_days,
    planting_scores,
    windows,
)
from tests.examples import examples

SITE = Site(
    soil=Soil(field_capacity=0.30, wilting_point=0.15),
    hole=Layer(depth_m=0.25, crop_coefficient=0.4, depletion_fraction=0.3),
    wet_share=0.7,
    plant=Layer(depth_m=0.20, crop_coefficient=0.7, depletion_fraction=0.5),
    rains=OnsetRule(20.0, 3, 1, 0.85, longest_dry_days=9, look_ahead_days=20),
    follow_up_days=15,
    hot_celsius=34.0,
    windy_kmh=40.0,
)
FIRST = date(2027, 6, 1)

Series = npt.NDArray[np.float64]


def climate(seed: int, length: int, begin: date = FIRST) -> Weather:
    """An invented climate with one rainy season around the turn of the year."""
    draw = np.random.default_rng(seed)
    season = 0.5 + 0.5 * np.cos(2 * np.pi * (np.arange(length) + begin.timetuple().tm_yday) / 365)
    wet = draw.random(length) < 0.05 + 0.5 * season
    return Weather(
        begin,
        np.where(wet, draw.gamma(0.8, 14.0, length).round(1), 0.0),
        draw.uniform(2.0, 6.0, length),
        28 + 4 * season + draw.normal(0, 2.5, length),
        draw.gamma(4.0, 6.0, length),
    )


def by_hand(weather: Weather, site: Site, day: int) -> tuple[float, float, float, float, float]:
    """The parts of one planting day, by a plain walk through the days before and after it."""
    rain, demand = weather.rain_mm.tolist(), weather.evapotranspiration_mm.tolist()

    def step(left: float, at: int, layer: Layer, total: float) -> tuple[float, float]:
        ks = min(1.0, (total - left) / ((1 - layer.depletion_fraction) * total))
        after = left - rain[at] + ks * layer.crop_coefficient * demand[at]
        return min(max(after, 0.0), total), ks

    width = site.soil.field_capacity - site.soil.wilting_point
    hole_mm, root_mm = 1000 * width * site.hole.depth_m, 1000 * width * site.plant.depth_m
    left = hole_mm / 2
    for at in range(day + 1):
        left, _ = step(left, at, site.hole, hole_mm)
    wet = float(1 - left / hole_mm >= site.wet_share)
    left *= root_mm / hole_mm
    stress = 0
    for at in range(day + 1, day + 1 + site.follow_up_days):
        left, ks = step(left, at, site.plant, root_mm)
        stress += ks < 1
    after = slice(day + 1, day + 1 + site.follow_up_days)
    assert weather.max_celsius is not None
    assert weather.wind_kmh is not None
    hot = (weather.max_celsius[after] >= site.hot_celsius).sum()
    windy = (weather.wind_kmh[after] >= site.windy_kmh).sum()
    return wet, float(holds_by_hand(rain, site.rains, day)), stress, float(hot), float(windy)


def holds_by_hand(rain: list[float], rule: OnsetRule, day: int) -> bool:
    events = [
        at
        for at in range(day + 1)
        if sum(rain[max(0, at - rule.within_days + 1) : at + 1]) >= rule.amount_mm - 1e-6
        and rain[at] >= rule.wet_day_mm
    ]
    if not events:
        return False
    run = longest = 0
    for at in range(events[-1] + 1, day + rule.look_ahead_days + 1):
        run = 0 if rain[at] >= rule.wet_day_mm else run + 1
        longest = max(longest, run)
    return longest <= rule.longest_dry_days


def place(weather: Weather, day: int) -> tuple[int, int]:
    """Year and planting day of a place in the record."""
    at = weather.first_day + timedelta(days=day)
    return at.year - weather.first_day.year, date(2000, at.month, at.day).timetuple().tm_yday - 1


@given(st.integers(0, 10_000), st.data())
# Each walks hundreds of days in plain Python.
@settings(max_examples=examples(25, long=1000), deadline=None)
def test_parts_agree_with_a_plain_walk(seed: int, data: st.DataObject) -> None:
    weather = climate(seed, 800)
    scores = planting_scores(weather, SITE)
    for day in data.draw(st.lists(st.integers(400, 770), min_size=5, max_size=5)):
        at = place(weather, day)
        found = tuple(float(part[at]) for part in scores.parts)
        expected = by_hand(weather, SITE, day)
        assert found == expected
        product = expected[0] * expected[1]
        for lost in expected[2:]:
            product *= 1 - lost / SITE.follow_up_days
        assert scores.by_year[at] == pytest.approx(product)


@pytest.fixture(scope="module")
def ten_years() -> tuple[Weather, Scores]:
    weather = climate(3, 3652, date(2021, 1, 1))
    return weather, planting_scores(weather, SITE)


def test_a_score_is_the_mean_of_its_years_within_their_interval(
    ten_years: tuple[Weather, Scores],
) -> None:
    _, scores = ten_years
    for day in (20, 120, 240, 300):
        years = scores.by_year[~np.isnan(scores.by_year[:, day]), day]
        assert len(years) == scores.years[day]
        assert scores.score[day] == pytest.approx(years.mean())
        assert scores.low[day] == pytest.approx(np.quantile(years, 0.1))
        assert scores.high[day] == pytest.approx(np.quantile(years, 0.9))


def test_odds_are_shares_and_days_are_days(ten_years: tuple[Weather, Scores]) -> None:
    _, scores = ten_years
    for odds in (scores.wet_odds, scores.hold_odds, scores.score, scores.low, scores.high):
        assert ((odds >= 0) & (odds <= 1)).all()
    for days in (scores.stress_days, scores.hot_days, scores.windy_days):
        assert ((days >= 0) & (days <= SITE.follow_up_days)).all()


def test_the_wet_season_scores_above_the_dry(ten_years: tuple[Weather, Scores]) -> None:
    _, scores = ten_years
    assert scores.score[5:40].mean() > 0.4
    assert scores.score[170:210].mean() < 0.05


def test_the_end_of_the_record_is_no_dry_spell(ten_years: tuple[Weather, Scores]) -> None:
    """The last planting days have no follow-up: their last year does not count, and shows."""
    _, scores = ten_years
    assert scores.years[364] == 9
    assert scores.years_on_record[364] == 10
    assert scores.missing_days[364] == SITE.follow_up_days - 1
    assert np.isnan(scores.by_year[-1, 364])


def test_a_missing_day_is_counted_and_takes_its_years_out(
    ten_years: tuple[Weather, Scores],
) -> None:
    weather, whole = ten_years
    assert weather.wind_kmh is not None
    wind = weather.wind_kmh.copy()
    wind[365 + 100] = np.nan  # planting day 101 of a common year
    scores = planting_scores(replace(weather, wind_kmh=wind), SITE)
    assert (whole.years - scores.years)[80:105].tolist() == [0] * 6 + [1] * 15 + [0] * 4
    assert (scores.missing_days - whole.missing_days)[80:105].tolist() == (
        [0] * 6 + [1] * 16 + [0] * 3
    )


def test_missing_rain_is_neither_dry_nor_wet(ten_years: tuple[Weather, Scores]) -> None:
    weather, whole = ten_years
    rain = weather.rain_mm.copy()
    rain[180:200] = np.nan  # in the dry season of the first year
    scores = planting_scores(replace(weather, rain_mm=rain), SITE)
    lost = np.isnan(scores.by_year[0]) & ~np.isnan(whole.by_year[0])
    assert lost[180:200].all()
    known = ~np.isnan(scores.by_year)
    assert np.array_equal(scores.by_year[known], whole.by_year[known])


@given(st.integers(0, 1000), st.integers(0, 1000))
@settings(max_examples=examples(25, long=1000), deadline=None)
def test_what_is_known_despite_gaps_is_what_is_true(seed: int, gaps: int) -> None:
    """Whatever stood on the missing days, a value that is given out is the right one."""
    weather = climate(seed, 800)
    whole = planting_scores(weather, SITE)
    draw = np.random.default_rng(gaps)
    series = [
        np.where(draw.random(800) < 0.01, np.nan, values)
        for values in (
            weather.rain_mm, weather.evapotranspiration_mm, weather.max_celsius, weather.wind_kmh
        )
        if values is not None
    ]  # fmt: skip
    holed = planting_scores(Weather(FIRST, *series), SITE)
    for full, gappy in zip(whole.parts, holed.parts, strict=True):
        known = ~np.isnan(gappy) & ~np.isnan(full)
        assert np.array_equal(gappy[known], full[known])


def test_without_demand_on_record_nothing_is_known() -> None:
    weather = climate(1, 500)
    none = np.full(500, np.nan)
    scores = planting_scores(replace(weather, evapotranspiration_mm=none), SITE)
    assert scores.years.max() == 0
    assert np.isnan(scores.score).all()
    assert np.isnan(scores.low).all()
    assert windows(scores.score, 0.1, 1) == []


def test_a_part_without_a_record_is_named_and_does_not_count() -> None:
    weather = climate(1, 500)
    scores = planting_scores(replace(weather, max_celsius=None, wind_kmh=None), SITE)
    assert scores.without == ("hot_days", "windy_days")
    full = planting_scores(weather, SITE)
    assert full.without == ()
    known = ~np.isnan(full.by_year)
    assert (scores.by_year[known] >= full.by_year[known]).all()


def test_more_rain_never_adds_stress() -> None:
    weather = climate(5, 800)
    more = planting_scores(replace(weather, rain_mm=weather.rain_mm + 1.0), SITE)
    less = planting_scores(weather, SITE)
    known = ~np.isnan(more.parts.stress_days) & ~np.isnan(less.parts.stress_days)
    assert (more.parts.stress_days <= less.parts.stress_days)[known].all()


def test_a_dry_hole_fills_with_rain_and_dries_by_demand() -> None:
    """25 cm of soil that holds 15 % is 37.5 mm: wet for 70 % of it while 11.25 mm are missing."""
    rain = np.zeros(700)
    rain[500] = 40.0
    weather = Weather(date(2030, 1, 1), rain, np.full(700, 5.0))
    scores = planting_scores(weather, SITE)
    wet = [float(scores.parts.wet[place(weather, day)]) for day in range(499, 510)]
    assert wet == [0, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0]  # 2 mm a day, unstressed down to 11.25 mm


def test_common_years_lend_their_28_february_to_the_leap_day() -> None:
    weather = climate(1, 2 * 365 + 1, date(2031, 1, 1))
    places = planting_days(weather)
    assert places[0, 57:61].tolist() == [57, 58, 58, 59]
    assert places[1, 57:61].tolist() == [422, 423, 424, 425]
    assert places[1, 365] == 730


def test_days_off_the_record_are_marked() -> None:
    weather = climate(1, 300)
    places = planting_days(weather)
    assert (places[0, :152] == -1).all()
    assert places[0, 152] == 0  # 1 June
    assert weather.years == (2027, 2028)
    assert planting_scores(weather, SITE).years_on_record.tolist()[150:154] == [0, 0, 1, 1]


MONTH_DAYS = {0: (1, 1), 58: (2, 28), 59: (2, 29), 60: (3, 1), 273: (9, 30), 365: (12, 31)}


@pytest.mark.parametrize(("planting_day", "expected"), MONTH_DAYS.items())
def test_planting_days_are_those_of_a_leap_year(
    planting_day: int, expected: tuple[int, int]
) -> None:
    assert month_day(planting_day) == expected


def year(**runs: tuple[int, int]) -> Series:
    score = np.zeros(366)
    for first, last in runs.values():
        score[first : last + 1] = 0.8
    return score


WINDOWS = {
    "none": (year(), []),
    "one run": (year(a=(100, 119)), [Window(100, 119, 20, 0.8)]),
    "a run too short": (year(a=(100, 105)), []),
    "two runs": (year(a=(10, 20), b=(300, 320)), [(10, 20, 11, 0.8), (300, 320, 21, 0.8)]),
    "over the turn of the year": (year(a=(0, 4), b=(360, 365)), [Window(360, 4, 11, 0.8)]),
    "up to the last day": (year(a=(355, 365)), [Window(355, 365, 11, 0.8)]),
    "the whole year": (year(a=(0, 365)), [Window(0, 365, 366, 0.8)]),
}


@pytest.mark.parametrize(("score", "expected"), WINDOWS.values(), ids=WINDOWS.keys())
def test_windows_are_runs_of_good_days(score: Series, expected: list[Any]) -> None:
    found = windows(score, good=0.6, shortest_days=7)
    assert [window[:3] for window in found] == [window[:3] for window in expected]
    assert all(window.score == pytest.approx(0.8) for window in found)


def test_a_day_without_a_score_ends_a_window() -> None:
    score = year(a=(100, 119))
    score[110] = np.nan
    assert [window[:3] for window in windows(score, 0.6, 7)] == [(100, 109, 10), (111, 119, 9)]


@given(st.integers(0, 2**32 - 1), st.sampled_from([0.0, 0.5, 0.9, 1.0]), st.integers(1, 20))
def test_windows_cover_just_the_long_runs(seed: int, share: float, shortest: int) -> None:
    good = np.random.default_rng(seed).random(366) < share
    found = windows(np.where(good, 1.0, 0.2), 0.5, shortest)
    covered = {(window.first + step) % 366 for window in found for step in range(window.days)}
    assert all(good[day] for day in covered)
    assert sum(window.days for window in found) == len(covered)
    for window in found:
        assert window.days >= shortest
        if window.days < 366:
            assert not good[(window.first - 1) % 366]
            assert not good[(window.last + 1) % 366]


NAN = float("nan")
DAYS = np.zeros(10)
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "no weather": (lambda: Weather(FIRST, DAYS[:0], DAYS[:0]), "rain_mm must be at least one day"),
    "unequal series": (
        lambda: Weather(FIRST, DAYS, DAYS[:9]),
        "rain_mm and evapotranspiration_mm must be equally long, not 10 and 9",
    ),
    "years x days": (
        lambda: Weather(FIRST, DAYS, DAYS.reshape(2, 5)),
        "evapotranspiration_mm must be one series of days",
    ),
    "rain of a metre a minute": (
        lambda: Weather(FIRST, DAYS + 1e6, DAYS),
        r"rain_mm\[0\] must be rain of 0 to 2000 mm a day",
    ),
    "demand below nothing": (
        lambda: Weather(FIRST, DAYS, DAYS - 1),
        r"evapotranspiration_mm\[0\] must be evapotranspiration of 0 to 30",
    ),
    "fahrenheit": (lambda: Weather(FIRST, DAYS, DAYS, DAYS + 95), r"max_celsius\[0\] must be"),
    "wind of light": (lambda: Weather(FIRST, DAYS, DAYS, None, DAYS + 501), "wind_kmh.0. must be"),
    "no wetness": (lambda: replace(SITE, wet_share=0), "wet_share must be a fraction above 0"),
    "percent wet": (lambda: replace(SITE, wet_share=70), "wet_share must be .* not 70"),
    "no follow-up": (lambda: replace(SITE, follow_up_days=0), "follow_up_days must be a whole"),
    "heat of the sun": (lambda: replace(SITE, hot_celsius=95), "hot_celsius must be -20 to 60"),
    "a missing wind limit": (lambda: replace(SITE, windy_kmh=NAN), "windy_kmh must be 0 to 500"),
    "percent of water": (lambda: Soil(30, 15), "field_capacity must be a fraction"),
    "a missing wilting point": (lambda: Soil(0.3, NAN), "wilting_point must be a fraction"),
    "swapped soil": (
        lambda: Soil(0.15, 0.30),
        r"wilting_point must be below field_capacity \(0.15\), not 0.3",
    ),
    "no depth": (lambda: Layer(0, 0.5, 0.5), "depth_m must be above 0 and up to 5 m, not 0"),
    "a thirsty crop": (lambda: Layer(0.2, 3, 0.5), "crop_coefficient must be 0 to 2, not 3"),
    "a share of all": (lambda: Layer(0.2, 1, 1), "depletion_fraction must be 0 to 0.95, not 1"),
    "an interval of percent": (
        lambda: planting_scores(climate(1, 10), SITE, 80),
        "interval must be a fraction above 0 and below 1, not 80",
    ),
    "a day after the year": (lambda: month_day(366), "planting_day must be a whole number"),
    "scores of a week": (lambda: windows(DAYS, 0.5, 3), "score must be 366 planting days"),
    "scores in percent": (lambda: windows(year() + 50, 0.5, 3), r"score\[0\] must be a fraction"),
    "a limit in percent": (lambda: windows(year(), 60, 3), "good must be a fraction"),
    "windows of no day": (lambda: windows(year(), 0.6, 0), "shortest_days must be a whole"),
}


@pytest.mark.parametrize(("call", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_a_season_that_cannot_be_is_turned_down(call: Callable[[], Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
