"""Densities and slopes against published figures, and refusals of layouts that cannot be."""

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.science.geometry import (
    Layout,
    RowPlan,
    Slope,
    Track,
    double_row_per_hectare,
    factor_across,
    factor_along,
    plants_per_hectare,
    slope_factor,
    triangular_row_distance,
)

# in-row m, row m, plants printed (whole plants, rounded down)
RECTANGULAR = {
    "1 x 2 m, figures.co.ke column 10 Nov 2013": (1.0, 2.0, 5000),
    "4 x 2 m, Ernst, ultra-high-density avocado paper": (4.0, 2.0, 1250),
    "8 x 8 m, arithmetic": (8.0, 8.0, 156),
    "10 x 10 m, arithmetic": (10.0, 10.0, 100),
    "3 x 3 m, arithmetic": (3.0, 3.0, 1111),
    "0.45 x 0.25 m, arithmetic": (0.45, 0.25, 88888),
}


@pytest.mark.parametrize(("in_row", "row", "plants"), RECTANGULAR.values(), ids=RECTANGULAR.keys())
def test_a_rectangle_holds_the_printed_plants(in_row: float, row: float, plants: int) -> None:
    assert math.floor(plants_per_hectare(in_row, row)) == plants


# side m, square, triangular; "computed", except where a name says otherwise
SQUARE_AND_TRIANGLE = {
    "1 m": (1.0, 10000.0, 11547.01),
    "2.5 m": (2.5, 1600.0, 1847.52),
    "3 m": (3.0, 1111.11, 1283.0),
    "4 m": (4.0, 625.0, 721.69),
    "5 m": (5.0, 400.0, 461.88),
    "6 m": (6.0, 277.78, 320.75),
    "7 m": (7.0, 204.08, 235.65),
    "8 m": (8.0, 156.25, 180.42),
    "9 m": (9.0, 123.46, 142.56),
    "10 m": (10.0, 100.0, 115.47),
}


@pytest.mark.parametrize(
    ("side", "square", "triangle"), SQUARE_AND_TRIANGLE.values(), ids=SQUARE_AND_TRIANGLE.keys()
)
def test_triangles_hold_a_good_seventh_more_than_squares(
    side: float, square: float, triangle: float
) -> None:
    assert plants_per_hectare(side, side) == pytest.approx(square, abs=0.006)
    assert plants_per_hectare(side, side, "triangular") == pytest.approx(triangle, abs=0.006)
    assert triangle / square == pytest.approx(1.1547, abs=6e-5)


def test_oil_palm_on_a_9_m_triangle_is_143_a_hectare() -> None:
    """A planters' figure, from memory; the handbooks round up 142.56."""
    assert round(plants_per_hectare(9.0, 9.0, "triangular")) == 143


def test_2_m_triangles_hold_2887_plants() -> None:
    """Arithmetic."""
    assert plants_per_hectare(2.0, 2.0, "triangular") == pytest.approx(2887, abs=0.5)


def test_triangles_beat_the_15_percent_rule_of_an_acre() -> None:
    """greentreenursery.com, planting patterns: 43,560 / spacing^2, add 15 %; exact 15.47 %."""
    acre, feet = 4046.8564224 / 10000, 0.3048
    assert plants_per_hectare(10 * feet, 10 * feet) * acre == pytest.approx(435.6, abs=0.01)
    exact = plants_per_hectare(10 * feet, 10 * feet, "triangular") * acre
    assert exact == pytest.approx(502.99, abs=0.01)
    assert exact > 435.6 * 1.15


def test_isosceles_rows_of_1_m_by_2_m_stand_1_94_m_apart() -> None:
    """figures.co.ke column 10 Nov 2013."""
    assert triangular_row_distance(1.0, 2.0) == pytest.approx(1.94, abs=0.006)
    assert plants_per_hectare(1.0, 2.0, "triangular") == pytest.approx(5164, abs=0.5)


# in-row, gap in the pair, alley, plants; arithmetic
DOUBLE = {
    "1 m, 1 m, 3 m": (1.0, 1.0, 3.0, 5000.0),
    "0.5 m, 0.5 m, 2 m": (0.5, 0.5, 2.0, 16000.0),
    "0.4 m, 0.75 m, 1.25 m": (0.4, 0.75, 1.25, 25000.0),
}


@pytest.mark.parametrize(("in_row", "gap", "alley", "plants"), DOUBLE.values(), ids=DOUBLE.keys())
def test_double_rows_hold_the_computed_plants(
    in_row: float, gap: float, alley: float, plants: float
) -> None:
    assert double_row_per_hectare(in_row, gap, alley) == pytest.approx(plants, abs=0.006)


# slope %, factor, share of plants that is left; computed as 1 / cos(atan(s)), except 30 %, whose
# 104.4 the AWF-Wiki (slope correction) prints for 100 / cos a
SLOPES = [
    (5.0, 1.0012, 0.9988),
    (10.0, 1.005, 0.995),
    (20.0, 1.0198, 0.9806),
    (30.0, 1.044, 0.9578),
    (45.0, 1.0966, 0.9119),
    (60.0, 1.1662, 0.8575),
    (100.0, 1.4142, 0.7071),
]


@pytest.mark.parametrize(("percent", "factor", "plants"), SLOPES)
def test_a_slope_lengthens_the_ground(percent: float, factor: float, plants: float) -> None:
    assert slope_factor(percent) == pytest.approx(factor, abs=6e-5)
    assert 1 / slope_factor(percent) == pytest.approx(plants, abs=6e-5)


