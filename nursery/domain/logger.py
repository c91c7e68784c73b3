"""What a room's own instrument kept: many readings with their times, brought to a figure a day.

A day has its lowest and highest air (rule C-9), the mean of its humidity and the sum of its light.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

from nursery.domain.weather import dates
from nursery.domain.weather.columns import words
from nursery.domain.weather.table import Row, Table, read
from nursery.domain.weather.trouble import Trouble, Unreadable


class Quantity(StrEnum):
    AIR = "air_c"
    HUMIDITY = "humidity_percent"
    LIGHT = "light_mol"


_WORDS = (
    (Quantity.HUMIDITY, {"humidity", "humedad", "rh", "hr"}),
    (Quantity.LIGHT, {"light", "luz", "ppfd", "par"}),
    (Quantity.AIR, {"temperature", "temperatura", "temp", "air", "aire"}),
)
_FAHRENHEIT = {"f", "fahrenheit"}
_DAY = {"date", "fecha", "time", "timestamp", "datetime", "day", "dia"}
# No room of plants has been outside of these. (Choice of the product.)
_SPANS = {
    Quantity.AIR: (-50.0, 100.0),
    Quantity.HUMIDITY: (0.0, 100.0),
    Quantity.LIGHT: (0.0, 5000.0),
}


@dataclass(frozen=True, slots=True)
class Logged:
    """One day of a room: so many readings, and the figures that they make."""

    on: date
    readings: int
    figures: tuple[tuple[str, float], ...]

    def as_json(self) -> dict[str, Any]:
        return {"on": self.on.isoformat(), "readings": self.readings, **dict(self.figures)}


@dataclass(frozen=True, slots=True)
class Log:
    days: tuple[Logged, ...] = ()
    troubles: tuple[Trouble, ...] = ()

    @property
    def usable(self) -> bool:
        return bool(self.days) and not self.troubles


@dataclass(frozen=True, slots=True)
class _Reading:
    on: date
    hour: int | None
    what: Quantity
    value: float


_HOUR = re.compile(r"[T ](\d{1,2}):\d{2}")
# A mean flux of 1 µmol m-2 s-1 over a day, in mol m-2.
_MOL_A_DAY = 0.0864


def preview(content: bytes) -> Log:
    """Return what a file holds, day by day, or what is wrong with it by row and column."""
    try:
        table = read(content)
        readings, troubles = _readings(table)
    except Unreadable as error:
        return Log(troubles=(error.trouble,))
    return Log(tuple(_days(readings)), tuple(troubles))


def _readings(table: Table) -> tuple[list[_Reading], list[Trouble]]:
    """Return every reading.

    Raises:
        Unreadable: no column holds times, or none a figure of the room.
    """
    headings, *rows = table.rows
    named = [words(heading) for heading in headings.cells]
    at = next((place for place, found in enumerate(named) if found & _DAY), None)
    told = {"headings": ", ".join(filter(None, headings.cells))[:200]}
    if at is None:
        raise Unreadable(Trouble("weather.no_days", headings.number, params=told))
    columns = {place: what for place, found in enumerate(named) if (what := _what(found))}
    columns.pop(at, None)
    if not columns:
        raise Unreadable(Trouble("logger.no_figures", headings.number, params=told))
    order, _ = dates.order([_cell(row, at) for row in rows])
    readings: list[_Reading] = []
    troubles: list[Trouble] = []
    for row in rows:
        try:
            on = dates.read(_cell(row, at), order)
        except ValueError:
            said = {"said": _cell(row, at)}
            troubles.append(Trouble("weather.no_day", row.number, headings.cells[at], said))
            continue
        for found in _of_row(table, row, on, at, columns):
            if isinstance(found, Trouble):
                troubles.append(found)
            else:
                readings.append(found)
    return readings, troubles


def _of_row(
    table: Table, row: Row, on: date, at: int, columns: Mapping[int, Quantity]
) -> Iterator[_Reading | Trouble]:
    headings = table.rows[0].cells
    clock = _HOUR.search(_cell(row, at))
    hour = int(clock[1]) if clock else None
    for place, what in columns.items():
        hot = bool(words(headings[place]) & _FAHRENHEIT)
        try:
            value = _figure(table, row, place, what, hot=hot)
        except ValueError:
            said = {"said": _cell(row, place)}
            yield Trouble("logger.no_figure", row.number, headings[place], said)
            continue
        if value is not None:
            yield _Reading(on, hour, what, value)


def _what(found: set[str]) -> Quantity | None:
    return next((what for what, names in _WORDS if found & names), None)


def _cell(row: Row, place: int) -> str:
    return row.cells[place] if place < len(row.cells) else ""


def _figure(table: Table, row: Row, place: int, what: Quantity, *, hot: bool) -> float | None:
    """Return the figure of a cell.

    Raises:
        ValueError: it is none, or one that no room has had.
    """
    value = table.figure(_cell(row, place))
    if value is None:
        return None
    if hot and what is Quantity.AIR:
        value = (value - 32) * 5 / 9
    least, most = _SPANS[what]
    if not least <= value <= most:
        raise ValueError(value)
    return value


def _days(readings: list[_Reading]) -> Iterator[Logged]:
    by_day: dict[date, list[_Reading]] = {}
    for reading in readings:
        by_day.setdefault(reading.on, []).append(reading)
    for on, some in sorted(by_day.items()):
        yield Logged(on, len(some), tuple(_figures(some)))


def _figures(some: list[_Reading]) -> Iterator[tuple[str, float]]:
    air, humid, light = (
        [one for one in some if one.what is what]
        for what in (Quantity.AIR, Quantity.HUMIDITY, Quantity.LIGHT)
    )
    if len(air) > 1:
        yield "air_low_c", round(min(one.value for one in air), 2)
        yield "air_high_c", round(max(one.value for one in air), 2)
    elif air:
        yield "air_c", round(air[0].value, 2)
    if humid:
        yield "humidity_percent", round(sum(one.value for one in humid) / len(humid), 1)
    # A sum needs light of every hour: half a day of readings would tell half the light.
    if len({one.hour for one in light} - {None}) == 24:
        yield "light_mol", round(sum(one.value for one in light) / len(light) * _MOL_A_DAY, 2)
