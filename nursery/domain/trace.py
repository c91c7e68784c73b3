"""One step back and all steps forward from suspect batches: what was made of them, and where it is.

Of a mixed batch nobody can say which parent a plant is of, so it belongs to the trace of each of
them, wholly (rules N-1 to N-3).
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.kinds.count import Sent
from nursery.domain.occupants import Field, Occupant

# Ways by which plants ended in the nursery.
ENDS = ("died", "culled", "sampled", "destroyed", "stolen")


@dataclass(frozen=True, slots=True)
class Consigned:
    """Plants of a traced batch that were sent to somebody outside; `entry` is their record."""

    entry: str
    batch: str
    receiver: str
    plants: int
    on: date
    paper: str | None

    def as_json(self) -> dict[str, Any]:
        return {
            "entry": self.entry,
            "batch": self.batch,
            "receiver": self.receiver,
            "plants": self.plants,
            "on": self.on.isoformat(),
            "paper": self.paper,
        }


@dataclass(frozen=True, slots=True)
class Traced:
    """Everything that may be of the batches asked for.

    `batches` are those asked for and all that was made of them; `back` are the batches, and
    `consignments` the goods, that they themselves came from. `field` holds by block the plants
    that were put last into their positions, `before` those in whose place another stands since.
    `reserve` counts by batch those that live in the nursery, and `ended` those that ended there.
    """

    asked: tuple[str, ...]
    batches: tuple[str, ...]
    back: tuple[str, ...]
    consignments: tuple[str, ...]
    field: Mapping[str, tuple[Occupant, ...]]
    before: Mapping[str, tuple[Occupant, ...]]
    reserve: Mapping[str, int]
    ended: Mapping[str, Mapping[str, int]]
    sent: tuple[Consigned, ...]

    @property
    def positions(self) -> int:
        return sum(len(some) for some in self.field.values())

    @property
    def living(self) -> int:
        """Plants that stand in the field and live, by their last look."""
        return sum(one.lives for some in self.field.values() for one in some)

    def sums(self) -> dict[str, int]:
        """Return the figures that are asked for first."""
        return {
            "positions": self.positions,
            "alive": self.living,
            "gone": self.positions - self.living,
            "reserve": sum(self.reserve.values()),
            "sent": sum(one.plants for one in self.sent),
            "receivers": len({one.receiver for one in self.sent}),
            "replaced": sum(len(some) for some in self.before.values()),
        }

    def as_json(self) -> dict[str, Any]:
        return {
            "asked": list(self.asked),
            "made": [name for name in self.batches if name not in self.asked],
            "back": list(self.back),
            "consignments": list(self.consignments),
            "sums": self.sums(),
            "field": [
                {"block": block, "plants": [_written(one) for one in some]}
                for block, some in self.field.items()
            ],
            "before": [
                {"block": block, "plants": [_written(one) for one in some]}
                for block, some in self.before.items()
            ],
            "reserve": dict(self.reserve),
            "ended": {name: dict(ways) for name, ways in self.ended.items()},
            "sent": [one.as_json() for one in self.sent],
        }


def trace(start: Iterable[str], book: Book, fields: Mapping[str, Field]) -> Traced:
    """Return what may be of some batches; names that the book does not know are left out."""
    asked = [name for name in dict.fromkeys(start) if name in book.batches]
    names = sorted({*asked, *(made for name in asked for made in book.descendants(name))})
    some = [book.batches[name] for name in names if name in book.batches]
    mine = frozenset(names)
    back = {parent for one in some for parent in one.parents} - mine
    return Traced(
        asked=tuple(asked),
        batches=tuple(one.id for one in some),
        back=tuple(sorted(back)),
        consignments=_goods(mine, book),
        field=_standing(mine, fields),
        before=_before(mine, fields),
        reserve={one.id: one.ledger.alive for one in some if one.ledger.alive > 0},
        ended=_ended(some),
        sent=tuple(found for one in some for found in _sent(one, book)),
    )


def to_hold(found: Traced, book: Book) -> tuple[str, ...]:
    """Return the traced batches that one order is to hold (rule N-6).

    One that was planted to the last plant is held as well: what stands in the field is of it.
    """
    return tuple(name for name in found.batches if not book.batches[name].closed)


def _goods(names: Iterable[str], book: Book) -> tuple[str, ...]:
    """Return the consignments that some batches came in with, themselves or by their parents."""
    every = {one for name in names for one in (name, *book.ancestors(name))}
    goods = (book.batches[name].consignment for name in every if name in book.batches)
    return tuple(sorted({one for one in goods if one}))


Stood = dict[str, tuple[Occupant, ...]]


def _standing(names: frozenset[str], fields: Mapping[str, Field]) -> Stood:
    """Return the plants of some batches that were put into their positions last, by block."""
    told = {
        block: _in_turn(one for one in field.standing.values() if one.batch in names)
        for block, field in sorted(fields.items())
    }
    return {block: some for block, some in told.items() if some}


def _before(names: frozenset[str], fields: Mapping[str, Field]) -> Stood:
    """Return the plants of some batches in whose positions another plant stands since."""
    told = {
        block: _in_turn(
            one for every in field.positions.values() for one in every[:-1] if one.batch in names
        )
        for block, field in sorted(fields.items())
    }
    return {block: some for block, some in told.items() if some}


def _in_turn(some: Iterable[Occupant]) -> tuple[Occupant, ...]:
    """Return plants as one walks along the block: 2 before 10."""
    return tuple(sorted(some, key=lambda one: (len(one.position), one.position)))


def _ended(some: Iterable[Batch]) -> dict[str, dict[str, int]]:
    told = {one.id: {way: getattr(one.ledger, way) for way in ENDS} for one in some}
    found = {name: {way: n for way, n in ways.items() if n} for name, ways in told.items()}
    return {name: ways for name, ways in found.items() if ways}


def _sent(batch: Batch, book: Book) -> Iterator[Consigned]:
    for one in batch.record.told(Sent):
        plants = sum(part.count for part in one.body.plants if part.id == batch.id)
        on = book.day(one.at)
        yield Consigned(one.entry, batch.id, one.body.receiver, plants, on, one.body.paper)


def _written(one: Occupant) -> dict[str, Any]:
    return {
        "position": one.position,
        "batch": one.batch,
        "on": one.on.isoformat(),
        "first": one.first,
        "state": one.state.value,
        "cause": one.cause,
        "seen": [
            {"on": sight.on.isoformat(), "state": sight.state.value, "cause": sight.cause}
            for sight in one.seen
        ],
    }
