"""Which holes of a block still wait for their first plant (rule V-5)."""

from collections.abc import Mapping

from nursery.domain.book import Book
from nursery.domain.kinds.field import Planted


def waiting(block: str, book: Book) -> int:
    """Return how many holes of a block nobody has planted; a gap where a plant died is none."""
    row = book.row("place", block)
    holes = 0 if row is None else row.holes or 0
    return max(0, holes - book.once(_planted).get(block, 0))


def _planted(book: Book) -> Mapping[str, int]:
    found: dict[str, set[str]] = {}
    for batch in book.batches.values():
        for one in batch.record.told(Planted):
            found.setdefault(one.body.block, set()).update(one.body.positions)
    return {block: len(positions) for block, positions in found.items()}
