"""Planting that is booked: told of batches, and of the places that the same records name."""

from collections.abc import Iterable, Iterator, Mapping

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.record import Booking, Record

PLANTING = "planting"


def bookings(batches: Iterable[Batch], book: Book) -> Iterator[tuple[str, Booking]]:
    """Yield the planting that is booked for plants, each once with the subject it is told of."""
    some = [(batch.id, one) for batch in batches for one in planting_of(batch.record)]
    yield from some
    told = book.once(_of_places)
    found = [both for entry in {one.entry for _, one in some} for both in told.get(entry, ())]
    yield from (both for _, both in sorted(found, key=lambda one: one[0]))


def planting_of(record: Record) -> Iterator[Booking]:
    return (one for one in record.bookings if one.act == PLANTING)


def _of_places(book: Book) -> Mapping[str, list[tuple[int, tuple[str, Booking]]]]:
    """Return the bookings of places by their entry, numbered in the order of the places."""
    found: dict[str, list[tuple[int, tuple[str, Booking]]]] = {}
    every = (
        (name, one)
        for name, place in sorted(book.places.items())
        for one in planting_of(place.record)
    )
    for at, told in enumerate(every):
        found.setdefault(told[1].entry, []).append((at, told))
    return found
