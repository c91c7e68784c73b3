"""How a crop grows where nobody typed its curve: from its smallest size and its weeks."""

from nursery.domain.figures import Curve
from nursery.domain.profiles import Profile

# How far one measurement is off, for a measure that no curve was typed for. (From memory.)
ERRORS = {"height_cm": 0.7, "collar_mm": 0.2}
OF_COUNTS = 0.3
# On the day on which a crop usually leaves the nursery the mean plant is so much above the smallest
# size, with such a spread: then nine in ten are large enough. (From memory.)
ABOVE_SMALLEST, SPREAD = 1.26, 0.2
AT_FIRST = 0.1


def curve_of(profile: Profile, measure: str) -> Curve:
    """Return how a measure of the crop grows: as typed, or from its smallest size and its weeks.

    Raises:
        KeyError: the profile asks nothing of that measure.
    """
    if measure in profile.growth:
        return profile.growth[measure]
    smallest = profile.least[measure].low
    leaves_at = max(1.0, profile.nursery_weeks.middle * 7)
    ages = (0.0, leaves_at, 2 * leaves_at)
    gain = ABOVE_SMALLEST - AT_FIRST
    shares = (AT_FIRST, ABOVE_SMALLEST, ABOVE_SMALLEST + gain)
    return Curve(
        ages_days=ages,
        mean=tuple(smallest * share for share in shares),
        spread=tuple(smallest * SPREAD * share for share in (0.3, 1.0, 1.4)),
        error=ERRORS.get(measure, OF_COUNTS),
    )
