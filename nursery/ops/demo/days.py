"""All days of the story so far, in order; a later day is one more list here."""

from nursery.ops.demo.day_0 import SETTING_UP
from nursery.ops.demo.day_1 import ARRIVAL
from nursery.ops.demo.day_2 import LOOK_OVER
from nursery.ops.demo.day_3 import SUSPICION
from nursery.ops.demo.script import Day
from nursery.ops.demo.weeks import BEFORE_DAY_2, BEFORE_DAY_3

DAYS: tuple[Day, ...] = (
    SETTING_UP,
    ARRIVAL,
    *BEFORE_DAY_2,
    LOOK_OVER,
    *BEFORE_DAY_3,
    SUSPICION,
)


def up_to(number: int) -> tuple[Day, ...]:
    """Return the days that lead to the evening of day `number`, in order."""
    return tuple(day for day in DAYS if day.number <= number)
