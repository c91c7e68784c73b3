"""A series of daily weather that nobody measured: always the same, and weather all the same."""

import pytest

from nursery.domain.weather import Measure, invented, preview

YEARS = 30


@pytest.fixture(scope="module")
def days() -> list[dict[Measure, float]]:
    shown = preview(invented.csv(118, 2001, YEARS).encode())
    assert shown.usable
    assert shown.enough
    assert shown.gaps == ()
    return [dict(day.values) for day in shown.days]


def test_the_same_seed_gives_the_same_days_and_another_gives_others() -> None:
    assert invented.csv(118, 2001, 1) == invented.csv(118, 2001, 1)
    assert invented.csv(118, 2001, 1) != invented.csv(119, 2001, 1)


def test_it_has_every_day_of_its_years(days: list[dict[Measure, float]]) -> None:
    assert len(days) == YEARS * 365 + 7  # leap years of 2001 to 2030


def test_lows_are_below_highs_and_all_figures_are_such_as_weather_has(
    days: list[dict[Measure, float]],
) -> None:
    assert all(day[Measure.LOW] < day[Measure.HIGH] < 45 for day in days)
    assert all(0 <= day[Measure.RAIN] < 250 for day in days)
    assert all(8 <= day[Measure.WIND] <= 34 for day in days)


def test_october_and_march_are_wetter_than_june(days: list[dict[Measure, float]]) -> None:
    lines = invented.csv(118, 2001, YEARS).splitlines()[1:]
    rain: dict[str, float] = {}
    for line, day in zip(lines, days, strict=True):
        month = line[5:7]
        rain[month] = rain.get(month, 0) + day[Measure.RAIN] / YEARS
    assert min(rain["10"], rain["03"]) > 100
    assert rain["06"] < 10


def test_less_than_one_year_is_refused() -> None:
    with pytest.raises(ValueError, match="years must be 1 or more"):
        invented.csv(1, 2001, 0)
