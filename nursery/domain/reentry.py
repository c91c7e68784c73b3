"""When people may go in again after a treatment, worked out for each room.

The instant stands in the record of the treatment, worked out once from the product's label. A
treatment that states none keeps its room shut until somebody says so (rules P-2, G-2).
"""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import NamedTuple

from nursery.domain.book import Book
from nursery.domain.entry import write_instant
from nursery.domain.gate import Answer, Gate
from nursery.domain.reason import Reason
from nursery.domain.record import Treatment


class Shut(NamedTuple):
    """A room is shut until an instant, or by treatments of which nobody knows until when."""

    until: datetime | None
    unknown: tuple[str, ...]


OPEN = Shut(None, ())


def parts(place: str | None, now: datetime, book: Book) -> Iterable[Gate]:
    """Yield what re-entry says against being in the room of a place at a moment."""
    room = book.room(place)
    shut = OPEN if room is None else book.once(of_rooms).get(room, OPEN)
    if shut.unknown:
        about = {"treatment": shut.unknown[0]}
        yield Gate(Answer.WAIT, "reentry_unknown", about, Reason("when_reentry_told", about))
    if shut.until is not None and now < shut.until:
        about = {"until": write_instant(shut.until)}
        yield Gate(Answer.WAIT, "reentry", about, Reason("when_reentry_over", about), shut.until)


def of_rooms(book: Book) -> Mapping[str, Shut]:
    """Return which rooms are or were shut by treatments.

    A treatment of a bench shuts its room, one of a house all rooms in it, and one of plants the
    room in which they stood.
    """
    found: dict[str, Shut] = {}
    for seat, place in book.places.items():
        if place.record.treatments:
            rooms = {book.rooms[inner] for inner in book.subtree(seat)}
            for treatment in place.record.treatments:
                _shut(found, rooms, treatment, place.settled)
    for name, batch in book.batches.items():
        for treatment in batch.record.treatments:
            rooms = {
                book.rooms.get(stood.place, stood.place)
                for stood in book.standings[name]
                if stood.since <= treatment.ended_at
                and (stood.until is None or stood.until >= treatment.started_at)
            }
            _shut(found, rooms, treatment, batch.settled)
    return found


def _shut(
    found: dict[str, Shut], rooms: Iterable[str], treatment: Treatment, settled: Mapping[str, str]
) -> None:
    until = treatment.reentry_until
    for room in rooms:
        known = found.get(room, OPEN)
        if until is None:
            told = f"reentry_missing:{treatment.entry}" in settled
            if not told and treatment.entry not in known.unknown:
                found[room] = Shut(known.until, tuple(sorted((*known.unknown, treatment.entry))))
        elif known.until is None or known.until < until:
            found[room] = Shut(until, known.unknown)
