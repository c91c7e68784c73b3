"""New plants in a room that was not free for them: kept, and asked about (rule A-5).

Whatever is put to plants under all-in, all-out drags the whole room to its own last day, so the
authority decides before any of them is released.
"""

from collections.abc import Iterable, Mapping

from nursery.domain import conditions
from nursery.domain.batch import Batch
from nursery.domain.book import Book, Standing
from nursery.domain.doubts import Doubt
from nursery.domain.terms import AllOut

# What the authority accepts when it lets more plants into a room that holds some.
LET_IN = "arrival"


def odd(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield a doubt for each time that plants were put in unasked: on them, and on all there."""
    for newcomer, room in book.once(_put_in).get(batch.id, ()):
        row = book.row("place", room)
        label = book.batches[newcomer].label or newcomer
        about = {"label": label, "place": room if row is None else row.name}
        yield Doubt("put_in_unasked", (newcomer,), about)


def _put_in(book: Book) -> Mapping[str, list[tuple[str, str]]]:
    """Return newcomer and room for each batch that this concerns."""
    found: dict[str, list[tuple[str, str]]] = {}
    for room, standings in book.in_room.items():
        for one in standings:
            there = [other.batch for other in standings if _was_there(other, one, book)]
            if there and not _let_in(room, one, book):
                for name in {one.batch, *there}:
                    if (one.batch, room) not in found.setdefault(name, []):
                        found[name].append((one.batch, room))
    return found


def _was_there(other: Standing, one: Standing, book: Book) -> bool:
    """Whether plants of another group, under all-out, stood there since an earlier day."""
    if _kin(one.batch, other.batch, book):
        return False
    on = book.day(one.since)
    here = book.day(other.since) < on and (other.until is None or other.until > one.since)
    return here and bool(conditions.of_batch(other.batch, AllOut, on, book))


def _kin(one: str, other: str, book: Book) -> bool:
    """Whether two batches share an arrival; what was made of plants came with them."""
    return not _arrivals(one, book).isdisjoint(_arrivals(other, book))


def _arrivals(batch: str, book: Book) -> set[str]:
    """Return what a batch came from, itself included, and the consignments of all that."""
    line = {batch, *book.ancestors(batch)}
    states = (book.batches[name] for name in line if name in book.batches)
    return line | {one.consignment for one in states if one.consignment is not None}


def _let_in(room: str, one: Standing, book: Book) -> bool:
    seats = (book.places[seat] for seat in book.outward(room) if seat in book.places)
    return any(
        said.what == LET_IN and said.paper and said.at <= one.since
        for seat in seats
        for said in seat.record.acceptances
    )
