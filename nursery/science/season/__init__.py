"""The season: rains, dry spells, and which days of the year are good for planting.

* `onset`: when the rains set in and whether they hold
* `spells`: wet and dry days as a chain
* `weather`: the record and its planting days; `years` makes it from lists
* `soil`: water in the planting hole and in the root zone of a small plant
* `score`: every planting day over all years
* `windows`: runs of good days
"""

from nursery.science.season.onset import Onset, OnsetRule, onset, rains_hold
from nursery.science.season.score import Parts, Scores, Site, planting_scores
from nursery.science.season.soil import Layer, Soil
from nursery.science.season.spells import (
    dry_run_survival,
    dry_spell_probability,
    fit_wet_dry,
    mean_spells,
    wet_share,
)
from nursery.science.season.weather import Weather, month_day, planting_days, season_onsets
from nursery.science.season.windows import Window, windows
from nursery.science.season.years import weather_of

__all__ = [
    "Layer",
    "Onset",
    "OnsetRule",
    "Parts",
    "Scores",
    "Site",
    "Soil",
    "Weather",
    "Window",
    "dry_run_survival",
    "dry_spell_probability",
    "fit_wet_dry",
    "mean_spells",
    "month_day",
    "onset",
    "planting_days",
    "planting_scores",
    "rains_hold",
    "season_onsets",
    "weather_of",
    "wet_share",
    "windows",
]
