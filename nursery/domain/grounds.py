"""Which batches have plants in which ground: what an order about a block is about (rule F-29)."""

from collections.abc import Mapping

from nursery.domain import assembled
from nursery.domain.book import Book
from nursery.domain.kinds.field import Planted, Refilled, Standing, seat


def batches_in(book: Book) -> Mapping[str, tuple[str, ...]]:
    """Return the batches of the plants that stand in each row or block, dead ones included.

    A plant that is missing, or in whose place another stands since, is not there any more.
    """
    told = book.once(assembled.of_book)
    standing = {block: field.standing for block, field in told.items()}
    found: dict[str, dict[str, None]] = {}
    for name, batch in sorted(book.batches.items()):
        for one in batch.record.told(Planted, Refilled):
            body = one.body
            plants = (standing[body.block].get(position) for position in body.positions)
            if any(
                plant is not None and plant.batch == name and plant.state is not Standing.MISSING
                for plant in plants
            ):
                found.setdefault(seat(body.block, body.row), {})[name] = None
    return {ground: tuple(names) for ground, names in sorted(found.items())}
