"""The layout of a block: its rows, who is to stand in them, and by which rule gaps are filled."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name

WHOLE = 100.0
EVERY_ROW = Count(1)
# When an orchard is counted after planting. (Common practice, no source.)
USUAL_MONTHS = (Count(1), Count(3), Count(6), Count(12))
# Looks of so many days belong to one count. (Common practice, no source.)
USUAL_DAYS = Count(21)
MOST_DAYS = 366
# So many percent of the shelter are taken out at once, and no more. (Common practice, no source.)
USUAL_MOST = 50.0


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

    Distances are metres: `between_m` from row to row, of a triangle from a plant to those of the
    next row, of double rows from a pair to the next; `pair_m` within a pair. `outline` is the ring
    of the block, longitude and latitude by turns, `area_m2` what it holds, and `painted_end` the
    stake at which counting begins. Survivors are counted `count_months` after
    planting, in every `count_every`th row; looks within `count_days` of each other are one count.
    More than `most_percent` of the shelter at once is warned against (rules F-10, F-17).
    """

    id: Name
    rows: tuple[PlantedRow, ...]
    crop: Name | None = None
    in_row_m: float | None = None
    between_m: float | None = None
    pair_m: float | None = None
    pattern: Pattern = Pattern.RECTANGULAR
    outline: tuple[float, ...] = ()
    area_m2: float | None = None
    painted_end: tuple[float, ...] = ()
    meant: tuple[Meant, ...] = ()
    thinnings: tuple[Thinning, ...] = ()
    fill: Rule = Rule.ALL
    count_every: Count = EVERY_ROW
    count_months: tuple[Count, ...] = USUAL_MONTHS
    count_days: Count = USUAL_DAYS
    most_percent: float = USUAL_MOST
    since: date | None = None
    until: date | None = None

    def impossible(self) -> Iterator[tuple[str, object]]:
        """Yield each field that contradicts another, or that nothing can meet (rule F-14)."""
        for row in self.rows:
            if len(row.path) not in {0, 4, 2 * row.holes}:
                yield "rows.path", row.number
        numbers = Counter(row.number for row in self.rows)
        yield from (("rows.number", n) for n, times in numbers.items() if times > 1)
        for stands in Stands:
            some = [row for row in self.rows if row.stands is stands]
            yield from _overlap("rows.first", ((r.first, r.first + r.holes - 1) for r in some))
        yield from _overlap("meant.first", ((one.first, one.last) for one in self.meant))
        yield from (("meant.last", one.last) for one in self.meant if one.last < one.first)
        # Rule F-17.
        for one in self.thinnings:
            if not 0 < one.percent <= WHOLE:
                yield "thinnings.percent", one.percent
        if not 0 < self.most_percent <= WHOLE:
            yield "most_percent", self.most_percent
        if not 1 <= self.count_days <= MOST_DAYS:
            yield "count_days", self.count_days
        for field in ("in_row_m", "between_m", "pair_m", "area_m2"):
            value = getattr(self, field)
            if value is not None and value <= 0:
                yield field, value
        if len(self.painted_end) not in {0, 2}:
            yield "painted_end", len(self.painted_end)
        if len(self.outline) % 2:
            yield "outline", len(self.outline)


def _overlap(field: str, spans: Iterable[tuple[int, int]]) -> Iterator[tuple[str, object]]:
    """Yield where a span begins before the one before it is over."""
    end = 0
    for first, last in sorted(spans):
        if first <= end:
            yield field, first
        end = max(end, last)
