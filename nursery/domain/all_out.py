"""All in, all out: is a room empty, of plants and of the officer's bag, and when does it accept?

The room is emptied once the last plant is out and the bag is disposed of; it is cleaned after that,
stays empty for the hours of the term, and is checked. What anybody writes out of that order is kept
and asked about (rules A-1 to A-4).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from nursery.domain import conditions
from nursery.domain.book import Book, gone
from nursery.domain.doubts import Doubt
from nursery.domain.entry import write_instant
from nursery.domain.place import Place
from nursery.domain.record import Booking
from nursery.domain.terms import AllOut

NO_HOURS = timedelta()


@dataclass(frozen=True, slots=True)
class Emptiness:
    """How empty a room is. `hours` is None where no term asks for an empty room.

    `own` says that no permit asks for it, but the nursery's own rule alone.
    `plants` and `bags` are batches with living plants, and with plants kept for the officer.
    `emptied_at`, `cleaned_at` and `readied_at` are told only where they count, in this order;
    `accepts_from` is when the hours after the cleaning are over.
    """

    room: str
    hours: int | None
    own: bool
    plants: tuple[str, ...]
    bags: tuple[str, ...]
    in_bag: int
    emptied_at: datetime | None
    cleaned_at: datetime | None
    accepts_from: datetime | None
    readied_at: datetime | None

    def as_json(self) -> dict[str, Any]:
        moments = ("emptied_at", "cleaned_at", "accepts_from", "readied_at")
        told = {name: getattr(self, name) for name in moments}
        return {
            "hours": self.hours,
            "plants": list(self.plants),
            "bags": list(self.bags),
            "in_bag": self.in_bag,
            **{name: None if at is None else write_instant(at) for name, at in told.items()},
        }


def of_room(room: str, book: Book) -> Emptiness:
    """Return how empty a room is, as the book has it (rules A-1, A-2)."""
    hours, own = _hours(room, book)
    standing = [s for s in book.in_room.get(room, ()) if s.until is None]
    plants = sorted({s.batch for s in standing if not gone(book.batches[s.batch])})
    bags = [name for name, _ in _bags(room, book) if sum(book.batches[name].bag.values())]
    state = book.places.get(room) or Place(room)
    cleared = _cleared(room, book)
    emptied = cleaned = accepts = readied = None
    if not plants and not bags and _since(state.emptied_at, cleared):
        emptied = state.emptied_at
        if _since(state.cleaned_at, emptied):
            cleaned = state.cleaned_at
    if cleaned is not None:
        accepts = cleaned + timedelta(hours=hours or 0)
        readied = state.readied_at if _since(state.readied_at, accepts) else None
    in_bag = sum(sum(book.batches[name].bag.values()) for name in bags)
    return Emptiness(
        room, hours, own, tuple(plants), tuple(bags), in_bag, emptied, cleaned, accepts, readied
    )


def _since(moment: datetime | None, start: datetime | None) -> bool:
    return moment is not None and (start is None or moment >= start)


def _hours(room: str, book: Book) -> tuple[int | None, bool]:
    """Return the longest time that a term asks for, of all plants that ever stood in the room.

    And whether only the nursery's own rules ask for it.
    """
    asked = {
        term.id: rule.empty_hours
        for stood in book.in_room.get(room, ())
        for term, rule in conditions.of_batch(stood.batch, AllOut, book.day(stood.since), book)
    }
    own = {row.term.id for _, row in book.rows_of("due_rule")}
    permits = {term.id for _, row in book.rows_of("permit") for term in row.terms}
    return max(asked.values(), default=None), bool(asked) and asked.keys() <= own - permits


def _bags(room: str, book: Book) -> Iterable[tuple[str, datetime | None]]:
    """Yield the batches whose kept plants lie, or lay, in a room, and until when."""
    for name, batch in sorted(book.batches.items()):
        if batch.bag and book.room(batch.bag_at) == room:
            yield name, batch.bag_until


def _cleared(room: str, book: Book) -> datetime | None:
    """Return when the last plant left and the last bag was disposed of."""
    left = [s.until for s in book.in_room.get(room, ()) if s.until is not None]
    return max([*left, *(at for _, at in _bags(room, book) if at is not None)], default=None)


def odd(place: Place, book: Book) -> Iterable[Doubt]:
    """Yield what was written of a room out of its order, or booked before it accepts (A-3, A-4)."""
    if place.id not in book.rooms or book.rooms[place.id] != place.id:
        return
    emptiness = of_room(place.id, book)
    for one in place.record.emptyings:
        plants = sorted(
            s.batch
            for s in book.in_room.get(place.id, ())
            if s.since <= one.at and (s.until is None or s.until > one.at)
        )
        bags = [
            name
            for name, until in _bags(place.id, book)
            if _kept_by(name, one.at, book) and (until is None or until > one.at)
        ]
        if plants or bags:
            about = {"plants": len(plants), "bags": len(bags)}
            yield Doubt("emptied_too_soon", (one.entry,), about)
    for booking in place.record.bookings:
        if _for_plants(booking) and not accepts_on(emptiness, booking, book):
            yield Doubt("booked_too_soon", (booking.entry,), {"on": booking.on.isoformat()})


def _kept_by(name: str, at: datetime, book: Book) -> bool:
    """Whether a batch had come by then: what is kept of it later is no fault of the emptying."""
    began = book.batches[name].began_at
    return began is not None and began <= at


# What is booked of a room that wants it empty: new plants.
NEW_PLANTS = "arrival"


def _for_plants(booking: Booking) -> bool:
    return booking.act == NEW_PLANTS


def accepts_on(emptiness: Emptiness, booking: Booking, book: Book) -> bool:
    """Whether a room that asks to be empty will accept plants on a booked day."""
    if emptiness.hours is None:
        return True
    opens = emptiness.accepts_from
    return opens is not None and booking.on >= book.day(opens)
