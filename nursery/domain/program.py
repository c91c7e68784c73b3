"""A program of toughening: its steps from the shadiest on, and what stops or turns them."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name
from nursery.science import light

# One step in five to seven days. (Rule of thumb, from memory.)
LEAST_DAYS = Count(5)
# What a step may be checked for, and what each is answered by (rule U-8).
SCORCH, WILT, ROOTS, PESTS = Name("scorch"), Name("wilt"), Name("roots"), Name("pests")
CHECKS = (SCORCH, WILT, ROOTS, PESTS)
# How a step is fed, said in the reader's language; a grower's own words stand as they are.
AS_BEFORE, NO_NITROGEN, NO_FEED = "as_before", "no_nitrogen", "no_feed"


class Wind(StrEnum):
    STILL = "still"
    SIDES_OPEN_HOURS = "sides_open_hours"
    SIDES_OPEN = "sides_open"
    LEE = "lee"
    EXPOSED = "exposed"


@dataclass(frozen=True, slots=True)
class Step:
    """So much shade for so many days at least, before the next step may come.

    `sun_hours` are those of a day on which the cloth is off; None keeps it on all day.
    `water_every_days` is how long the plants wait for water; `feed` is in the grower's words.
    """

    id: Name
    shade_percent: float
    days: Count = LEAST_DAYS
    sun_hours: float | None = None
    water_every_days: float | None = None
    wind: Wind = Wind.STILL
    feed: str | None = None
    checks: tuple[Name, ...] = ()


@dataclass(frozen=True, slots=True)
class Limits:
    """What stops a step or takes it back.

    Source: the rules of thumb in the trade's list of hardening-off, from memory; each may be
    changed by the grower.
    """

    scorch_share: float = 0.05
    wilt_share: float = 0.05
    heat_c: float = 35.0
    heat_above_mean_c: float = 7.0
    wind_kmh: float = 40.0
    cold_c: float = 8.0
    tropical: bool = True


USUAL_LIMITS = Limits()


@dataclass(frozen=True, slots=True)
class Program:
    """A row of the nursery's own, or what a crop's profile gives; `crops` names those it is for."""

    id: Name
    name: str
    steps: tuple[Step, ...]
    source: str
    limits: Limits = USUAL_LIMITS
    crops: tuple[Name, ...] = ()
    since: date | None = None
    until: date | None = None

    def __post_init__(self) -> None:
        if not self.steps:
            raise ValueError("steps must be at least one")
        twice = [name for name, times in Counter(s.id for s in self.steps).items() if times > 1]
        if twice:
            raise ValueError(f"steps must have names of their own, not {twice[0]} twice")
        shades = [step.shade_percent for step in self.steps]
        if not all(0 <= shade <= 100 for shade in shades):
            raise ValueError(f"shade_percent must be from 0 to 100, not {shades}")
        if shades != sorted(shades, reverse=True):
            raise ValueError(f"steps must come from the shadiest on, not {shades}")
        if any(step.days < 1 for step in self.steps):
            raise ValueError("days of a step must be 1 or more")

    def place(self, name: str) -> int | None:
        """Return the place of a step among the steps; None where the program has no such."""
        return next((n for n, step in enumerate(self.steps) if step.id == name), None)

    def nearest(self, shade_percent: float) -> int:
        """Return the step for plants that stand under so much shade: never one with less."""
        darker = [n for n, step in enumerate(self.steps) if step.shade_percent >= shade_percent]
        return darker[-1] if darker else 0


def light_of(step: Step, latitude: float, days_of_year: Sequence[int], sunshine: float) -> float:
    """Return the mean light under a step over the days named [mol m-2 d-1].

    `sunshine` is the share of the day's length with bright sun, 0 to 1. Of a day on which the
    cloth is off for some hours, those are taken as the brightest ones around noon.
    """
    open_sky = [light.outdoor_light(latitude, day, sunshine) for day in days_of_year]
    cloth = step.shade_percent / 100
    if step.sun_hours is None:
        return sum(light.through_shade(sky, [cloth]) for sky in open_sky) / len(open_sky)
    hours = [light.noon_share(latitude, day, step.sun_hours) for day in days_of_year]
    under = [
        sky * (share + (1 - share) * (1 - cloth))
        for sky, share in zip(open_sky, hours, strict=True)
    ]
    return sum(under) / len(under)
