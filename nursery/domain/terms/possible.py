"""What no calendar, no room and no sample can meet is turned down when it is typed (rule R-1)."""

from collections.abc import Iterator
from dataclasses import fields

from nursery.domain.kinds.shape import Misfit
from nursery.domain.terms.release_rules import DaysOff, Generations, QualifyingDays
from nursery.domain.terms.room_rules import SampleLevel, Traps
from nursery.domain.terms.rules import Rule

# A century: longer than any consignment, and within any calendar.
LONGEST_DAYS = 36_525
MOST = {"days": LONGEST_DAYS, "hours": 24 * LONGEST_DAYS, "years": 100}
# Of these there is one at least.
COUNTED_FROM_ONE = frozenset(("every_days", "number"))
WEEK, YEAR = 7, 365
# It comes again in one year of four, so nobody's calendar can mean it.
LEAP_DAY = (2, 29)
# What instruments of a room can read, in °C.
WARMTH = (-50.0, 100.0)


def possible(rule: Rule) -> Rule:
    """Return a rule that can be met.

    Raises:
        Misfit: with the field that cannot.
    """
    for field in (*_too_long(rule), *_against_itself(rule)):
        raise Misfit(field)
    return rule


def _too_long(rule: Rule) -> Iterator[str]:
    for field in fields(rule):
        value = getattr(rule, field.name)
        if field.name in COUNTED_FROM_ONE and value == 0:
            yield field.name
        for part, most in MOST.items():
            if part in field.name.split("_") and isinstance(value, int) and value > most:
                yield field.name


def _against_itself(rule: Rule) -> Iterator[str]:
    match rule:
        case Traps(m2_per_trap=m2) if not m2 > 0:
            yield "m2_per_trap"
        case QualifyingDays():
            yield from _qualifying(rule)
        case Generations():
            yield from _generations(rule)
        case SampleLevel():
            yield from _sample(rule)
        case DaysOff():
            yield from _days_off(rule)
        case _:
            pass


def _qualifying(rule: QualifyingDays) -> Iterator[str]:
    if rule.least is not None and rule.most is not None and rule.most < rule.least:
        yield "most"
    if rule.days is None and rule.share is None:
        yield "days"
    if rule.share is not None and not 0 < rule.share <= 1:
        yield "share"


def _generations(rule: Generations) -> Iterator[str]:
    coldest, hottest = WARMTH
    if not rule.degree_days > 0:
        yield "degree_days"
    if not coldest <= rule.lower <= hottest:
        yield "lower"
    if rule.upper is not None and not rule.lower < rule.upper <= hottest:
        yield "upper"


def _sample(rule: SampleLevel) -> Iterator[str]:
    given = (rule.prevalence is not None, rule.confidence is not None)
    if any(given) != all(given) or not (rule.all_plants or all(given)):
        yield "confidence" if given[0] else "prevalence"
    for name in ("prevalence", "confidence", "efficacy"):
        value = getattr(rule, name)
        if value is not None and not 0 < value <= 1:
            yield name


def _days_off(rule: DaysOff) -> Iterator[str]:
    off = set(rule.weekdays)
    if any(not 1 <= day <= WEEK for day in off) or len(off) == WEEK:
        yield "weekdays"
    again = {(day.month, day.day) for day in rule.yearly}
    if LEAP_DAY in again or len(again) == YEAR:
        yield "yearly"
