"""The legal clock: when plants may leave quarantine, what is met for it and what is not.

Worked out from dated terms and from what happened, never typed in and never kept as truth: a pure
function of the book's entries and rows (rules Q-1 to Q-14).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from nursery.domain import lab_tests, legal_days, ordered_looks, visits, warmth
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.days import first_working
from nursery.domain.doubts import Doubt
from nursery.domain.history import Course, History, of_book
from nursery.domain.legal_days import Asked, Days
from nursery.domain.reason import Reason
from nursery.domain.terms import Generations, QualifyingDays
from nursery.domain.warmth import Progress


@dataclass(frozen=True, slots=True)
class Clock:
    """The clock of one batch, as the book has it.

    `known` says whether somebody has typed the conditions. `earliest` is the first day on which it
    may be released, as far as days decide it; None where nobody can say. `notice_from` is the first
    day from then on on which the authority works. `ifs` are what that day rests on and has not
    happened yet, `only_if` is the first of them. `reasons` tell how the day came about, `moved`
    what moved it and by how much, `met` and `unmet` what else the release asks for, and `lapses`
    until when what is met stays good.
    """

    permits: tuple[str, ...]
    known: bool
    started_on: date | None
    days: int
    earliest: date | None
    notice_from: date | None
    ifs: tuple[Reason, ...]
    reasons: tuple[Reason, ...]
    moved: tuple[Reason, ...]
    met: tuple[Reason, ...]
    unmet: tuple[Reason, ...]
    lapses: tuple[Reason, ...]
    released: Mapping[str, Any] | None

    @property
    def only_if(self) -> Reason | None:
        return self.ifs[0] if self.ifs else None

    def as_json(self) -> dict[str, Any]:
        told = {
            name: [reason.as_json() for reason in getattr(self, name)]
            for name in ("ifs", "reasons", "moved", "met", "unmet", "lapses")
        }
        return {
            "permits": list(self.permits),
            "known": self.known,
            "started_on": _iso(self.started_on),
            "days": self.days,
            "earliest": _iso(self.earliest),
            "notice_from": _iso(self.notice_from),
            "only_if": told["ifs"][0] if told["ifs"] else None,
            **told,
            "released": None if self.released is None else dict(self.released),
        }


def clock(batch: Batch, book: Book, on: date | None = None) -> Clock | None:
    """Return the clock of a batch, or None where it has no conditions.

    `on` is the day for which the release is asked, if that is later than the earliest.
    """
    known = book.once(_clocks)
    if (batch.id, on) not in known:
        known[batch.id, on] = _clock(batch, book, on)
    return known[batch.id, on]


def _clocks(_: Book) -> dict[tuple[str, date | None], Clock | None]:
    """The answers so far: gates, checks and rooms ask for the same clocks."""
    return {}


def _clock(batch: Batch, book: Book, on: date | None) -> Clock | None:
    past = book.once(of_book).get(batch.id)
    if past is None or not past.origins:
        return None
    permits = {origin.permit for origin in past.origins}
    known = all(book.row("permit", permit) is not None for permit in permits)
    asked = Asked(batch, book, on)
    days = legal_days.counted(past, asked)
    progress = tuple(_weather(past, asked, days))
    earliest = _earliest(days, progress) if known else None
    rest = visits.days_off(past, book)
    notice_from = None if earliest is None else first_working(rest, earliest)
    leaves_on = _leaves_on(notice_from, asked, past)
    seen = visits.inspections(past, book, days.started, leaves_on)
    tested = lab_tests.tests(lab_tests.Ask(batch.id, past, book, days.started, leaves_on))
    shifted = earliest is not None and notice_from is not None and notice_from > earliest
    off = [Reason("notice_day", {"earliest": _iso(earliest), "on": _iso(notice_from)})]
    return Clock(
        permits=tuple(sorted(permit for permit in permits if permit is not None)),
        known=known,
        started_on=days.started,
        days=days.number,
        earliest=earliest,
        notice_from=notice_from,
        ifs=tuple(_ifs(days, progress)),
        reasons=(*days.reasons, *(off if shifted else [])),
        moved=tuple(legal_days.moved(past, asked)) if known else (),
        met=(*(one.told for one in progress if one.met), *seen.met, *tested.met),
        unmet=(
            *(() if known else (Reason("permit_unknown"),)),
            *_open_orders(past, batch),
            *ordered_looks.missing(batch.id, book),
            *(one.told for one in progress if not one.met),
            *seen.unmet,
            *tested.unmet,
        ),
        lapses=() if past.released else (*seen.lapses, *tested.lapses),
        released=past.released,
    )


def _leaves_on(notice_from: date | None, asked: Asked, past: History) -> date | None:
    """Return the day of the first notice that can come, on the day asked for or later."""
    if notice_from is None or asked.on is None or asked.on <= notice_from:
        return notice_from
    return first_working(visits.days_off(past, asked.book), asked.on) or asked.on


def _weather(past: History, asked: Asked, days: Days) -> Iterator[Progress]:
    """Yield how far each demand on the room's warmth is, since day 0 (rules Q-10, Q-11)."""
    if days.started is None:
        return
    ask = warmth.Ask(asked.batch, days.started, asked.on, asked.book)
    for term, rule in visits.in_force_for(past, QualifyingDays, asked.book, asked.on):
        yield from warmth.qualifying(term, rule, ask)
    for term, rule in visits.in_force_for(past, Generations, asked.book, asked.on):
        yield from warmth.generations(term, rule, ask)


def _earliest(days: Days, progress: tuple[Progress, ...]) -> date | None:
    """Return the latest day of the legal days and of what the room's warmth has given or will."""
    if days.earliest is None:
        return None
    ready = [one.ready_on for one in progress if one.ready_on is not None]
    expected = [
        date.fromisoformat(one.expected.params["on"])
        for one in progress
        if one.expected is not None
    ]
    return max((days.earliest, *ready, *expected))


def _ifs(days: Days, progress: tuple[Progress, ...]) -> Iterator[Reason]:
    if days.only_if is not None:
        yield days.only_if
    for one in progress:
        if one.expected is not None:
            yield one.expected


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
