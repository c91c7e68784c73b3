"""What the law has seen of the plants of a batch, their parents' part included.

Splits, cuttings and buds inherit the clock of the batch they came from; a mixed batch may be any of
its parents, so of each thing it takes the worst (rules Q-6, Q-7). Histories are worked out for a
whole book at once, parents first.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.days import later
from nursery.domain.kinds.law import Act
from nursery.domain.record import Inspection, Order, Treatment


@dataclass(frozen=True, slots=True)
class Origin:
    """Under which permit plants came in, and on which day their clock began.

    `permit` is None where conditions apply and nobody has typed which.
    """

    permit: str | None
    started_on: date | None
    how: str


@dataclass(frozen=True, slots=True)
class Course:
    """A series of treatments that an order asks for, and the days on which they were done.

    `last` is the day on which the last one ended. `asked` is 0 where the order states no number.
    """

    reference: str
    asked: int = 0
    interval_days: int = 0
    done: tuple[date, ...] = ()

    @property
    def next_from(self) -> date | None:
        """The first day on which one more treatment counts; None where any day does."""
        return later(self.done[-1], self.interval_days) if self.done else None

    def and_on(self, began: date, ended: date) -> "Course":
        """Return the course after one more treatment, if it is not too soon (rule Q-5)."""
        soon = self.next_from is not None and began < self.next_from
        return self if soon else replace(self, done=(*self.done, ended))


@dataclass(frozen=True, slots=True)
class Restart:
    """The clock counts again from day 0: on a day, or when a course has so many treatments."""

    entry: str
    reference: str
    on: date
    after_treatment: int = 0


@dataclass(frozen=True, slots=True)
class History:
    """Everything that decides a clock. Without origins no conditions apply."""

    origins: frozenset[Origin] = frozenset()
    restarts: Mapping[str, Restart] = field(default_factory=dict)
    courses: Mapping[str, Course] = field(default_factory=dict)
    extensions: Mapping[str, tuple[str, int]] = field(default_factory=dict)
    floors: Mapping[str, tuple[str, date]] = field(default_factory=dict)
    destroys: frozenset[str] = frozenset()
    inspections: Mapping[date, Inspection] = field(default_factory=dict)
    consents: Mapping[str, bool] = field(default_factory=dict)
    released: Mapping[str, Any] | None = None


NOTHING = History()
# A parent that the book does not hold yet, or a ring of parents: conditions that nobody can name.
NOBODY_KNOWS = History(origins=frozenset((Origin(None, None, "unknown"),)))


def of_book(book: Book) -> Mapping[str, History]:
    """Return the history of every batch of a book."""
    whole: dict[str, History] = {}
    bases: dict[str, History] = {}
    for ident in book.parents_first:
        batch = book.batches[ident]
        bases[ident] = _base(batch, book, bases)
        whole[ident] = _lived(bases[ident], batch, book, None)
    return whole


def _base(batch: Batch, book: Book, bases: Mapping[str, History]) -> History:
    """Return what a batch begins with: its own arrival, and its parents' histories at its birth."""
    own = _origin(batch, book)
    inherited = [
        _lived(bases[name], book.batches[name], book, book.joined_at(batch.id, name))
        if name in bases
        else NOBODY_KNOWS
        for name in batch.parents
        if name != batch.id
    ]
    history = _worst([past for past in inherited if past.origins])
    if own is None:
        return history
    scions = {one.scion for one in batch.record.scions}
    if history.origins and not scions.issuperset(batch.parents):
        # The authority named a day for plants that were born here: it can only be a later one.
        return replace(history, origins=history.origins | {own})
    # What was done for the scion's plants was not done for these.
    origins = history.origins | {own}
    return replace(history, origins=origins, inspections={}, consents={}, released=None)


