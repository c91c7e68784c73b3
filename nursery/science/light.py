"""How much light plants get in a day, from the sky, from lamps and under shade."""

import math
from collections.abc import Sequence

from nursery.science import _check, water

_DAY = _check.Range(0.0, 24.0, "a number of hours from 0 to 24")
_MICROMOLES_PER_MOLE = 1e6
# Of the energy of sunshine, 45 % lies between 400 and 700 nm, and a joule of that is 4.57 µmol.
_MOLES_PER_MEGAJOULE = 0.45 * 4.57
_SECONDS_PER_HOUR = 3600.0


def daily_light_integral(ppfd: float, hours: float) -> float:
    """Return the light of a day at a steady photon flux.

    Args:
        ppfd: photosynthetic photon flux density, 0 or more [µmol m-2 s-1].
        hours: hours at that flux, from 0 to 24 [h].

    Returns:
        Daily light integral [mol m-2 d-1].

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Definition: flux x time, 1 mol = 1 000 000 µmol.

    >>> daily_light_integral(1500, 9)
    48.6
    """
    _check.not_negative("ppfd", ppfd)
    _check.number("hours", hours, _DAY)
    return ppfd * hours * _SECONDS_PER_HOUR / _MICROMOLES_PER_MOLE


def lamp_hours(target: float, daylight: float, ppfd: float) -> float:
    """Return how long lamps must burn to bring daylight up to a target.

    Args:
        target: wanted daily light integral, 0 or more [mol m-2 d-1].
        daylight: daily light integral without lamps, 0 or more [mol m-2 d-1].
        ppfd: photon flux density of the lamps at the plants, above 0 [µmol m-2 s-1].

    Returns:
        Hours, 0 where daylight is enough [h d-1]. More than 24 means that these lamps cannot
        reach the target in a day.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Definition: what is missing / (flux x 3600 s h-1).

    >>> lamp_hours(12, 3, 250)
    10.0
    """
    _check.not_negative("target", target)
    _check.not_negative("daylight", daylight)
    _check.positive("ppfd", ppfd)
    missing = max(0.0, target - daylight)
    return missing * _MICROMOLES_PER_MOLE / (ppfd * _SECONDS_PER_HOUR)


def through_shade(dli: float, shade_fractions: Sequence[float]) -> float:
    """Return the daily light integral below layers of shade, which multiply and never add.

    Args:
        dli: daily light integral above the layers, 0 or more [mol m-2 d-1].
        shade_fractions: what each layer holds back, from 0 to 1; none means open sky.

    Returns:
        Daily light integral below the layers [mol m-2 d-1].

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Common practice, no source: each layer lets through 1 - s of what reaches it.

    >>> through_shade(50, [0.5, 0.2])
    20.0
    """
    _check.not_negative("dli", dli)
    shades = _check.numbers("shade_fractions", shade_fractions, _check.FRACTION)
    return dli * math.prod(1.0 - shade for shade in shades)


def outdoor_light(latitude_deg: float, day_of_year: int, sunshine: float) -> float:
    """Return the light of a day under open sky.

    Args:
        latitude_deg: latitude, -90 to 90, north positive [degree].
        day_of_year: 1 to 366.
        sunshine: hours of bright sun over hours of daylight, 0 to 1.

    Returns:
        Daily light integral, 0 in polar night [mol m-2 d-1].

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Allen et al. (1998) FAO Irrigation and Drainage Paper 56, eq. 35, with 0.25 and 0.50 where
        nothing better is known; 45 % of it and 4.57 µmol J-1: McCree (1972), from memory.

    >>> round(outdoor_light(-22.9, 135, 0.65), 1)
    29.7
    """
    _check.number("sunshine", sunshine, _check.FRACTION)
    above = float(water.extraterrestrial_radiation(latitude_deg, day_of_year))
    return above * (0.25 + 0.50 * sunshine) * _MOLES_PER_MEGAJOULE


def noon_share(latitude_deg: float, day_of_year: int, hours: float) -> float:
    """Return what share of a day's light falls in so many hours around noon.

    Args:
        latitude_deg: latitude, -90 to 90, north positive [degree].
        day_of_year: 1 to 366.
        hours: hours, half of them before noon, 0 to 24 [h].

    Returns:
        Share from 0 to 1; 1 where the hours are as long as the day, or there is no day.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Allen et al. (1998) FAO Irrigation and Drainage Paper 56, eq. 28: the radiation of a period
        between two angles of the sun, over that of the day; the sky is taken as even all day.

    >>> round(noon_share(0.0, 80, 6.0), 3)
    0.707
    """
    _check.number("hours", hours, _DAY)
    daylight = float(water.daylight_hours(latitude_deg, day_of_year))
    if hours >= daylight:
        return 1.0
    sunset = math.pi * daylight / 24.0
    angle = math.pi * hours / 24.0
    # cos(sunset) = -tan(latitude) tan(declination), so latitude and declination drop out.
    level = -math.cos(sunset)
    return (angle * level + math.sin(angle)) / (sunset * level + math.sin(sunset))
