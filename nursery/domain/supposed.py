"""What somebody supposes, and a book in which it has happened. The book itself is never changed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from nursery.domain.batch import Batch, Stay
from nursery.domain.book import Book
from nursery.domain.errors import SupposedUnreadable
from nursery.domain.kinds.health import Answer
from nursery.domain.kinds.shape import Count, Misfit, Name, reader_of
from nursery.domain.ledger import Ledger
from nursery.domain.record import Booking, Inspection
from nursery.domain.reference import Permit
from nursery.domain.terms import GrowingDays, Term
from nursery.domain.terms.possible import LONGEST_DAYS

NEWCOMER = "supposed"


@dataclass(frozen=True, slots=True)
class Comes:
    """Plants come into a room, under a permit of the book or under one that says so many days."""

    on: date
    plants: Count
    room: Name
    permit: Name | None = None
    days: Count | None = None
    crop: Name | None = None
    container: Name | None = None


@dataclass(frozen=True, slots=True)
class Inspected:
    """An official inspection of all plants of some batches is on a day, while they grow."""

    on: date
    batches: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Treated:
    """The next treatment of an order is on a day, and not when it is booked."""

    on: date
    order: Name


@dataclass(frozen=True, slots=True)
class Noticed:
    """The authority can give its notice only on a day."""

    on: date


Supposed = Comes | Inspected | Treated | Noticed

_WHAT: Mapping[str, type] = {
    "consignment": Comes,
    "inspection": Inspected,
    "treatment": Treated,
    "notice": Noticed,
}
_READERS = {what: reader_of(cls) for what, cls in _WHAT.items()}


def read(raw: object) -> Supposed:
    """Return what decoded JSON supposes: `what`, and the fields of that kind.

    Raises:
        SupposedUnreadable: a field is not there, or is not what it should be; named.
    """
    what = raw.get("what") if isinstance(raw, Mapping) else None
    reader = _READERS.get(str(what))
    if reader is None or not isinstance(raw, Mapping):
        raise SupposedUnreadable("what", what)
    try:
        found: Supposed = reader(raw)
    except Misfit as misfit:
        raise SupposedUnreadable(str(misfit), raw.get(str(misfit))) from None
    if isinstance(found, Comes) and (found.days or 0) > LONGEST_DAYS:
        raise SupposedUnreadable("days", found.days)
    return found


def with_all(supposed: Iterable[Supposed], book: Book) -> Book:
    """Return a book of its own in which all that is supposed has happened."""
    for number, one in enumerate(supposed, start=1):
        if isinstance(one, Comes):
            book = _with_newcomer(one, f"{NEWCOMER}-{number}", book)
        elif isinstance(one, Inspected):
            named = [book.batches[name] for name in one.batches if name in book.batches]
            book = _with_batches([_seen(one, batch, book) for batch in named], book)
        elif isinstance(one, Treated):
            booked = [_booked(one, batch) for batch in book.batches.values()]
            book = _with_batches(booked, book)
    return book


def _with_batches(some: Iterable[Batch], book: Book) -> Book:
    batches = {**book.batches, **{batch.id: batch for batch in some}}
    return Book(book.zone, batches, book.places, book.rows, book.finds)


def _with_newcomer(one: Comes, name: str, book: Book) -> Book:
    at = book.start_of(one.on)
    permit = one.permit or name
    batch = Batch(
        name,
        crop=one.crop,
        permit=permit,
        container=one.container,
        contained_at=at,
        began_at=at,
        counted=True,
        ledger=Ledger(came_in=one.plants, alive=one.plants),
        stays=[Stay(one.room, at)],
        facts=1,
        last_at=at,
    )
    rows = book.rows
    if one.permit is None and one.days is not None:
        term = Term(f"{name}-days", GrowingDays(one.days), date.min, name)
        made = Permit(Name(name), name, name, terms=(term,))
        rows = {**rows, "permit": {**rows.get("permit", {}), name: made}}
    return Book(book.zone, {**book.batches, name: batch}, book.places, rows, book.finds)


def _seen(one: Inspected, batch: Batch, book: Book) -> Batch:
    alive = batch.alive
    visit = Inspection(
        NEWCOMER,
        book.start_of(one.on),
        Answer.NOTHING,
        plants=alive or 0,
        active_growth=True,
        paper=True,
        alive=alive,
    )
    record = replace(batch.record, inspections=[*batch.record.inspections, visit])
    return replace(batch, record=record)


def _booked(one: Treated, batch: Batch) -> Batch:
    if not any(order.reference == one.order for order in batch.record.orders):
        return batch
    others = [booking for booking in batch.record.bookings if booking.order != one.order]
    booking = Booking(NEWCOMER, "treatment", one.on, one.order)
    return replace(batch, record=replace(batch.record, bookings=[*others, booking]))
