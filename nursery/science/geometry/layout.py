"""How a block is to be planted: rows, their distances, and what stands in them."""

from dataclasses import dataclass
from typing import Literal

from nursery.science import _check
from nursery.science.geometry.density import (
    factor_across,
    factor_along,
    slope_factor,
    triangular_row_distance,
)

Pattern = Literal["rectangular", "triangular", "double", "double_staggered"]
PATTERNS = ("rectangular", "triangular", "double", "double_staggered")
MOST_ROWS = 20_000


def bearing(name: str, degrees: float) -> float:
    """Return a bearing if it is one: clockwise from north, from 0 to 360."""
    return _check.number(name, degrees, _check.Range(0.0, 360.0, "a bearing from 0 to 360"))


@dataclass(frozen=True)
class RowPlan:
    """What stands in one row of the repeated series.

    Attributes:
        kind: what is planted, in the nursery's own words ("crop", "shelter").
        in_row_m: distance between positions, above 0 [m].
        nth: every how many positions another kind stands, such as a pollinizer; 0 for never.
        nth_kind: that other kind.

    Raises:
        ValueError: a distance that is not above 0, or an `nth` below 2 other than 0.
    """

    kind: str
    in_row_m: float
    nth: int = 0
    nth_kind: str = ""

    def __post_init__(self) -> None:
        _check.positive("in_row_m", self.in_row_m)
        if self.nth != 0:
            _check.count("nth", self.nth, least=2)

    def kind_at(self, position: int) -> str:
        """Return what stands at a position, counted from 1 at the painted end.

        >>> RowPlan("crop", 4.0, nth=9, nth_kind="pollinizer").kind_at(18)
        'pollinizer'
        """
        return self.nth_kind if self.nth and position % self.nth == 0 else self.kind


@dataclass(frozen=True)
class Slope:
    """The fall of a block, taken as one plane.

    Attributes:
        percent: rise over level run, from 0 to 200 [%].
        downhill_deg: bearing of the steepest fall, clockwise from north, 0 to 360. Rows along
            a contour are level by their nature and do not use it.
        tape: whether distances of the layout are measured level or along the ground.

    Raises:
        ValueError: a value out of its range.
    """

    percent: float = 0.0
    downhill_deg: float = 0.0
    tape: Literal["horizontal", "slope"] = "horizontal"

    def __post_init__(self) -> None:
        _check.number("percent", self.percent, _check.Range(0.0, 200.0, "a slope of 0 to 200 %"))
        bearing("downhill_deg", self.downhill_deg)
        _check.one_of("tape", self.tape, ("horizontal", "slope"))


