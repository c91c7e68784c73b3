"""Who may treat where a licence is wanted: on the day that is planned, and on the day it was done.

Nothing here says that somebody may use a product: its label, local rules and licensed people do.
Held to `tests/vectors/qualified.json`, as `frontend/src/log/qualified.ts` is.
"""

from collections.abc import Iterable
from datetime import date

from nursery.domain import people_ends
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.people_ends import Held
from nursery.domain.record import Booking, Treatment
from nursery.domain.reference import Person, Product

TREATMENT = "treatment"


def wanted(product: Product | None, order: str | None) -> bool:
    """Return whether a licence is wanted: by the product's row, or since an order is answered."""
    return order is not None or (product is not None and product.licensed)


def of_treatment(one: Treatment, product: Product | None, book: Book) -> Iterable[Doubt]:
    """Yield where whoever treated had no licence in date in the book, on the day it began.

    It has happened and is kept (rule O-4). Of somebody without a row, or whose row was erased, the
    book can say nothing.
    """
    if wanted(product, one.order):
        began = book.day(one.started_at)
        yield from _doubts("operator_unlicensed", one.entry, one.operator, began, book)


def of_booking(one: Booking, product: Product | None, book: Book) -> Iterable[Doubt]:
    """Yield where a treatment stands planned for somebody without a licence in date on its day."""
    if one.act == TREATMENT and wanted(product, one.order):
        yield from _doubts("booked_unlicensed", one.entry, one.operator, one.on, book)


def _doubts(code: str, entry: str, who: str | None, on: date, book: Book) -> Iterable[Doubt]:
    person: Person | None = None if who is None else book.row("person", who)
    if person is None or person.erased is not None:
        return
    if people_ends.licence(person, on)[0] is not Held.IN_DATE:
        yield Doubt(code, (entry,), {"name": person.name, "on": on.isoformat()})


def _text(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def in_date(who: str | None, on: date, book: Book) -> dict[str, object] | None:
    """Return the licence of somebody that was good on a day, the one that is good for longest."""
    person: Person | None = None if who is None else book.row("person", who)
    some = [] if person is None else person.licences
    good = [
        one
        for one in some
        if (one.since is None or one.since <= on) and (one.until is None or on <= one.until)
    ]
    if not good:
        return None
    best = max(good, key=lambda one: one.until or date.max)
    return {"what": best.what, "number": best.number, "until": _text(best.until)}
