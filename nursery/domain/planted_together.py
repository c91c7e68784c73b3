"""Which plants are planted together: by their consignment, and else by their crop."""

from collections.abc import Iterable
from dataclasses import dataclass

from nursery.domain import notices
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.toughening import course

CONSIGNMENT, CROP = "consignment", "crop"


@dataclass(frozen=True, slots=True)
class Item:
    """Plants that are planted together: a consignment, or a crop that came by no consignment."""

    id: str
    kind: str
    name: str
    crop: str | None
    batches: tuple[Batch, ...]


def items(book: Book) -> tuple[Item, ...]:
    """Return every group with living plants."""
    accounts = book.once(notices.accounts)
    found = [
        Item(one.consignment, CONSIGNMENT, _name(one.consignment, book), None, batches)
        for one in accounts
        if (batches := _living(map(book.batches.__getitem__, one.batches)))
    ]
    taken = {name for one in accounts for name in one.batches}
    others: dict[str, list[Batch]] = {}
    for name, batch in sorted(book.batches.items()):
        crop = None if name in taken else course.crop_of(batch, book)
        if crop is not None:
            others.setdefault(crop, []).append(batch)
    for crop, some in sorted(others.items()):
        row = book.row("crop", crop)
        if batches := _living(some):
            found.append(Item(crop, CROP, crop if row is None else row.name, crop, batches))
    return tuple(found)


def _living(some: Iterable[Batch]) -> tuple[Batch, ...]:
    return tuple(one for one in some if (one.alive or 0) > 0 and not gone(one))


def _name(consignment: str, book: Book) -> str:
    row = book.row("consignment", consignment)
    return consignment if row is None else str(row.name)
