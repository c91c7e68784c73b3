"""From plants that are to stand in the field back to what to start and when; and forward again.

Nothing here is a rule: it is worked out of a crop's profile, the nursery's own batches, and where
those lack of usual losses, each marked with what it stands on (rules Y-1 to Y-4).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from statistics import NormalDist
from types import MappingProxyType
from typing import Any

from nursery.domain import shares
from nursery.domain.figures import Figure
from nursery.domain.profiles import Profile
from nursery.science.planning import Expected

BEFORE, TAKE, NURSERY, FIELD = "before", "take", "nursery", "field"
STAGES = (BEFORE, NURSERY, FIELD)
# Usual losses: seed that does not come up or grafts that do not take, plants lost in the nursery,
# and gaps in the field to be filled. (Common practice, no source.)
USUAL = MappingProxyType({BEFORE: 0.10, TAKE: 0.10, NURSERY: 0.12, FIELD: 0.10})
# How much batches differ from each other, and how many of one's own such a figure is worth.
# (From memory.)
SPREAD, WORTH = 0.05, 3
# A range of weeks is taken as what eight of ten batches need.
TENTH = 0.9
LONGEST_DAYS = 20_000


@dataclass(frozen=True, slots=True)
class Wanted:
    """So many plants standing in the field by the end of a time, with so much certainty.

    `lost` holds shares that somebody typed; `past` what one's own batches say of a stage: how many
    went in and how many came out.
    """

    plants: int
    first: date
    last: date
    certainty: float
    lost: Mapping[str, float] = field(default_factory=dict)
    past: Mapping[str, Sequence[tuple[int, int]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the crop here. `look_days` are those that a last inspection holds good."""

    profile: Profile | None
    toughening_days: int | None = None
    full_days: int | None = None
    look_days: int | None = None


def by_practice(points: int, lost: Mapping[str, float]) -> int:
    """Return how many to sow: points x (1 + z) / ((1 - x)(1 - y)), rounded up (rule Y-1).

    >>> by_practice(1000, {BEFORE: 0.10, NURSERY: 0.12, FIELD: 0.10})
    1389
    """
    lasting = math.prod(1 - share for stage, share in lost.items() if stage != FIELD)
    return math.ceil(points * (1 + lost[FIELD]) / lasting - 1e-9)


def start(wanted: Wanted) -> dict[str, Any]:
    """Return how many to start, as likely as not and with the certainty, and what it stands on."""
    found: list[shares.Share] = []
    told: list[dict[str, Any]] = []
    for stage in _stages(wanted):
        lost = wanted.lost.get(stage, USUAL[stage])
        # What is planted to fill gaps comes on top of the points, so the share is its inverse.
        rate = 1 / (1 + lost) if stage == FIELD else 1 - lost
        past = [] if stage in wanted.lost else list(wanted.past.get(stage, ()))
        share = shares.learned(past, _expected(rate)) if 0 < rate < 1 else shares.Share(1.0, 1.0)
        found.append(share)
        told.append(
            {
                "stage": stage,
                "lost": round(_lost(stage, share.mean), 4) if past else lost,
                "from": "typed" if stage in wanted.lost else "book" if past else "practice",
                "batches": len(past),
            }
        )
    losses = {one["stage"]: one["lost"] for one in told}
    return {
        "middle": by_practice(wanted.plants, losses),
        "sure": shares.number_to_start(wanted.plants, wanted.certainty, found),
        "stages": told,
    }


def _stages(wanted: Wanted) -> Sequence[str]:
    """Return what plants are lost by: of grafts, what one's own did, unless somebody typed it.

    What is lost before the nursery is seed or grafts by practice; once one's own grafts are
    counted they stand for it, beside one's own seed where there is any (rule K-4).
    """
    if BEFORE in wanted.lost or not wanted.past.get(TAKE):
        return STAGES
    return (BEFORE, TAKE, NURSERY, FIELD) if wanted.past.get(BEFORE) else (TAKE, NURSERY, FIELD)


