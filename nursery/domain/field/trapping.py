"""Traps of a block: captures for each trap and day, and when it is time to act (F-18, F-19).

A trap that could not be read gives neither a catch nor a zero; the days that it hung out count once
it is read again, unless it was changed meanwhile: then what it had caught is not known.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Any

from nursery.domain.entry import Entry
from nursery.domain.kinds.place import TrapAnswer, Trapped
from nursery.domain.reference.rows import USUAL_TRAP_LATE
from nursery.domain.timeline import standing
from nursery.science import surveillance

# What tells of the present: a trap is left out no longer. (Common practice, no source.)
SPAN = timedelta(days=28)
# A trap in the field that was read longer ago says nothing of today, unless the nursery says other
# days. (Common practice, no source.)
LATE = timedelta(days=USUAL_TRAP_LATE)


class State(StrEnum):
    """What a trap says now; one that was never read, or not for long, says nothing."""

    NEVER = "never"
    LATE = "late"
    NOT_READABLE = "not_readable"
    ZERO = "zero"
    CAUGHT = "caught"
    ACT = "act"


@dataclass(frozen=True, slots=True)
class Reading:
    """A trap was read on a day, or could not be; `days` is for how long it had hung out."""

    trap: str
    on: date
    read: bool
    days: int | None
    caught: Mapping[str, int] = field(default_factory=dict)
    why: str | None = None


def readings(
    trap: str, hung: date | None, entries: Iterable[Entry], day: Callable[[datetime], date]
) -> tuple[Reading, ...]:
    """Return what was written of a trap, oldest first; `hung` is the day on which it was put up."""
    found: list[Reading] = []
    since = hung
    for entry in standing(entries).entries:
        body = entry.body
        if not isinstance(body, Trapped):
            continue
        on = day(entry.occurred_at)
        read = body.answer is TrapAnswer.READ
        caught: Counter[str] = Counter()
        for one in body.catches:
            caught[one.pest] += one.count
        days = None if since is None else max(0, (on - since).days)
        found.append(Reading(trap, on, read, days if read else None, dict(caught), body.why))
        if read or body.replaced or since is None:
            since = on
    return tuple(found)


def of_traps(
    some: Mapping[str, Sequence[Reading]],
    levels: Mapping[str, float],
    today: date,
    late: timedelta = LATE,
) -> dict[str, Any]:
    """Return the last reading of each trap, and what the traps catch for each trap and day.

    Only what was read within the last four weeks tells of the present. `levels` are the captures
    per trap and day from which something is done, by pest; a trap read longer ago than `late` says
    nothing.
    """
    lately = [one for told in some.values() for one in told if today - one.on < SPAN]
    read = [one for one in lately if one.days is not None]
    exposure = sum(one.days or 0 for one in read)
    caught: Counter[str] = Counter()
    for one in read:
        caught.update(one.caught)
    pests = sorted({*caught, *levels})
    return {
        "since": (today - SPAN + timedelta(days=1)).isoformat(),
        "traps": [_last(name, told, levels, (today, late)) for name, told in some.items()],
        "read": len({one.trap for one in lately if one.read}),
        "trap_days": exposure,
        "pests": [_pest(pest, caught[pest], exposure, levels.get(pest)) for pest in pests],
        "days": _days(one for told in some.values() for one in told),
    }


def state(
    told: Sequence[Reading], levels: Mapping[str, float], today: date, late: timedelta = LATE
) -> State:
    """Return what a trap says today, by its own last reading (rule F-19)."""
    if not told:
        return State.NEVER
    last = told[-1]
    if today - last.on > late:
        return State.LATE
    if not last.read:
        return State.NOT_READABLE
    if any(
        index is not None and pest in levels and index >= levels[pest]
        for pest, index in _indices(last).items()
    ):
        return State.ACT
    return State.CAUGHT if any(last.caught.values()) else State.ZERO


def _indices(one: Reading) -> dict[str, float | None]:
    return {
        pest: surveillance.captures_per_trap_day(count, 1, one.days or 0)
        for pest, count in sorted(one.caught.items())
    }


def _last(
    name: str,
    told: Sequence[Reading],
    levels: Mapping[str, float],
    when: tuple[date, timedelta],
) -> dict[str, Any]:
    today, late = when
    last = told[-1] if told else None
    read = next((one.on for one in reversed(told) if one.read), None)
    return {
        "trap": name,
        "state": state(told, levels, today, late).value,
        "silent": None if read is None else (today - read).days,
        "index": {} if last is None else _indices(last),
        "on": None if last is None else last.on.isoformat(),
        "read": None if last is None else last.read,
        "days": None if last is None else last.days,
        "caught": {} if last is None else dict(last.caught),
        "why": None if last is None else last.why,
    }


def _pest(pest: str, caught: int, exposure: int, level: float | None) -> dict[str, Any]:
    index = surveillance.captures_per_trap_day(caught, 1, exposure)
    reached = None if index is None or level is None else index >= level
    return {"pest": pest, "caught": caught, "index": index, "level": level, "reached": reached}


def _days(some: Iterable[Reading]) -> list[dict[str, Any]]:
    """Return each day on which traps were read, with what they caught for each trap and day."""
    by: dict[date, list[Reading]] = defaultdict(list)
    for one in some:
        by[one.on].append(one)
    found = []
    for on, told in sorted(by.items()):
        read = [one for one in told if one.days is not None]
        exposure = sum(one.days or 0 for one in read)
        caught: Counter[str] = Counter()
        for one in read:
            caught.update(one.caught)
        indices = {
            pest: surveillance.captures_per_trap_day(count, 1, exposure)
            for pest, count in sorted(caught.items())
        }
        found.append(
            {
                "on": on.isoformat(),
                "read": sum(one.read for one in told),
                "not_read": sum(not one.read for one in told),
                "trap_days": exposure,
                "index": indices,
            }
        )
    return found
