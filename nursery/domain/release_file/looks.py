"""Proof of looking: each week, or other period of the permit, and how it was answered.

A week is done when every batch that owed a look-over had one, whatever was found; nil is an answer
and a blank is none. The minutes are those that the looks themselves tell.
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from nursery.domain import rounds
from nursery.domain.book import Book
from nursery.domain.due_check import Check
from nursery.domain.entry import write_instant
from nursery.domain.kinds.health import Answer
from nursery.domain.record import Look


def weeks(book: Book, batches: Iterable[str], on: date) -> list[dict[str, Any]]:
    """Return the periods in which the batches were to be looked over, up to a day."""
    owed = _owed(book, frozenset(batches), on)
    return [_week(period, owed[period], book, on) for period in sorted(owed)]


Periods = dict[tuple[str, str], list[Check]]


def _owed(book: Book, batches: frozenset[str], on: date) -> Periods:
    """Return the checks of each period; a batch that came late in it belongs to it all the same."""
    found: Periods = defaultdict(list)
    began = (book.batches[name].began_at for name in batches)
    first = min((book.day(at) for at in began if at is not None), default=on)
    for check in rounds.look_overs(book, first - timedelta(days=6), on):
        if check.subject in batches:
            last = book.day(check.due_by).isoformat()
            found[str(check.params["week_of"]), last].append(check)
    return found


def _week(period: tuple[str, str], checks: list[Check], book: Book, on: date) -> dict[str, Any]:
    looks = [(one.subject, look) for one in checks for look in _within(one, book)]
    done = [(name, look) for name, look in looks if look.answer is not Answer.NOT_LOOKED]
    unanswered = [one for one in checks if one.answered_by is None]
    return {
        "from": period[0],
        "to": period[1],
        "answer": _answer(checks, [look for _, look in done], running=period[1] >= on.isoformat()),
        "batches": len({one.subject for one in checks}),
        "done": len({one.subject for one in checks if one.answered_by is not None}),
        "minutes": round(sum(look.minutes or 0 for _, look in done), 1),
        "plants": sum(look.plants or 0 for _, look in done),
        "by": sorted({look.by for _, look in done}),
        "found_in": sorted({name for name, look in done if look.answer is Answer.FOUND}),
        "not_done": [
            {
                "batch": one.subject,
                "why": one.why,
                "entry": one.skipped_by,
                "accepted": _paper(one, book),
            }
            for one in unanswered
        ],
        "looks": [_look(name, look) for name, look in looks],
    }


def _answer(checks: list[Check], done: list[Look], *, running: bool) -> str:
    """Return found, nothing, part, not_done, blank or running: how the period was answered."""
    if all(one.answered_by is not None for one in checks):
        return "found" if any(look.answer is Answer.FOUND for look in done) else "nothing"
    if any(one.open for one in checks):
        return "running" if running else "part" if done else "blank"
    return "part" if done else "not_done"


def _within(check: Check, book: Book) -> Iterable[Look]:
    for look in book.batches[check.subject].record.looks:
        if check.opens_at <= look.at <= check.due_by:
            yield look


def _paper(check: Check, book: Book) -> str | None:
    """Return the reference of the paper by which the authority accepted it."""
    accepted = book.batches[check.subject].record.acceptances
    return next((one.reference for one in accepted if one.entry == check.accepted_by), None)


def _look(batch: str, look: Look) -> dict[str, Any]:
    return {
        "batch": batch,
        "entry": look.entry,
        "at": write_instant(look.at),
        "by": look.by,
        "typed_by": look.typed_by,
        "answer": look.answer.value,
        "plants": look.plants,
        "minutes": look.minutes,
        "why": look.why,
    }


def tally(weeks_told: list[dict[str, Any]]) -> dict[str, Any]:
    """Return how many periods are over, how many of them were done, and how many were not."""
    over = [one for one in weeks_told if one["answer"] != "running"]
    done = [one for one in over if one["answer"] in ("found", "nothing")]
    return {"over": len(over), "done": len(done), "not_done": len(over) - len(done)}
