"""Look-overs that an order asks for by their days: who was looked at for each, and what is missing.

An order about plants follows what is made of them; one about a room reaches what stood in it then.
A look answers the day that it was made on or after, and the next day of the order ends its time
(rule C-12).
"""

from collections.abc import Iterable
from datetime import date, datetime
from typing import NamedTuple

from nursery.domain.book import Book
from nursery.domain.kinds.health import Answer
from nursery.domain.reason import Reason
from nursery.domain.record import Look, Order


class OrderedLook(NamedTuple):
    """One day of one order for one batch; `done` is the look that answers it."""

    reference: str
    on: date
    done: Look | None


def of_batch(batch: str, book: Book) -> tuple[OrderedLook, ...]:
    """Return the look-overs that orders ask for of a batch, in order of their days."""
    found = {
        (order.reference, on): _answered(batch, order, on, book)
        for order in reaching(batch, book)
        for on in order.looks_on
    }
    return tuple(
        OrderedLook(reference, on, done)
        for (reference, on), done in sorted(found.items(), key=lambda one: (one[0][1], one[0][0]))
    )


def missing(batch: str, book: Book) -> Iterable[Reason]:
    """Yield what a release still waits for: each ordered look-over that nobody made."""
    for one in of_batch(batch, book):
        if one.done is None:
            about = {"reference": one.reference, "on": one.on.isoformat()}
            yield Reason("ordered_look_missing", about)


def reaching(batch: str, book: Book) -> Iterable[Order]:
    """Yield the orders that reach a batch: its own, its parents' before its birth, its room's."""
    for name, until in _line(batch, book):
        for order in book.batches[name].record.orders:
            if until is None or order.at <= until:
                yield order
        for stood in book.standings[name]:
            for seat in book.outward(stood.place):
                for order in book.places[seat].record.orders if seat in book.places else ():
                    here = stood.since <= order.at and (
                        stood.until is None or order.at <= stood.until
                    )
                    if here and (until is None or order.at <= until):
                        yield order


def _line(batch: str, book: Book) -> Iterable[tuple[str, datetime | None]]:
    """Yield a batch, and what it came from with the moment up to which that is its own past."""
    yield batch, None
    born = book.batches[batch].began_at
    for name in book.ancestors(batch):
        if name in book.batches:
            yield name, born


def _answered(batch: str, order: Order, on: date, book: Book) -> Look | None:
    since = book.start_of(on)
    later = [day for day in order.looks_on if day > on]
    until = book.start_of(min(later)) if later else None
    looks = [
        look
        for name, born in _line(batch, book)
        for look in book.batches[name].record.looks
        if look.answer is not Answer.NOT_LOOKED
        and look.at >= since
        and (until is None or look.at < until)
        and (born is None or look.at <= born)
    ]
    return min(looks, key=lambda look: (look.at, look.entry), default=None)
