"""Treatments: what a product's row says of them, and what is odd about one that was done.

Re-entry is worked out once, in UTC: hours after the end, whatever the clocks of the place do
meanwhile (rule P-6). Nothing here says that a treatment is safe; label, local rules and licensed
people do.
"""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from math import floor
from typing import NamedTuple

from nursery.domain import licences
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.entry import write_instant
from nursery.domain.history import NOTHING, of_book
from nursery.domain.place import Place
from nursery.domain.record import Treatment
from nursery.domain.reference import PlaceKind, Product, substances
from nursery.domain.reference.substances import Setting

# Litres are measured by a mark on a tank: a difference of less is none. (Own choice.)
LITRES_APART = 0.05

# Every other place is open to the air, a shade house too.
CLOSED = frozenset((PlaceKind.ROOM, PlaceKind.ANTEROOM, PlaceKind.STORE, PlaceKind.OFFICE))


class Amounts(NamedTuple):
    """What goes on: litres of mix, and of the product as much as its unit says."""

    litres: float | None
    product: float | None


def amounts(area_m2: float | None, mix_per_m2: float | None, per_litre: float | None) -> Amounts:
    """Return what an area takes, from millilitres of mix on a square metre and product in a litre.

    Rounded to a thousandth, halves up, as the phone does: what no measuring jug tells is noise of
    the reckoning.

    >>> amounts(15, 200, 1.5)
    Amounts(litres=3.0, product=4.5)
    """
    if area_m2 is None or mix_per_m2 is None:
        return Amounts(None, None)
    litres = _rounded(area_m2 * mix_per_m2) / 1000
    return Amounts(_rounded(litres), None if per_litre is None else _rounded(litres * per_litre))


def _rounded(figure: float) -> float:
    return floor(figure * 1000 + 0.5) / 1000


class Plan(NamedTuple):
    """What a treatment of so many square metres takes, and until when nobody goes in."""

    litres: float | None
    product: float | None
    reentry_until: datetime | None


def plan(product: Product, area_m2: float | None, ended_at: datetime) -> Plan:
    """Return the amounts for an area and the end of re-entry, as far as the product's row says.

    >>> soap = Product("oil-soap", "Oil and soap", reentry_hours=12, litres_per_m2=0.2)
    >>> litres, _, until = plan(soap, 15.0, datetime(2031, 5, 17, 6, 50, tzinfo=UTC))
    >>> litres, until.isoformat()
    (3.0, '2031-05-17T18:50:00+00:00')
    """
    mix = None if product.litres_per_m2 is None else _rounded(product.litres_per_m2 * 1000)
    until = None
    if product.reentry_hours is not None:
        until = ended_at.astimezone(UTC) + timedelta(hours=product.reentry_hours)
    return Plan(*amounts(area_m2, mix, product.per_litre), until)


def row_of(said: str, book: Book) -> Product | None:
    """Return the row of the product that a record names: by its id, or by its name as people write.

    A record keeps the name that stood on the phone; of rows with one name the first by id is meant.
    """
    found: Product | None = book.row("product", said)
    return found or book.once(_by_name).get(_plain(said))


def _by_name(book: Book) -> Mapping[str, Product]:
    rows = reversed([row for _, row in book.rows_of("product")])
    return {_plain(row.name): row for row in rows}


def _plain(name: str) -> str:
    return " ".join(name.split()).lower()


