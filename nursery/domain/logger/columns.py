"""Which column of a logger's file is what: by its heading, or as the grower says."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from statistics import median
from types import MappingProxyType

from nursery.domain.logger.measures import FLUX, SUM, UNITS, Quantity
from nursery.domain.weather.columns import scale, words
from nursery.domain.weather.table import Row, Table
from nursery.domain.weather.trouble import Trouble, Unreadable

# Rows that are looked at to find out what a column holds.
_LOOKED_AT = 400
# No room of plants has a median above it. (Choice of the product.)
_HOTTEST_MEDIAN = 45.0
_WORDS = (
    (Quantity.HUMIDITY, {"humidity", "humedad", "rh", "hr"}),
    (Quantity.LIGHT, {"light", "luz", "ppfd", "par", "dli", "lux", "lx", "illuminance"}),
    (Quantity.AIR, {"temperature", "temperatura", "temp", "air", "aire"}),
)
# What is measured elsewhere than in the air of the room, or worked out from it.
_OTHER = {
    *("dew", "rocio", "soil", "suelo", "substrate", "sustrato", "leaf", "hoja", "water", "agua"),
    *("root", "raiz", "battery", "bateria", "pressure", "presion", "vpd", "dpv", "co2"),
}
_DAY = {"date", "fecha", "timestamp", "datetime", "day", "dia"}
_CLOCK = {"time", "hora", "hour"}
_LIGHT = (
    ("lux", r"\blux\b|\blx\b|illuminance"),
    ("watt", r"\bw\s*/?\s*m|watt"),
    (FLUX, r"[uµμ]mol|micromol|\bppfd\b|\bpar\b"),
    (SUM, r"\bdli\b|\bmol\b"),
)


@dataclass(frozen=True, slots=True)
class Choices:
    """What the grower says of a file: quantity and unit by a column's place, where the times are.

    `order` says whether day or month comes first, `mark` is the sign before the decimals.
    """

    columns: Mapping[int, tuple[Quantity, str]] = field(
        default_factory=lambda: MappingProxyType({})
    )
    days: tuple[int, ...] = ()
    order: str | None = None
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """`guessed` where the heading does not say the unit, and the grower is asked."""

    place: int
    heading: str
    quantity: Quantity
    unit: str
    guessed: bool = False

    def as_json(self) -> dict[str, object]:
        return {
            "place": self.place,
            "heading": self.heading,
            "measure": self.quantity.value,
            "unit": self.unit,
            "guessed": self.guessed,
        }


@dataclass(frozen=True, slots=True)
class Layout:
    """Where a file has its days, the hours of them (None: beside the day), and its figures."""

    day: int
    clock: int | None
    columns: tuple[Column, ...]


def layout(table: Table, choices: Choices) -> Layout:
    """Return what each column is.

    Raises:
        Unreadable: no column holds times, or none a figure of the room.
    """
    headings, rows = table.rows[0], table.rows[1:]
    named = [words(heading) for heading in headings.cells]
    at = choices.days[0] if choices.days else _first(named, _DAY, None)
    if at is None:
        at = _first(named, _CLOCK, None)
    told = {"headings": ", ".join(filter(None, headings.cells))[:200]}
    if at is None or at >= len(named):
        raise Unreadable(Trouble("weather.no_days", headings.number, params=told))
    found = tuple(_said(headings, choices) if choices.columns else _found(table, rows, named, at))
    if not found:
        raise Unreadable(Trouble("logger.no_figures", headings.number, params=told))
    return Layout(at, _first(named, _CLOCK, at), found)


def troubles(found: Iterable[Column], row: int) -> Iterator[Trouble]:
    """Yield what is wrong with columns or was assumed of them; `row` is that of the headings."""
    seen: dict[Quantity, str] = {}
    for column in found:
        about = {"measure": column.quantity.value, "unit": column.unit}
        if UNITS[column.quantity][column.unit] is None:
            yield Trouble("logger.no_sum", row, column.heading, about, grave=False)
            continue
        if column.quantity in seen:
            params = {**about, "first": seen[column.quantity]}
            yield Trouble("weather.two_columns", row, column.heading, params)
        elif column.guessed:
            yield Trouble("weather.unit_guessed", row, column.heading, about, grave=False)
        seen.setdefault(column.quantity, column.heading)


def _first(named: list[set[str]], of: set[str], but: int | None) -> int | None:
    return next((at for at, found in enumerate(named) if found & of and at != but), None)


def _said(headings: Row, choices: Choices) -> Iterator[Column]:
    for place, (quantity, unit) in sorted(choices.columns.items()):
        if place < len(headings.cells):
            yield Column(place, headings.cells[place] or str(place + 1), quantity, unit)


def _found(table: Table, rows: tuple[Row, ...], named: list[set[str]], at: int) -> Iterator[Column]:
    for place, found in enumerate(named):
        quantity = next((what for what, names in _WORDS if found & names), None)
        if quantity is not None and place != at and not found & _OTHER:
            heading = table.rows[0].cells[place]
            yield Column(place, heading, quantity, *_unit(heading, quantity, table, rows, place))


def _unit(
    heading: str, quantity: Quantity, table: Table, rows: tuple[Row, ...], place: int
) -> tuple[str, bool]:
    """Return the unit of a column, and whether that is a guess from what stands in it."""
    said = heading.casefold().strip()
    if quantity is Quantity.LIGHT:
        unit = next((name for name, sign in _LIGHT if re.search(sign, said)), None)
        return (FLUX, True) if unit is None else (unit, False)
    known = list(_values(table, rows, place))
    if quantity is Quantity.HUMIDITY:
        share = bool(known) and max(known) <= 1 and "%" not in said
        return ("share", True) if share else ("percent", False)
    unit = scale(heading)
    hot = bool(known) and median(known) > _HOTTEST_MEDIAN
    return (unit, False) if unit else ("fahrenheit" if hot else "celsius", True)


def _values(table: Table, rows: tuple[Row, ...], place: int) -> Iterator[float]:
    for row in rows[:_LOOKED_AT]:
        try:
            value = table.figure(row.cells[place])
        except (ValueError, IndexError):
            continue
        if value is not None:
            yield value
