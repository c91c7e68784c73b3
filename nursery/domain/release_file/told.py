"""The records that speak of a consignment: what stands of them, and when each was written."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from nursery.domain.book import Book
from nursery.domain.entry import Entry, write_instant
from nursery.domain.timeline import Timeline, standing

# A room is made ready on the day before its plants come in, or that morning (rule R-8: common
# practice, no source).
READIED = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Told:
    """One record as the feed holds it: its number there, when it came in, its body as written."""

    seq: int
    received_at: datetime
    entry: Entry
    body: Mapping[str, Any]


@dataclass(frozen=True)
class Records:
    """All that was told of some batches and of their rooms while they stood there."""

    book: Book
    batches: tuple[str, ...]
    by_id: Mapping[str, Told]
    line: Timeline

    def standing(self, *kinds: str) -> list[dict[str, Any]]:
        """Return what stands of some kinds, in order of happening."""
        return [self.event(one) for one in self.line.entries if one.kind in kinds]

    def event(self, entry: Entry) -> dict[str, Any]:
        told = self.by_id[entry.id]
        return {
            "entry": entry.id,
            "seq": told.seq,
            "kind": entry.kind,
            "at": write_instant(entry.occurred_at),
            "about": list(entry.about),
            "by": entry.author,
            "confirmed": entry.confirmed,
            "corrected": entry.corrects is not None,
            "body": dict(told.body),
        }


def concerning(book: Book, batches: Sequence[str], told: Iterable[Told]) -> Records:
    """Return the records among `told` that concern the batches.

    What is told of a place concerns them only while one of them stood in its room, or within a day
    before.
    """
    ours = frozenset(batches)
    kept = [one for one in told if concerns(one.entry, ours, book)]
    line = standing(one.entry for one in kept)
    return Records(book, tuple(batches), {one.entry.id: one for one in kept}, line)


def concerns(entry: Entry, batches: frozenset[str], book: Book) -> bool:
    """Whether a record is about one of the batches, or about a room while one stood there."""
    return any(
        name in batches or _shared(name, batches, entry.occurred_at, book) for name in entry.about
    )


def _shared(place: str, batches: frozenset[str], at: datetime, book: Book) -> bool:
    rooms = {book.room(name) for name in book.outward(place)}
    return any(
        standing.batch in batches and standing.overlaps(at, at + READIED)
        for room in rooms
        for standing in book.in_room.get(room or "", ())
    )


def places_of(book: Book, batches: Sequence[str]) -> tuple[str, ...]:
    """Return the places of which the records may matter: where the batches stood, and around."""
    stood = {one.place for name in batches for one in book.standings[name]}
    rooms = {room for room in map(book.room, stood) if room is not None}
    around = {name for place in stood for name in book.outward(place)}
    inside = {name for room in rooms for name in book.subtree(room)}
    return tuple(sorted(around | rooms | inside))


def written_at(ident: str) -> str:
    """Return when a record was written, by the clock of its phone: its id begins with it.

    >>> written_at("0199f2c4-abcd-7000-8000-000000000000")
    '2025-10-17T15:23:19.373Z'
    """
    since_1970 = int(ident.replace("-", "")[:12], 16)
    seconds, milliseconds = divmod(since_1970, 1000)
    # An id that is no time of ours may lie beyond the calendar; its record is shown all the same.
    moment = datetime.fromtimestamp(min(seconds, 253_402_300_799), UTC)
    return write_instant(moment.replace(microsecond=milliseconds * 1000))
