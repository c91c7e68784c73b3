"""What a planting day's figures come from, so that a phone goes on with them and with its own.

A phone without signal is asked days later: its probe's figures have grown old by then, the sky of
other days counts, and what was typed on it replaces what is told here.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

from nursery.domain import seasons
from nursery.domain.book import Book
from nursery.domain.planting.facts import (
    FIGURES_COUNT,
    HEAT_DAYS,
    OF_THE_FIELD,
    OUTLOOK_DAYS,
    Group,
    bookings,
    days_from,
    full_on,
    latest,
)
from nursery.domain.toughening import course


def of_group(group: Group, book: Book, today: date) -> dict[str, Any]:
    full, weeks = full_on(group.batches, book), seasons.coming(group.on, book)
    return {
        "field": {name: dict(_read(name, book, today)) for name in group.blocks},
        "sky": dict(_sky(group, book, today)),
        "booked": any(one.on == group.on for _, one in bookings(group.batches, book)),
        "full_on": None if full is None else full.isoformat(),
        "weeks": None
        if weeks is None
        else {"first": weeks.first.isoformat(), "last": weeks.last.isoformat()},
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
        yield day.isoformat(), {"high_c": said[day].high_c, "rain_mm": said[day].rain_mm}
