"""Rules of the work in the room: looking over, traps, finds, whom to tell, what is kept."""

from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name


@dataclass(frozen=True, slots=True)
class LookOver:
    """The nursery's own look-over of each batch, every `every_days` days.

    Without `every_days` it is once a calendar week, Monday to Sunday.
    """

    every_days: Count | None = None


class Area(StrEnum):
    """Which area of a room a rule counts."""

    FLOOR = "floor"
    BENCH = "bench"


class Rounding(StrEnum):
    """What becomes of a share that is not whole; at least one trap hangs in any room."""

    UP = "up"
    NEAREST = "nearest"
    DOWN = "down"


@dataclass(frozen=True, slots=True)
class Traps:
    """How many traps a room needs: by its area, and more at its openings."""

    m2_per_trap: float
    area: Area
    per_door: Count
    per_vent: Count
    rounding: Rounding = Rounding.UP


@dataclass(frozen=True, slots=True)
class TrapReading:
    """Each trap is read every `every_days` days, or once a calendar week.

    A trap that could not be read is replaced within `replace_within_days` days.
    """

    every_days: Count | None = None
    replace_within_days: Count | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """An instrument is read at each place every `every_days` days, or once a calendar week."""

    what: Name
    every_days: Count | None = None


@dataclass(frozen=True, slots=True)
class LookBack:
    """How far back an exposed set reaches: `days` before the find.

    Without `days` it reaches back to the last clean look-over.
    """

    days: Count | None = None


@dataclass(frozen=True, slots=True)
class AllOut:
    """All in, all out: after cleaning the room stays empty for so many hours."""

    empty_hours: Count


@dataclass(frozen=True, slots=True)
class KeptForOfficer:
    """Plants of these fates are kept in the officer's bag until they have been seen."""

    fates: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """Pests, by id, that the permit or the authority lists. A listing applies to finds at once."""

    pests: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class GateAge:
    """So many hours after it was worked out, a phone's answer to "may I?" is worth nothing."""

    hours: Count


class SampledAt(StrEnum):
    """Which look at the plants a sample is drawn for."""

    ARRIVAL = "arrival"
    LOOK_OVER = "look_over"
    INSPECTION = "inspection"


@dataclass(frozen=True, slots=True)
class SampleLevel:
    """How many plants are looked at: all, or enough to notice a share with a confidence."""

    at: SampledAt
    all_plants: bool = False
    prevalence: float | None = None
    confidence: float | None = None
    efficacy: float = 1.0


class Event(StrEnum):
    """What the authority wants to hear of."""

    ARRIVAL = "arrival"
    FIND = "find"
    BREACH = "breach"


@dataclass(frozen=True, slots=True)
class Notify:
    """Who is told of an event, and within how many hours."""

    event: Event
    whom: Name
    within_hours: Count