def _lost(stage: str, mean: float) -> float:
    return 1 / mean - 1 if stage == FIELD else 1 - mean


def _expected(rate: float) -> Expected:
    widest = math.sqrt(rate * (1 - rate) / 1.5)
    return Expected(rate, min(SPREAD, widest / 2), WORTH)


def days_of(weeks: Figure, certainty: float) -> int:
    """Return within how many days a stage is over with the certainty (rule Y-2).

    Days of batches are lognormal, eight of ten within the range; from nought on, evenly spread.
    """
    return min(LONGEST_DAYS, math.ceil(_days_of(weeks, certainty) - 1e-9))


def _days_of(weeks: Figure, certainty: float) -> float:
    low, high = weeks.low * 7, (weeks.low if weeks.high is None else weeks.high) * 7
    if low == high:
        return low
    if low == 0:
        return high * certainty
    middle = math.log(low * high) / 2
    scale = math.log(high / low) / 2 / NormalDist().inv_cdf(TENTH)
    return math.exp(middle + scale * NormalDist().inv_cdf(certainty))


def back(wanted: Wanted, known: Known) -> list[dict[str, Any]]:
    """Return what is to be done by when so that plants are ready as the weeks begin (rule Y-3)."""
    plan = _Days()
    profile = known.profile
    if profile is not None:
        days = days_of(profile.nursery_weeks, wanted.certainty)
        sow = wanted.first - timedelta(days=days)
        cold = profile.stages.get("stratification")
        if cold is not None:
            plan.add("stratify", sow - timedelta(days=days_of(cold, wanted.certainty)))
        plan.add("sow", sow, wanted.last - timedelta(days=days))
        for stage in ("germination", "rooting", "weaning"):
            if stage in profile.stages:
                takes = days_of(profile.stages[stage], wanted.certainty)
                plan.add(stage, sow + timedelta(days=takes))
    _outdoors(plan, wanted.first - timedelta(days=known.toughening_days or 0), known)
    _potted(plan, wanted.first, known)
    plan.add("plant", wanted.first, wanted.last)
    return plan.sorted()


def forward(
    release: date, weeks: Sequence[tuple[date, date]], known: Known
) -> list[dict[str, Any]]:
    """Return what follows from a day of release: toughening, and the first weeks after it (Y-4)."""
    plan = _Days()
    _outdoors(plan, release, known)
    ready = release + timedelta(days=known.toughening_days or 0)
    plan.add("ready", ready)
    coming = next(((first, last) for first, last in weeks if last >= ready), None)
    if coming is not None:
        on = max(ready, coming[0])
        _potted(plan, on, known)
        plan.add("plant", on, coming[1])
    return plan.sorted()


def _outdoors(plan: "_Days", out: date, known: Known) -> None:
    if known.toughening_days is not None:
        plan.add("toughen", out)
    if known.look_days is not None:
        plan.add("inspect", out - timedelta(days=known.look_days), out)
        plan.add("release", out)


def _potted(plan: "_Days", planted: date, known: Known) -> None:
    """Pots that are filled earlier are full of roots before the plants are planted."""
    if known.full_days is not None:
        plan.add("pot", planted - timedelta(days=known.full_days))


class _Days:
    """What is to be done, by day."""

    def __init__(self) -> None:
        self._some: list[tuple[date, str, date | None]] = []

    def add(self, act: str, on: date, until: date | None = None) -> None:
        self._some.append((on, act, until))

    def sorted(self) -> list[dict[str, Any]]:
        return [
            {
                "act": act,
                "on": on.isoformat(),
                "until": None if until is None else until.isoformat(),
            }
            for on, act, until in sorted(self._some, key=lambda one: one[0])
        ]


def missing(known: Known) -> list[str]:
    """Return what nobody typed of the crop, so that parts of the plan are not there."""
    found = {
        "profile": known.profile,
        "program": known.toughening_days,
        "pot": known.full_days,
        "inspection": known.look_days,
    }
    return [name for name, value in found.items() if value is None]
