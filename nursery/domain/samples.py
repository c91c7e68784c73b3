"""Samples sent to a laboratory: on their way until a result comes, and asked after when due."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, NamedTuple

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.due_check import Check, ident
from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds import health
from nursery.domain.rounds import MOMENT, asked_for
from nursery.domain.timeline import standing

IN_TRANSIT = "in_transit"


@dataclass(frozen=True, slots=True)
class Sample:
    """One sample; `state` is `in_transit`, or the verdict of its latest result."""

    sample: str
    at: datetime
    plants: int
    laboratory: str | None = None
    find: str | None = None
    state: str = IN_TRANSIT
    result: str | None = None
    test: str | None = None
    result_due: date | None = None

    def as_json(self) -> dict[str, Any]:
        return {
            "sample": self.sample,
            "at": write_instant(self.at),
            "plants": self.plants,
            "laboratory": self.laboratory,
            "find": self.find,
            "state": self.state,
            "result": self.result,
            "test": self.test,
            "result_due": None if self.result_due is None else self.result_due.isoformat(),
        }


class Taken(NamedTuple):
    """A sample, the batches that it was taken of, and when its result came."""

    sample: Sample
    about: tuple[str, ...]
    answered_at: datetime | None


def taken(book: Book) -> tuple[Taken, ...]:
    """Return all samples in the order in which they were taken.

    A result belongs to the sample that it names, whichever of the sampled batches it is about
    (rule H-8).
    """
    line = standing(book.finds)
    results = {
        entry.body.sample: entry
        for entry in line.entries
        if isinstance(entry.body, health.Resulted)
    }
    found: list[Taken] = []
    for entry in line.entries:
        if isinstance(entry.body, health.Sampled):
            find = line.lines.get(entry.body.found or "", entry.body.found)
            result = results.get(entry.body.sample)
            at = None if result is None else result.occurred_at
            found.append(Taken(_sample(entry, find, result), tuple(entry.about), at))
    return tuple(found)


def of_book(book: Book) -> Mapping[str, tuple[Sample, ...]]:
    """Return the samples of each batch, in the order in which they were taken."""
    found: dict[str, list[Sample]] = {}
    for one in book.once(taken):
        for name in one.about:
            found.setdefault(name, []).append(one.sample)
    return {name: tuple(samples) for name, samples in found.items()}


def due(book: Book, first: date, last: date) -> Iterable[Check]:
    """A result is due on the day that its sample's record says, and stays till it comes (C-14)."""
    for one in book.once(taken):
        on = one.sample.result_due
        if on is None or not one.about:
            continue
        opens_at = max(one.sample.at, book.start_of(on))
        if asked_for(opens_at, one.answered_at, (first, last), book):
            yield Check(
                id=ident("result", one.sample.sample, one.about[0], on.isoformat()),
                kind="result",
                subject=one.about[0],
                opens_at=opens_at,
                due_by=max(opens_at, book.end_of(on) - MOMENT),
                answered_by=one.sample.result,
                params={
                    "sample": one.sample.sample,
                    "laboratory": one.sample.laboratory,
                    "on": on.isoformat(),
                },
            )


def odd(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield each result about a batch of a sample that nobody took (rule H-9)."""
    for entry in book.once(_unknown).get(batch.id, ()):
        about = {"sample": entry.body.sample, "verdict": entry.body.verdict.value}
        yield Doubt("unknown_sample", (entry.id,), about)


def _unknown(book: Book) -> Mapping[str, tuple[Entry, ...]]:
    line = standing(book.finds)
    taken = {e.body.sample for e in line.entries if isinstance(e.body, health.Sampled)}
    found: dict[str, tuple[Entry, ...]] = {}
    for entry in line.entries:
        if isinstance(entry.body, health.Resulted) and entry.body.sample not in taken:
            for name in entry.about:
                found[name] = (*found.get(name, ()), entry)
    return found


def _sample(taken: Entry, find: str | None, result: Entry | None) -> Sample:
    body: health.Sampled = taken.body
    return Sample(
        body.sample,
        taken.occurred_at,
        body.plants,
        body.laboratory,
        find,
        IN_TRANSIT if result is None else result.body.verdict.value,
        None if result is None else result.id,
        body.test,
        body.result_due,
    )


MAKERS = (due,)
