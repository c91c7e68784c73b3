"""Official inspections that a release rests on: which are met, which are not, and which lapse."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple

from nursery.domain.book import Book
from nursery.domain.days import LAST_DAY, ONE, first_working, last_working, later
from nursery.domain.history import History
from nursery.domain.kinds.health import Answer
from nursery.domain.reason import Reason
from nursery.domain.record import Inspection as Seen
from nursery.domain.sample_plans import enough
from nursery.domain.terms import DaysOff, Inspection, SampledAt, SampleLevel, Term, in_force


class Held(NamedTuple):
    """What of a demand is met for a release on a day, and what is not.

    `lapses` tell until when what is met stays good.
    """

    met: tuple[Reason, ...] = ()
    unmet: tuple[Reason, ...] = ()
    lapses: tuple[Reason, ...] = ()


def inspections(past: History, book: Book, started: date | None, leaves_on: date | None) -> Held:
    """Return which official inspections are met for a release on a day, and which are not.

    Each requirement takes an inspection of its own, of all plants or of a large enough sample,
    since the clock began; one that must be near the release takes the latest (rule Q-8).
    """
    met, unmet, lapses = [], [], []
    used: set[date] = set()
    level = _level(past, book)
    for rule in sorted(_asked(past, book), key=lambda one: one.most_days_before_release or 0):
        limit = rule.most_days_before_release
        about: dict[str, Any] = {
            "number": rule.number,
            "active_growth": rule.active_growth,
            "limit": limit,
        }
        seen = [
            (day, one)
            for day, one in sorted(past.inspections.items())
            if started is not None
            and day >= started
            and day not in used
            and _fits(one, rule, level)
        ]
        if not seen:
            unmet.append(Reason("inspection_missing", about))
            continue
        day, one = seen[0] if limit is None else seen[-1]
        used.add(day)
        about |= {"on": day.isoformat(), "entry": one.entry}
        if limit is not None and leaves_on is not None and (leaves_on - day).days > limit:
            unmet.append(Reason("inspection_too_old", about | _age(day, leaves_on)))
            continue
        met.append(Reason("inspected", about))
        if limit is not None:
            told = good_until(day, limit, days_off(past, book))
            lapses.append(Reason("inspection_lapses", about | told))
    return Held(tuple(met), tuple(unmet), tuple(lapses))


def _age(day: date, leaves_on: date) -> dict[str, Any]:
    return {
        "inspected": day.isoformat(),
        "release": leaves_on.isoformat(),
        "days": (leaves_on - day).days,
    }


def good_until(day: date, limit: int, terms: Iterable[Term]) -> dict[str, Any]:
    """Return the last day for a notice that something of a day still carries, and the next.

    On `next`, the first day after it on which the authority works, it is `days` old (rule Q-13).
    """
    known = tuple(terms)
    end = later(day, limit)
    after = first_working(known, min(end, LAST_DAY - ONE) + ONE) or LAST_DAY
    last = last_working(known, day, end) or day
    return {"last": last.isoformat(), "next": after.isoformat(), "days": (after - day).days}


def days_off(past: History, book: Book) -> tuple[Term, ...]:
    """Return every text on days off that the permits of the plants, or the nursery's own, give."""
    permits = {origin.permit for origin in past.origins}
    texts = [term for permit in sorted(p for p in permits if p) for term in book.terms_of(permit)]
    own = [row.term for _, row in book.rows_of("due_rule")]
    return tuple(term for term in (*texts, *own) if isinstance(term.rule, DaysOff))


def in_force_for(
    past: History, rule: type[Any], book: Book, on: date | None
) -> Iterator[tuple[Term, Any]]:
    """Yield the terms of one rule, of all permits that the plants may have come under."""
    told: set[str] = set()
    for origin in sorted(past.origins, key=lambda one: one.permit or ""):
        if origin.started_on is not None:
            as_of = max(origin.started_on, on or date.min)
            for term, says in in_force(
                book.terms_of(origin.permit), rule, origin.started_on, as_of
            ):
                if term.id not in told:
                    told.add(term.id)
                    yield term, says


def _asked(past: History, book: Book) -> Iterable[Inspection]:
    """Return the inspections that any of the permits asks for, one for each number."""
    asked: dict[int, Inspection] = {}
    for _, rule in in_force_for(past, Inspection, book, None):
        asked.setdefault(rule.number, rule)
    return asked.values()


def _level(past: History, book: Book) -> SampleLevel | None:
    levels = [rule for _, rule in in_force_for(past, SampleLevel, book, None)]
    return next((rule for rule in levels if rule.at is SampledAt.INSPECTION), None)


def _fits(seen: Seen, rule: Inspection, level: SampleLevel | None) -> bool:
    if rule.all_plants:
        whole = seen.alive is not None and seen.plants >= seen.alive
    else:
        whole = level is None or enough(seen.alive, seen.plants, level)
    return (
        seen.answer is Answer.NOTHING and whole and (seen.active_growth or not rule.active_growth)
    )
