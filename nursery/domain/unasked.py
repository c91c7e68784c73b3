"""New plants in a room that was not free for them: kept, and asked about (rule A-5).

Whatever is put to plants under all-in, all-out drags the whole room to its own last day, so the
authority decides before any of them is released.
"""

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from heapq import heappop, heappush

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
    found: dict[str, dict[tuple[str, str], None]] = {}
    for room, standings in book.in_room.items():
        there = _there_before(standings, book)
        for at in sorted(there):
            one = standings[at]
            if not _let_in(room, one, book):
                for name in {one.batch, *there[at]}:
                    found.setdefault(name, {})[one.batch, room] = None
    return {name: list(told) for name, told in found.items()}


def _there_before(standings: Sequence[Standing], book: Book) -> Mapping[int, list[str]]:
    """Return whom each came to: plants of another group, under all-out, there since earlier days.

    One walk through a room as it fills. Whoever stands there is kept by what it came of, so that
    a room of one arrival is asked about once for each newcomer, however many trays it holds.
    """
    bound = book.once(_bound)
    if bound.isdisjoint(one.batch for one in standings):
        return {}
    order = sorted(range(len(standings)), key=lambda at: (standings[at].since, at))
    came = [book.day(one.since) for one in standings]
    waiting = deque(order)
    groups: dict[frozenset[str], dict[int, str]] = {}
    leaving: list[tuple[datetime, int]] = []
    found: dict[int, list[str]] = {}
    for at in order:
        one = standings[at]
        while came[waiting[0]] < came[at]:
            other = waiting.popleft()
            batch, until = standings[other].batch, standings[other].until
            if batch in bound:
                groups.setdefault(_forebears(batch, book), {})[other] = batch
                if until is not None:
                    heappush(leaving, (until, other))
        while leaving and leaving[0][0] <= one.since:
            _leave(heappop(leaving)[1], standings, groups, book)
        there = [
            name
            for name in _strangers(one.batch, groups, book)
            if conditions.of_batch(name, AllOut, came[at], book)
        ]
        if there:
            found[at] = there
    return found


def _leave(
    gone: int,
    standings: Sequence[Standing],
    groups: dict[frozenset[str], dict[int, str]],
    book: Book,
) -> None:
    theirs = _forebears(standings[gone].batch, book)
    del groups[theirs][gone]
    if not groups[theirs]:
        del groups[theirs]


def _bound(book: Book) -> frozenset[str]:
    """Return the batches that were under all-out on any day."""
    # Terms of a permit may hold before their day, and no longer once the plants are released.
    begins = {term.since for term in book.every_term if isinstance(term.rule, AllOut)}
    days = sorted({date.min, *begins}) if begins else []
    return frozenset(
        name
        for name in book.batches
        if any(conditions.of_batch(name, AllOut, day, book) for day in days)
    )


def _strangers(
    batch: str, groups: Mapping[frozenset[str], Mapping[int, str]], book: Book
) -> Iterable[str]:
    """Yield who shares no arrival with a batch; what was made of plants came with them."""
    before = _forebears(batch, book)
    line = before | {batch}
    for theirs, members in groups.items():
        if theirs.isdisjoint(line):
            yield from (name for name in members.values() if name not in line)


def _forebears(batch: str, book: Book) -> frozenset[str]:
    """Return what a batch came from, and the consignments of that and of itself."""
    known = book.once(_known)
    if batch not in known:
        before = frozenset(book.ancestors(batch))
        states = (book.batches[name] for name in (batch, *before) if name in book.batches)
        goods = {one.consignment for one in states if one.consignment is not None}
        known[batch] = before | goods
    return known[batch]


def _known(_: Book) -> dict[str, frozenset[str]]:
    """The answers so far: a batch that is moved about is asked for in each room."""
    return {}


def _let_in(room: str, one: Standing, book: Book) -> bool:
    seats = (book.places[seat] for seat in book.outward(room) if seat in book.places)
    return any(
        said.what == LET_IN and said.paper and said.at <= one.since
        for seat in seats
        for said in seat.record.acceptances
    )
