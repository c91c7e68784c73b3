"""The days of the legal clock: where they begin, how many there are, and what moved their end.

Day of arrival is day 0, and release is possible from the morning of the last day (rules Q-3, Q-4).
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.days import later
from nursery.domain.history import Course, History, Origin, Restart
from nursery.domain.reason import Reason
from nursery.domain.terms import GrowingDays, Term, in_force


class Days(NamedTuple):
    """Day 0, the number of days, the first day of release that they give, and why.

    `earliest` is None where nobody can say; `only_if` is what it rests on and has not happened yet.
    """

    started: date | None
    number: int
    earliest: date | None
    only_if: Reason | None
    reasons: tuple[Reason, ...]


class Asked(NamedTuple):
    """Whose days are counted, and for a release on which day.

    Without `newer` no text reaches plants whose clock ran already when it was written.
    """

    batch: Batch
    book: Book
    on: date | None
    newer: bool = True


def counted(past: History, asked: Asked) -> Days:
    """Return what the days alone say, by the conditions and orders of a history."""
    began = _start(past, asked.batch)
    number, not_before, reasons = _length(past, asked, began.on)
    earliest = None
    if began.on is not None:
        earliest = max(later(began.on, number), not_before)
    return Days(began.on, number, earliest, began.only_if, (*began.reasons, *reasons))


def moved(past: History, asked: Asked) -> Iterator[Reason]:
    """Yield what moved the release and by how many days, in the order in which it was ordered.

    Where an order leaves the day open, the next that gives one is held against the last (Q-12).
    """
    bare = replace(past, restarts={}, extensions={}, floors={})
    standing = counted(bare, asked._replace(newer=False)).earliest
    first = counted(bare, asked)
    steps = [(_source(first), first.earliest)]
    known: set[str] = set()
    for entry in sorted({*past.restarts, *past.extensions, *past.floors}):
        known.add(entry)
        so_far = _upto(past, known)
        steps.append((_reference(past, entry), counted(so_far, asked).earliest))
    for by, now in steps:
        if now is not None and standing is not None and now != standing:
            yield _moved(by, standing, now)
        standing = now or standing


def _moved(by: str, before: date, now: date) -> Reason:
    days = (now - before).days
    about = {"by": by, "from": before.isoformat(), "to": now.isoformat(), "n": abs(days)}
    return Reason("moved_later", about) if days > 0 else Reason("moved_earlier", about)


def _source(days: Days) -> str:
    sources = [one.params["source"] for one in days.reasons if one.code == "growing_days"]
    return sources[-1] if sources else ""


def _upto(past: History, known: set[str]) -> History:
    """Return a history with only these of its orders on the clock."""
    return replace(
        past,
        restarts={entry: past.restarts[entry] for entry in past.restarts if entry in known},
        extensions={entry: past.extensions[entry] for entry in past.extensions if entry in known},
        floors={entry: past.floors[entry] for entry in past.floors if entry in known},
    )


def _reference(past: History, entry: str) -> str:
    if entry in past.restarts:
        return past.restarts[entry].reference
    return (past.extensions.get(entry) or past.floors[entry])[0]


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
    reasons = [Reason(how, {"on": started.isoformat()})]
    only_if = None
    for restart in sorted(past.restarts.values(), key=lambda one: (one.on, one.entry)):
        course = past.courses.get(restart.reference, Course(restart.reference))
        day, condition = _restarted(restart, course, batch)
        if day is None:
            return _Began(None, None, reasons)
        started, only_if = max(started, day), condition or only_if
        about = {"reference": restart.reference, "on": day.isoformat()}
        reasons.append(Reason("restarted", about))
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
    about = {"number": wanted, "reference": course.reference, "on": day.isoformat()}
    return day, Reason("if_treated", about)


def _length(past: History, asked: Asked, started: date | None) -> tuple[int, date, list[Reason]]:
    """Return how many days the clock runs, not before which day, and why."""
    days, not_before, reasons = 0, date.min, []
    for origin in sorted(past.origins, key=lambda one: one.permit or ""):
        found = _growing_days(origin, asked, started)
        if found is not None and found[1].days >= days:
            term, rule = found
            days, not_before = rule.days, max(not_before, term.since)
            reasons = [Reason("growing_days", {"days": days, "source": term.source})]
    for reference, more in past.extensions.values():
        days += more
        reasons.append(Reason("extended", {"reference": reference, "days": more}))
    # One paper that says it in two of its acts says it once.
    for reference, floor in dict.fromkeys(past.floors.values()):
        not_before = max(not_before, floor)
        reasons.append(Reason("not_before", {"reference": reference, "on": floor.isoformat()}))
    return days, not_before, reasons


def _growing_days(
    origin: Origin, asked: Asked, started: date | None
) -> tuple[Term, GrowingDays] | None:
    """Return the term on the days, with a newer one that holds before the plants may leave.

    A term that reaches running consignments changes the day, and so which terms reach it.
    """
    if origin.started_on is None:
        return None
    terms = asked.book.terms_of(origin.permit)
    as_of = max(origin.started_on, asked.on or date.min)
    if not asked.newer:
        terms = tuple(term for term in terms if term.since <= origin.started_on)
    while True:
        found = in_force(terms, GrowingDays, origin.started_on, as_of)
        if not found:
            return None
        leaves = later(started or origin.started_on, found[0][1].days)
        if leaves <= as_of:
            return found[0]
        as_of = leaves
