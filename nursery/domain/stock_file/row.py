"""One row: what it brings in, or every fault that it has (rules I-5, I-6)."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from hashlib import sha256
from typing import TypeVar

from nursery.domain.labels import canonical
from nursery.domain.stock_file import cells
from nursery.domain.stock_file.cells import Cell, key
from nursery.domain.stock_file.fault import Amiss, Fault, shown
from nursery.domain.stock_file.fields import NEEDED, Field, Wording
from nursery.domain.stock_file.here import Here

T = TypeVar("T")

# In a choice of what an unknown name is: a row of its own, made when the file is brought in.
ADD = "+"
QUARANTINE = "quarantine"
SEED = "seed"
# What rows may name, and of which of them a new one may be made.
NAMED = (Field.CROP, Field.PLACE, Field.GOODS, Field.PERMIT)
MADE = (Field.CROP, Field.GOODS)

Chosen = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Incoming:
    """A batch that a row brings in. Of crop and goods that are yet to be made the id is None.

    `known` says that the same row came in before, from whichever file.
    """

    row: int
    id: str
    label: str
    plants: int
    estimate: bool
    counted_on: date
    crop: str | None
    crop_said: str
    place: str
    container: str = ""
    cells: int | None = None
    goods: str | None = None
    goods_said: str = ""
    arrived_on: date | None = None
    permit: str | None = None
    stage: str | None = None
    lot: str = ""
    notes: str = ""
    known: bool = False


@dataclass(slots=True)
class Reading:
    """How rows of one file are read, and what was met on the way.

    `unknown` counts the names that nothing here bears, by what they name and by compared name,
    as they were first written. `worn` gives the row
    of each label that the file has had so far.
    """

    taken: Mapping[int, Field]
    order: str | None
    chosen: Chosen
    here: Here
    wording: Wording
    unknown: dict[tuple[str, str], tuple[str, int]] = field(default_factory=dict)
    worn: dict[str, int] = field(default_factory=dict)


def read(number: int, row: Sequence[Cell], reading: Reading) -> tuple[Incoming | None, list[Fault]]:
    """Return what a row brings in, or None and its faults: every one of them, not the first."""
    one = _Row(number, row, reading)
    found = one.read()
    return (None if one.faults else found), one.faults


class _Row:
    def __init__(self, number: int, row: Sequence[Cell], reading: Reading) -> None:
        self.number = number
        self.reading = reading
        self.here = reading.here
        self.cells = {f: row[at] for at, f in reading.taken.items() if at < len(row)}
        self.faults: list[Fault] = []

    def read(self) -> Incoming:
        label = self._cell(Field.LABEL, cells.name, "")
        count = self._cell(Field.COUNT, cells.whole, None)
        if count == 0:
            self._amiss(Field.COUNT, "nothing")
        crop = self._named(Field.CROP)
        place = self._named(Field.PLACE)
        goods = self._named(Field.GOODS)
        permit = self._named(Field.PERMIT)
        one = Incoming(
            row=self.number,
            id="",
            label=label,
            plants=count or 0,
            estimate=self._cell(Field.ESTIMATE, cells.flag, default=False),
            counted_on=self._day(Field.COUNTED_ON) or self.here.today,
            crop=crop,
            crop_said=self._said(Field.CROP),
            place=place or "",
            container=self._cell(Field.CONTAINER, cells.name, ""),
            cells=self._cell(Field.CELLS, cells.whole, None),
            goods=goods,
            goods_said=self._said(Field.GOODS),
            arrived_on=self._day(Field.ARRIVED_ON),
            permit=permit,
            stage=self._stage() or (QUARANTINE if permit else None),
            lot=self._cell(Field.LOT, cells.lot, ""),
            notes=self._cell(Field.NOTES, cells.note, ""),
        )
        self._lacking()
        self._days_fit(one)
        if one.cells is not None and one.plants > one.cells:
            self._amiss(Field.CELLS, "over_cells", plants=one.plants)
        ident = self._ident(one)
        self._label_free(label, ident)
        self._permit_fits(one)
        return _named(one, ident, known=ident in self.here.begun)

    def _amiss(self, column: Field, code: str, **params: object) -> None:
        value = shown(self.cells.get(column))
        self.faults.append(Fault(self.number, column.value, value, code, params))

    def _cell(self, column: Field, read_as: Callable[[Cell], T], default: T) -> T:
        try:
            found = read_as(self.cells.get(column))
        except Amiss as amiss:
            self._amiss(column, amiss.code, **amiss.params)
            return default
        return default if found is None else found

    def _day(self, column: Field) -> date | None:
        order, months = self.reading.order, self.reading.wording.months
        found = self._cell(column, lambda cell: cells.day(cell, order, months), None)
        if found is not None and found > self.here.today:
            self._amiss(column, "day_ahead", today=self.here.today.isoformat())
        return found

    def _said(self, column: Field) -> str:
        """Return a name as it is written; whether it is fit to be one is told elsewhere."""
        return " ".join(shown(self.cells.get(column)).split())

    def _named(self, column: Field) -> str | None:
        """Return the id of what a cell names; None where there is nothing, or it is to be made."""
        said = self._cell(column, cells.name, "")
        if not said:
            return None
        chosen = self.reading.chosen.get(column.value, {}).get(key(said))
        known = self.here.names[column.value].get(key(said), frozenset())
        if chosen and chosen != ADD:
            known = self.here.names[column.value].get(key(chosen), frozenset())
        if len(known) == 1:
            return next(iter(known))
        if not known and chosen == ADD and column in MADE:
            return None
        first, times = self.reading.unknown.get((column.value, key(said)), (said, 0))
        self.reading.unknown[column.value, key(said)] = (first, times + 1)
        self._amiss(column, "several" if known else "unknown", n=len(known))
        return None

    def _stage(self) -> str | None:
        said = self._cell(Field.STAGE, cells.text, "")
        if not said:
            return None
        stage = self.reading.wording.stages.get(key(said))
        if stage is None:
            self._amiss(Field.STAGE, "unknown", n=0)
        elif stage == SEED:
            self._amiss(Field.STAGE, "stage_seed")
        return stage

    def _lacking(self) -> None:
        for column in NEEDED:
            cell = self.cells.get(column)
            if cell is None or (isinstance(cell, str) and not cell.strip()):
                self._amiss(column, "lacks")

    def _days_fit(self, one: Incoming) -> None:
        """Goods have a day on which they came, and what a permit counts from needs one too."""
        if one.arrived_on is None:
            untold = not shown(self.cells.get(Field.ARRIVED_ON))
            if untold and (one.goods_said or one.permit):
                self._amiss(Field.ARRIVED_ON, "day_wanted")
        elif one.arrived_on > one.counted_on:
            self._amiss(Field.COUNTED_ON, "day_order", arrived=one.arrived_on.isoformat())

    def _label_free(self, label: str, ident: str) -> None:
        if not label:
            return
        worn = canonical(label)
        if not worn:
            self._amiss(Field.LABEL, "label_signs")
            return
        known = ident in self.here.begun
        if not known and worn in self.here.labels:
            self._amiss(Field.LABEL, "label_used")
        first = self.reading.worn.setdefault(worn, self.number)
        if first != self.number:
            self._amiss(Field.LABEL, "label_twice", other=first)

    def _permit_fits(self, one: Incoming) -> None:
        """Goods that are known came under their own permit, whatever a row says."""
        if one.goods is None or one.permit is None:
            return
        if self.here.permit_of.get(one.goods) != one.permit:
            self._amiss(Field.PERMIT, "permit_differs", goods=one.goods_said)

    def _ident(self, one: Incoming) -> str:
        """Return the id by which a row is known again, however its file is written (rule I-7)."""
        said = (
            *(canonical(one.label), key(one.crop_said), one.plants, one.estimate, one.counted_on),
            *(key(self._said(Field.PLACE)), one.container, one.cells, key(one.goods_said)),
            *(one.arrived_on, key(self._said(Field.PERMIT)), one.stage, one.lot, one.notes),
        )
        digest = sha256("\n".join(map(repr, said)).encode("utf-8", "replace")).hexdigest()
        return f"b-{digest[:32]}"


def _named(one: Incoming, ident: str, *, known: bool) -> Incoming:
    values = {name: getattr(one, name) for name in Incoming.__slots__}
    return Incoming(**{**values, "id": ident, "known": known})
