"""Rows about seed and about the site: what sowing and the planting weeks are worked out from."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.reference.planting_levels import USUAL_LEVELS, Levels

# So many of the plants are to have every smallest size before planting. (From memory.)
USUAL_FIT_SHARE = 0.9
WITHIN_DAYS, DRY_DAYS, AHEAD_DAYS, FOLLOW_UP_DAYS = Count(3), Count(10), Count(20), Count(60)


@dataclass(frozen=True, slots=True)
class SeedLot:
    """Seed that came in or was picked at once. Its number of seeds is an estimate by weight."""

    id: Name
    name: str
    crop: Name | None = None
    source: str | None = None
    harvested_on: date | None = None
    moisture_percent: float | None = None
    seeds_per_kg: float | None = None
    grams: float | None = None
    germination_percent: float | None = None
    tested_on: date | None = None
    since: date | None = None
    until: date | None = None


class SoilKind(StrEnum):
    """Kinds of soil by their texture, as FAO-56 table 19 names them."""

    SAND = "sand"
    LOAMY_SAND = "loamy_sand"
    SANDY_LOAM = "sandy_loam"
    LOAM = "loam"
    SILT_LOAM = "silt_loam"
    SILT = "silt"
    SILT_CLAY_LOAM = "silt_clay_loam"
    SILTY_CLAY = "silty_clay"
    CLAY = "clay"


@dataclass(frozen=True, slots=True)
class Rains:
    """What counts as rains that set in and hold; the usual figures are in part from memory.

    So many millimetres within so many days, and no dry spell of so many within those ahead.
    """

    amount_mm: float = 20.0
    within_days: Count = WITHIN_DAYS
    dry_days: Count = DRY_DAYS
    ahead_days: Count = AHEAD_DAYS


USUAL_RAINS = Rains()


@dataclass(frozen=True, slots=True)
class Site:
    """Where the nursery plants, and what planting takes and costs. One row of a nursery.

    `sunshine` is the share of the day with bright sun, 0 to 1. On a day with a high of `hot_c` or
    more, or wind of `windy_kmh`, young plants suffer. One person plants `plants_per_day`; costs
    are in `currency`, of one plant, one hour and one pot. `planting` are the levels by which the
    checks of a planting day turn.
    """

    id: Name
    latitude: float
    elevation_m: float | None = None
    soil: SoilKind = SoilKind.LOAM
    hole_cm: float = 40.0
    root_cm: float = 25.0
    rains: Rains = USUAL_RAINS
    follow_up_days: Count = FOLLOW_UP_DAYS
    hot_c: float = 35.0
    windy_kmh: float = 40.0
    sunshine: float = 0.6
    fit_share: float = USUAL_FIT_SHARE
    plants_per_day: Count | None = None
    cost_plant: float | None = None
    cost_hour: float | None = None
    cost_pot: float | None = None
    currency: str | None = None
    planting: Levels = USUAL_LEVELS
    since: date | None = None
