"""What a file of daily weather holds, shown before any of it is taken in."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Any

from nursery.domain.weather import ghcn, wide
from nursery.domain.weather.columns import Column
from nursery.domain.weather.measures import SPANS, Measure
from nursery.domain.weather.record import Cell, Day, Gap, gaps, whole_years
from nursery.domain.weather.table import read
from nursery.domain.weather.trouble import Trouble, Unreadable
from nursery.domain.weather.wide import Choices

__all__ = ["Choices", "Day", "Preview", "preview"]

# Fewer years make no odds of a season (design of the season sheet).
ENOUGH_YEARS = 10
SHOWN = 50
HEADINGS = 60


@dataclass(frozen=True, slots=True)
class Preview:
    """Nothing of it is in the book; `usable` says whether all of it may go in."""

    layout: str
    columns: tuple[Column, ...] = ()
    days: tuple[Day, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    left_out: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    headings: tuple[str, ...] = ()
    days_at: tuple[int, ...] = ()
    mark: str | None = None

    @property
    def usable(self) -> bool:
        return bool(self.days) and not any(trouble.grave for trouble in self.troubles)

    @property
    def gaps(self) -> tuple[Gap, ...]:
        return gaps(self.days)

    @property
    def enough(self) -> bool:
        return len(whole_years(self.days)) >= ENOUGH_YEARS

    def as_json(self) -> dict[str, Any]:
        return {
            "layout": self.layout,
            "headings": list(self.headings),
            "days_at": list(self.days_at),
            "mark": self.mark,
            "columns": [column.as_json() for column in self.columns],
            "first": self.days[0].on.isoformat() if self.days else None,
            "last": self.days[-1].on.isoformat() if self.days else None,
            "count": len(self.days),
            "years": len(whole_years(self.days)),
            "enough": self.enough,
            "usable": self.usable,
            "lacking": {
                measure.value: sum(measure not in day.values for day in self.days)
                for measure in sorted({column.measure for column in self.columns})
            },
            "gaps": [gap.as_json() for gap in self.gaps[:SHOWN]],
            "gap_days": sum(gap.days for gap in self.gaps),
            "left_out": dict(sorted(self.left_out.items())),
            "troubles": [trouble.as_json() for trouble in self.troubles[:SHOWN]],
            "trouble_count": len(self.troubles),
            "sample": [day.as_json() for day in self.days[:5]],
        }


def preview(content: bytes, choices: Choices | None = None) -> Preview:
    """Return what a file holds; whatever is wrong with it is told in it, and nothing is raised."""
    chosen = choices or Choices()
    headings: tuple[str, ...] = ()
    try:
        table = read(content, chosen.mark)
        headings = table.rows[0].cells[:HEADINGS]
        if ghcn.is_layout(table):
            layout, found = "ghcn_daily", ghcn.cells(table)
        else:
            layout, found = "table", wide.cells(table, chosen)
    except Unreadable as error:
        return Preview("none", troubles=(error.trouble,), headings=headings)
    days, troubles = _days(found.cells)
    troubles = [*found.troubles, *troubles]
    if chosen.leave_out:
        days, troubles = _without(days, troubles)
    return Preview(
        layout,
        found.columns,
        days,
        tuple(troubles),
        found.left_out,
        headings if layout == "table" else (),
        found.days_at,
        table.mark.sign,
    )


def _days(cells: tuple[Cell, ...]) -> tuple[tuple[Day, ...], list[Trouble]]:
    values: dict[date, dict[Measure, float]] = {}
    rows: dict[date, int] = {}
    troubles: list[Trouble] = []
    for cell in cells:
        day = values.setdefault(cell.on, {})
        rows.setdefault(cell.on, cell.row)
        if not cell.measure or cell.value is None:
            continue
        if cell.measure in day:
            troubles.extend(_twice(cell, day[cell.measure], rows[cell.on]))
            continue
        day[cell.measure] = cell.value
        if not SPANS[cell.measure].holds(cell.value):
            params = {"on": cell.on.isoformat(), "value": round(cell.value, 1)}
            troubles.append(Trouble("weather.beyond", cell.row, cell.column, params))
    days = tuple(Day(on, rows[on], values[on]) for on in sorted(values))
    return days, [*troubles, *_swapped(days)]


def _twice(cell: Cell, kept: float, first: int) -> Iterator[Trouble]:
    same = kept == cell.value
    params = {"on": cell.on.isoformat(), "first": first}
    code = "weather.same_day_twice" if same else "weather.two_values"
    yield Trouble(code, cell.row, cell.column, params, grave=not same)


def _swapped(days: tuple[Day, ...]) -> Iterator[Trouble]:
    """Tell of lows above highs: of one day by its row, of most days as two columns changed over."""
    both = [day for day in days if {Measure.LOW, Measure.HIGH} <= {*day.values}]
    bad = [day for day in both if day.values[Measure.LOW] > day.values[Measure.HIGH]]
    if len(bad) > 2 and len(bad) * 2 > len(both):
        yield Trouble("weather.columns_changed_over", params={"n": len(bad), "of": len(both)})
        return
    for day in bad:
        low, high = day.values[Measure.LOW], day.values[Measure.HIGH]
        params = {"on": day.on.isoformat(), "low": round(low, 1), "high": round(high, 1)}
        yield Trouble("weather.low_above_high", day.row, None, params)


def _without(
    days: tuple[Day, ...], troubles: list[Trouble]
) -> tuple[tuple[Day, ...], list[Trouble]]:
    """Return the days that nothing grave is said of; what was said of the others stays told."""
    bad = {trouble.params["on"] for trouble in troubles if trouble.grave and "on" in trouble.params}
    told = [
        Trouble(one.code, one.row, one.column, one.params, grave=False) if _of_a_row(one) else one
        for one in troubles
    ]
    return tuple(day for day in days if day.on.isoformat() not in bad), told


# Told at a row where they show, and yet wrong with the whole file: no row left out mends them.
OF_THE_FILE = frozenset(("weather.two_stations", "weather.two_columns"))


def _of_a_row(trouble: Trouble) -> bool:
    return trouble.row is not None and trouble.code not in OF_THE_FILE
