"""What a room's own instrument kept: many readings with their times, brought to a figure a day.

* `measures`: what is kept, and in which units files bear it
* `columns`: which column is what, by its heading or as the grower says
* `readings`: the figures of each row, or what is wrong with them by row and column
* `days`: a day has its lowest and highest air (rule C-9), its mean humidity and its sum of light
"""

from nursery.domain.logger.columns import Choices
from nursery.domain.logger.days import Logged
from nursery.domain.logger.measures import UNITS, Quantity
from nursery.domain.logger.readings import Log, preview

__all__ = ["UNITS", "Choices", "Log", "Logged", "Quantity", "preview"]
