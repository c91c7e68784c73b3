"""Good calls of `nursery.science.season` and the values that each argument turns down."""

import math
from datetime import date
from typing import Any

import numpy as np

from nursery.science.season import Layer, OnsetRule, Site, Soil, Weather

DAYS = np.zeros(40)
RULE = OnsetRule(20.0, 3, 1, 0.85, 9, 20)
SITE = Site(Soil(0.3, 0.15), Layer(0.25, 0.4, 0.3), 0.7, Layer(0.2, 0.7, 0.5), RULE, 15, 34.0, 40.0)
WEATHER = Weather(date(2031, 1, 1), DAYS, DAYS)
OWN = "a value of the package's own, which checks itself"
SERIES = "a series, NaN is missing; its refusals are tested in test_season.py"
RAINS = "a series, NaN is missing; its refusals are tested in test_season_rains.py"
MILLIMETRES = [math.nan, math.inf, 0.0, -5.0, 2001.0]

ROWS: dict[str, dict[str, Any]] = {
    "OnsetRule": {
        "call": {
            "amount_mm": 20.0,
            "within_days": 3,
            "wet_days": 1,
            "wet_day_mm": 0.85,
            "longest_dry_days": 9,
            "look_ahead_days": 20,
        },
        "refuse": {
            "amount_mm": MILLIMETRES,
            "within_days": "positive count",
            "wet_days": "positive count",
            "wet_day_mm": MILLIMETRES,
            "longest_dry_days": "count",
            "look_ahead_days": "count",
        },
    },
    "weather_of": {
        "call": {"years": {2031: {"rain_mm": [1.0, None]}}, "latitude_deg": -17.0},
        "refuse": {"latitude_deg": "latitude"},
        "free": {"years": "years of lists; refused in test_season_years.py"},
    },
    "onset": {
        "call": {"rain_mm": DAYS, "rule": RULE, "start": 3},
        "refuse": {"start": "count"},
        "free": {"rain_mm": RAINS, "rule": OWN},
    },
    "rains_hold": {
        "call": {"rain_mm": DAYS, "rule": RULE},
        "refuse": {},
        "free": {"rain_mm": RAINS, "rule": OWN},
    },
    "fit_wet_dry": {
        "call": {"wet_days": [0, 1, 1, 0]},
        "refuse": {},
        "free": {"wet_days": RAINS},
    },
    "dry_spell_probability": {
        "call": {
            "p_wet_after_dry": 0.25,
            "p_wet_after_wet": 0.662,
            "run_days": 8,
            "within_days": 30,
        },
        "refuse": {
            "p_wet_after_dry": "fraction",
            "p_wet_after_wet": "fraction",
            "run_days": "positive count",
            "within_days": "count",
        },
        "arrays": ["p_wet_after_dry", "p_wet_after_wet"],
    },
    "dry_run_survival": {
        "call": {"p_wet_after_dry": 0.25, "further_days": 7},
        "refuse": {"p_wet_after_dry": "fraction", "further_days": "count"},
    },
    "wet_share": {
        "call": {"p_wet_after_dry": 0.25, "p_wet_after_wet": 0.662},
        "refuse": {"p_wet_after_dry": "fraction", "p_wet_after_wet": "fraction"},
        "arrays": ["p_wet_after_dry", "p_wet_after_wet"],
    },
    "mean_spells": {
        "call": {"p_wet_after_dry": 0.25, "p_wet_after_wet": 0.662},
        "refuse": {"p_wet_after_dry": "fraction", "p_wet_after_wet": "fraction"},
    },
    "Weather": {
        "call": {
            "first_day": date(2031, 1, 1),
            "rain_mm": DAYS,
            "evapotranspiration_mm": DAYS,
            "max_celsius": DAYS,
            "wind_kmh": DAYS,
        },
        "refuse": {},
        "free": {
            "first_day": "any date",
            "rain_mm": SERIES,
            "evapotranspiration_mm": SERIES,
            "max_celsius": SERIES,
            "wind_kmh": SERIES,
        },
    },
    "planting_days": {"call": {"weather": WEATHER}, "refuse": {}, "free": {"weather": OWN}},
    "season_onsets": {
        "call": {"weather": WEATHER, "rule": RULE, "planting_day": 0},
        "refuse": {"planting_day": [math.nan, -1, 0.5, 366]},
        "free": {"weather": OWN, "rule": OWN},
    },
    "month_day": {
        "call": {"planting_day": 59},
        "refuse": {"planting_day": [math.nan, -1, 0.5, 366]},
    },
    "Soil": {
        "call": {"field_capacity": 0.3, "wilting_point": 0.15},
        "refuse": {"field_capacity": "fraction", "wilting_point": "fraction"},
        "ordered": [["wilting_point", "field_capacity"]],
    },
    "Layer": {
        "call": {"depth_m": 0.2, "crop_coefficient": 0.7, "depletion_fraction": 0.5},
        "refuse": {
            "depth_m": [math.nan, math.inf, 0.0, -1.0, 6.0],
            "crop_coefficient": [math.nan, -0.1, 2.5],
            "depletion_fraction": "fraction below 1",
        },
    },
    "Site": {
        "call": {
            "soil": SITE.soil,
            "hole": SITE.hole,
            "wet_share": 0.7,
            "plant": SITE.plant,
            "rains": RULE,
            "follow_up_days": 60,
            "hot_celsius": 34.0,
            "windy_kmh": 40.0,
        },
        "refuse": {
            "wet_share": "positive fraction",
            "follow_up_days": "positive count",
            "hot_celsius": [math.nan, -30.0, 95.0],
            "windy_kmh": [math.nan, -1.0, 501.0],
        },
        "free": {"soil": OWN, "hole": OWN, "plant": OWN, "rains": OWN},
    },
    "planting_scores": {
        "call": {"weather": WEATHER, "site": SITE, "interval": 0.8},
        "refuse": {"interval": "open fraction"},
        "free": {"weather": OWN, "site": OWN},
    },
    "windows": {
        "call": {"score": np.zeros(366), "good": 0.6, "shortest_days": 7},
        "refuse": {"good": "positive fraction", "shortest_days": "positive count"},
        "free": {"score": SERIES},
    },
}
