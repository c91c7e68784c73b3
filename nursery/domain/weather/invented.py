"""A daily series that nobody measured: seeded, so that it is the same whenever it is made.

For showing and trying. Rain is a chain of wet and dry days with two rainy spells in the year, as
in the far south of the tropics; temperatures follow the season and fall on wet days. All of its
figures are invented.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from hashlib import sha256
from math import cos, log, pi, sqrt

# For each month: odds of rain after a dry and after a wet day, and mean mm of a wet day.
MONTHS = (
    (0.24, 0.52, 11.0),
    (0.30, 0.58, 12.0),
    (0.45, 0.72, 13.0),
    (0.22, 0.50, 9.0),
    (0.08, 0.30, 5.0),
    (0.04, 0.20, 3.0),
    (0.03, 0.18, 3.0),
    (0.05, 0.22, 4.0),
    (0.14, 0.38, 7.0),
    (0.42, 0.70, 13.0),
    (0.36, 0.64, 12.0),
    (0.26, 0.54, 11.0),
)
WARMEST = 15  # January
MEAN_HIGH, SWING = 29.5, 4.0
HEADINGS = "date,rain_mm,min_c,max_c,wind_kmh"


def csv(seed: int, first_year: int, years: int) -> str:
    """Return so many years of days as text, a line a day, with headings.

    Raises:
        ValueError: less than one year.
    """
    if years < 1:
        raise ValueError(f"years must be 1 or more, not {years}")
    return "\n".join((HEADINGS, *_lines(seed, first_year, years))) + "\n"


def _lines(seed: int, first_year: int, years: int) -> Iterator[str]:
    day, end, wet, drift = date(first_year, 1, 1), date(first_year + years, 1, 1), False, 0.0
    while day < end:
        draw = _draws(seed, day)
        after_dry, after_wet, mean = MONTHS[day.month - 1]
        wet = draw[0] < (after_wet if wet else after_dry)
        rain = -mean * log(1 - draw[1]) if wet else 0.0
        drift = 0.7 * drift + 1.2 * _normal(draw[2], draw[3])
        season = cos(2 * pi * (day.timetuple().tm_yday - WARMEST) / 365.25)
        high = MEAN_HIGH + SWING * season + drift - (2.5 if wet else 0.0)
        low = high - (7.0 if wet else 10.5) - 1.5 * draw[4]
        wind = 8 + 14 * draw[5] + (12 if wet and draw[6] > 0.9 else 0)
        yield f"{day},{rain:.1f},{low:.1f},{high:.1f},{wind:.0f}"
        day += timedelta(days=1)


def _draws(seed: int, day: date) -> list[float]:
    """Return eight even draws from 0 to below 1 that belong to a day."""
    digest = sha256(f"{seed} {day}".encode()).digest()
    return [int.from_bytes(digest[4 * i : 4 * i + 4]) / 2**32 for i in range(8)]


def _normal(first: float, second: float) -> float:
    """Return a draw from the standard normal out of two even ones (Box & Muller 1958)."""
    return sqrt(-2 * log(1 - first)) * cos(2 * pi * second)
