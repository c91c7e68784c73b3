"""When a batch is big enough to plant, from its own measurements and the crop's prior.

* `crop`: what is known of the crop, and what was measured
* `batch`: what the measurements say of a batch
* `fan`: measures from lists, and how single plants go on
* `simulate`: batches that agree with them
* `forecast`: the day on which enough plants pass, with an interval
"""

from nursery.science.growth.crop import CropCurve, Habit, Measure
from nursery.science.growth.fan import fan, measure_of
from nursery.science.growth.forecast import Forecast, forecast

__all__ = ["CropCurve", "Forecast", "Habit", "Measure", "fan", "forecast", "measure_of"]
