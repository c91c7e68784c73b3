"""A table with a row for each day: its columns found by their headings, or as the grower says."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

from nursery.domain.weather import columns, dates, flags
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

    `mark` is the sign before the decimals, a point or a comma. `leave_out` takes the days that
    nothing is wrong with, and leaves the others as gaps.
    """

    columns: Mapping[int, tuple[Measure, str]] = field(default_factory=lambda: MappingProxyType({}))
    days: tuple[int, ...] = ()
    order: str | None = None
    mark: str | None = None
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
    troubles = [
        *_doubled(found, headings),
        *_guesses(found, headings),
        *_either_mark(table, found, headings),
    ]
    which, guessed = dates.order([_day_text(row, at) for row in rows])
    if guessed and not choices.order:
        troubles.append(
            Trouble("weather.day_or_month", rows[0].number, headings.of(at[0]), grave=False)
        )
    beside = flags.beside(headings.cells)
    reading = _Reading(table, headings, found, at, choices.order or which, beside)
    taken = [cell for row in reading.of_one_station(rows, troubles) for cell in row]
    return Found(found, tuple(taken), tuple(troubles), reading.left_out, days_at=tuple(at))


@dataclass(frozen=True, slots=True)
class _Reading:
    """How the rows of a table are read; counts what failed a quality check and is left out."""

    table: Table
    headings: "_Headings"
    found: tuple[Column, ...]
    at: tuple[int, ...]
    order: str
    beside: Mapping[int, int]
    left_out: Counter[str] = field(default_factory=Counter)

    def of_one_station(
        self, rows: tuple[Row, ...], troubles: list[Trouble]
    ) -> Iterator[Iterator[Cell]]:
        """Yield the cells of each row; two stations have no one weather."""
        place = flags.station(self.headings.cells)
        station = None if place is None else _text(rows[0], place)
        for row in rows:
            if place is not None and _text(row, place) != station:
                params = {"station": station, "other": _text(row, place)}
                troubles.append(Trouble("weather.two_stations", row.number, params=params))
                return
            yield self._row(row, troubles)

    def _row(self, row: Row, troubles: list[Trouble]) -> Iterator[Cell]:
        text, name = _day_text(row, self.at), self.headings.of(self.at[0])
        try:
            on = dates.read(text, self.order)
        except ValueError:
            troubles.append(Trouble("weather.no_day", row.number, name, {"said": text}))
            return
        if any(row.cells[len(self.headings) :]):
            params = {"n": len(row.cells), "of": len(self.headings), "on": on.isoformat()}
            troubles.append(Trouble("weather.more_cells", row.number, params=params))
            return
        yield Cell(on, row.number, name)
        for column in self.found:
            flagged = self.beside.get(column.place)
            if flagged is not None and flags.failed(row, flagged):
                self.left_out["quality"] += 1
            else:
                yield _cell(self.table, row, on, column, troubles)


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


def _text(row: Row, place: int) -> str:
    return row.cells[place] if place < len(row.cells) else ""


def _day_text(row: Row, at: tuple[int, ...]) -> str:
    parts = [_text(row, place) for place in at]
    if len(parts) == 1:
        return parts[0]
    year, month, day = (part.removesuffix(".0") for part in parts)
    return f"{year}-{month}-{day}"


def _columns(
    table: Table, headings: _Headings, rows: tuple[Row, ...], choices: Choices, at: tuple[int, ...]
) -> Iterator[Column]:
    tenths = flags.units(headings.cells, rows[:_LOOKED_AT], flags.beside(headings.cells))
    for place, heading in enumerate(headings.cells):
        if place in choices.columns:
            yield Column(place, heading, *choices.columns[place])
        elif place not in at and not choices.columns:
            measure = columns.measure(heading)
            if measure is not None:
                values = _values(table, rows, place)
                unit, guessed = columns.unit(heading, measure, values)
                yield Column(place, heading, measure, tenths.get(place, unit), guessed)


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


def _either_mark(table: Table, found: tuple[Column, ...], headings: _Headings) -> Iterator[Trouble]:
    """Tell of the first figure whose sign may part decimals or thousands, unless that was said."""
    places = {column.place for column in found}
    for number, place in table.mark.open_at:
        if place in places:
            params = {"sign": table.mark.sign}
            yield Trouble("weather.either_mark", number, headings.of(place), params, grave=False)
            return


def _guesses(found: tuple[Column, ...], headings: _Headings) -> Iterator[Trouble]:
    for column in found:
        if column.guessed:
            params = {"measure": column.measure.value, "unit": column.unit}
            name = headings.of(column.place)
            yield Trouble("weather.unit_guessed", headings.number, name, params, grave=False)


def _cell(table: Table, row: Row, on: date, column: Column, troubles: list[Trouble]) -> Cell:
    text = _text(row, column.place)
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