def booked_too_soon(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield each booking of an ordered treatment for a day on which it would not count (Q-16)."""
    courses = book.once(of_book).get(batch.id, NOTHING).courses
    for booking in batch.record.bookings:
        course = courses.get(booking.order or "")
        if course is None or course.next_from is None or not booking.on > course.done[-1]:
            continue
        if booking.on < course.next_from:
            yield Doubt("booked_too_soon", (booking.entry,), {"on": booking.on.isoformat()})


def odd(state: Batch | Place, book: Book) -> Iterable[Doubt]:
    """Yield what is odd about the treatments of a place, or of plants in no place that names them.

    A record about plants and their room is asked about once, at the room (rule P-7).
    """
    told = set() if isinstance(state, Place) else book.once(_at_places)
    for one in state.record.treatments:
        if one.entry not in told:
            yield from _odd(one, state, book)
    for booking in state.record.bookings:
        if booking.entry not in told:
            product = None if booking.product is None else row_of(booking.product, book)
            yield from licences.of_booking(booking, product, book)


def _at_places(book: Book) -> set[str]:
    records = [place.record for place in book.places.values()]
    treated = {one.entry for record in records for one in record.treatments}
    return treated | {one.entry for record in records for one in record.bookings}


def _odd(one: Treatment, state: Batch | Place, book: Book) -> Iterable[Doubt]:
    entry = (one.entry,)
    product = row_of(one.product, book)
    if one.operator is None or one.licence is None:
        if one.order is not None:
            yield Doubt("ordered_without_licence", entry)
        elif product is not None and product.licensed:
            yield Doubt("licence_missing", entry)
    else:
        yield from licences.of_treatment(one, product, book)
    if one.sign_posted_at is not None and one.sign_posted_at > one.started_at:
        about = {"at": write_instant(one.sign_posted_at), "start": write_instant(one.started_at)}
        yield Doubt("sign_late", entry, about)
    inside = sorted(_inside(one, state)) if isinstance(state, Place) else []
    if inside:
        yield Doubt("somebody_inside", entry, {"people": _names(inside, book)})
    if product is not None:
        yield from _against_the_row(one, product)
        yield from _against_the_classes(one, product, state, book)
        yield from _too_soon(one, product, state, book)


def _against_the_row(one: Treatment, product: Product) -> Iterable[Doubt]:
    """Yield where a record says less than the product's row: fewer hours, another amount."""
    wanted = plan(product, one.area_m2, one.ended_at)
    until, ends = one.reentry_until, wanted.reentry_until
    if until is not None and ends is not None and until < ends:
        yield Doubt("reentry_short", (one.entry,), {"until": write_instant(ends)})
    litres, wants = one.litres, wanted.litres
    if litres is not None and wants is not None and abs(litres - wants) > LITRES_APART * wants:
        yield Doubt("mix_differs", (one.entry,), {"litres": litres, "wanted": wants})


def _against_the_classes(
    one: Treatment, product: Product, state: Batch | Place, book: Book
) -> Iterable[Doubt]:
    """Yield where a record says fewer hours than the classes of the substances (rule P-9)."""
    hours = class_hours(product, _settings(one, state, book))
    ends = None if hours is None else one.ended_at + timedelta(hours=hours)
    if ends is not None and (one.reentry_until is None or one.reentry_until < ends):
        about = {"hours": hours, "until": write_instant(ends)}
        yield Doubt("reentry_under_class", (one.entry,), about)


def class_hours(product: Product, settings: Iterable[Setting]) -> int | None:
    """Return the hours by the classes of a product, the longest of several settings.

    None where its row says nothing of its substances.
    """
    found = (
        substances.hours(product.substances, setting, low_risk=product.low_risk)
        for setting in settings
    )
    return max((hours for hours in found if hours is not None), default=None)


def _settings(one: Treatment, state: Batch | Place, book: Book) -> set[Setting]:
    if isinstance(state, Place):
        return {setting_of(state.id, book)}
    return {
        setting_of(stood.place, book)
        for stood in book.standings[state.id]
        if stood.overlaps(one.started_at, one.ended_at)
    } or {setting_of(state.place, book)}


def setting_of(place: str | None, book: Book) -> Setting:
    """Return whether a place is closed or in the open, and there in dry country (rule P-9)."""
    row = book.row("place", book.room(place))
    if row is not None and row.kind in CLOSED:
        return Setting.INSIDE
    rains = [row.rain_mm for _, row in book.rows_of("nursery") if row.rain_mm is not None]
    dry = not rains or min(rains) < substances.DRY_BELOW_MM
    return Setting.OUTDOORS_DRY if dry else Setting.OUTDOORS


def _too_soon(
    one: Treatment, product: Product, state: Batch | Place, book: Book
) -> Iterable[Doubt]:
    """Yield where fewer days lie before it than the product's row wants (rule P-8)."""
    began, needed = book.day(one.started_at), product.interval_days or 0
    before = [
        book.day(other.ended_at)
        for other in state.record.treatments
        if other.started_at < one.started_at and row_of(other.product, book) == product
    ]
    days = (began - max(before)).days if before else needed
    if days < needed:
        yield Doubt("product_too_soon", (one.entry,), {"days": max(days, 0), "needed": needed})


def _inside(one: Treatment, place: Place) -> Iterable[str]:
    """Yield who was in the room when the treatment began, but for who did it."""
    for visit in place.visits:
        here = visit.since <= one.started_at and (
            visit.until is None or visit.until > one.started_at
        )
        if here and visit.who not in (one.operator, one.by):
            yield visit.who


def _names(people: Iterable[str], book: Book) -> list[str]:
    rows = ((person, book.row("person", person)) for person in people)
    return [person if row is None else row.name for person, row in rows]
