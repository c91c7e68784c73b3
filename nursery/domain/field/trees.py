"""Shelter trees: how many of each row stand, what took the others, which were harmed (rule F-32).

Twin: `frontend/src/log/trees.ts`; `tests/vectors/trees.json` keeps the two alike.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from math import floor
from typing import Any

from nursery.domain.book import Book
from nursery.domain.field import plan
from nursery.domain.kinds.field import Seen, Standing, Surveyed, Thinned
from nursery.domain.occupants import GONE, Field
from nursery.domain.record import Happening
from nursery.domain.reference.layouts import WHOLE, Layout, PlantedRow, Stands

FELLING = "felling"
UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Felled:
    """So many percent of the trees that stood on a day were taken out; `trees` of them."""

    on: date
    percent: float
    trees: int


@dataclass(frozen=True, slots=True)
class TreeRow:
    """A shelter row: `planted` trees by its layout, of which `causes` tells those lost since.

    `harmed` trees stand, and something harmed them by their last look.
    """

    number: int
    species: str | None
    planted: int
    causes: Mapping[str, int]
    felled: tuple[Felled, ...]
    standing: int
    harmed: int

    @property
    def lost(self) -> int:
        return sum(self.causes.values())

    def as_json(self) -> dict[str, Any]:
        return {
            "number": self.number,
            "species": self.species,
            "planted": self.planted,
            "causes": dict(self.causes),
            "felled": [
                {"on": one.on.isoformat(), "percent": one.percent, "trees": one.trees}
                for one in self.felled
            ],
            "standing": self.standing,
            "harmed": self.harmed,
        }


@dataclass(slots=True)
class _Row:
    """A row as its records are walked, oldest first."""

    planted: int
    last: dict[str, Seen] = field(default_factory=dict)
    felled: list[Felled] = field(default_factory=list)

    @property
    def gone(self) -> list[Seen]:
        return [one for one in self.last.values() if one.state in GONE]

    @property
    def standing(self) -> int:
        taken = sum(one.trees for one in self.felled)
        # Trees that were felled bear no names: told of as dead later on, they are gone but once.
        return max(0, self.planted - len(self.gone) - taken)

    def fell(self, on: date, percent: float) -> None:
        """Take a share of what stands, to whole trees; a half tree stands on."""
        stood = self.standing
        share = min(max(percent, 0.0), WHOLE)
        left = floor(stood * (WHOLE - share) / WHOLE + 0.5)
        self.felled.append(Felled(on, share, stood - left))

    def told(self, row: PlantedRow) -> TreeRow:
        causes = Counter(one.cause or UNKNOWN for one in self.gone)
        harmed = sum(one.state is Standing.ALIVE and bool(one.cause) for one in self.last.values())
        return TreeRow(
            number=row.number,
            species=row.species,
            planted=row.holes,
            causes=dict(sorted(causes.items())),
            felled=tuple(self.felled),
            standing=self.standing,
            harmed=min(harmed, self.standing),
        )


def of_block(layout: Layout, book: Book) -> tuple[TreeRow, ...]:
    """Return the shelter rows of a block as they stand, in the order of their numbers."""
    rows = sorted(
        (row for row in layout.rows if row.stands is Stands.SHELTER), key=lambda row: row.number
    )
    found = {str(row.number): _Row(row.holes) for row in rows}
    names = {name: str(row.number) for row in rows for name in plan.names(row)}
    for one in _told(layout, book):
        if isinstance(one.body, Surveyed):
            for seen in one.body.seen:
                if seen.position in names:
                    found[names[seen.position]].last[seen.position] = seen
        else:
            for name in dict.fromkeys(one.body.rows):
                if name in found:
                    found[name].fell(book.day(one.at), one.body.percent)
    return tuple(found[str(row.number)].told(row) for row in rows)


def _told(layout: Layout, book: Book) -> list[Happening]:
    """Return what was written of trees of a block, each record once, the oldest first."""
    seats = plan.seats(layout).items()
    subjects = (layout.id, *(name for name, row in seats if row.stands is Stands.SHELTER))
    places = [book.places[name] for name in subjects if name in book.places]
    found = {
        one.entry: one
        for place in places
        for one in place.record.told(Surveyed, Thinned)
        if one.body.block == layout.id
    }
    return sorted(found.values(), key=lambda one: (one.at, one.entry))


def crop_harmed(told: Field) -> dict[str, int]:
    """Return how many plants of the crop felling harmed: those that live, and those it took."""
    some = [one for one in told.standing.values() if one.cause == FELLING]
    living = sum(one.lives for one in some)
    return {"harmed": living, "lost": len(some) - living}
