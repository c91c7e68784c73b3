"""One step back and all steps forward from suspect batches: what was made of them, and where it is.

Of a mixed batch nobody can say which parent a plant is of, so it belongs to the trace of each of
them, wholly (rules N-1 to N-3).
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.kinds.count import Sent
from nursery.domain.occupants import Field, Occupant

# Ways by which plants ended in the nursery.
ENDS = ("died", "culled", "sampled", "destroyed", "stolen")


@dataclass(frozen=True, slots=True)
class Consigned:
    """Plants of a traced batch that were sent to somebody outside."""

    batch: str
    receiver: str
    plants: int
    on: date
    paper: str | None


@dataclass(frozen=True, slots=True)
class Traced:
    """Everything that may be of the batches asked for.

    `batches` are those asked for and all that was made of them; `back` are the batches, and
    `consignments` the goods, that they themselves came from. `field` holds by block the plants
    that stand there or stood there, `reserve` by batch those that live in the nursery, and `ended`
    by way those that ended there.
    """

    batches: tuple[str, ...]
    back: tuple[str, ...]
    consignments: tuple[str, ...]
    field: Mapping[str, tuple[Occupant, ...]]
    reserve: Mapping[str, int]
    ended: Mapping[str, int]
    sent: tuple[Consigned, ...]

    @property
    def positions(self) -> int:
        return sum(len(some) for some in self.field.values())

    @property
    def living(self) -> int:
        """Plants that stand in the field and live, by their last look."""
        return sum(one.lives for some in self.field.values() for one in some)


def trace(start: Iterable[str], book: Book, fields: Mapping[str, Field]) -> Traced:
    """Return what may be of some batches; names that the book does not know are left out."""
    asked = [name for name in start if name in book.batches]
    names = sorted({*asked, *(made for name in asked for made in book.descendants(name))})
    some = [book.batches[name] for name in names if name in book.batches]
    mine = frozenset(names)
    back = {parent for one in some for parent in one.parents} - mine
    return Traced(
        batches=tuple(one.id for one in some),
        back=tuple(sorted(back)),
        consignments=_goods(mine, book),
        field=_standing(mine, fields),
        reserve={one.id: one.ledger.alive for one in some if one.ledger.alive > 0},
        ended=_ended(some),
        sent=tuple(found for one in some for found in _sent(one, book)),
    )


def _goods(names: Iterable[str], book: Book) -> tuple[str, ...]:
    """Return the consignments that some batches came in with, themselves or by their parents."""
    every = {one for name in names for one in (name, *book.ancestors(name))}
    goods = (book.batches[name].consignment for name in every if name in book.batches)
    return tuple(sorted({one for one in goods if one}))


def _standing(
    names: frozenset[str], fields: Mapping[str, Field]
) -> dict[str, tuple[Occupant, ...]]:
    found = {}
    for block, field in sorted(fields.items()):
        told = tuple(one for one in field.standing.values() if one.batch in names)
        if told:
            found[block] = told
    return found


def _ended(some: Iterable[Batch]) -> dict[str, int]:
    sums = dict.fromkeys(ENDS, 0)
    for one in some:
        for way in ENDS:
            sums[way] += getattr(one.ledger, way)
    return {way: n for way, n in sums.items() if n}


def _sent(batch: Batch, book: Book) -> Iterator[Consigned]:
    for one in batch.record.happenings:
        if isinstance(one.body, Sent):
            plants = sum(part.count for part in one.body.plants if part.id == batch.id)
            yield Consigned(batch.id, one.body.receiver, plants, book.day(one.at), one.body.paper)
