"""Where measured plants were before their batch was split off (rules J-2 and J-3)."""

from collections.abc import Collection, Iterator, Mapping
from datetime import datetime

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.kinds.life import Stuck

# By batch and tag, when that plant was measured.
Seen = Mapping[tuple[str, str], Collection[datetime]]


def parts(batch: Batch, book: Book) -> Iterator[tuple[Batch, datetime | None]]:
    """Yield a batch and what its plants were in before, each with the instant they left it."""
    found: set[str] = set()
    waiting: list[tuple[Batch, datetime | None]] = [(batch, None)]
    while waiting:
        one, until = waiting.pop()
        if one.id not in found:
            found.add(one.id)
            yield one, until
            waiting.extend((parent, one.began_at) for parent in _split_from(one, book))


def sown_at(batch: Batch, book: Book) -> datetime | None:
    """Return when the first seed of these plants was sown here; None where some were not sown."""
    first = [one for one, _ in parts(batch, book) if not _split_from(one, book)]
    sown = [one.began_at for one in first if one.seeds is not None and one.began_at is not None]
    return min(sown) if sown and len(sown) == len(first) else None


def plant_of(batch: str, tag: str, seen: Seen, book: Book) -> tuple[str, str]:
    """Return a plant by the batch in which it got its tag.

    A tag that goes on in one batch alone after a split is the same plant. Where it goes on in
    several, nobody can say which of them, and each is a plant of its own.
    """
    passed: list[str] = []
    while batch not in passed:
        passed.append(batch)
        batch = _before(batch, tag, seen, book) or batch
    return batch, tag


def _before(batch: str, tag: str, seen: Seen, book: Book) -> str | None:
    """Return the batch that a tagged plant was split from, if it can be no other plant's tag."""
    child = book.batches[batch]
    from_there = [
        one.id
        for one in _split_from(child, book)
        if any(_by(at, child) for at in seen.get((one.id, tag), ()))
    ]
    if len(from_there) != 1:
        return None
    [parent] = from_there
    stayed = not all(_by(at, child) for at in seen[parent, tag])
    others = any(
        (name, tag) in seen and book.batches[parent] in _split_from(book.batches[name], book)
        for name in book.children[parent]
        if name != batch
    )
    return None if stayed or others else parent


def _by(at: datetime, child: Batch) -> bool:
    return child.began_at is None or at <= child.began_at


def _split_from(batch: Batch, book: Book) -> list[Batch]:
    """Return the parents that plants came from whole: cuttings and scions began to grow anew."""
    if any(one.body.batch.id == batch.id for one in batch.record.told(Stuck)):
        return []
    scions = {one.scion for one in batch.record.scions}
    return [book.batches[name] for name in batch.parents if name in book.batches.keys() - scions]
