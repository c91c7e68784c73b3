"""The risk that a dry spell follows a planting day, by the weather on record (rule V-11)."""

from calendar import isleap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from nursery.domain.reference import Site
from nursery.domain.weather.measures import Measure
from nursery.domain.weather.shown import ENOUGH_YEARS

# By year and measure the values by day of the year, None where missing, in the units of the book.
Years = Mapping[int, Mapping[str, Sequence[float | None]]]
_LEAP_YEAR = date(2032, 1, 1)


@dataclass(frozen=True, slots=True)
class Risks:
    """By planting day (`03-12`) the share of years in which a dry spell followed.

    `years` are those behind the risk of a day; an `invented` series is never told as measured.
    """

    risk: Mapping[str, float]
    years: Mapping[str, int]
    invented: bool

    def as_json(self) -> dict[str, Any]:
        return {"risk": dict(self.risk), "years": dict(self.years), "invented": self.invented}


def read(told: Mapping[str, Any]) -> Risks:
    return Risks(told["risk"], told["years"], told["invented"])


def of_years(years: Years, site: Site, *, invented: bool) -> Risks:
    """Return the risk of each planting day that ten years or more tell of.

    A spell is as many days as the site's rains say, each with less than a wet day's rain, within
    the days after planting that they look ahead. A missing day is tried dry and wet; a year in
    which that decides does not count.
    """
    dry_days, ahead = site.rains.dry_days, site.rains.ahead_days
    rain = dict(_rain(years))
    found: dict[str, float] = {}
    behind: dict[str, int] = {}
    for place in range(366):
        named = f"{_LEAP_YEAR + timedelta(days=place):%m-%d}"
        answers = [
            _dry(_after(rain, _day(year, named), ahead), site.planting.wet_day_mm, dry_days)
            for year in years
        ]
        known = [one for one in answers if one is not None]
        if len(known) >= ENOUGH_YEARS:
            found[named], behind[named] = round(sum(known) / len(known), 3), len(known)
    return Risks(found, behind, invented)


def _rain(years: Years) -> Iterator[tuple[date, float]]:
    for year, measures in years.items():
        for place, value in enumerate(measures.get(Measure.RAIN, ())):
            if value is not None:
                yield date(year, 1, 1) + timedelta(days=place), value


def _day(year: int, named: str) -> date:
    """Return a day of a year; in a common year 28 February stands for the 29th."""
    common = named == "02-29" and not isleap(year)
    return date.fromisoformat(f"{year:04d}-{'02-28' if common else named}")


def _after(rain: Mapping[date, float], on: date, ahead: int) -> list[float | None]:
    return [rain.get(on + timedelta(days=n)) for n in range(1, ahead + 1)]


def _dry(after: Sequence[float | None], wet_mm: float, dry_days: int) -> bool | None:
    """Return whether a dry spell follows; None where missing days decide it."""
    surely = _longest(one is not None and one < wet_mm for one in after) >= dry_days
    maybe = _longest(one is None or one < wet_mm for one in after) >= dry_days
    return surely if surely == maybe else None


def _longest(dry: Iterable[bool]) -> int:
    return max((len(list(run)) for is_dry, run in groupby(dry) if is_dry), default=0)
