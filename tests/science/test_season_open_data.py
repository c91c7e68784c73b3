"""The season's odds on an open record: Seattle, 2012 to 2015, out of the package vega_datasets.

The record is NOAA's, of the airport's station. Each expected figure was counted by hand from the
days that are written out beside it.
"""

import csv
from datetime import date, timedelta
from importlib import resources

import pytest

from nursery.science.season import (
    Layer,
    OnsetRule,
    Scores,
    Site,
    Soil,
    Weather,
    planting_scores,
    weather_of,
)

KMH = 3.6  # of a metre a second, in which the record tells the wind
SITE = Site(
    soil=Soil(0.25, 0.12),
    hole=Layer(0.4, 0.4, 0.3),
    wet_share=0.6,
    plant=Layer(0.25, 0.7, 0.5),
    rains=OnsetRule(20.0, 3, 1, 0.85, 9, 20),
    follow_up_days=30,
    hot_celsius=30.0,
    windy_kmh=25.0,
)
COLUMNS = {"rain_mm": "precipitation", "low_c": "temp_min", "high_c": "temp_max"}


@pytest.fixture(scope="module")
def record() -> dict[date, dict[str, float]]:
    found = resources.files("vega_datasets") / "_data/seattle-weather.csv"
    with found.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    return {
        date.fromisoformat(row["date"].replace("/", "-")): {
            **{name: float(row[column]) for name, column in COLUMNS.items()},
            "wind_kmh": float(row["wind"]) * KMH,
        }
        for row in rows
    }


@pytest.fixture(scope="module")
def weather(record: dict[date, dict[str, float]]) -> Weather:
    years: dict[int, dict[str, list[float | None]]] = {}
    for day, values in sorted(record.items()):
        year = years.setdefault(day.year, {name: [] for name in values})
        for name, value in values.items():
            year[name].append(value)
    return weather_of(years, 47.45)


@pytest.fixture(scope="module")
def scores(weather: Weather) -> Scores:
    return planting_scores(weather, SITE)


def part(scores: Scores, name: str, on: str) -> float:
    day = date.fromisoformat(on)
    # Planting days are those of a leap year.
    place = (date(2012, day.month, day.day) - date(2012, 1, 1)).days
    return float(getattr(scores.parts, name)[day.year - 2012][place])


def test_the_record_is_the_one_that_was_counted(record: dict[date, dict[str, float]]) -> None:
    assert (len(record), min(record), max(record)) == (1461, date(2012, 1, 1), date(2015, 12, 31))
    highs = [record[date(2014, 7, 2) + timedelta(days=i)]["high_c"] for i in range(30)]
    assert highs == [
        27.2, 21.7, 23.9, 24.4, 28.9, 27.2, 30.0, 26.7, 28.9, 31.1, 32.2, 29.4, 27.8, 31.1, 31.1,
        26.7, 23.9, 25.6, 19.4, 23.9, 21.1, 18.9, 20.6, 22.8, 26.1, 28.3, 30.6, 30.0, 29.4, 30.6,
    ]  # fmt: skip


BY_HAND = {
    # 30.0, 31.1, 32.2, 31.1, 31.1, 30.6, 30.0, 30.6 among the thirty highs above
    "heat after 1 July 2014": ("hot_days", "2014-07-01", 8),
    # 7.7 and 7.6 m/s on 11 and 12 November; 6.7 on 7 November is 24.1 km/h
    "wind after 18 October 2014": ("windy_days", "2014-10-18", 2),
    # 0, 2.0 and 4.8 mm are 6.8 in three days
    "rain has not come by 13 October 2012": ("holds", "2012-10-13", 0),
    # 2.0, 4.8 and 16.5 mm are 23.3; then no more than two dry days until 3 November
    "rain comes and holds on 14 October 2012": ("holds", "2012-10-14", 1),
    # 43.4 mm; dry from 13 October on, six days of the twenty ahead
    "rain holds after 28 September 2013": ("holds", "2013-09-28", 1),
    # 13 to 26 October, fourteen days without 0.85 mm, lie within the twenty ahead
    "rain does not hold after 10 October 2013": ("holds", "2013-10-10", 0),
    # 30.5 mm; five dry days, 2.0 mm, eight dry days, 32.5 mm
    "summer rain holds after 14 August 2015": ("holds", "2015-08-14", 1),
}


@pytest.mark.parametrize(("name", "on", "counted"), BY_HAND.values(), ids=BY_HAND.keys())
def test_parts_are_those_counted_by_hand(
    scores: Scores, name: str, on: str, counted: float
) -> None:
    assert part(scores, name, on) == counted


def test_every_day_s_heat_and_wind_are_those_of_a_plain_count(
    scores: Scores, record: dict[date, dict[str, float]]
) -> None:
    for start in range(0, 1400, 37):
        day = date(2012, 1, 1) + timedelta(days=start)
        after = [record[day + timedelta(days=i)] for i in range(1, 31)]
        hot = sum(one["high_c"] >= SITE.hot_celsius for one in after)
        windy = sum(one["wind_kmh"] >= SITE.windy_kmh for one in after)
        assert part(scores, "hot_days", day.isoformat()) == hot
        assert part(scores, "windy_days", day.isoformat()) == windy


def test_odds_are_shares_of_the_years(scores: Scores) -> None:
    october = (date(2012, 10, 14) - date(2012, 1, 1)).days
    holds = [part(scores, "holds", f"{year}-10-14") for year in range(2012, 2016)]
    assert float(scores.hold_odds[october]) == sum(holds) / 4
    assert int(scores.years[october]) == 4
