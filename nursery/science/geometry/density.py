"""How many plants a hectare takes, and what a slope does to a tape."""

import math
from typing import Literal

from nursery.science import _check

SQUARE_METRES = 10_000.0


def plants_per_hectare(
    in_row_m: float,
    second_m: float,
    pattern: Literal["rectangular", "triangular"] = "rectangular",
) -> float:
    """Return the plants on one level hectare without edges, set-back or tracks.

    Args:
        in_row_m: distance between plants of one row, above 0 [m].
        second_m: rectangular: distance between rows; triangular: distance from a plant to its
            neighbours in the next row, above half of `in_row_m` [m].
        pattern: how the rows stand to each other.

    Returns:
        Plants per hectare, not rounded; a count for an invoice is its floor.

    Raises:
        ValueError: a distance that is not above 0, a side too short for a triangle,
            an unknown pattern.

    Source:
        Geometry: one plant to `in_row x row distance`. Common practice, no single source.

    >>> plants_per_hectare(4.0, 2.0)
    1250.0
    >>> round(plants_per_hectare(9.0, 9.0, "triangular"), 2)
    142.56
    """
    _check.positive("in_row_m", in_row_m)
    _check.positive("second_m", second_m)
    _check.one_of("pattern", pattern, ("rectangular", "triangular"))
    if pattern == "triangular":
        return SQUARE_METRES / (in_row_m * triangular_row_distance(in_row_m, second_m))
    return SQUARE_METRES / (in_row_m * second_m)


def triangular_row_distance(in_row_m: float, side_m: float) -> float:
    """Return the distance between rows whose plants stand on isosceles triangles [m].

    Args:
        in_row_m: base of the triangle, the distance in the row, above 0 [m].
        side_m: its two equal sides, from plant to plant across rows, above half the base [m].

    Raises:
        ValueError: a distance that is not above 0, or sides that do not meet.

    Source:
        Pythagoras: `sqrt(side^2 - (in_row / 2)^2)`.

    >>> round(triangular_row_distance(1.0, 2.0), 2)
    1.94
    """
    _check.positive("in_row_m", in_row_m)
    _check.positive("side_m", side_m)
    if side_m <= in_row_m / 2:
        raise ValueError(f"side_m must be above half of in_row_m ({in_row_m / 2}), not {side_m}")
    return math.sqrt((side_m - in_row_m / 2) * (side_m + in_row_m / 2))


def double_row_per_hectare(in_row_m: float, pair_gap_m: float, alley_m: float) -> float:
    """Return the plants on one level hectare of paired rows.

    Args:
        in_row_m: distance between plants of one row, above 0 [m].
        pair_gap_m: distance between the two rows of a pair, above 0 [m].
        alley_m: distance from a pair to the next, row line to row line, above 0 [m].

    Raises:
        ValueError: a distance that is not above 0.

    Source:
        Geometry: two plants to `(pair gap + alley) x in-row`.

    >>> double_row_per_hectare(1.0, 1.0, 3.0)
    5000.0
    """
    _check.positive("in_row_m", in_row_m)
    _check.positive("pair_gap_m", pair_gap_m)
    _check.positive("alley_m", alley_m)
    return 2 * SQUARE_METRES / ((pair_gap_m + alley_m) * in_row_m)


def slope_factor(percent: float) -> float:
    """Return how much longer the ground is than the map, straight down the slope.

    Args:
        percent: rise over level run, either sign; 100 is 45 degrees [%].

    Returns:
        Slope distance over horizontal distance, 1 or more. A hectare of map takes
        one over this factor of the plants when spacing is taped along the slope.

    Raises:
        ValueError: a slope that is not a finite number.

    Source:
        Geometry: `1 / cos(atan(percent / 100))`, as in forest inventory slope correction.

    >>> round(slope_factor(30.0), 4)
    1.044
    """
    _check.finite("percent", percent)
    return math.hypot(1.0, percent / 100)


def factor_along(percent: float, off_downhill_deg: float) -> float:
    """Return ground over map distance for a line at an angle to the line of steepest fall.

    Args:
        percent: the steepest slope of the plane, rise over level run [%].
        off_downhill_deg: angle on the map between the line and straight downhill [degrees].

    Raises:
        ValueError: an argument that is not a finite number.

    Source:
        Geometry of a plane: the slope along the line is `slope x cos(angle)`.

    >>> factor_along(30.0, 90.0)
    1.0
    >>> factor_along(30.0, 0.0) == slope_factor(30.0)
    True
    """
    _check.finite("percent", percent)
    _check.finite("off_downhill_deg", off_downhill_deg)
    return slope_factor(percent * math.cos(math.radians(off_downhill_deg)))


def factor_across(percent: float, off_downhill_deg: float) -> float:
    """Return ground over map distance between parallel lines at an angle to the steepest fall.

    The distance is taken on the ground at right angles to the lines. Together with
    `factor_along` it keeps the area: their product is the slope factor of the plane.

    Args:
        percent: the steepest slope of the plane, rise over level run [%].
        off_downhill_deg: angle on the map between the lines and straight downhill [degrees].

    Raises:
        ValueError: an argument that is not a finite number.

    Source:
        Geometry of a plane: its area factor over `factor_along`.

    >>> factor_across(30.0, 90.0) == slope_factor(30.0)
    True
    >>> factor_across(30.0, 0.0)
    1.0
    """
    return slope_factor(percent) / factor_along(percent, off_downhill_deg)
