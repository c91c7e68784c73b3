"""The field as the kept states tell it: what batches say was planted, and rows say was seen."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.kinds.field import LeftEmpty, Placing, Planted, Refilled, Surveyed
from nursery.domain.occupants import Field, Seats, Told
from nursery.domain.place import Place


def of_book(book: Book) -> Mapping[str, Field]:
    """Return the field as a book tells it; ask by `Book.once`."""
    return fields(book.batches.values(), book.places.values(), book.day)


def fields(
    batches: Iterable[Batch], places: Iterable[Place], day: Callable[[datetime], date]
) -> Mapping[str, Field]:
    """Return who stands where, by block; blocks that nobody planted are not among them.

    A plant is told of by its batch and a look by its row, so that each is taken once.
    """
    some = [
        *(_told(batch, batch.id, (Planted, Refilled)) for batch in batches),
        *(_told(place, "", (LeftEmpty, Surveyed)) for place in places),
    ]
    found: dict[str, Seats] = {}
    for told in sorted((one for part in some for one in part), key=lambda one: (one.at, one.entry)):
        found.setdefault(told.body.block, Seats(day)).take(told)
    return {block: seats.field for block, seats in sorted(found.items())}


def _told(subject: Batch | Place, batch: str, kinds: tuple[type[Placing], ...]) -> list[Told]:
    some = subject.record.told(*kinds)
    return [Told(one.entry, one.at, batch, one.body) for one in some]
