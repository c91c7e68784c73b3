"""Tests that a release rests on: which are negative, which are on their way, which lapse."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, NamedTuple

from nursery.domain import samples
from nursery.domain.book import Book
from nursery.domain.days import later
from nursery.domain.history import History
from nursery.domain.kinds.health import Verdict
from nursery.domain.reason import Reason
from nursery.domain.samples import IN_TRANSIT, Sample
from nursery.domain.terms import LabTest
from nursery.domain.visits import Held, days_off, good_until, in_force_for


class Ask(NamedTuple):
    """Whose tests, counted from day 0, for a release on a day."""

    batch: str
    past: History
    book: Book
    started: date | None
    leaves_on: date | None


def tests(ask: Ask) -> Held:
    """Return which tests are met for a release on a day, and which are not (rule Q-14)."""
    met, unmet, lapses = [], [], []
    for _, rule in in_force_for(ask.past, LabTest, ask.book, None):
        about: dict[str, Any] = {
            "number": rule.number,
            "test": rule.test,
            "limit": rule.most_days_before_release,
        }
        taken = list(_taken(rule, ask))
        negative = [one for one in taken if one.state == Verdict.NEGATIVE.value]
        waiting = [one for one in taken if one.state == IN_TRANSIT]
        if not negative:
            told = {"sample": waiting[-1].sample} if waiting else {}
            code = (
                Reason("test_waiting", about | told) if waiting else Reason("test_missing", about)
            )
            unmet.append(code)
            continue
        one = max(negative, key=lambda one: (one.at, one.sample))
        day, limit = ask.book.day(one.at), rule.most_days_before_release
        about |= {"sample": one.sample, "on": day.isoformat(), "entry": one.result}
        if limit is not None and ask.leaves_on is not None and ask.leaves_on > later(day, limit):
            unmet.append(Reason("test_too_old", about))
            continue
        met.append(Reason("tested", about))
        if limit is not None:
            told = good_until(day, limit, days_off(ask.past, ask.book))
            lapses.append(Reason("test_lapses", about | told))
    return Held(tuple(met), tuple(unmet), tuple(lapses))


def _taken(rule: LabTest, ask: Ask) -> Iterable[Sample]:
    """Yield the samples of a batch since day 0 that the rule can take."""
    for one in ask.book.once(_of_plants).get(ask.batch, {}).values():
        since = ask.started is not None and ask.book.day(one.at) >= ask.started
        here = not rule.laboratories or one.laboratory in rule.laboratories
        if since and here and one.test == rule.test:
            yield one


def _of_plants(book: Book) -> Mapping[str, Mapping[str, Sample]]:
    """Return the samples that speak for each batch: its own, and those that all parents had.

    A batch that took buds or scions is tested by itself: its stock was not (rule Q-7).
    """
    own = book.once(samples.of_book)
    found: dict[str, dict[str, Sample]] = {}
    for ident in book.parents_first:
        batch = book.batches[ident]
        inherited: dict[str, Sample] = {}
        if batch.parents and not batch.record.scions:
            before = [_before(found.get(name, {}), batch.began_at) for name in batch.parents]
            inherited = {k: v for k, v in before[0].items() if all(k in one for one in before)}
        found[ident] = inherited | {one.sample: one for one in own.get(ident, ())}
    return found


def _before(some: Mapping[str, Sample], moment: Any) -> dict[str, Sample]:
    return {name: one for name, one in some.items() if moment is None or one.at <= moment}
