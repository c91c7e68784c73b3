"""Look-overs that a permit asked for, that were not made, and that the authority has not accepted.

Only its acceptance in writing answers one: a reason tells why, and is no look (rules C-4, Q-17).
"""

from collections.abc import Iterator
from datetime import date, datetime

from nursery.domain import rounds
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.due_check import Check


def of_batch(
    batch: Batch, permits: tuple[str, ...], now: datetime, book: Book
) -> tuple[Check, ...]:
    """Return what is missing of a batch, and of its parents before its birth, the oldest first.

    The nursery's own rules are its own: what they ask for is no condition of a release.
    """
    terms = {term.id for permit in permits for term in book.terms_of(permit)}
    missed = [
        check
        for one, until in _line(batch, now, book)
        for check in rounds.looks_of(one, book, date.min, book.day(until))
        if check.term in terms and check.due_by < until and _is_missing(check, one)
    ]
    return tuple(sorted(missed, key=lambda one: (one.due_by, one.id)))


def _is_missing(check: Check, batch: Batch) -> bool:
    """An acceptance counts by the picture of its paper (rule G-8)."""
    papers = {one.entry for one in batch.record.acceptances if one.paper}
    return check.answered_by is None and check.accepted_by not in papers


def _line(batch: Batch, now: datetime, book: Book) -> Iterator[tuple[Batch, datetime]]:
    yield batch, now
    for name in book.ancestors(batch.id):
        if name in book.batches:
            yield book.batches[name], min(now, batch.began_at or now)
