"""Planting geometry: densities, and the positions of a block as GeoJSON.

* `density`: plants a hectare, slopes
* `layout`: distances, patterns, what stands in which row
* `rows`: straight rows, rows along a contour, terraces
* `feature`: GeoJSON out
"""

from nursery.science.geometry.cut import Block, Position, Track
from nursery.science.geometry.density import (
    double_row_per_hectare,
    factor_across,
    factor_along,
    plants_per_hectare,
    slope_factor,
    triangular_row_distance,
)
from nursery.science.geometry.feature import count_by_kind, to_geojson
from nursery.science.geometry.layout import Layout, RowPlan, Slope
from nursery.science.geometry.rows import (
    rows_along_bearing,
    rows_along_contour,
    rows_on_terraces,
)

__all__ = [
    "Block",
    "Layout",
    "Position",
    "RowPlan",
    "Slope",
    "Track",
    "count_by_kind",
    "double_row_per_hectare",
    "factor_across",
    "factor_along",
    "plants_per_hectare",
    "rows_along_bearing",
    "rows_along_contour",
    "rows_on_terraces",
    "slope_factor",
    "to_geojson",
    "triangular_row_distance",
]
