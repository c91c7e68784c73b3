"""What a planting day's figures come from, so that a phone goes on with them and with its own.

A phone without signal is asked days later: its probe's figures have grown old by then, the sky of
other days counts, and what was typed on it replaces what is told here.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

from nursery.domain import seasons
from nursery.domain.book import Book
from nursery.domain.planting.booked import bookings
from nursery.domain.planting.dry_spell import Risks
from nursery.domain.planting.facts import (
    HEAT_DAYS,
    OUTLOOK_DAYS,
    SOON,
    Group,
    days_from,
    full_on,
)
from nursery.domain.planting.figures import FIGURES_COUNT, OF_THE_FIELD, latest
from nursery.domain.toughening import course


def of_group(group: Group, book: Book, today: date, risks: Risks | None) -> dict[str, Any]:
    full, weeks = full_on(group.batches, book), seasons.coming(group.on, book)
    return {
        "field": {name: dict(_read(name, book, today)) for name in group.blocks},
        "sky": dict(_sky(group, book, today)),
        "odds": None if risks is None else _odds(group, risks, today),
        "booked": any(one.on == group.on for _, one in bookings(group.batches, book)),
        "full_on": None if full is None else full.isoformat(),
        "weeks": None
        if weeks is None
        else {"first": weeks.first.isoformat(), "last": weeks.last.isoformat()},
    }


def _odds(group: Group, risks: Risks, today: date) -> dict[str, Any]:
    """Tell the risk of each day on which the plants may still go out, booked anew."""
    days = {group.on, *days_from(today, SOON.days + 1)}
    told = {day: f"{day:%m-%d}" for day in sorted(days)}
    return {
        "invented": risks.invented,
        "days": {
            day.isoformat(): {"risk": risks.risk[named], "years": risks.years[named]}
            for day, named in told.items()
            if named in risks.risk
        },
    }


def _read(name: str, book: Book, today: date) -> Iterator[tuple[str, dict[str, Any]]]:
    for what in OF_THE_FIELD:
        figure = latest(name, what, book, today, FIGURES_COUNT)
        if figure is not None:
            yield what, {"value": figure.value, "on": book.day(figure.at).isoformat()}


def _sky(group: Group, book: Book, today: date) -> Iterator[tuple[str, dict[str, Any]]]:
    said = book.once(course.forecasts)
    days = {*days_from(today, OUTLOOK_DAYS), *days_from(group.on, HEAT_DAYS)}
    for day in sorted(days & said.keys()):
        yield (
            day.isoformat(),
            {name: getattr(said[day], name) for name in ("high_c", "low_c", "rain_mm", "wind_kmh")},
        )
