"""The legal clock: when plants may leave quarantine, what is met for it and what is not.

Worked out from dated terms and from what happened, never typed in and never kept as truth. Day of
arrival is day 0, and release is possible from the morning of the last day (rules Q-1 to Q-9).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, NamedTuple

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.history import Course, History, Origin, Restart, of_book
from nursery.domain.kinds.health import Answer
from nursery.domain.reason import Reason
from nursery.domain.record import Inspection as Seen
from nursery.domain.terms import GrowingDays, Inspection, Term, in_force

FAR = date.max


@dataclass(frozen=True, slots=True)
class Clock:
    """The clock of one batch, as the book has it.

    `known` says whether somebody has typed the conditions. `earliest` is the first day on which it
    may be released, as far as days decide it; None where nobody can say. `only_if` is what that day
    rests on and has not happened yet. `reasons` tell how the day came about, `met` and `unmet` what
    else the release asks for.
    """

    permits: tuple[str, ...]
    known: bool
    started_on: date | None
    days: int
    earliest: date | None
    only_if: Reason | None
    reasons: tuple[Reason, ...]
    met: tuple[Reason, ...]
    unmet: tuple[Reason, ...]
    released: Mapping[str, Any] | None

    def as_json(self) -> dict[str, Any]:
        return {
            "permits": list(self.permits),
            "known": self.known,
            "started_on": _iso(self.started_on),
            "days": self.days,
            "earliest": _iso(self.earliest),
            "only_if": None if self.only_if is None else self.only_if.as_json(),
            "reasons": [reason.as_json() for reason in self.reasons],
            "met": [reason.as_json() for reason in self.met],
            "unmet": [reason.as_json() for reason in self.unmet],
            "released": None if self.released is None else dict(self.released),
        }


def clock(batch: Batch, book: Book, on: date | None = None) -> Clock | None:
    """Return the clock of a batch, or None where it has no conditions.

    `on` is the day for which the release is asked, if that is later than the earliest.
    """
    past = book.once(of_book).get(batch.id)
    if past is None or not past.origins:
        return None
    permits = {origin.permit for origin in past.origins}
    known = all(book.row("permit", permit) is not None for permit in permits)
    began = _start(past, batch)
    length = _length(past, book, began.on, on)
    earliest = None
    if known and began.on is not None:
        earliest = max(began.on + timedelta(days=length.days), length.not_before)
    met, missing = _inspections(past, book, began.on, max(on or date.min, earliest or FAR))
    unknown = [] if known else [Reason("permit_unknown")]
    return Clock(
        permits=tuple(sorted(permit for permit in permits if permit is not None)),
        known=known,
        started_on=began.on,
        days=length.days,
        earliest=earliest,
        only_if=began.only_if,
        reasons=(*began.reasons, *length.reasons),
        met=tuple(met),
        unmet=(*unknown, *_open_orders(past, batch), *missing),
        released=past.released,
    )


class _Began(NamedTuple):
    on: date | None
    only_if: Reason | None
    reasons: list[Reason]


def _start(past: History, batch: Batch) -> _Began:
    """Return day 0, what it rests on and how it came about.

    The latest beginning of all that the plants may have come from, and of all restarts, counts
    (rules Q-4, Q-7).
    """
    days = [(origin.started_on, origin.how) for origin in past.origins]
    if any(day is None for day, _ in days):
        return _Began(None, None, [])
    started, how = max((day, how) for day, how in days if day is not None)
    reasons = [Reason(how, {"on": _iso(started)})]
    only_if = None
    for restart in sorted(past.restarts.values(), key=lambda one: (one.on, one.entry)):
        course = past.courses.get(restart.reference, Course(restart.reference))
        day, condition = _restarted(restart, course, batch)
        if day is None:
            return _Began(None, None, reasons)
        started, only_if = max(started, day), condition or only_if
        reasons.append(Reason("restarted", {"reference": restart.reference, "on": _iso(day)}))
    return _Began(started, only_if, reasons)


def _restarted(restart: Restart, course: Course, batch: Batch) -> tuple[date | None, Reason | None]:
    """Return the day of a restart and, where a treatment is only booked, what it rests on."""
    wanted = restart.after_treatment
    if not wanted:
        return restart.on, None
    if len(course.done) >= wanted:
        return course.done[wanted - 1], None
    booked = course
    for one in sorted(batch.record.bookings, key=lambda one: one.on):
        if one.order == course.reference and one.on > max(course.done, default=date.min):
            booked = booked.and_on(one.on, one.on)
    if len(booked.done) < wanted:
        return None, None
    day = booked.done[wanted - 1]
    return day, Reason(
        "if_treated", {"number": wanted, "reference": course.reference, "on": _iso(day)}
    )


def _treatment_missing(course: Course, wanted: int) -> Reason:
    return Reason(
        "treatment_missing",
        {
            "number": len(course.done) + 1,
            "of": max(course.asked, wanted),
            "reference": course.reference,
            "from": _iso(course.next_from),
        },
    )


def _length(past: History, book: Book, started: date | None, on: date | None) -> "_Length":
    """Return how many days the clock runs, not before which day, and why."""
    days, not_before, reasons = 0, date.min, []
    for origin in sorted(past.origins, key=lambda one: one.permit or ""):
        found = _growing_days(origin, book, started, on)
        if found is not None and found[1].days >= days:
            term, rule = found
            days, not_before = rule.days, max(not_before, term.since)
            reasons = [Reason("growing_days", {"days": days, "source": term.source})]
    for reference, more in past.extensions.values():
        days += more
        reasons.append(Reason("extended", {"reference": reference, "days": more}))
    for reference, floor in past.floors.values():
        not_before = max(not_before, floor)
        reasons.append(Reason("not_before", {"reference": reference, "on": _iso(floor)}))
    return _Length(days, not_before, reasons)


class _Length(NamedTuple):
    days: int
    not_before: date
    reasons: list[Reason]


def _growing_days(
    origin: Origin, book: Book, started: date | None, on: date | None
) -> tuple[Term, GrowingDays] | None:
    """Return the term on the days, with a newer one that holds before the plants may leave.

    A term that reaches running consignments changes the day, and so which terms reach it.
    """
    if origin.started_on is None:
        return None
    terms, as_of = book.terms_of(origin.permit), max(origin.started_on, on or date.min)
    while True:
        found = in_force(terms, GrowingDays, origin.started_on, as_of)
        if not found:
            return None
        leaves = (started or origin.started_on) + timedelta(days=found[0][1].days)
        if leaves <= as_of:
            return found[0]
        as_of = leaves


def _open_orders(past: History, batch: Batch) -> list[Reason]:
    """Return what orders ask for and has not been done."""
    found = [
        _treatment_missing(course, course.asked)
        for reference, course in sorted(past.courses.items())
        if len(course.done) < course.asked
    ]
    alive = batch.alive or 0
    if past.destroys and alive > 0:
        found.append(Reason("destroy_open", {"references": sorted(past.destroys), "alive": alive}))
    return found


def _inspections(
    past: History, book: Book, started: date | None, leaves_on: date
) -> tuple[list[Reason], list[Reason]]:
    """Return which official inspections are met for a release on a day, and which are not.

    Each requirement takes an inspection of its own, of all plants, since the clock began; one that
    must be near the release takes the latest (rule Q-8).
    """
    met: list[Reason] = []
    unmet: list[Reason] = []
    used: set[date] = set()
    for rule in sorted(_asked(past, book), key=lambda one: _limit(one) or 0):
        limit = _limit(rule)
        about: dict[str, Any] = {
            "number": rule.number,
            "active_growth": rule.active_growth,
            "limit": limit,
        }
        seen = [
            (day, one)
            for day, one in sorted(past.inspections.items())
            if started is not None and day >= started and day not in used and _fits(one, rule)
        ]
        if not seen:
            unmet.append(Reason("inspection_missing", about))
            continue
        day, one = seen[0] if limit is None else seen[-1]
        used.add(day)
        about |= {"on": _iso(day), "entry": one.entry}
        late = limit is not None and leaves_on != FAR and (leaves_on - day).days > limit
        if late:
            about |= {
                "inspected": _iso(day),
                "release": _iso(leaves_on),
                "days": (leaves_on - day).days,
            }
        (unmet if late else met).append(
            Reason("inspection_too_old" if late else "inspected", about)
        )
    return met, unmet


def _asked(past: History, book: Book) -> Iterable[Inspection]:
    """Return the inspections that any of the permits asks for, one for each number."""
    asked: dict[int, Inspection] = {}
    for origin in sorted(past.origins, key=lambda one: one.permit or ""):
        if origin.started_on is not None:
            terms = book.terms_of(origin.permit)
            for _, rule in in_force(terms, Inspection, origin.started_on, origin.started_on):
                asked.setdefault(rule.number, rule)
    return asked.values()


def _limit(rule: Inspection) -> int | None:
    return rule.most_days_before_release


def _fits(seen: Seen, rule: Inspection) -> bool:
    whole = not rule.all_plants or (seen.alive is not None and seen.plants >= seen.alive)
    return (
        seen.answer is Answer.NOTHING and whole and (seen.active_growth or not rule.active_growth)
    )


def too_soon(batch: Batch, book: Book) -> tuple[Doubt, ...]:
    """Return a doubt for each treatment that came before its interval was over (rule Q-5)."""
    found = []
    courses = {one.reference: Course(one.reference) for one in batch.record.orders}
    for order in batch.record.orders:
        course = courses[order.reference]
        interval = max(course.interval_days, order.interval_days or 0)
        courses[order.reference] = replace(course, interval_days=interval)
    for one in batch.record.treatments:
        course_of = courses.get(one.order or "")
        if course_of is None:
            continue
        began, ended = book.day(one.started_at), book.day(one.ended_at)
        after = course_of.and_on(began, ended)
        courses[course_of.reference] = after
        if after is course_of:
            last = course_of.done[-1]
            about = {
                "reference": course_of.reference,
                "days": (began - last).days,
                "interval_days": course_of.interval_days,
            }
            found.append(Doubt("treated_too_soon", (one.entry,), about))
    return tuple(found)


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
