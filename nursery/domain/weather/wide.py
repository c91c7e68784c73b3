"""A table with a row for each day: its columns found by their headings, or as the grower says."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

from nursery.domain.weather import columns, dates
from nursery.domain.weather.columns import Column
from nursery.domain.weather.measures import UNITS, Measure
from nursery.domain.weather.record import Cell, Found
from nursery.domain.weather.table import Row, Table
from nursery.domain.weather.trouble import Trouble, Unreadable

# Rows that are looked at to find out what a column holds.
_LOOKED_AT = 400


@dataclass(frozen=True, slots=True)
class Choices:
    """What the grower says of a file: `columns` gives measure and unit by a column's place.

    `leave_out` takes the days that nothing is wrong with, and leaves the others as gaps.
    """

    columns: Mapping[int, tuple[Measure, str]] = field(default_factory=lambda: MappingProxyType({}))
    days: tuple[int, ...] = ()
    order: str | None = None
    leave_out: bool = False


def cells(table: Table, choices: Choices) -> Found:
    """Return the days of a table.

    Raises:
        Unreadable: no column holds days, or none holds a measure.
    """
    headings, rows = _parted(table)
    if not rows:
        raise Unreadable(Trouble("weather.no_rows", headings.number))
    at = choices.days or columns.days(headings.cells) or _day_columns(rows)
    if not at or max(at) >= len(headings):
        raise Unreadable(Trouble("weather.no_days", headings.number, params=_told(headings)))
    found = columns.in_one_scale(_columns(table, headings, rows, choices, at))
    if not found:
        raise Unreadable(Trouble("weather.no_measure", headings.number, params=_told(headings)))
    troubles = [*_doubled(found, headings), *_guesses(found, headings)]
    which, guessed = dates.order([_day_text(row, at) for row in rows])
    if guessed and not choices.order:
        troubles.append(
            Trouble("weather.day_or_month", rows[0].number, headings.of(at[0]), grave=False)
        )
    taken: list[Cell] = []
    for row in rows:
        try:
            on = dates.read(_day_text(row, at), choices.order or which)
        except ValueError:
            params = {"said": _day_text(row, at)}
            troubles.append(Trouble("weather.no_day", row.number, headings.of(at[0]), params))
            continue
        taken.append(Cell(on, row.number, headings.of(at[0])))
        taken.extend(_cell(table, row, on, column, troubles) for column in found)
    return Found(found, tuple(taken), tuple(troubles), days_at=tuple(at))


@dataclass(frozen=True, slots=True)
class _Headings:
    number: int
    cells: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.cells)

    def of(self, place: int) -> str:
        return self.cells[place] or str(place + 1)


def _parted(table: Table) -> tuple[_Headings, tuple[Row, ...]]:
    """Return headings and rows; a table that begins with a day has no headings but numbers."""
    first, *rest = table.rows
    if not any(_is_day(cell) for cell in first.cells):
        return _Headings(first.number, first.cells), tuple(rest)
    names = tuple(str(place + 1) for place in range(len(first.cells)))
    return _Headings(first.number, names), table.rows


def _is_day(cell: str) -> bool:
    try:
        dates.read(cell, dates.DAY_FIRST)
    except ValueError:
        try:
            dates.read(cell, dates.MONTH_FIRST)
        except ValueError:
            return False
    return True


def _day_columns(rows: tuple[Row, ...]) -> tuple[int, ...]:
    """Return the place of the first column that holds days, where no heading says so."""
    some = rows[:20]
    for place in range(max((len(row.cells) for row in some), default=0)):
        if some and all(place < len(row.cells) and _is_day(row.cells[place]) for row in some):
            return (place,)
    return ()


def _day_text(row: Row, at: tuple[int, ...]) -> str:
    parts = [row.cells[place] if place < len(row.cells) else "" for place in at]
    if len(parts) == 1:
        return parts[0]
    year, month, day = (part.removesuffix(".0") for part in parts)
    return f"{year}-{month}-{day}"


def _columns(
    table: Table, headings: _Headings, rows: tuple[Row, ...], choices: Choices, at: tuple[int, ...]
) -> Iterator[Column]:
    for place, heading in enumerate(headings.cells):
        if place in choices.columns:
            yield Column(place, heading, *choices.columns[place])
        elif place not in at and not choices.columns:
            measure = columns.measure(heading)
            if measure is not None:
                values = _values(table, rows, place)
                yield Column(place, heading, measure, *columns.unit(heading, measure, values))


def _values(table: Table, rows: tuple[Row, ...], place: int) -> Iterator[float]:
    for row in rows[:_LOOKED_AT]:
        try:
            value = table.figure(row.cells[place])
        except (ValueError, IndexError):
            continue
        if value is not None:
            yield value


def _doubled(found: tuple[Column, ...], headings: _Headings) -> Iterator[Trouble]:
    """Two columns of one measure: which is meant, the grower says."""
    seen: dict[Measure, Column] = {}
    for column in found:
        first = seen.setdefault(column.measure, column)
        if first is not column:
            params = {"measure": column.measure.value, "first": headings.of(first.place)}
            yield Trouble("weather.two_columns", headings.number, headings.of(column.place), params)


def _guesses(found: tuple[Column, ...], headings: _Headings) -> Iterator[Trouble]:
    for column in found:
        if column.guessed:
            params = {"measure": column.measure.value, "unit": column.unit}
            name = headings.of(column.place)
            yield Trouble("weather.unit_guessed", headings.number, name, params, grave=False)


def _cell(table: Table, row: Row, on: date, column: Column, troubles: list[Trouble]) -> Cell:
    text = row.cells[column.place] if column.place < len(row.cells) else ""
    name = column.heading or str(column.place + 1)
    try:
        traced = _trace(text, column.measure)
        value = table.figure(text) if traced is None else traced
    except ValueError:
        params = {"said": text, "on": on.isoformat()}
        troubles.append(Trouble("weather.no_figure", row.number, name, params))
        return Cell(on, row.number, name)
    kept = None if value is None else UNITS[column.measure][column.unit].kept(value)
    return Cell(on, row.number, name, column.measure, kept)


def _trace(text: str, measure: Measure) -> float | None:
    """A trace of rain is too little to measure: what it adds to a day is nothing."""
    return 0.0 if measure is Measure.RAIN and text.casefold() in ("t", "trace") else None


def _told(headings: _Headings) -> dict[str, object]:
    return {"headings": ", ".join(heading for heading in headings.cells if heading)[:200]}
