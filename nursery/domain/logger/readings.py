"""The readings of a file, or what is wrong with them by row and column."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from nursery.domain.logger import days
from nursery.domain.logger.columns import Choices, Column, Layout, layout
from nursery.domain.logger.columns import troubles as of_columns
from nursery.domain.logger.days import Logged, Reading
from nursery.domain.logger.measures import SPANS, SUM, UNITS
from nursery.domain.weather import dates
from nursery.domain.weather.table import Row, Table, read
from nursery.domain.weather.trouble import Trouble, Unreadable

SHOWN, HEADINGS = 50, 60
_HOUR = re.compile(r"(?:^|[T ])(\d{1,2}):\d{2}(?::\d{2}(?:\.\d+)?)?\s*([ap])?", re.IGNORECASE)
_NOON = 12


@dataclass(frozen=True, slots=True)
class Log:
    """Nothing of it is in the book; `usable` says whether all of it may go in."""

    days: tuple[Logged, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    columns: tuple[Column, ...] = ()
    headings: tuple[str, ...] = ()
    days_at: tuple[int, ...] = ()
    mark: str | None = None

    @property
    def usable(self) -> bool:
        return any(day.figures for day in self.days) and not any(one.grave for one in self.troubles)

    def as_json(self) -> dict[str, Any]:
        return {
            "usable": self.usable,
            "headings": list(self.headings),
            "days_at": list(self.days_at),
            "columns": [column.as_json() for column in self.columns],
            "mark": self.mark,
            "days": [day.as_json() for day in self.days],
            "troubles": [one.as_json() for one in self.troubles[:SHOWN]],
            "trouble_count": len(self.troubles),
        }


def preview(content: bytes, choices: Choices | None = None) -> Log:
    """Return what a file holds, day by day, or what is wrong with it by row and column."""
    chosen = choices or Choices()
    headings: tuple[str, ...] = ()
    try:
        table = read(content, chosen.mark)
        headings = table.rows[0].cells[:HEADINGS]
        file = _File(table, layout(table, chosen), chosen)
    except Unreadable as error:
        return Log(troubles=(error.trouble,), headings=headings)
    readings = list(file.readings())
    found = file.layout
    return Log(
        tuple(days.of_readings(readings)),
        tuple(file.troubles),
        found.columns,
        headings,
        (found.day,),
        table.mark.sign,
    )


@dataclass(slots=True)
class _File:
    """A file as it is read; gathers what is wrong with it."""

    table: Table
    layout: Layout
    choices: Choices
    troubles: list[Trouble] = field(default_factory=list)
    sums: dict[date, float] = field(default_factory=dict)

    def readings(self) -> Iterator[Reading]:
        headings, *rows = self.table.rows
        self.troubles += of_columns(self.layout.columns, headings.number)
        self.troubles += self._either_mark()
        order, guessed = dates.order([_cell(row, self.layout.day) for row in rows])
        name = self._name(self.layout.day)
        if guessed and not self.choices.order:
            self.troubles.append(Trouble("weather.day_or_month", rows[0].number, name, grave=False))
        for row in rows:
            try:
                on = dates.read(_cell(row, self.layout.day), self.choices.order or order)
            except ValueError:
                said = {"said": _cell(row, self.layout.day)}
                self.troubles.append(Trouble("weather.no_day", row.number, name, said))
                continue
            if any(row.cells[len(headings.cells) :]):
                params = {"n": len(row.cells), "of": len(headings.cells)}
                self.troubles.append(Trouble("weather.more_cells", row.number, params=params))
                continue
            yield from self._of_row(row, on)

    def _either_mark(self) -> Iterator[Trouble]:
        """Tell of the first figure whose sign may part decimals or thousands."""
        places = {column.place for column in self.layout.columns}
        found = (at for at in self.table.mark.open_at if at[1] in places)
        for number, place in list(found)[:1]:
            params = {"sign": self.table.mark.sign}
            yield Trouble("weather.either_mark", number, self._name(place), params, grave=False)

    def _of_row(self, row: Row, on: date) -> Iterator[Reading]:
        hour = self._hour(row)
        for column in self.layout.columns:
            try:
                value = self._figure(row, column)
            except ValueError:
                said = {"said": _cell(row, column.place), "unit": column.unit}
                trouble = Trouble("logger.no_figure", row.number, column.heading, said)
                self.troubles.append(trouble)
                continue
            if value is not None and self._one_sum(column, row, on, value):
                yield Reading(on, hour, column.quantity, column.unit, value)

    def _figure(self, row: Row, column: Column) -> float | None:
        """Return the figure of a cell in the unit of the book, None where none is taken.

        Raises:
            ValueError: it is none, or one that no room has had.
        """
        unit = UNITS[column.quantity][column.unit]
        value = None if unit is None else self.table.figure(_cell(row, column.place))
        if unit is None or value is None:
            return None
        kept = unit.kept(value)
        least, most = SPANS[column.quantity]
        if not least <= kept <= most:
            raise ValueError(kept)
        return kept

    def _one_sum(self, column: Column, row: Row, on: date, value: float) -> bool:
        """Return whether a sum of a day is its only one; a flux is no sum."""
        if column.unit != SUM or self.sums.setdefault(on, value) == value:
            return True
        said = {"on": on.isoformat(), "unit": column.unit}
        self.troubles.append(Trouble("logger.two_sums", row.number, column.heading, said))
        return False

    def _hour(self, row: Row) -> int | None:
        """Return the hour of a reading, from the cell of its day or from the one of its clock."""
        places = (self.layout.day, self.layout.clock)
        found = (_HOUR.search(_cell(row, at)) for at in places if at is not None)
        clock = next(filter(None, found), None)
        if clock is None:
            return None
        hour, half = int(clock[1]), (clock[2] or "").casefold()
        return hour % _NOON + _NOON * (half == "p") if half else hour

    def _name(self, place: int) -> str:
        return self.table.rows[0].cells[place] or str(place + 1)


def _cell(row: Row, place: int) -> str:
    return row.cells[place] if place < len(row.cells) else ""
