"""Good calls of `nursery.science.growth` and the values that each argument turns down."""

import math
from typing import Any

import numpy as np

from nursery.science.growth import CropCurve, Habit, Measure

CURVE = CropCurve((0.0, 100.0, 200.0), (2.0, 20.0, 50.0), (1.0, 4.0, 9.0), 0.5)
HABIT = Habit(0.5, 120.0, 0.5, 20.0)
OWN = "a value of the package's own, which checks itself"

ROWS: dict[str, dict[str, Any]] = {
    "CropCurve": {
        "call": {
            "ages_days": (0.0, 100.0, 200.0),
            "mean": (2.0, 20.0, 50.0),
            "spread": (1.0, 4.0, 9.0),
            "error": 0.5,
        },
        "refuse": {
            "ages_days": "list of not negative",
            "mean": "list of not negative",
            "spread": "list of positive",
            "error": "positive",
        },
        "same_length": [["ages_days", "mean"], ["ages_days", "spread"]],
    },
    "Habit": {
        "call": {
            "between_batches": 0.5,
            "lasting_days": 120.0,
            "together": 0.5,
            "worth_plants": 20.0,
        },
        "refuse": {
            "between_batches": "open fraction",
            "lasting_days": "positive",
            "together": "fraction below 1",
            "worth_plants": [math.nan, math.inf, 3.0, -1.0],
        },
    },
    "Measure": {
        "call": {
            "name": "height",
            "minimum": 30.0,
            "curve": CURVE,
            "ages_days": (60.0, 90.0),
            "sizes": np.ones((3, 2)),
        },
        "refuse": {"minimum": "not negative", "ages_days": "list of not negative"},
        "free": {
            "name": "any words",
            "curve": OWN,
            "sizes": "a table, NaN is missing; its refusals are tested in test_growth.py",
        },
    },
    "measure_of": {
        "call": {
            "name": "height",
            "minimum": 30.0,
            "curve": CURVE,
            "ages_days": [60.0, 90.0],
            "sizes": [[1.0, None], [2.0, 3.0]],
        },
        "refuse": {"minimum": "not negative", "ages_days": "list of not negative"},
        "free": {
            "name": "any words",
            "curve": OWN,
            "sizes": "rows of lists, None is missing; refused in test_growth_fan.py",
        },
    },
    "forecast": {
        "call": {
            "measures": [Measure("height", 30.0, CURVE)],
            "batch_size": 40,
            "share": 0.9,
            "habit": HABIT,
            "interval": 0.8,
            "draws": 100,
            "seed": 0,
        },
        "refuse": {
            "batch_size": "positive count",
            "share": "positive fraction",
            "interval": "open fraction",
            "draws": [math.nan, 99, 150.5],
            "seed": "count",
        },
        "free": {"measures": "own values; none is tested in test_growth.py", "habit": OWN},
    },
}
