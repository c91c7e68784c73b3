"""How far back an exposed set reaches: as the term says, or to the last clean look (rule E-3)."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from nursery.domain import conditions
from nursery.domain.book import Book
from nursery.domain.kinds.health import Answer
from nursery.domain.terms import LookBack


def since(batches: Sequence[str], seats: Sequence[str], at: datetime, book: Book) -> datetime:
    """Return from when on plants count as exposed: as the term says, or since the last clean look.

    A look of the same day is of the same round as the find, so it proves nothing (rule E-3).
    """
    day = book.day(at)
    near = list(batches)
    for seat in seats:
        near += [
            s.batch
            for s in book.in_room.get(book.rooms[seat], ())
            if s.overlaps(at, None) and s.since <= at
        ]
    days = [
        rule.days
        for name in near
        for _, rule in conditions.of_batch(name, LookBack, day, book)
        if rule.days is not None
    ]
    if days:
        return min(at, book.start_of(day - timedelta(days=max(days))))
    return min([at, *(_last_clean(name, day, at, book) for name in near)])


def _last_clean(batch: str, day: date, at: datetime, book: Book) -> datetime:
    """Return the last clean look before a day; where there is none, when the plants came."""
    record = book.batches[batch].record
    clean = [one.at for one in record.looks if one.answer is Answer.NOTHING]
    clean += [one.at for one in record.inspections if one.answer is Answer.NOTHING]
    clean = [moment for moment in clean if book.day(moment) < day]
    if clean:
        return max(clean)
    kin = [book.batches[name] for name in book.ancestors(batch) if name in book.batches]
    began = [one.began_at for one in (*kin, book.batches[batch]) if one.began_at is not None]
    return min(began, default=at)
