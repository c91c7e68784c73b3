"""The days that count only as the room was, month by month: how each demand came to its sum."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from nursery.domain import history, quarantine, visits, warmth
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.release_file.readings import month_of
from nursery.domain.terms import Generations, QualifyingDays, Term
from nursery.domain.warmth import Counted


def counted_days(batches: Sequence[Batch], book: Book, on: date) -> list[dict[str, Any]]:
    """Return how the days of each demand on the room's warmth were counted (rules Q-10, Q-11).

    Batches of which the same is told share one. Of plants that were released, up to that day.
    """
    living = [one for one in batches if not gone(one)] or list(batches)
    found: dict[str, dict[str, Any]] = {}
    for batch in living:
        for told in _of_batch(batch, book, on):
            found.setdefault(repr(told), {**told, "batches": []})["batches"].append(batch.id)
    return list(found.values())


def _of_batch(batch: Batch, book: Book, on: date) -> Iterator[dict[str, Any]]:
    clock, past = quarantine.clock(batch, book, on), book.once(history.of_book).get(batch.id)
    if clock is None or past is None or clock.started_on is None:
        return
    ask = warmth.Ask(batch, clock.started_on, on, book)
    until = _until(past.released, book, on)
    for term, days in visits.in_force_for(past, QualifyingDays, book, on):
        counted, good = warmth.qualified(term, days, ask)
        wanted = {"rule": "qualifying_days", "of": days.what, "wanted": days.days}
        yield {**_demand(term, wanted), "months": _months(counted, good, until)}
    for term, warm in visits.in_force_for(past, Generations, book, on):
        counted, gained = warmth.warmed(term, warm, ask)
        wanted = {"rule": "generations", "of": warm.pest, "wanted": warm.number * warm.degree_days}
        yield {**_demand(term, wanted), "months": _months(counted, gained, until)}


def _demand(term: Term, wanted: Mapping[str, Any]) -> dict[str, Any]:
    return {"term": term.id, "source": term.source, **wanted}


def _until(released: Mapping[str, Any] | None, book: Book, on: date) -> date:
    return on if released is None else min(on, book.day(datetime.fromisoformat(released["at"])))


def _months(counted: Counted, by_day: Sequence[float | None], until: date) -> list[dict[str, Any]]:
    """Return of each month its days, those of which nobody can tell, and the sum with those before.

    A day that qualifies gives one.
    """
    months: dict[str, dict[str, Any]] = {}
    total = 0.0
    for at, gained in enumerate(by_day):
        day = counted.day(at)
        if day >= until:
            break
        total += gained or 0
        month = month_of(day)
        told = months.setdefault(month, {"month": month, "days": 0, "unknown": 0, "gained": 0.0})
        told["days"] += 1
        told["unknown"] += gained is None
        told["gained"] += gained or 0
        told["total"] = total
    return [
        {**one, "gained": round(one["gained"], 1), "total": round(one["total"], 1)}
        for one in months.values()
    ]
