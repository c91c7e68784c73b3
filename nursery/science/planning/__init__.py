"""How many to start and by when, from what past batches taught.

* `rates`: what share of plants passes a stage
* `start`: how many to start so that enough stand
* `calendar`: by which day to sow
"""

from nursery.science.planning.calendar import Duration, SowBy, fixed, learn_duration, sow_by
from nursery.science.planning.rates import Expected, Rate, learn_rate
from nursery.science.planning.start import Standing, number_to_start, standing

__all__ = [
    "Duration",
    "Expected",
    "Rate",
    "SowBy",
    "Standing",
    "fixed",
    "learn_duration",
    "learn_rate",
    "number_to_start",
    "sow_by",
    "standing",
]
