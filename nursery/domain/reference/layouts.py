"""The layout of a block: its rows, who is to stand in them, and by which rule gaps are filled."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name

EVERY_ROW = Count(1)
# When an orchard is counted after planting. (Common practice, no source.)
USUAL_MONTHS = (Count(1), Count(3), Count(6), Count(12))


class Stands(StrEnum):
    CROP = "crop"
    SHELTER = "shelter"


class Rule(StrEnum):
    """Which gaps are filled: nearly all as in an orchard, those of a forest, or groups of gaps."""

    ALL = "all"
    FOREST = "forest"
    CLUSTERS = "clusters"


class Pattern(StrEnum):
    """How rows stand to each other."""

    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    DOUBLE = "double"
    CONTOUR = "contour"


@dataclass(frozen=True, slots=True)
class PlantedRow:
    """One row. `number` counts all rows from the painted end, from 1.

    Its `holes` positions are numbered on from `first`; those of the crop through the block, those
    of shelter trees apart. `path` draws it: decimetres east and north of the painted end, two
    numbers for each position, or for its first and last alone where it is straight and evenly
    spaced. `goes` is the year, counted from planting, in which a shelter row is taken out.
    """

    number: Count
    first: Count
    holes: Count
    stands: Stands = Stands.CROP
    species: str | None = None
    goes: Count | None = None
    path: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Meant:
    """Positions `first` to `last` of the crop are meant for a batch."""

    batch: Name
    first: Count
    last: Count


@dataclass(frozen=True, slots=True)
class Thinning:
    """In that year after planting so many percent of the shelter trees are taken out."""

    year: Count
    percent: float


@dataclass(frozen=True, slots=True)
class Layout:
    """The layout of the block or terrace whose id it bears.

    Distances are metres. `outline` is the ring of the block, longitude and latitude by turns, and
    `painted_end` the stake at which counting begins. Survivors are counted `count_months` after
    planting, in every `count_every`th row.
    """

    id: Name
    rows: tuple[PlantedRow, ...]
    crop: Name | None = None
    in_row_m: float | None = None
    between_m: float | None = None
    pattern: Pattern = Pattern.RECTANGULAR
    outline: tuple[float, ...] = ()
    painted_end: tuple[float, ...] = ()
    meant: tuple[Meant, ...] = ()
    thinnings: tuple[Thinning, ...] = ()
    fill: Rule = Rule.ALL
    count_every: Count = EVERY_ROW
    count_months: tuple[Count, ...] = USUAL_MONTHS
    since: date | None = None
    until: date | None = None
