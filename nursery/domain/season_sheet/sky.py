"""What weather is on record, and whether it is enough to make odds of (rule J-7)."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from nursery.domain.weather import Measure
from nursery.domain.weather.record import WHOLE, years_of_rain
from nursery.domain.weather.shown import ENOUGH_YEARS

# By measure the values by day of the year, None where missing.
Year = Mapping[str, Sequence[float | None]]


def told(years: Mapping[int, Year]) -> dict[str, Any]:
    """Return how many whole years of rain there are, and the first and last day of the record.

    `enough` asks for lows and highs as well, or for what water they would draw: without them
    nobody can say how long soil stays wet. `lacks_warmth` says that they alone are wanting.
    """
    rainy = years_of_rain(years)
    both = [year for year in rainy if _drawn(years[year]) >= WHOLE]
    days = [on for number, year in years.items() for on in _ends(number, year)]
    return {
        "years": len(rainy),
        "enough": len(both) >= ENOUGH_YEARS,
        "lacks_warmth": len(both) < ENOUGH_YEARS <= len(rainy),
        "first": min(days).isoformat() if days else None,
        "last": max(days).isoformat() if days else None,
    }


def _drawn(year: Year) -> int:
    """Return on how many days it is known, about, how much water the air draws."""
    warmth = min(_days(year, Measure.LOW), _days(year, Measure.HIGH))
    return max(warmth, _days(year, Measure.EVAPOTRANSPIRATION))


def _days(year: Year, measure: str) -> int:
    return sum(one is not None for one in year.get(measure, ()))


def _ends(number: int, year: Year) -> Iterator[date]:
    """Yield the first and the last day on which each measure was read."""
    for values in year.values():
        read = [place for place, value in enumerate(values) if value is not None]
        for place in (read[0], read[-1]) if read else ():
            yield date(number, 1, 1) + timedelta(days=place)
