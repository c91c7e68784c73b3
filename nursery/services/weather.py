"""Daily weather of many years: shown before it is taken, and taken whole or not at all."""

import calendar
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any

import orjson

from nursery.domain.weather import Choices, Day, Measure, Preview, preview
from nursery.domain.weather.record import years_of_rain
from nursery.domain.weather.shown import ENOUGH_YEARS
from nursery.services import effects
from nursery.services.errors import (
    Unknown,
    WeatherContradicts,
    WeatherTooLarge,
    WeatherUnusable,
)
from nursery.store.models import WeatherSeriesRow, WeatherYearRow
from nursery.store.scope import Scope, scope

MOST_BYTES = 24 * 1024 * 1024
Values = dict[str, list[float | None]]


@dataclass(frozen=True, slots=True)
class Series:
    """What a series is called and where it comes from; an `invented` one is never measured."""

    id: str
    name: str
    source: str = ""
    invented: bool = False


@dataclass(frozen=True, slots=True)
class File:
    """The bytes of a file, and what the grower says of its columns."""

    content: bytes
    choices: Choices


def shown(content: bytes, choices: Choices) -> Preview:
    """Return what a file holds. Nothing is written.

    Raises:
        WeatherTooLarge: more bytes than are looked at.
    """
    if len(content) > MOST_BYTES:
        raise WeatherTooLarge(len(content), MOST_BYTES)
    return preview(content, choices)


def take(nursery: str, series: Series, file: File, by: str, now: datetime) -> dict[str, Any]:
    """Take a file into a series: a new one, or more days of one that is there.

    All of it goes in within one transaction, or nothing does.

    Raises:
        WeatherTooLarge: more bytes than are looked at.
        WeatherUnusable: something grave is wrong with the file; its preview says what and where.
        WeatherContradicts: the series has a day with another figure already.
    """
    found = shown(file.content, file.choices)
    if not found.usable:
        raise WeatherUnusable(sum(one.grave for one in found.troubles))
    digest = sha256(file.content).hexdigest()
    with scope(nursery, write=True) as rows:
        head = rows.lock_head()
        years = _years(rows, series.id)
        for year, days in _by_year(found.days).items():
            _add(years.setdefault(year, {}), year, days)
        WeatherSeriesRow.objects.update_or_create(
            nursery_id=rows.key,
            ident=series.id,
            defaults={
                "name": series.name,
                "source": series.source,
                "invented": series.invented,
                "sha256": digest,
                "taken_at": now,
                "taken_by": by,
            },
        )
        _keep(rows, series.id, years)
        key = f"{series.id[:40]}:{digest[:16]}:{now.timestamp():.0f}"
        effects.season_is_stale(rows, head.last_seq, key, now)
    return one(nursery, series.id)


def forget(nursery: str, ident: str, now: datetime) -> None:
    """Take a series and all its days out.

    Raises:
        Unknown: there is no such series.
    """
    with scope(nursery, write=True) as rows:
        head = rows.lock_head()
        gone, _ = rows.weather_series.filter(ident=ident).delete()
        if not gone:
            raise Unknown("weather", ident)
        rows.weather_years.filter(series=ident).delete()
        key = f"{ident[:40]}:gone:{now.timestamp():.0f}"
        effects.season_is_stale(rows, head.last_seq, key, now)


def every(nursery: str) -> list[dict[str, Any]]:
    """Return every series with what each of its years holds, by name."""
    with scope(nursery) as rows:
        series = list(rows.weather_series.order_by("name", "ident"))
        return [_told(row, _years(rows, row.ident)) for row in series]


def one(nursery: str, ident: str) -> dict[str, Any]:
    """Return one series as `every` does.

    Raises:
        Unknown: there is no such series.
    """
    with scope(nursery) as rows:
        row = rows.weather_series.filter(ident=ident).first()
        if row is None:
            raise Unknown("weather", ident)
        return _told(row, _years(rows, ident))


@dataclass(frozen=True, slots=True)
class Sky:
    """The lowest and the highest of each day of one series, in °C; without both it is no day."""

    name: str
    invented: bool
    days: Mapping[date, tuple[float, float]]


def daily(nursery: str, first: date, last: date) -> Sky | None:
    """Return the series that knows most of the days from `first` to `last`, both included.

    Measured ones go before invented ones. None where no series knows a day of them.
    """
    years = range(first.year, last.year + 1)
    with scope(nursery) as rows:
        series = list(rows.weather_series.order_by("name", "ident"))
        texts = list(
            rows.weather_years.filter(year__in=years).values_list("series", "year", "text")
        )
    known: dict[str, dict[date, tuple[float, float]]] = {}
    for ident, year, text in texts:
        days = {on: span for on, span in _spans(year, orjson.loads(text)) if first <= on <= last}
        known.setdefault(ident, {}).update(days)
    found = [Sky(one.name, one.invented, known.get(one.ident, {})) for one in series]
    told = [one for one in found if one.days]
    return max(told, key=lambda one: (not one.invented, len(one.days)), default=None)


def _spans(year: int, values: Values) -> Iterable[tuple[date, tuple[float, float]]]:
    begins = date(year, 1, 1)
    pairs = zip(values.get(Measure.LOW, ()), values.get(Measure.HIGH, ()), strict=False)
    for n, (low, high) in enumerate(pairs):
        if low is not None and high is not None:
            yield begins + timedelta(days=n), (low, high)


def _told(row: WeatherSeriesRow, years: Mapping[int, Values]) -> dict[str, Any]:
    held = [
        {
            "year": year,
            "days": {
                name: sum(value is not None for value in values)
                for name, values in sorted(measures.items())
            },
        }
        for year, measures in sorted(years.items())
    ]
    whole = len(years_of_rain(years))
    return {
        "id": row.ident,
        "name": row.name,
        "source": row.source,
        "invented": row.invented,
        "taken_at": row.taken_at,
        "taken_by": row.taken_by,
        "years": held,
        "whole_years": whole,
        "enough": whole >= ENOUGH_YEARS,
        "wanted_years": ENOUGH_YEARS,
    }


def _years(rows: Scope, ident: str) -> dict[int, Values]:
    found = rows.weather_years.filter(series=ident).values_list("year", "text")
    return {year: orjson.loads(text) for year, text in found}


def _by_year(days: Iterable[Day]) -> dict[int, list[Day]]:
    found: dict[int, list[Day]] = {}
    for day in days:
        found.setdefault(day.on.year, []).append(day)
    return found


def _add(year: Values, number: int, days: Iterable[Day]) -> None:
    """Add days to a year.

    Raises:
        WeatherContradicts: a day has another figure already.
    """
    length = 365 + calendar.isleap(number)
    for day in days:
        place = (day.on - date(number, 1, 1)).days
        for measure, value in day.values.items():
            kept = year.setdefault(measure.value, [None] * length)
            new = round(value, 2)
            if kept[place] is not None and kept[place] != new:
                raise WeatherContradicts(day.on.isoformat(), measure.value, kept[place], new)
            kept[place] = new


def _keep(rows: Scope, ident: str, years: Mapping[int, Values]) -> None:
    rows.weather_years.filter(series=ident).delete()
    WeatherYearRow.objects.bulk_create(
        WeatherYearRow(
            nursery_id=rows.key, series=ident, year=year, text=orjson.dumps(values).decode()
        )
        for year, values in sorted(years.items())
    )
