"""Bodies about the field: positions have a history of occupants.

A position is named by its number in the block, from the painted end. The positions of one body lie
in one row, where the block has rows: `seat` is the subject whose fold keeps them.
"""

from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name

# Before the number of a shelter tree.
SHELTER = "S"


@dataclass(frozen=True, slots=True)
class Planted:
    """Plants of one batch stand in these positions of a block."""

    block: Name
    positions: tuple[Name, ...]
    row: Name | None = None


@dataclass(frozen=True, slots=True)
class LeftEmpty:
    """No plant stands in these positions, on purpose: they need not be asked again."""

    block: Name
    positions: tuple[Name, ...]
    row: Name | None = None
    why: str | None = None


class CarriedWay(StrEnum):
    OUT = "out"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class Carried:
    """So many plants of a batch go out to a block to be planted, or come back unused."""

    way: CarriedWay
    plants: Count
    block: Name


class Standing(StrEnum):
    ALIVE = "alive"
    DEAD = "dead"
    MISSING = "missing"
    ROOTSTOCK_ONLY = "rootstock_only"


@dataclass(frozen=True, slots=True)
class Seen:
    """How the plant in a position stands; a living one with a cause was harmed by it."""

    position: Name
    state: Standing
    cause: str | None = None


@dataclass(frozen=True, slots=True)
class Surveyed:
    block: Name
    seen: tuple[Seen, ...]
    row: Name | None = None


@dataclass(frozen=True, slots=True)
class Refilled:
    """A new plant in an empty position: a new occupant, never the first planting."""

    block: Name
    positions: tuple[Name, ...]
    row: Name | None = None


@dataclass(frozen=True, slots=True)
class Thinned:
    """So many percent of the trees of some shelter rows were taken out."""

    block: Name
    rows: tuple[Name, ...]
    percent: float


Placing = Planted | Refilled | LeftEmpty | Surveyed


def seat(block: str, row: str | None) -> str:
    """Return the subject that keeps who stands in the positions of a row.

    A row is short, so that one more plant in it is folded at once however large the block is.

    >>> seat("terrace-4", "2"), seat("terrace-4", None)
    ('terrace-4.2', 'terrace-4')
    """
    return block if row is None else f"{block}.{row}"


def block_of(subject: str) -> str | None:
    """Return the block that a row lies in; None of a subject that is no row.

    >>> block_of("terrace-4.2"), block_of("terrace-4")
    ('terrace-4', None)
    """
    return subject.rpartition(".")[0] or None
