"""Days and generations that count only as the room was.

They are worked out from the room's readings. A day counts when it is over; a day without readings
adds nothing, and as long as it might have decided the matter nobody can tell (rules Q-10, Q-11).
"""

from collections.abc import Iterable
from datetime import date, timedelta
from math import ceil
from typing import Any, NamedTuple

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.climate import AIR, Rooms, Span, rooms_of, spans
from nursery.domain.days import ONE, later
from nursery.domain.reason import Reason
from nursery.domain.terms import Generations, Method, QualifyingDays, Term
from nursery.science import thermal

# A share that is met exactly is met, whatever the last bit of a float says.
SLACK = 1e-9


class Progress(NamedTuple):
    """How far one demand is: `ready_on` is the first morning on which it is met.

    `expected` says on which day it will be, if the days to come are like those so far.
    """

    told: Reason
    met: bool
    ready_on: date | None = None
    expected: Reason | None = None


class Ask(NamedTuple):
    """Of which batch, from which day 0 on, and up to which day is asked."""

    batch: Batch
    started: date
    on: date | None
    book: Book


def qualifying(term: Term, rule: QualifyingDays, ask: Ask) -> Iterable[Progress]:
    """Yield how far a demand of qualifying days is."""
    counted, good = qualified(term, rule, ask)
    if rule.days is not None:
        yield _number(term, rule.days, good, counted)
    if rule.share is not None:
        yield _share(term, rule.share, good, counted)


def qualified(term: Term, rule: QualifyingDays, ask: Ask) -> tuple["Counted", list[bool | None]]:
    """Return the days that count, and of each whether the room was as the text wants it."""
    counted = _counted(term, rule.what, ask)
    least = float("-inf") if rule.least is None else rule.least
    most = float("inf") if rule.most is None else rule.most
    good = [
        None if day is None else all(least <= span.middle <= most for span in day)
        for day in counted.days
    ]
    return counted, good


def _number(term: Term, wanted: int, good: list[bool | None], counted: "Counted") -> Progress:
    passed = [n for n, is_good in enumerate(good) if is_good]
    about: dict[str, Any] = {"n": len(passed), "number": wanted, "source": term.source}
    if len(passed) >= wanted:
        ready = counted.begins if wanted == 0 else counted.day(passed[wanted - 1]) + ONE
        return Progress(
            Reason("qualifying_done", {**about, "n": wanted, "on": ready.isoformat()}),
            met=True,
            ready_on=ready,
        )
    told = Reason("qualifying_to_go", about)
    missing = counted.missing(good)
    if missing and len(passed) + missing["n"] >= wanted:
        told = Reason("qualifying_cannot_tell", {**about, **missing, "done": len(passed)})
    expected = None
    if passed:
        rate = len(passed) / (len(good) - good.count(None))
        on = later(counted.until, ceil((wanted - len(passed)) / rate - SLACK))
        expected = Reason("if_as_so_far", {"on": on.isoformat(), "source": term.source})
    return Progress(told, met=False, expected=expected)


def _share(term: Term, wanted: float, good: list[bool | None], counted: "Counted") -> Progress:
    passed, days = good.count(True), max(len(good), 1)
    about: dict[str, Any] = {
        "percent": round(100 * passed / days),
        "wanted": round(100 * wanted),
        "source": term.source,
    }
    if passed / days >= wanted - SLACK:
        return Progress(Reason("share_reached", about), met=True)
    missing = counted.missing(good)
    if missing and (passed + missing["n"]) / days >= wanted - SLACK:
        return Progress(Reason("share_cannot_tell", {**about, **missing}), met=False)
    return Progress(Reason("share_too_low", about), met=False)


def generations(term: Term, rule: Generations, ask: Ask) -> Iterable[Progress]:
    """Yield how many generations of a pest the warmth since day 0 would have brought."""
    counted, gained = warmed(term, rule, ask)
    row = ask.book.row("pest", rule.pest)
    about = {
        "pest": rule.pest if row is None else row.name,
        "number": rule.number,
        "source": term.source,
    }
    done = thermal.generation_day(
        [0.0 if one is None else one for one in gained], rule.degree_days, rule.number
    )
    if done is not None:
        ready = counted.day(done - 1) + ONE
        told = Reason("generations_done", {**about, "on": ready.isoformat()})
        yield Progress(told, met=True, ready_on=ready)
        return
    known = [one for one in gained if one is not None]
    about["done"] = round(sum(known) / rule.degree_days, 1)
    missing = counted.missing(gained)
    told = Reason("generations_to_go", about)
    if missing:
        told = Reason("generations_cannot_tell", {**about, **missing})
    expected = None
    if sum(known) > 0:
        left = (rule.number * rule.degree_days - sum(known)) / (sum(known) / len(known))
        on = later(counted.until, ceil(min(left, 1e9) - SLACK))
        expected = Reason("if_as_warm", {"on": on.isoformat(), "pest": about["pest"]})
    yield Progress(told, met=False, expected=expected)


def warmed(term: Term, rule: Generations, ask: Ask) -> tuple["Counted", list[float | None]]:
    """Return the days that count, and of each how many degree-days it gave."""
    counted = _counted(term, AIR, ask)
    return counted, [_coldest(day, rule) for day in counted.days]


def _coldest(day: tuple[Span, ...] | None, rule: Generations) -> float | None:
    """Return a day's degree-days; of several rooms those of the one with the fewest."""
    return None if day is None else min(_degree_days(span, rule) for span in day)


def _degree_days(span: Span, rule: Generations) -> float:
    low, high = span
    if rule.method is Method.AVERAGE:
        return float(thermal.average(low, high, rule.lower))
    if rule.method is Method.AVERAGE_CLIPPED:
        return float(thermal.average_clipped(low, high, rule.lower))
    curve = thermal.single_sine
    if rule.method is Method.SINGLE_TRIANGLE:
        curve = thermal.single_triangle
    gained = curve(low, high, lower=rule.lower, upper=rule.upper, cutoff=rule.cutoff.value)
    return float(gained)


class Counted(NamedTuple):
    """The days after `begins` and before `until`, each with the spans of the plants' rooms.

    A day is None where one of the rooms was not read, or nobody knows where the plants stood.
    """

    begins: date
    until: date
    days: list[tuple[Span, ...] | None]

    def day(self, index: int) -> date:
        return self.begins + timedelta(days=index + 1)

    def missing(self, by_day: list[Any]) -> dict[str, Any]:
        """Return how many days nobody can tell, and the first of them; empty if there is none."""
        unknown = [n for n, value in enumerate(by_day) if value is None]
        return {"n": len(unknown), "first": self.day(unknown[0]).isoformat()} if unknown else {}


def _counted(term: Term, what: str, ask: Ask) -> Counted:
    """Return the days that count: those over since day 0, and since the text holds."""
    begins = max(ask.started, term.since)
    rooms = rooms_of(ask.batch.id, ask.book)
    read = {room: spans(room, what, ask.book) for room in rooms.every}
    last = max((max(days) for days in read.values() if days), default=begins)
    until = max(last, ask.on or begins, begins + ONE)
    every = (begins + timedelta(days=n) for n in range(1, (until - begins).days))
    return Counted(begins, until, [_of_day(rooms, day, read) for day in every])


def _of_day(rooms: Rooms, day: date, read: dict[str, Any]) -> tuple[Span, ...] | None:
    found = [read[room].get(day) for room in rooms.on(day)]
    return tuple(found) if found and None not in found else None
