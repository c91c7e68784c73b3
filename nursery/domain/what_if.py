"""What if? The releases before and after something supposed, with the reasons why not.

A pure function of a book: another book is made in which it has happened, and both are asked the
same. Nothing of it is written anywhere (rules W-1 to W-4).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from nursery.domain import groups, newcomers, quarantine, seasons, supposed
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.days import first_working, later
from nursery.domain.errors import SupposedUnreadable
from nursery.domain.gate import WORSE, Answer
from nursery.domain.history import NOTHING, Course, of_book
from nursery.domain.newcomers import Told
from nursery.domain.quarantine import Clock
from nursery.domain.reason import Reason
from nursery.domain.supposed import Inspected, Noticed, Supposed, Treated
from nursery.domain.terms.possible import LONGEST_DAYS
from nursery.domain.visits import days_off


@dataclass(frozen=True, slots=True)
class Release:
    """When a batch could leave: its own earliest day, that of its room, and the first notice."""

    earliest: date | None
    together: date | None
    notice: date | None

    def as_json(self) -> dict[str, Any]:
        named = (("earliest", self.earliest), ("together", self.together), ("notice", self.notice))
        return {name: None if day is None else day.isoformat() for name, day in named}


class Outcome(NamedTuple):
    """The answer, all that speaks for and against, and each batch whose release it concerns."""

    answer: Answer
    told: tuple[Told, ...]
    batches: tuple[dict[str, Any], ...]

    def as_json(self) -> dict[str, Any]:
        return {
            "answer": self.answer.value,
            "reasons": [{"answer": one.answer.value, **one.why.as_json()} for one in self.told],
            "batches": list(self.batches),
        }


def ask(some: Sequence[Supposed], book: Book, today: date) -> Outcome:
    """Return what would follow, if all of this were so.

    Raises:
        SupposedUnreadable: a day that lies a century away.
    """
    for one in some:
        if abs((one.on - today).days) > LONGEST_DAYS:
            raise SupposedUnreadable("on", one.on)
    after = supposed.with_all(some, book)
    asked = _asked_on(some, after, today)
    rows = tuple(_batches(book, after, (today, asked)))
    told = [
        *newcomers.told(some, book, after, today),
        *_of_treatments(some, book),
        *_of_releases(rows, book, after, asked),
    ]
    ranked = sorted(told, key=lambda one: -WORSE[one.answer])
    answer = ranked[0].answer if ranked else Answer.YES
    return Outcome(answer, tuple(ranked), rows)


def _asked_on(some: Iterable[Supposed], after: Book, today: date) -> dict[str, date]:
    """Return for which day each batch is asked: not before its visit, nor before the notice."""
    asked = dict.fromkeys(after.batches, today)
    for one in some:
        names: Iterable[str] = one.batches if isinstance(one, Inspected) else ()
        names = tuple(asked) if isinstance(one, Noticed) else names
        asked |= {name: max(asked[name], one.on) for name in names if name in asked}
    return asked


def release(batch: Batch, book: Book, on: date) -> Release | None:
    """Return when a batch could leave, or None where it is not held under conditions."""
    clock = quarantine.clock(batch, book, on)
    if clock is None or clock.released:
        return None
    room = book.room(batch.place)
    group = None if room is None else groups.of_room(room, book, on)
    together = clock.earliest
    if group is not None and batch.id in group.batches:
        together = group.release
    return Release(clock.earliest, together, _notice(clock, together, batch, book, on))


def _notice(clock: Clock, together: date | None, batch: Batch, book: Book, on: date) -> date | None:
    if together is None:
        return None
    off = days_off(book.once(of_book).get(batch.id, NOTHING), book)
    return first_working(off, max(together, on))


def _batches(
    book: Book, after: Book, days: tuple[date, dict[str, date]]
) -> Iterator[dict[str, Any]]:
    """Yield each batch whose release would be another one, and what comes in."""
    today, asked = days
    for name in sorted(after.batches):
        batch = after.batches[name]
        old = book.batches.get(name)
        before = None if old is None else release(old, book, today)
        then = release(batch, after, asked.get(name, today))
        if gone(batch) or then is None or then == before:
            continue
        season = _season(batch, then, after, today)
        hoped = () if old is None else _season(old, before, book, today)
        yield {
            "id": name,
            "label": batch.label,
            "before": None if before is None else before.as_json(),
            "after": then.as_json(),
            "n": None if before is None else _apart(before.notice, then.notice),
            "season": [one.as_json() for one in season],
            "lost": [one.as_json() for one in season if one.code in LOST and one not in hoped],
        }


def _season(batch: Batch, then: Release | None, book: Book, today: date) -> tuple[Reason, ...]:
    clock = quarantine.clock(batch, book, today)
    return seasons.ahead(batch, clock, book, today, None if then is None else then.notice)


def _apart(one: date | None, two: date | None) -> int | None:
    return None if one is None or two is None else (two - one).days


def _of_releases(
    rows: Iterable[dict[str, Any]], book: Book, after: Book, asked: dict[str, date]
) -> Iterator[Told]:
    """Yield what would be moved, what would be too old by then, and what season that costs."""
    told: dict[str, Told] = {}
    for row in rows:
        name = row["id"]
        if row["before"] is None:
            continue
        before, then = row["before"]["notice"], row["after"]["notice"]
        if then is None:
            one = Told(Answer.CANNOT_TELL, Reason("would_have_no_day", {"from": before}))
            told.setdefault(one.why.code, one)
        elif before is None:
            told.setdefault(f"on {then}", Told(Answer.YES, Reason("would_be_on", {"on": then})))
        elif then != before:
            about = {"from": before, "to": then, "n": abs(row["n"])}
            later_on = Reason("would_be_later", about)
            one = Told(Answer.YES, later_on if row["n"] > 0 else Reason("would_be_earlier", about))
            told.setdefault(f"{before} {then}", one)
        clock = quarantine.clock(after.batches[name], after, asked.get(name))
        old = quarantine.clock(book.batches[name], book)
        known = () if old is None else {reason.code for reason in old.unmet}
        for reason in () if clock is None else clock.unmet:
            if reason.code in TOO_OLD and reason.code not in known:
                told.setdefault(f"{reason.code} {reason.params}", Told(Answer.NO, reason))
        for lost in row["lost"]:
            told.setdefault(str(lost), Told(Answer.YES, Reason(lost["code"], lost["params"])))
    yield from told.values()


TOO_OLD = frozenset(("inspection_too_old", "test_too_old"))
LOST = frozenset(("main_weeks_lost", "weeks_lost"))


def _of_treatments(some: Iterable[Supposed], book: Book) -> Iterator[Told]:
    """Yield for each treatment supposed too soon on which day it counts (rule W-3)."""
    for one in some:
        if not isinstance(one, Treated):
            continue
        courses = [past.courses.get(one.order) for past in book.once(of_book).values()]
        known = [course for course in courses if course is not None]
        if not known:
            yield Told(Answer.CANNOT_TELL, Reason("order_unknown", {"reference": one.order}))
        froms = [course.next_from for course in known if course.next_from is not None]
        latest = max(froms, default=one.on)
        if latest > one.on:
            course = next(course for course in known if course.next_from == latest)
            yield Told(Answer.NO, Reason("would_be_too_soon", _gap(course, one.on)))


def _gap(course: Course, on: date) -> dict[str, Any]:
    about = {"number": len(course.done) + 1, "reference": course.reference}
    days = (on - course.done[-1]).days
    plan = later(course.done[-1], course.interval_days)
    return {
        **about,
        "on": on.isoformat(),
        "n": days,
        "needed": course.interval_days,
        "plan": plan.isoformat(),
    }
