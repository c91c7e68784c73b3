"""A day of weather as a file tells it, and what a run of days lacks."""

import itertools
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from types import MappingProxyType
from typing import Any

from nursery.domain.weather.columns import Column
from nursery.domain.weather.measures import Measure
from nursery.domain.weather.trouble import Trouble

# A year counts for odds with at most so many days missing. (Choice of the product.)
MOST_MISSING = 36
WHOLE = 365 - MOST_MISSING


@dataclass(frozen=True, slots=True)
class Cell:
    """One value of one day; without a measure it only says that the day is in the file."""

    on: date
    row: int
    column: str
    measure: Measure | None = None
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """`days_at` are the places of the columns that hold the day, or its year, month and day."""

    columns: tuple[Column, ...]
    cells: tuple[Cell, ...]
    troubles: tuple[Trouble, ...]
    left_out: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    days_at: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Day:
    on: date
    row: int
    values: Mapping[Measure, float]

    def as_json(self) -> dict[str, Any]:
        values = {measure.value: round(value, 2) for measure, value in sorted(self.values.items())}
        return {"on": self.on.isoformat(), **values}


@dataclass(frozen=True, slots=True)
class Gap:
    """Days between two of the record that it does not have."""

    first: date
    last: date

    @property
    def days(self) -> int:
        return (self.last - self.first).days + 1

    def as_json(self) -> dict[str, Any]:
        return {"first": self.first.isoformat(), "last": self.last.isoformat(), "days": self.days}


def gaps(days: tuple[Day, ...]) -> tuple[Gap, ...]:
    one = timedelta(days=1)
    return tuple(
        Gap(before.on + one, after.on - one)
        for before, after in itertools.pairwise(days)
        if after.on - before.on > one
    )


def whole_years(days: tuple[Day, ...]) -> tuple[int, ...]:
    """Return the calendar years of which hardly a day is missing."""
    held = Counter(day.on.year for day in days)
    return tuple(year for year in sorted(held) if held[year] >= WHOLE)


def years_of_rain(years: Mapping[int, Mapping[str, Sequence[float | None]]]) -> tuple[int, ...]:
    """Return the years whose rain [mm] is known of nearly every day (rule J-7).

    `years` hold, by year and measure, the values by day of the year, None where missing.
    """
    return tuple(
        year
        for year, measures in sorted(years.items())
        if sum(value is not None for value in measures.get(Measure.RAIN, ())) >= WHOLE
    )
