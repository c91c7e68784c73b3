"""A whole file: what it would bring in, where, and what keeps rows out (rules I-4, I-5)."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from nursery.domain.stock_file import cells
from nursery.domain.stock_file.fault import Fault
from nursery.domain.stock_file.fields import DAYS, NEEDED, Field, Sheet, Wording, taken_as
from nursery.domain.stock_file.here import Here
from nursery.domain.stock_file.row import ADD, MADE, Chosen, Incoming, Reading, read

__all__ = ["ADD", "Choices", "Plan", "plan"]

NOTHING_SAID: Mapping[int, Field | None] = {}
NOTHING_CHOSEN: Chosen = {}


@dataclass(frozen=True, slots=True)
class Choices:
    """What somebody says of a file: columns by place, the order of days, what names mean.

    `left_out` is how many faulty rows were seen to be left out; all of them, or none may be.
    """

    columns: Mapping[int, Field | None] = field(default_factory=lambda: NOTHING_SAID)
    order: str | None = None
    names: Chosen = field(default_factory=lambda: NOTHING_CHOSEN)
    left_out: int = 0


@dataclass(frozen=True, slots=True)
class Unknown:
    """A name in a file that nothing here bears, in so many rows; `made` says a row may be made."""

    column: str
    said: str
    rows: int
    made: bool


@dataclass(frozen=True, slots=True)
class Plan:
    """What a file would bring in. Nothing of it is in the book.

    `lacking` are columns that must be there and are not. `new` is what would be made besides:
    crops and goods by their names, with the rows that name them.
    """

    taken: Mapping[int, Field]
    order: str | None
    asks_order: bool
    lacking: tuple[Field, ...]
    incoming: tuple[Incoming, ...]
    known: tuple[Incoming, ...]
    faults: tuple[Fault, ...]
    unknown: tuple[Unknown, ...]

    @property
    def faulty(self) -> int:
        """How many rows have a fault."""
        return len({fault.row for fault in self.faults})

    @property
    def plants(self) -> int:
        return sum(one.plants for one in self.incoming)

    def may_come(self, left_out: int) -> bool:
        """Whether all that is wrong was seen, and something is left to bring in."""
        return not self.lacking and bool(self.incoming) and left_out == self.faulty

    def crops(self) -> list[str]:
        """Return the names of crops that would be made, each once."""
        made = {cells.key(one.crop_said): one.crop_said for one in self.incoming if not one.crop}
        return sorted(made.values())

    def goods(self) -> dict[str, list[Incoming]]:
        """Return the goods that would be made, by name, with what came in them."""
        found: dict[str, tuple[str, list[Incoming]]] = {}
        for one in self.incoming:
            if one.goods is None and one.goods_said:
                found.setdefault(cells.key(one.goods_said), (one.goods_said, []))[1].append(one)
        return dict(found.values())

    def at_places(self) -> list[dict[str, Any]]:
        """Return batches and plants by place, the places in the order of the file."""
        found: dict[str, dict[str, Any]] = {}
        for one in self.incoming:
            at = found.setdefault(
                one.place, {"place": one.place, "batches": 0, "plants": 0, "estimates": 0}
            )
            at["batches"] += 1
            at["plants"] += one.plants
            at["estimates"] += one.estimate
        return list(found.values())


def plan(sheet: Sheet, choices: Choices, here: Here, wording: Wording) -> Plan:
    """Return what the rows of a sheet would bring in; whatever is wrong is told, never raised."""
    taken = taken_as(sheet.headings, wording, choices.columns)
    lacking = tuple(one for one in NEEDED if one not in taken.values())
    order = choices.order or cells.order_of(
        row[at]
        for _, row in sheet.rows
        for at, meaning in taken.items()
        if meaning in DAYS and at < len(row)
    )
    reading = Reading(taken, order, choices.names, here, wording)
    incoming: list[Incoming] = []
    known: list[Incoming] = []
    faults: list[Fault] = []
    for number, row in () if lacking else sheet.rows:
        one, amiss = read(number, row, reading)
        faults += amiss
        if one is not None:
            (known if one.known else incoming).append(one)
    faults += _permits_of_goods(incoming)
    out = {fault.row for fault in faults}
    return Plan(
        taken,
        order,
        any(fault.code == "either_day" for fault in faults) or choices.order is not None,
        lacking,
        tuple(one for one in incoming if one.row not in out),
        tuple(known),
        tuple(sorted(faults, key=lambda fault: fault.row)),
        tuple(
            Unknown(column, said, rows, column in MADE)
            for (column, _), (said, rows) in sorted(reading.unknown.items())
        ),
    )


def _permits_of_goods(incoming: list[Incoming]) -> list[Fault]:
    """Return a fault for each row whose goods another row has under another permit."""
    first: dict[str, str | None] = {}
    faults = []
    for one in incoming:
        if one.goods is None and one.goods_said:
            permit = first.setdefault(cells.key(one.goods_said), one.permit)
            if permit != one.permit:
                about = {"goods": one.goods_said}
                faults.append(
                    Fault(one.row, Field.PERMIT.value, one.permit or "", "permit_differs", about)
                )
    return faults


def arrived(some: list[Incoming]) -> date | None:
    """Return the day on which goods came, None where their rows do not agree."""
    days = {one.arrived_on for one in some}
    return days.pop() if len(days) == 1 else None
