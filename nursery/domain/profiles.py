"""Crop profiles: what a grower starts from, each figure with its source, all of it editable.

A profile is no rule. A grower's copy is a row of its own and never changes under them; a figure
without a source is from memory (rules X-1 to X-3).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.program import LEAST_DAYS, Program, Step, Wind
from nursery.science.growth import CropCurve

# Measures that a smallest size is given in; the unit is in the name.
MEASURES = ("height_cm", "collar_mm", "flushes", "leaves", "leaf_pairs", "nodes")
WAYS = ("seed", "cuttings", "grafted", "budded", "tissue_culture")
OUTDOORS = (Wind.SIDES_OPEN_HOURS, Wind.SIDES_OPEN, Wind.LEE, Wind.EXPOSED)


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure or a range of them, both ends included; `source` None means from memory."""

    low: float
    high: float | None = None
    source: str | None = None

    def __post_init__(self) -> None:
        if self.low < 0 or (self.high is not None and self.high < self.low):
            raise ValueError(f"a figure must be 0 or more and rise, not {self.low} to {self.high}")

    @property
    def middle(self) -> float:
        return self.low if self.high is None else (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class PestOf:
    """A pest to watch for; `code` only where it was seen in the EPPO's own pages."""

    name: str
    code: str | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """How a measure grows with age over all batches of a crop: mean and spread of plants.

    `error` is the spread of one measurement. Units are those of the measure.
    """

    ages_days: tuple[float, ...]
    mean: tuple[float, ...]
    spread: tuple[float, ...]
    error: float
    source: str | None = None

    def __post_init__(self) -> None:
        CropCurve(self.ages_days, self.mean, self.spread, self.error)


@dataclass(frozen=True, slots=True)
class Profile:
    """What is known of a crop. `spacing_m` holds pairs: in the row, and between rows."""

    id: Name
    name: Mapping[str, str]
    botanical: str
    made_by: str
    nursery_weeks: Figure
    least: Mapping[str, Figure]
    shade: tuple[float, ...]
    toughening_weeks: Figure
    litres: Figure
    stages: Mapping[str, Figure] = field(default_factory=lambda: MappingProxyType({}))
    spacing_m: tuple[tuple[Figure, Figure], ...] = ()
    pests: tuple[PestOf, ...] = ()
    growth: Mapping[str, Curve] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        if self.made_by not in WAYS:
            raise ValueError(f"made_by must be one of {', '.join(WAYS)}, not {self.made_by}")
        if not self.least or not {*self.least} <= {*MEASURES}:
            raise ValueError(f"least must be of {', '.join(MEASURES)}, not {[*self.least]}")
        self.program()

    @property
    def from_memory(self) -> int:
        """How many figures have no source."""
        pairs = [figure for pair in self.spacing_m for figure in pair]
        known = [self.nursery_weeks, self.toughening_weeks, self.litres, *pairs]
        known += [*self.least.values(), *self.stages.values()]
        return sum(figure.source is None for figure in known)

    def program(self) -> Program:
        """Return a program of toughening to start from: the profile's shades, evenly in time."""
        between = max(1, len(self.shade) - 1)
        days = Count(max(LEAST_DAYS, int(self.toughening_weeks.low * 7 / between)))
        winds = (Wind.STILL, *OUTDOORS[max(0, len(OUTDOORS) - between) :])
        steps = tuple(
            Step(Name(f"shade_{shade:g}"), shade, days, wind=winds[min(n, len(winds) - 1)])
            for n, shade in enumerate(self.shade)
        )
        name = self.name.get("en", self.id)
        return Program(self.id, name, steps, "crop profile")


def read(raw: Mapping[str, Any]) -> Profile:
    """Return the profile that JSON holds.

    Raises:
        ValueError: a figure, a way of making plants, a measure or a shade that cannot be.
        KeyError: something is missing that every profile has.
    """
    return Profile(
        id=Name(raw["id"]),
        name=MappingProxyType(dict(raw["name"])),
        botanical=raw["botanical"],
        made_by=raw["made_by"],
        nursery_weeks=Figure(**raw["nursery_weeks"]),
        least=_figures(raw["least"]),
        shade=tuple(raw["shade"]),
        toughening_weeks=Figure(**raw["toughening_weeks"]),
        litres=Figure(**raw["litres"]),
        stages=_figures(raw["stages"]),
        spacing_m=tuple((Figure(**row), Figure(**rows)) for row, rows in raw["spacing_m"]),
        pests=tuple(PestOf(**pest) for pest in raw["pests"]),
        growth=MappingProxyType(
            {name: _curve(one) for name, one in (raw.get("growth") or {}).items()}
        ),
    )


def _curve(raw: Mapping[str, Any]) -> Curve:
    rows = {name: tuple(map(float, raw[name])) for name in ("ages_days", "mean", "spread")}
    return Curve(**rows, error=float(raw["error"]), source=raw.get("source"))


# How far one measurement is off, for a measure that no curve was typed for. (From memory.)
ERRORS = {"height_cm": 0.7, "collar_mm": 0.2}
OF_COUNTS = 0.35
# On the day on which a crop usually leaves the nursery the mean plant is so much above the smallest
# size, with such a spread: then nine in ten are large enough. (From memory.)
ABOVE_SMALLEST, SPREAD = 1.26, 0.2
AT_FIRST = 0.1


def curve_of(profile: Profile, measure: str) -> Curve:
    """Return how a measure of the crop grows: as typed, or from its smallest size and its weeks.

    Raises:
        KeyError: the profile asks nothing of that measure.
    """
    if measure in profile.growth:
        return profile.growth[measure]
    smallest = profile.least[measure].low
    leaves_at = profile.nursery_weeks.middle * 7
    ages = (0.0, leaves_at, 2 * leaves_at)
    gain = ABOVE_SMALLEST - AT_FIRST
    shares = (AT_FIRST, ABOVE_SMALLEST, ABOVE_SMALLEST + gain)
    return Curve(
        ages_days=ages,
        mean=tuple(smallest * share for share in shares),
        spread=tuple(smallest * SPREAD * share for share in (0.3, 1.0, 1.4)),
        error=ERRORS.get(measure, OF_COUNTS),
    )


def _figures(raw: Mapping[str, Any]) -> Mapping[str, Figure]:
    return MappingProxyType({name: Figure(**figure) for name, figure in raw.items()})
