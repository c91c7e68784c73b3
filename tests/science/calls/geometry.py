"""Good calls of `nursery.science.geometry` and the values that each argument turns down."""

import math
from typing import Any

from nursery.science.geometry import Block, Layout, Position, RowPlan, Slope

FIELD = {"type": "Polygon", "coordinates": [[[0, 0], [50, 0], [50, 30], [0, 30], [0, 0]]]}
LINE = {"type": "LineString", "coordinates": [[0, 10], [50, 12]]}
BLOCK = Block(FIELD, (0, 0), "metres")
CROP = RowPlan("crop", 5.0)
LAYOUT = Layout((CROP,), 6.0)
HOLE = Position(0.0, 0.0, terrace=1, row=1, number=1, walk=1, kind="crop")
OWN = "a value of the package's own, which checks itself"
PLACES = "GeoJSON; its refusals are tested in test_geometry_rows.py"
ANY = "any words"

ROWS: dict[str, dict[str, Any]] = {
    "plants_per_hectare": {
        "call": {"in_row_m": 2.0, "second_m": 3.0, "pattern": "triangular"},
        "refuse": {"in_row_m": "positive", "second_m": "positive", "pattern": "word"},
    },
    "triangular_row_distance": {
        "call": {"in_row_m": 2.0, "side_m": 3.0},
        "refuse": {"in_row_m": "positive", "side_m": "positive"},
    },
    "double_row_per_hectare": {
        "call": {"in_row_m": 1.0, "pair_gap_m": 1.0, "alley_m": 3.0},
        "refuse": {"in_row_m": "positive", "pair_gap_m": "positive", "alley_m": "positive"},
    },
    "slope_factor": {"call": {"percent": 30.0}, "refuse": {"percent": "number"}},
    "factor_along": {
        "call": {"percent": 30.0, "off_downhill_deg": 45.0},
        "refuse": {"percent": "number", "off_downhill_deg": "number"},
    },
    "factor_across": {
        "call": {"percent": 30.0, "off_downhill_deg": 45.0},
        "refuse": {"percent": "number", "off_downhill_deg": "number"},
    },
    "RowPlan": {
        "call": {"kind": "crop", "in_row_m": 4.0, "nth": 9, "nth_kind": "pollinizer"},
        "refuse": {"in_row_m": "positive", "nth": [math.nan, -1, 1, 2.5]},
        "free": {"kind": ANY, "nth_kind": ANY},
    },
    "Slope": {
        "call": {"percent": 30.0, "downhill_deg": 180.0, "tape": "slope"},
        "refuse": {
            "percent": [math.nan, -1.0, 201.0],
            "downhill_deg": [math.nan, -1.0, 361.0],
            "tape": "word",
        },
    },
    "Layout": {
        "call": {
            "rows": (CROP,),
            "second_m": 4.0,
            "pattern": "double",
            "pair_gap_m": 1.0,
            "set_back_m": 2.0,
            "track_every": 4,
            "track_gap_m": 6.0,
            "slope": Slope(),
        },
        "refuse": {
            "second_m": "positive",
            "pattern": "word",
            "pair_gap_m": "positive",
            "set_back_m": "not negative",
            "track_every": "count",
            "track_gap_m": "positive",
        },
        "free": {"rows": "own values; no row is tested in test_geometry.py", "slope": OWN},
    },
    "Track": {
        "call": {"line": LINE, "width_m": 4.0},
        "refuse": {"width_m": "positive"},
        "free": {"line": PLACES},
    },
    "rows_along_bearing": {
        "call": {"block": BLOCK, "layout": LAYOUT, "bearing_deg": 90.0},
        "refuse": {"bearing_deg": [math.nan, -1.0, 361.0]},
        "free": {"block": PLACES, "layout": OWN},
    },
    "rows_along_contour": {
        "call": {"block": BLOCK, "layout": LAYOUT, "contour": LINE},
        "refuse": {},
        "free": {"block": PLACES, "layout": OWN, "contour": PLACES},
    },
    "rows_on_terraces": {
        "call": {
            "block": BLOCK,
            "layout": LAYOUT,
            "contours": [LINE],
            "rows_each": 2,
            "side": "left",
        },
        "refuse": {"rows_each": "positive count", "side": "word"},
        "free": {"block": PLACES, "layout": OWN, "contours": PLACES},
    },
    "to_geojson": {
        "call": {"positions": [HOLE]},
        "refuse": {},
        "free": {"positions": "what the layouts return"},
    },
    "count_by_kind": {
        "call": {"positions": [HOLE]},
        "refuse": {},
        "free": {"positions": "what the layouts return"},
    },
}
