"""Bodies about a batch's life: how it came to be, where it stands, what it became."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name


@dataclass(frozen=True, slots=True)
class NewBatch:
    """A label put on a tray or pot group; `stated` is the paper's figure, never a count."""

    id: Name
    label: Name
    crop: Name | None = None
    place: Name | None = None
    stage: Name | None = None
    cells: Count | None = None
    container: str | None = None
    stated: Count | None = None


@dataclass(frozen=True, slots=True)
class FromFile:
    """It stood in a row of a spreadsheet: the file's name, the hash of its bytes, the row."""

    name: str
    sha256: Name
    row: Count


@dataclass(frozen=True, slots=True)
class Received:
    """Goods came in under a consignment. Day 0 of what the permit counts from arrival."""

    consignment: Name
    batches: tuple[NewBatch, ...]
    place: Name | None = None
    certificate: str | None = None
    stated: Count | None = None
    seal: str | None = None
    boxes: Count | None = None
    file: FromFile | None = None


class CountMethod(StrEnum):
    FULL = "full"
    CELLS_LESS_GAPS = "cells_less_gaps"
    ESTIMATE = "estimate"


@dataclass(frozen=True, slots=True)
class TakenOn:
    """Plants that stood here before the book began."""

    batch: NewBatch
    alive: Count
    method: CountMethod
    clock_started_on: date | None = None
    permit: Name | None = None
    photo: Name | None = None
    file: FromFile | None = None


@dataclass(frozen=True, slots=True)
class Sown:
    """Seed put in medium; the batch has no plants until they come up.

    `seed_lot` is the id of a row, or words.
    """

    batch: NewBatch
    seeds: Count
    seed_lot: str | None = None
    consignment: Name | None = None
    pretreatment: str | None = None
    per_cell: Count | None = None
    depth_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Emerged:
    """Seedlings above the medium, a running total; `abnormal` ones are among them."""

    total: Count
    abnormal: Count | None = None


@dataclass(frozen=True, slots=True)
class Stuck:
    """Cuttings set to root; `parents` are the batches they were taken from."""

    batch: NewBatch
    cuttings: Count
    parents: tuple[Name, ...] = ()


@dataclass(frozen=True, slots=True)
class Rooted:
    """Cuttings that were seen to have roots, and those with callus alone: running totals."""

    total: Count
    callused: Count | None = None


class Joining(StrEnum):
    GRAFTED = "grafted"
    BUDDED = "budded"


@dataclass(frozen=True, slots=True)
class Worked:
    """Scion or bud joined to the rootstocks of this batch, by the hand of `operator`."""

    method: Joining
    plants: Count
    scion: Name | None = None
    took: Count | None = None
    operator: Name | None = None
    rootstock_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Took:
    """How many unions hold some weeks later; `graft` is the record that tells of the grafting."""

    took: Count
    failed: Count
    graft: Name | None = None


@dataclass(frozen=True, slots=True)
class Parent:
    id: Name
    left: Count


@dataclass(frozen=True, slots=True)
class Child:
    """Plants that a batch got; without `parents` they may be of any parent that the entry names."""

    id: Name
    label: Name
    count: Count
    place: Name | None = None
    stage: Name | None = None
    parents: tuple[Name, ...] = ()
    crop: Name | None = None
    cells: Count | None = None
    container: str | None = None


@dataclass(frozen=True, slots=True)
class Split:
    """One batch became several. Everything stands in this one entry."""

    parents: tuple[Parent, ...]
    children: tuple[Child, ...]


@dataclass(frozen=True, slots=True)
class Pricked:
    """Seedlings moved singly to cells or pots: a split of the seedbed."""

    parents: tuple[Parent, ...]
    children: tuple[Child, ...]


@dataclass(frozen=True, slots=True)
class Mixed:
    """Labels lost: a batch of which nobody can say which parent each plant came from."""

    parents: tuple[Parent, ...]
    children: tuple[Child, ...]


@dataclass(frozen=True, slots=True)
class Joined:
    """Several batches became one."""

    parents: tuple[Parent, ...]
    children: tuple[Child, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    to: Name


@dataclass(frozen=True, slots=True)
class Potted:
    container: str
    litres: float | None = None
    medium: str | None = None
    place: Name | None = None


@dataclass(frozen=True, slots=True)
class Relabelled:
    old: Name
    new: Name


@dataclass(frozen=True, slots=True)
class Pruned:
    paper: Name | None = None


@dataclass(frozen=True, slots=True)
class Graded:
    """A plant, B wait, C cull; a culled plant leaves by its own loss."""

    a: Count
    b: Count
    c: Count


@dataclass(frozen=True, slots=True)
class Tagged:
    tag: Name
    height_cm: float | None = None
    collar_mm: float | None = None
    flushes: Count | None = None
    leaves: Count | None = None
    leaf_pairs: Count | None = None
    nodes: Count | None = None


@dataclass(frozen=True, slots=True)
class Measured:
    plants: tuple[Tagged, ...]


@dataclass(frozen=True, slots=True)
class Fed:
    product: str
    litres: float | None = None
    ec_ms_cm: float | None = None
    nitrogen_ppm: float | None = None


@dataclass(frozen=True, slots=True)
class Stepped:
    """A step of toughening: forward, stay or back, with the shade it leads to.

    `sun_hours` are those of a day on which the cloth is off; `program` is the id of a row.
    """

    step: Name
    shade_percent: float | None = None
    scorched: Count | None = None
    of: Count | None = None
    program: Name | None = None
    sun_hours: float | None = None


@dataclass(frozen=True, slots=True)
class Plugged:
    """Root balls pulled and classed by their circling roots."""

    none: Count
    few: Count
    many: Count
    cull: Count


@dataclass(frozen=True, slots=True)
class Wilted:
    wilted: Count
    of: Count
