"""Rooms of all in, all out: what stands in one together, until when, and how full it is."""

from collections.abc import Iterator
from datetime import date
from typing import Any, NamedTuple

from nursery.domain import conditions, quarantine, seasons
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.quarantine import Clock
from nursery.domain.reference import PlaceKind
from nursery.domain.terms import AllOut


class Group(NamedTuple):
    """The batches of one room that go in and out together; the latest of them decides (P-4).

    `release` is None where nobody can say the day of one of them; `latest` are those that set it.
    """

    room: str
    batches: tuple[str, ...]
    release: date | None
    latest: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        return {
            "batches": list(self.batches),
            "release": None if self.release is None else self.release.isoformat(),
            "latest": list(self.latest),
        }


class Benches(NamedTuple):
    """The benches of a room in m²; `taken` is None where nobody said how many pots stand on one."""

    m2: float | None
    taken: float | None

    def as_json(self) -> dict[str, Any]:
        return self._asdict()


def of_room(room: str, book: Book, on: date) -> Group | None:
    """Return the group of a room, or None where no term asks for all in, all out."""
    known = book.once(_known)
    if (room, on) not in known:
        known[room, on] = _group(room, book, on)
    return known[room, on]


def _known(_: Book) -> dict[tuple[str, date], Group | None]:
    return {}


def _group(room: str, book: Book, on: date) -> Group | None:
    inside = {batch.id: clock for batch, clock in _under_conditions(room, book, on)}
    if not any(conditions.of_batch(name, AllOut, on, book) for name in inside):
        return None
    days = {name: clock.earliest for name, clock in inside.items()}
    known = [day for day in days.values() if day is not None]
    release = max(known) if len(known) == len(days) else None
    latest = tuple(name for name, day in days.items() if day == release)
    return Group(room, tuple(inside), release, latest)


def _under_conditions(room: str, book: Book, on: date) -> Iterator[tuple[Batch, Clock]]:
    for batch in standing_in(room, book):
        clock = quarantine.clock(batch, book, on)
        if clock is not None and not clock.released:
            yield batch, clock


def standing_in(room: str, book: Book) -> tuple[Batch, ...]:
    """Return the batches of which something stands in a room now."""
    names = {one.batch for one in book.in_room.get(room, ()) if one.until is None}
    some = (book.batches[name] for name in sorted(names))
    return tuple(batch for batch in some if not gone(batch))


def benches(room: str, book: Book) -> Benches:
    """Return how much of a room's benches is taken by what stands in it (rule P-5)."""
    row = book.row("place", room)
    sizes = [seasons.m2_of(batch, book) for batch in standing_in(room, book)]
    known = [size for size in sizes if size is not None]
    taken = round(sum(known), 2) if len(known) == len(sizes) else None
    return Benches(None if row is None else row.bench_m2, taken)


def rooms(book: Book) -> tuple[str, ...]:
    """Return the rooms that have benches, by id."""
    places = book.rows_of("place")
    return tuple(
        name for name, row in places if row.kind is PlaceKind.ROOM and row.bench_m2 is not None
    )
