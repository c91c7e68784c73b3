"""Bodies about the field: positions have a history of occupants."""

from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.kinds.shape import Name


@dataclass(frozen=True, slots=True)
class Planted:
    """Plants of one batch stand in these positions of a block."""

    block: Name
    positions: tuple[Name, ...]


class Standing(StrEnum):
    ALIVE = "alive"
    DEAD = "dead"
    MISSING = "missing"
    ROOTSTOCK_ONLY = "rootstock_only"


@dataclass(frozen=True, slots=True)
class Seen:
    position: Name
    state: Standing
    cause: str | None = None


@dataclass(frozen=True, slots=True)
class Surveyed:
    block: Name
    seen: tuple[Seen, ...]


@dataclass(frozen=True, slots=True)
class Refilled:
    """A new plant in an empty position: a new occupant, never the first planting."""

    block: Name
    positions: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Thinned:
    block: Name
    rows: tuple[Name, ...]
    percent: float
