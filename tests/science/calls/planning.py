"""Good calls of `nursery.science.planning` and the values that each argument turns down."""

import math
from datetime import date
from typing import Any

from nursery.science.planning import Expected, Rate, fixed

RATE = Rate((1.0,), (8.0,), (2.0,))
OWN = "a value of the package's own, which checks itself"
SOME_DAYS = [math.nan, math.inf, 0.0, -5.0, 20_001.0]

ROWS: dict[str, dict[str, Any]] = {
    "Expected": {
        "call": {"rate": 0.8, "spread": 0.1, "worth_batches": 3.0},
        "refuse": {
            "rate": "open fraction",
            "spread": [*[math.nan, math.inf, 0.0, -0.1], 0.9],
            "worth_batches": [math.nan, math.inf, 0.5],
        },
    },
    "learn_rate": {
        "call": {
            "started": [100, 120],
            "passed": [80, 90],
            "expected": Expected(0.8, 0.1, 3.0),
        },
        "refuse": {"started": "list of count", "passed": "list of count"},
        "free": {"expected": OWN},
        "same_length": [["started", "passed"]],
    },
    "number_to_start": {
        "call": {"needed": 200, "probability": 0.9, "rates": [RATE], "seed": 0},
        "refuse": {"needed": "count", "probability": "open fraction", "seed": "count"},
        "free": {"rates": "own values; none is tested in test_planning.py"},
    },
    "standing": {
        "call": {"started": 200, "rates": [RATE], "interval": 0.8, "seed": 0},
        "refuse": {"started": "count", "interval": "open fraction", "seed": "count"},
        "free": {"rates": "own values; none is tested in test_planning.py"},
    },
    "fixed": {"call": {"days": 180.0}, "refuse": {"days": [math.nan, math.inf, -1.0]}},
    "learn_duration": {
        "call": {
            "past_days": [90.0, 100.0],
            "expected_days": 100.0,
            "spread_days": 20.0,
            "worth_batches": 4.0,
        },
        "refuse": {
            "past_days": "list of positive",
            "expected_days": SOME_DAYS,
            "spread_days": SOME_DAYS,
            "worth_batches": [math.nan, math.inf, 1.0],
        },
    },
    "sow_by": {
        "call": {
            "ready_by": date(2032, 3, 1),
            "durations": [fixed(180.0)],
            "probability": 0.9,
            "seed": 0,
        },
        "refuse": {"probability": "open fraction", "seed": "count"},
        "free": {
            "ready_by": "any date; one too early is tested in test_planning.py",
            "durations": "own values; none is tested in test_planning.py",
        },
    },
}
