"""Which terms apply on a day to plants whose clock started on a day."""

from collections.abc import Iterable
from datetime import date
from typing import TypeVar, cast

from nursery.domain.terms.release_rules import (
    DaysOff,
    Generations,
    Inspection,
    LabTest,
    QualifyingDays,
)
from nursery.domain.terms.room_rules import Listed, Notify, Reading, SampleLevel
from nursery.domain.terms.rules import Rule
from nursery.domain.terms.term import Term

R = TypeVar("R")


def in_force(
    terms: Iterable[Term], rule: type[R], started_on: date, on: date
) -> tuple[tuple[Term, R], ...]:
    """Return the terms of one rule that apply on a day to plants whose clock started on a day.

    The term in force when the clock started applies, unless a newer one says that it reaches
    consignments already inside and holds by `on` (rules T-1, T-2).
    """
    best: dict[str, Term] = {}
    for term in terms:
        reaches = term.since <= started_on or (term.reaches_running and term.since <= on)
        if isinstance(term.rule, rule) and reaches:
            name = _for(term.rule)
            rival = best.get(name)
            if rival is None or (rival.since, rival.id) < (term.since, term.id):
                best[name] = term
    return tuple((best[name], cast("R", best[name].rule)) for name in sorted(best))


def _for(rule: Rule) -> str:
    """Return what a newer text of a rule must be about as well to replace the older (T-2)."""
    match rule:
        case Inspection(number=number) | LabTest(number=number):
            return f"{number:09d}"
        case Reading(what=what) | QualifyingDays(what=what):
            return what
        case Generations(pest=pest):
            return pest
        case SampleLevel(at=at):
            return at.value
        case Notify(event=event, whom=whom):
            return f"{event} {whom}"
        case _:
            return ""


def listed(terms: Iterable[Term], on: date) -> frozenset[str]:
    """Return the pests listed on a day: every listing counts from its date on (rule T-3)."""
    return frozenset(
        pest
        for term in terms
        if isinstance(term.rule, Listed) and term.since <= on
        for pest in term.rule.pests
    )


def works_on(terms: Iterable[Term], day: date) -> bool:
    """Return whether the authority issues papers on a day, by every term dated by then (T-5)."""
    return not any(
        day.isoweekday() in term.rule.weekdays
        or day in term.rule.days
        or any((one.month, one.day) == (day.month, day.day) for one in term.rule.yearly)
        for term in terms
        if isinstance(term.rule, DaysOff) and term.since <= day
    )
