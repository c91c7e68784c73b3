"""From which batches a trace begins: whatever is under suspicion, it comes down to batches."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.book import Book
from nursery.domain.occupants import Field


class Kind(StrEnum):
    """What a trace may begin with. A thing is a tool or a water line."""

    BATCH = "batch"
    CONSIGNMENT = "consignment"
    SUPPLIER = "supplier"
    PLACE = "place"
    PERSON = "person"
    THING = "thing"
    POSITION = "position"


@dataclass(frozen=True, slots=True)
class Start:
    """Something under suspicion, by its id; a position is its block, a stroke and its number.

    >>> Start.read("position:terrace-4/31")
    Start(kind=<Kind.POSITION: 'position'>, ident='terrace-4/31')
    """

    kind: Kind
    ident: str

    @staticmethod
    def read(text: str) -> "Start":
        """Return what `kind:id` says.

        Raises:
            ValueError: there is no such kind, or no id.
        """
        kind, _, ident = text.partition(":")
        if not ident or kind not in {one.value for one in Kind}:
            raise ValueError(f"{text!r} is nothing that a trace begins with")
        return Start(Kind(kind), ident)

    def __str__(self) -> str:
        return f"{self.kind}:{self.ident}"


Fields = Mapping[str, Field]


def batches_of(starts: Iterable[Start], book: Book, fields: Fields) -> tuple[str, ...]:
    """Return the batches that are under suspicion with what is asked for (rule N-4)."""
    found = {name for one in starts for name in _OF[one.kind](one.ident, book, fields)}
    return tuple(sorted(found & set(book.batches)))


def seat_of(position: str) -> tuple[str, str]:
    """Return block and number of a position's id.

    >>> seat_of("terrace-4/31")
    ('terrace-4', '31')
    """
    block, _, number = position.rpartition("/")
    return block, number


def consignments_of(supplier: str, book: Book) -> frozenset[str]:
    rows = book.rows_of("consignment")
    return frozenset(ident for ident, row in rows if row.supplier == supplier)


def places_with(thing: str, book: Book) -> frozenset[str]:
    """Return the places whose rows say that a tool or a water line is used there."""
    return frozenset(ident for ident, row in book.rows_of("place") if thing in row.shares)


def _batch(ident: str, _book: Book, _fields: Fields) -> Iterable[str]:
    return (ident,)


def _consignment(ident: str, book: Book, _fields: Fields) -> Iterable[str]:
    return (one.id for one in book.batches.values() if one.consignment == ident)


def _supplier(name: str, book: Book, fields: Fields) -> Iterable[str]:
    goods = sorted(consignments_of(name, book))
    return (batch for one in goods for batch in _consignment(one, book, fields))


def _place(ident: str, book: Book, fields: Fields) -> Iterable[str]:
    """Yield what stood in a place or in one inside it, on a bench or in positions of the field."""
    inside = frozenset(book.subtree(ident))
    for batch in book.batches.values():
        if any(stay.place in inside for stay in batch.stays):
            yield batch.id
    for block in sorted(inside & set(fields)):
        for told in fields[block].positions.values():
            yield from (one.batch for one in told)


def _person(ident: str, book: Book, _fields: Fields) -> Iterable[str]:
    return (
        batch.id
        for batch in book.batches.values()
        if any(seen.who == ident for seen in batch.record.presence)
    )


def _thing(name: str, book: Book, fields: Fields) -> Iterable[str]:
    rooms = sorted({book.rooms[place] for place in places_with(name, book)})
    return (batch for room in rooms for batch in _place(room, book, fields))


def _position(ident: str, _book: Book, fields: Fields) -> Iterable[str]:
    block, number = seat_of(ident)
    field = fields.get(block)
    return () if field is None else (one.batch for one in field.positions.get(number, ()))


_OF: Mapping[Kind, Callable[[str, Book, Fields], Iterable[str]]] = {
    Kind.BATCH: _batch,
    Kind.CONSIGNMENT: _consignment,
    Kind.SUPPLIER: _supplier,
    Kind.PLACE: _place,
    Kind.PERSON: _person,
    Kind.THING: _thing,
    Kind.POSITION: _position,
}
