"""What to do with a batch today: forward, stay, back one step, or wait with every step."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

from nursery.domain.program import Limits, Program, Step
from nursery.domain.reason import Reason


class Doing(StrEnum):
    FORWARD = "forward"
    STAY = "stay"
    BACK = "back"
    FREEZE = "freeze"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Seen:
    """What was counted on plants since their step began; None where nobody looked."""

    scorched: int | None = None
    scorched_of: int = 0
    wilted: int | None = None
    wilted_of: int = 0
    checks: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Sky:
    """The days that are forecast, and the mean of the daily highs of the week behind.

    A list is empty, and the mean None, where nobody typed or brought in a figure.
    """

    highs_c: tuple[float, ...] = ()
    lows_c: tuple[float, ...] = ()
    wind_kmh: tuple[float, ...] = ()
    mean_high_c: float | None = None
    water_failed: bool = False


class Standing(NamedTuple):
    """On which step of the program plants are, by its place, and since which day."""

    at: int
    since: date


class Advice(NamedTuple):
    """`to` is the step to be on; `on` the first day on which the next may come."""

    doing: Doing
    to: Step
    reasons: tuple[Reason, ...]
    on: date | None = None


def advise(program: Program, standing: Standing, today: date, seen: Seen, sky: Sky) -> Advice:
    """Return what to do with plants that stand on a step since a day (rules U-1 to U-5).

    Damage goes before weather, and weather before the calendar: scorched plants go back into
    shade whatever is forecast, and no step goes on into heat because its days are over.

    Raises:
        ValueError: `at` is no step of the program, or the step began after today.
    """
    at, since = standing
    if not 0 <= at < len(program.steps):
        raise ValueError(f"at must be a step from 0 to {len(program.steps) - 1}, not {at}")
    if since > today:
        raise ValueError(f"since must be a day until {today}, not {since}")
    step = program.steps[at]
    if hurt := tuple(_hurt(seen, program.limits)):
        return Advice(Doing.BACK, program.steps[max(0, at - 1)], hurt)
    if stopped := tuple(_stopped(sky, program.limits)):
        return Advice(Doing.FREEZE, step, stopped)
    if at == len(program.steps) - 1:
        return Advice(Doing.DONE, step, tuple(_unseen(step, seen)))
    earliest = since + timedelta(days=step.days)
    waits = (*_early(earliest, today), *_unseen(step, seen))
    if waits:
        return Advice(Doing.STAY, step, waits, earliest)
    return Advice(Doing.FORWARD, program.steps[at + 1], (), today)


def _hurt(seen: Seen, limits: Limits) -> Iterator[Reason]:
    """Told as counted, never rounded to the level: a plant over it is over it."""
    for what, count, of, level in (
        ("scorched", seen.scorched, seen.scorched_of, limits.scorch_share),
        ("wilted", seen.wilted, seen.wilted_of, limits.wilt_share),
    ):
        if count is not None and of > 0 and count > level * of:
            params = {"n": count, "of": of, "percent": percent(count, of)}
            yield Reason(f"toughening_{what}", {**params, "most": round(100 * level)})


def percent(count: int, of: int) -> int:
    """Return a share in whole percent, halves up, as people round.

    >>> percent(14, 60)
    23
    """
    return (200 * count + of) // (2 * of)


def _stopped(sky: Sky, limits: Limits) -> Iterator[Reason]:
    hottest = max(sky.highs_c, default=None)
    if hottest is not None:
        if hottest >= limits.heat_c:
            days = sum(high >= limits.heat_c for high in sky.highs_c)
            yield Reason("toughening_heat", {"high": hottest, "n": days, "most": limits.heat_c})
        elif sky.mean_high_c is not None and hottest - sky.mean_high_c >= limits.heat_above_mean_c:
            over = round(hottest - sky.mean_high_c, 1)
            yield Reason("toughening_sudden_heat", {"high": hottest, "over": over})
    strongest = max(sky.wind_kmh, default=None)
    if strongest is not None and strongest >= limits.wind_kmh:
        yield Reason("toughening_wind", {"wind": strongest, "most": limits.wind_kmh})
    coldest = min(sky.lows_c, default=None)
    if limits.tropical and coldest is not None and coldest < limits.cold_c:
        yield Reason("toughening_cold", {"low": coldest, "least": limits.cold_c})
    if sky.water_failed:
        yield Reason("toughening_water_failed")


def _early(earliest: date, today: date) -> Iterator[Reason]:
    if today < earliest:
        days = (earliest - today).days
        yield Reason("toughening_early", {"on": earliest.isoformat(), "days": days})


def _unseen(step: Step, seen: Seen) -> Iterator[Reason]:
    lacking = [check for check in step.checks if check not in seen.checks]
    if lacking:
        yield Reason("toughening_unchecked", {"n": len(lacking), "checks": lacking})
