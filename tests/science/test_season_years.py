"""A record of weather made of years of lists: no break in its dates, and what lacks is missing."""

import math
from datetime import date

import numpy as np
import pytest

from nursery.science import water
from nursery.science.season import weather_of
from nursery.science.season.years import Years


def test_years_follow_another_and_one_that_lacks_is_missing() -> None:
    years: Years = {2031: {"rain_mm": [1.0, None, 3.0]}, 2033: {"rain_mm": [5.0] * 400}}
    record = weather_of(years, -17.0)
    assert record.first_day == date(2031, 1, 1)
    assert len(record.rain_mm) == 365 + 366 + 365
    assert record.rain_mm[0] == 1.0
    assert math.isnan(record.rain_mm[1])
    assert np.isnan(record.rain_mm[3 : 365 + 366]).all()
    assert (record.rain_mm[365 + 366 :] == 5.0).all()
    assert (record.max_celsius, record.wind_kmh) == (None, None)


def test_what_evaporates_is_told_or_else_worked_out_from_low_and_high() -> None:
    year: dict[str, list[float | None]] = {
        "rain_mm": [0.0] * 4,
        "low_c": [20.0, 20.0, 30.0, -40.0],
        "high_c": [30.0, 30.0, 20.0, -30.0],
        "wind_kmh": [9.0],
        "evapotranspiration_mm": [None, 4.5],
    }
    record = weather_of({2031: year}, -17.0)
    sun = float(water.extraterrestrial_radiation(-17.0, 1))
    # Hargreaves: 0.0023 (mean + 17.8) sqrt(high - low) Ra, in mm by 0.408
    by_hand = 0.0023 * (25 + 17.8) * math.sqrt(10) * 0.408 * sun
    assert record.evapotranspiration_mm[0] == pytest.approx(by_hand, rel=1e-6)
    assert record.evapotranspiration_mm[1] == 4.5
    assert math.isnan(record.evapotranspiration_mm[2])  # a low above its high
    assert record.evapotranspiration_mm[3] == 0.0
    assert record.max_celsius is not None
    assert record.wind_kmh is not None


def test_no_year_and_no_weather_are_refused() -> None:
    with pytest.raises(ValueError, match="years must be at least one"):
        weather_of({}, -17.0)
    with pytest.raises(ValueError, match="rain_mm"):
        weather_of({2031: {"rain_mm": [-1.0]}}, -17.0)
