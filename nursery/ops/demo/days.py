"""All days of the story so far, in order; a later day is one more list here."""

from nursery.ops.demo.day_0 import SETTING_UP
from nursery.ops.demo.day_1 import ARRIVAL
from nursery.ops.demo.day_2 import LOOK_OVER
from nursery.ops.demo.day_3 import SUSPICION
from nursery.ops.demo.day_4 import RESULT
from nursery.ops.demo.day_4b import SECOND_TREATMENT
from nursery.ops.demo.day_5 import POTTING
from nursery.ops.demo.day_6 import STORM
from nursery.ops.demo.day_7 import RELEASE
from nursery.ops.demo.day_8 import BEFORE_DAY_8, PLANT_OR_WAIT
from nursery.ops.demo.day_9 import PLANTED
from nursery.ops.demo.day_10 import BEFORE_DAY_10, COUNTED
from nursery.ops.demo.later_weeks import (
    BEFORE_DAY_4,
    BEFORE_DAY_4B,
    BEFORE_DAY_5,
    BEFORE_DAY_6,
    BEFORE_DAY_7,
)
from nursery.ops.demo.script import Day
from nursery.ops.demo.weeks import BEFORE_DAY_2, BEFORE_DAY_3

DAYS: tuple[Day, ...] = (
    SETTING_UP,
    ARRIVAL,
    *BEFORE_DAY_2,
    LOOK_OVER,
    *BEFORE_DAY_3,
    SUSPICION,
    *BEFORE_DAY_4,
    *RESULT,
    *BEFORE_DAY_4B,
    *SECOND_TREATMENT,
    *BEFORE_DAY_5,
    *POTTING,
    *BEFORE_DAY_6,
    *STORM,
    *BEFORE_DAY_7,
    *RELEASE,
    *BEFORE_DAY_8,
    *PLANT_OR_WAIT,
    *PLANTED,
    *BEFORE_DAY_10,
    *COUNTED,
)


def up_to(number: float) -> tuple[Day, ...]:
    """Return the days that lead to the evening of day `number`, in order."""
    return tuple(day for day in DAYS if day.number <= number)