@dataclass(frozen=True)
class Layout:
    """The distances of a planting and the series of rows that is repeated over the block.

    Attributes:
        rows: the series of rows, such as two of crop and one of shelter, repeated.
        second_m: rectangular: distance between rows; triangular: from plant to plant across
            rows; double: the alley from a pair to the next [m].
        pattern: how the rows stand to each other; triangular and staggered shift every second
            row by half of its in-row distance.
        pair_gap_m: double rows: distance between the two rows of a pair [m]; else 0.
        set_back_m: strip kept free inside the boundary and around holes, 0 or more [m].
        track_every: a track along the rows after this many rows; 0 for none. Even for double rows.
        track_gap_m: distance between the two rows beside such a track [m].
        slope: the fall of the block and how the tape is held.

    Raises:
        ValueError: a value out of its range, or two that do not fit together.
    """

    rows: tuple[RowPlan, ...]
    second_m: float
    pattern: Pattern = "rectangular"
    pair_gap_m: float = 0.0
    set_back_m: float = 0.0
    track_every: int = 0
    track_gap_m: float = 0.0
    slope: Slope = Slope()

    def __post_init__(self) -> None:
        if not self.rows:
            raise ValueError("rows must be at least one row, not ()")
        _check.positive("second_m", self.second_m)
        _check.one_of("pattern", self.pattern, PATTERNS)
        _check.not_negative("set_back_m", self.set_back_m)
        _check.count("track_every", self.track_every)
        if self.track_every:
            _check.positive("track_gap_m", self.track_gap_m)
        if self.paired:
            _check.positive("pair_gap_m", self.pair_gap_m)
            if self.track_every % 2:
                raise ValueError(
                    f"track_every must be even for double rows, not {self.track_every}"
                )
        if self.pattern == "triangular":
            self._check_triangle()

    def _check_triangle(self) -> None:
        spacings = sorted({plan.in_row_m for plan in self.rows})
        if len(spacings) > 1:
            raise ValueError(f"in_row_m must be one for all rows of a triangle, not {spacings}")
        triangular_row_distance(spacings[0], self.second_m)

    @property
    def paired(self) -> bool:
        return self.pattern in {"double", "double_staggered"}

    def plan(self, index: int) -> RowPlan:
        """Return what stands in the row of that index; the series runs on in both directions."""
        return self.rows[index % len(self.rows)]

    def gap_after(self, index: int) -> float:
        """Return the taped distance from the row of that index to the next one [m].

        >>> with_tracks = Layout((RowPlan("crop", 1.0),), 3.0, track_every=4, track_gap_m=5.0)
        >>> [with_tracks.gap_after(index) for index in (-1, 0, 1, 2, 3, 4)]
        [5.0, 3.0, 3.0, 3.0, 5.0, 3.0]
        """
        if self.track_every and (index + 1) % self.track_every == 0:
            return self.track_gap_m
        if self.paired and index % 2 == 0:
            return self.pair_gap_m
        if self.pattern == "triangular":
            return triangular_row_distance(self.rows[0].in_row_m, self.second_m)
        return self.second_m

    def shift(self, index: int) -> float:
        """Return by which share of the in-row distance the row of that index is moved on."""
        moved = self.pattern in {"triangular", "double_staggered"} and index % 2 == 1
        return 0.5 if moved else 0.0

    def in_row_on_map(self, index: int, off_downhill_deg: float) -> float:
        """Return the level distance between the positions of a row [m]."""
        taped = self.plan(index).in_row_m
        if self.slope.tape == "horizontal":
            return taped
        return taped / factor_along(self.slope.percent, off_downhill_deg)

    def gap_on_map(self, index: int, off_downhill_deg: float) -> float:
        """Return the level distance from the row of that index to the next one [m]."""
        taped = self.gap_after(index)
        if self.slope.tape == "horizontal":
            return taped
        return taped / factor_across(self.slope.percent, off_downhill_deg)

    def offsets_on_map(
        self, reach_back_m: float, reach_on_m: float, off_downhill_deg: float
    ) -> list[tuple[int, float]]:
        """Return (index, level distance from row 0) of all rows within reach, in order.

        Args:
            reach_back_m: how far rows of negative index may lie, 0 or more [m].
            reach_on_m: how far the others may lie, 0 or more [m].
            off_downhill_deg: angle between the rows and straight downhill [degrees].

        Raises:
            ValueError: rows so close that there would be more than 20 000 of them.
        """
        most = (reach_back_m + reach_on_m) * self.rows_per_metre()
        if most > MOST_ROWS:
            raise ValueError(f"second_m must leave at most {MOST_ROWS} rows, not {most:.0f}")
        on, back = [(0, 0.0)], [(0, 0.0)]
        while (far := on[-1][1] + self.gap_on_map(on[-1][0], off_downhill_deg)) <= reach_on_m:
            on.append((on[-1][0] + 1, far))
        while (
            near := back[-1][1] - self.gap_on_map(back[-1][0] - 1, off_downhill_deg)
        ) >= -reach_back_m:
            back.append((back[-1][0] - 1, near))
        return back[:0:-1] + on

    def rows_per_metre(self) -> float:
        """Return the most rows that a metre of map across them may take."""
        gaps = (self.gap_after(index) for index in range(2 * max(1, self.track_every)))
        return slope_factor(self.slope.percent) / min(gaps)

    def positions_per_square_metre(self) -> float:
        """Return the most positions that a square metre of map may take."""
        closest = min(plan.in_row_m for plan in self.rows)
        return self.rows_per_metre() / closest