def _origin(batch: Batch, book: Book) -> Origin | None:
    """Return the conditions that a batch itself came in under (rules Q-2, Q-3).

    A consignment that nobody has typed yet may have conditions, so it is not free of them where
    the nursery holds any plants under some.
    """
    permit = book.permit_of(batch)
    consignment = book.row("consignment", batch.consignment)
    typed_free = consignment is not None and consignment.without_conditions
    known_free = batch.consignment is None or typed_free or not book.conditions
    if permit is None and known_free:
        return None
    if batch.opened_on is not None:
        return Origin(permit, date.fromisoformat(batch.opened_on), "opened")
    began = None if batch.began_at is None else book.day(batch.began_at)
    return Origin(permit, began, "arrived")


def _worst(pasts: list[History]) -> History:
    """Return the one history that is none better than any of these."""
    if len(pasts) < 2:
        return pasts[0] if pasts else NOTHING
    first, *others = pasts
    for other in others:
        first = _of_two(first, other)
    return first


def _of_two(one: History, two: History) -> History:
    courses = dict(one.courses)
    for reference, course in two.courses.items():
        rival = courses.get(reference)
        if rival is None or (len(course.done), rival.done) < (len(rival.done), course.done):
            courses[reference] = course
    seen = {day: one.inspections[day] for day in one.inspections if day in two.inspections}
    consents = {
        what: one.consents[what] and two.consents[what]
        for what in one.consents
        if what in two.consents
    }
    return History(
        origins=one.origins | two.origins,
        restarts={**one.restarts, **two.restarts},
        courses=courses,
        extensions={**one.extensions, **two.extensions},
        floors={**one.floors, **two.floors},
        destroys=one.destroys | two.destroys,
        inspections=seen,
        consents=consents,
        released=one.released if two.released else None,
    )


def _lived(past: History, batch: Batch, book: Book, until: datetime | None) -> History:
    """Return a history with what the batch itself saw, up to an instant."""
    record = batch.record
    orders = [order for order in record.orders if until is None or order.at <= until]
    treated = [one for one in record.treatments if until is None or one.ended_at <= until]
    seen = [one for one in record.inspections if until is None or one.at <= until]
    accepted = [one for one in record.acceptances if until is None or one.at <= until]
    released = batch.released
    if released is not None and until is not None:
        released = released if datetime.fromisoformat(released["at"]) <= until else None
    if not (orders or treated or seen or accepted or released):
        return past
    return replace(
        past,
        **_with_orders(past, orders, book),
        courses=_with_treatments(past, orders, treated, book),
        inspections={**past.inspections, **{book.day(one.at): one for one in seen}},
        consents={**past.consents, **{one.what: one.paper for one in accepted}},
        released=released or past.released,
    )


def _with_orders(past: History, orders: list[Order], book: Book) -> dict[str, Any]:
    restarts, extensions, floors = dict(past.restarts), dict(past.extensions), dict(past.floors)
    destroys = set(past.destroys)
    for order in orders:
        if order.act is Act.RESTART:
            restarts[order.entry] = Restart(
                order.entry, order.reference, book.day(order.at), order.after_treatment or 0
            )
        if order.act is Act.EXTEND and order.days:
            extensions[order.entry] = (order.reference, order.days)
        if order.act is Act.DESTROY:
            destroys.add(order.reference)
        floor = max((*order.looks_on, order.not_before or date.min), default=date.min)
        if floor > date.min:
            floors[order.entry] = (order.reference, floor)
    return {
        "restarts": restarts,
        "extensions": extensions,
        "floors": floors,
        "destroys": frozenset(destroys),
    }


def _with_treatments(
    past: History, orders: list[Order], treated: list[Treatment], book: Book
) -> dict[str, Course]:
    """Return the ordered courses. A treatment counts only for the order that it names."""
    courses = dict(past.courses)
    for order in orders:
        if order.act is Act.TREAT or order.after_treatment:
            course = courses.get(order.reference) or Course(order.reference)
            courses[order.reference] = replace(
                course,
                asked=max(course.asked, order.times or order.after_treatment or 1),
                interval_days=max(course.interval_days, order.interval_days or 0),
            )
    for one in sorted(treated, key=lambda one: (one.started_at, one.entry)):
        course_of = courses.get(one.order or "")
        if course_of is not None:
            began, ended = book.day(one.started_at), book.day(one.ended_at)
            courses[course_of.reference] = course_of.and_on(began, ended)
    return courses
