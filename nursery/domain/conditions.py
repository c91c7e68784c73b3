"""Which terms apply to a batch or a room on a day: those of its permits, and the nursery's own."""

from bisect import bisect_right
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any, TypeVar

from nursery.domain.book import Book
from nursery.domain.history import NOTHING, History, of_book
from nursery.domain.terms import LookOver, Term, in_force

R = TypeVar("R")
WEEK = 7
Terms = tuple[tuple[Term, R], ...]


def of_batch(batch: str, rule: type[R], on: date, book: Book) -> Terms[R]:
    """Return the terms of one rule that apply to a batch on a day, by id (rules T-1, T-4).

    A permit's terms end on the day of the release; the nursery's own rules do not.
    """
    past = book.once(of_book).get(batch, NOTHING)
    state = book.batches.get(batch)
    place, crop = (None, None) if state is None else (state.place, state.crop)
    origins = frozenset() if released_by(past, on, book) else past.origins
    # Batches of one arrival have the same terms, and terms change only on the days they are dated.
    spell = bisect_right(book.once(changes), on)
    known = book.once(_known)
    key = (origins, place, crop, rule, spell)
    if key not in known:
        found = dict(_of_permits(origins, rule, on, book))
        around = () if place is None else book.outward(place)
        found |= {term.id: (term, says) for term, says in _own(rule, around, crop, on, book)}
        known[key] = tuple(found[name] for name in sorted(found))
    terms: Terms[R] = known[key]
    return terms


def of_room(room: str, rule: type[R], first: date, last: date, book: Book) -> Terms[R]:
    """Return the terms of one rule that apply in a room on any of these days.

    They are the nursery's own for the room, and those of every batch that stands in it.
    """
    found = {
        term.id: (term, says) for term, says in _own(rule, book.outward(room), None, last, book)
    }
    since, until = book.start_of(first), book.end_of(last)
    for standing in book.in_room.get(room, ()):
        if standing.overlaps(since, until):
            on = max(first, book.day(standing.since))
            found |= {
                term.id: (term, says) for term, says in of_batch(standing.batch, rule, on, book)
            }
    return tuple(found[name] for name in sorted(found))


def released_by(past: History, on: date, book: Book) -> bool:
    """Return whether the plants were released on or before a day."""
    released = past.released
    return released is not None and book.day(datetime.fromisoformat(released["at"])) <= on


def changes(book: Book) -> list[date]:
    """Return the days on which some term begins to hold."""
    return sorted({term.since for term in book.every_term})


def longest_period(book: Book) -> int:
    """Return the days of the longest period of look-overs (rules C-1, C-2)."""
    rules = (term.rule for term in book.every_term if isinstance(term.rule, LookOver))
    return max((rule.every_days or WEEK for rule in rules), default=WEEK)


def _known(book: Book) -> dict[Any, Any]:
    """The answers so far: several thousand batches share a handful of them."""
    return {}


def _of_permits(
    origins: Iterable[Any], rule: type[R], on: date, book: Book
) -> Iterable[tuple[str, tuple[Term, R]]]:
    for origin in origins:
        if origin.started_on is not None:
            terms = book.terms_of(origin.permit)
            for term, says in in_force(terms, rule, origin.started_on, on):
                yield term.id, (term, says)


def _own(
    rule: type[R], around: Iterable[str], crop: str | None, on: date, book: Book
) -> Iterable[tuple[Term, R]]:
    """Yield the nursery's own terms that hold on the day, for these places and this crop."""
    around = set(around)
    for _, row in book.rows_of("due_rule"):
        here = not row.places or around.intersection(row.places)
        if here and (not row.crops or crop in row.crops):
            yield from in_force((row.term,), rule, on, on)