def test_25_m_of_ground_at_9_degrees_are_24_69_m_of_map() -> None:
    """A clinometer manual's example (inputs read, value computed)."""
    percent = 100 * math.tan(math.radians(9))
    assert 25 / slope_factor(percent) == pytest.approx(24.69, abs=0.006)


@given(st.floats(0, 200), st.floats(-360, 360))
def test_turning_the_rows_on_a_slope_keeps_its_area(percent: float, angle: float) -> None:
    area = factor_along(percent, angle) * factor_across(percent, angle)
    assert area == pytest.approx(slope_factor(percent))
    assert factor_along(percent, angle) >= 1
    assert factor_across(percent, angle) >= 1


@given(st.floats(0.1, 50), st.floats(0.1, 50))
def test_density_is_one_over_the_room_of_a_plant(in_row: float, row: float) -> None:
    assert plants_per_hectare(in_row, row) * in_row * row == pytest.approx(10_000)
    assert plants_per_hectare(in_row, row) == pytest.approx(plants_per_hectare(row, in_row))
    assert double_row_per_hectare(in_row, row, row) == pytest.approx(
        plants_per_hectare(in_row, row)
    )


NAN = float("nan")
CROP = (RowPlan("crop", 2.0),)
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "no distance in the row": (lambda: plants_per_hectare(0, 2), "in_row_m must be .* not 0"),
    "a missing row distance": (lambda: plants_per_hectare(2, NAN), "second_m must be .* not nan"),
    "a pattern of no name": (
        lambda: plants_per_hectare(2, 2, "round"),  # type: ignore[arg-type]
        "pattern must be one of rectangular, triangular, not 'round'",
    ),
    "sides that do not meet": (
        lambda: plants_per_hectare(4, 2, "triangular"),
        r"side_m must be above half of in_row_m \(2.0\), not 2",
    ),
    "a side of nothing": (lambda: triangular_row_distance(1, 0), "side_m must be .* not 0"),
    "a base of nothing": (lambda: triangular_row_distance(-1, 3), "in_row_m must be .* not -1"),
    "no alley": (lambda: double_row_per_hectare(1, 1, -3), "alley_m must be .* not -3"),
    "no gap": (lambda: double_row_per_hectare(1, NAN, 3), "pair_gap_m must be .* not nan"),
    "no in-row": (lambda: double_row_per_hectare(0, 1, 3), "in_row_m must be .* not 0"),
    "a slope that is missing": (lambda: slope_factor(NAN), "percent must be .* not nan"),
    "a fall without angle": (lambda: factor_along(30, NAN), "off_downhill_deg must be .* nan"),
    "no fall at all": (lambda: factor_across(NAN, 3), "percent must be .* not nan"),
    "a cliff": (lambda: Slope(250.0), "percent must be a slope of 0 to 200 %, not 250.0"),
    "a fall to nowhere": (lambda: Slope(5, 361), "downhill_deg must be a bearing .* not 361"),
    "a tape in the air": (
        lambda: Slope(5, 0, "air"),  # type: ignore[arg-type]
        "tape must be one of horizontal, slope, not 'air'",
    ),
    "a row without distance": (lambda: RowPlan("crop", 0), "in_row_m must be .* not 0"),
    "every first position another": (
        lambda: RowPlan("crop", 2, nth=1),
        "nth must be a whole number of at least 2, not 1",
    ),
    "no rows": (lambda: Layout((), 3), r"rows must be at least one row, not \(\)"),
    "rows on one line": (lambda: Layout(CROP, 0), "second_m must be .* not 0"),
    "an unknown pattern": (
        lambda: Layout(CROP, 3, "star"),  # type: ignore[arg-type]
        "pattern must be one of .* not 'star'",
    ),
    "plants beyond the fence": (
        lambda: Layout(CROP, 3, set_back_m=-1),
        "set_back_m must be .* not -1",
    ),
    "half a row": (
        lambda: Layout(CROP, 3, track_every=0.5),  # type: ignore[arg-type]
        "track_every must be .* not 0.5",
    ),
    "a track without width": (
        lambda: Layout(CROP, 3, track_every=4),
        "track_gap_m must be .* not 0.0",
    ),
    "pairs without a gap": (
        lambda: Layout(CROP, 3, "double"),
        "pair_gap_m must be .* not 0.0",
    ),
    "a track through a pair": (
        lambda: Layout(CROP, 3, "double", pair_gap_m=1, track_every=3, track_gap_m=5),
        "track_every must be even for double rows, not 3",
    ),
    "a triangle of two bases": (
        lambda: Layout((*CROP, RowPlan("shelter", 1.0)), 3, "triangular"),
        r"in_row_m must be one for all rows of a triangle, not \[1.0, 2.0\]",
    ),
    "a triangle too low": (
        lambda: Layout(CROP, 0.9, "triangular"),
        "side_m must be above half of in_row_m",
    ),
    "a track of no width": (lambda: Track({}, 0), "width_m must be .* not 0"),
    "rows as close as hairs": (
        lambda: Layout(CROP, 1e-4).offsets_on_map(0.0, 100.0, 90.0),
        "second_m must leave at most 20000 rows, not 1000000",
    ),
}


@pytest.mark.parametrize(("call", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_a_layout_that_cannot_be_is_turned_down(call: Callable[[], Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
