"""When a batch is big enough to plant, from its own measurements and the crop's prior.

* `crop`: what is known of the crop, and what was measured
* `batch`: what the measurements say of a batch
* `simulate`: batches that agree with them
* `fan`: measures from lists, and how single plants go on
* `forecast`: the day on which enough plants pass, with an interval
"""

from nursery.science.growth.crop import CropCurve, Habit, Measure
from nursery.science.growth.fan import Ahead, measure_of
from nursery.science.growth.forecast import Forecast, forecast

__all__ = ["Ahead", "CropCurve", "Forecast", "Habit", "Measure", "forecast", "measure_of"]
