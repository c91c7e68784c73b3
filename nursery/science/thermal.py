"""Thermal time: how far a day's warmth carries development.

Temperatures are in °C or °F, the same throughout a call, and lie between -150 and 200; results
are degree-days of that unit (1 °C-day is 1.8 °F-days). The curve of a day runs from its lowest
to its highest temperature and back; a double method falls to the next day's lowest instead.
Above an upper threshold a horizontal cut-off lets development go on at the threshold's rate, an
intermediate one slows it by what lies above, a vertical one stops it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from nursery.science import _arrays, _check, _plain_day
from nursery.science._day_curve import Curve, Cutoff, Thresholds, sine, thermal_time, triangle

if TYPE_CHECKING:
    from nursery.science._arrays import Array, Numbers

_ROUNDING = 1e-9


def average(low: Numbers, high: Numbers, lower: float) -> Numbers:
    """Return each day's thermal time: the mean of the day above `lower`, then clipped.

    Args:
        low: the day's lowest temperature, scalar or array [°C or °F].
        high: the day's highest temperature, not below `low`, scalar or array [same unit].
        lower: threshold below which development stops, scalar [same unit].

    Returns:
        Degree-days of that unit, never negative; NaN where an element is missing.

    Raises:
        ValueError: `low` above `high`, scalars that are no temperature, arrays of unequal length.

    Source:
        McMaster & Wilhelm (1997) Agric. For. Meteorol. 87: 291-300, eq. 1, method 1.

    >>> average(10, 24, lower=8), average(-4, 6, lower=8)
    (9.0, 0.0)
    """
    plain = _plain_day.day(low, high)
    _check.number("lower", lower, _check.TEMPERATURE)
    if plain is not None:
        return max(sum(plain) / 2.0 - lower, 0.0)
    import numpy as np

    low, high = _day(low, high)
    return _arrays.plain(np.maximum((low + high) / 2.0 - lower, 0.0))


def average_clipped(low: Numbers, high: Numbers, lower: float) -> Numbers:
    """Return each day's thermal time with both temperatures raised to `lower` before the mean.

    Args:
        low: the day's lowest temperature, scalar or array [°C or °F].
        high: the day's highest temperature, not below `low`, scalar or array [same unit].
        lower: threshold below which development stops, scalar [same unit].

    Returns:
        Degree-days of that unit, never less than `average` gives.

    Raises:
        ValueError: `low` above `high`, scalars that are no temperature, arrays of unequal length.

    Source:
        McMaster & Wilhelm (1997) Agric. For. Meteorol. 87: 291-300, eq. 1, method 2.

    >>> average_clipped(-5, 5, lower=0), average(-5, 5, lower=0)
    (2.5, 0.0)
    """
    plain = _plain_day.day(low, high)
    _check.number("lower", lower, _check.TEMPERATURE)
    if plain is not None:
        return sum(max(one, lower) for one in plain) / 2.0 - lower
    import numpy as np

    low, high = _day(low, high)
    mean = (np.maximum(low, lower) + np.maximum(high, lower)) / 2.0
    return _arrays.plain(mean - lower)


def single_triangle(
    low: Numbers,
    high: Numbers,
    *,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> Numbers:
    """Return each day's thermal time under straight lines from lowest to highest and back.

    Args:
        low: the day's lowest temperature, scalar or array [°C or °F].
        high: the day's highest temperature, not below `low`, scalar or array [same unit].
        lower: threshold below which development stops, scalar [same unit].
        upper: threshold above which the cut-off works, above `lower`, scalar; None for none.
        cutoff: horizontal, vertical or intermediate; without `upper` it does not matter.

    Returns:
        Degree-days of that unit, never negative; NaN where an element is missing.

    Raises:
        ValueError: `low` above `high`, `upper` not above `lower`, an unknown cut-off, scalars that
            are no temperature, arrays of unequal length.

    Source:
        Zalom et al. (1983) Degree-days: the calculation and use of heat units in pest
        management, Univ. of California leaflet 21373.

    >>> single_triangle(45, 70, lower=55, upper=90)
    4.5
    """
    return _single(triangle, low, high, Thresholds.of(lower, upper, cutoff))


def single_sine(
    low: Numbers,
    high: Numbers,
    *,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> Numbers:
    """Return each day's thermal time under a sine wave from lowest to highest and back.

    Args:
        low: the day's lowest temperature, scalar or array [°C or °F].
        high: the day's highest temperature, not below `low`, scalar or array [same unit].
        lower: threshold below which development stops, scalar [same unit].
        upper: threshold above which the cut-off works, above `lower`, scalar; None for none.
        cutoff: horizontal, vertical or intermediate; without `upper` it does not matter.

    Returns:
        Degree-days of that unit, never negative; NaN where an element is missing.

    Raises:
        ValueError: as `single_triangle`.

    Source:
        Baskerville & Emin (1969) Ecology 50: 514-517; cut-offs as Zalom et al. (1983).

    >>> round(single_sine(45, 70, lower=55, upper=90), 2)
    5.31
    """
    return _single(sine, low, high, Thresholds.of(lower, upper, cutoff))


def double_triangle(
    low: Numbers,
    high: Numbers,
    next_low: Numbers,
    *,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> Numbers:
    """Return each day's thermal time under a line up and another down to the next lowest.

    Args:
        low: the day's lowest temperature, scalar or array [°C or °F].
        high: the day's highest temperature, not below `low`, scalar or array [same unit].
        next_low: the next day's lowest temperature; one above `high` means that the second
            half of the day goes on rising [same unit].
        lower: threshold below which development stops, scalar [same unit].
        upper: threshold above which the cut-off works, above `lower`, scalar; None for none.
        cutoff: horizontal, vertical or intermediate; without `upper` it does not matter.

    Returns:
        Degree-days of that unit, the mean of both halves, each never negative; NaN where an
        element is missing, as on a last day without a next lowest.

    Raises:
        ValueError: as `single_triangle`.

    Source:
        Zalom et al. (1983) Univ. of California leaflet 21373.

    >>> double_triangle(60, 80, 75, lower=55, upper=90)
    18.75
    """
    return _double(triangle, low, high, next_low, Thresholds.of(lower, upper, cutoff))


def double_sine(
    low: Numbers,
    high: Numbers,
    next_low: Numbers,
    *,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> Numbers:
    """Return each day's thermal time under half a sine up and half a sine to the next lowest.

    Args:
        low: the day's lowest temperature, scalar or array [°C or °F].
        high: the day's highest temperature, not below `low`, scalar or array [same unit].
        next_low: the next day's lowest temperature; one above `high` means that the second
            half of the day goes on rising [same unit].
        lower: threshold below which development stops, scalar [same unit].
        upper: threshold above which the cut-off works, above `lower`, scalar; None for none.
        cutoff: horizontal, vertical or intermediate; without `upper` it does not matter.

    Returns:
        Degree-days of that unit, the mean of both halves, each never negative; NaN where an
        element is missing, as on a last day without a next lowest.

    Raises:
        ValueError: as `single_triangle`.

    Source:
        Allen (1976) Environ. Entomol. 5: 388-396; cut-offs as Zalom et al. (1983).

    >>> round(double_sine(45, 70, 50, lower=55, upper=90), 2)
    5.7
    """
    return _double(sine, low, high, next_low, Thresholds.of(lower, upper, cutoff))


def generation_day(
    daily_degree_days: Iterable[float], per_generation: float, generations: int = 1
) -> int | None:
    """Return the day on which a pest will have completed its generations.

    Args:
        daily_degree_days: thermal time of each day from the first on, each 0 or more; NaN
            where a day is missing.
        per_generation: thermal time of one generation, above 0 [same unit].
        generations: 1 or more.

    Returns:
        The day, the first being 1; None if the days do not reach so far, or if a missing day
        comes first, since nobody can tell what it added.

    Raises:
        ValueError: an argument out of range, or NaN in the scalars.

    Source:
        Definition: the first day on which the running total reaches generations x thermal time
        of one.

    >>> generation_day([9.0, 12.0, 11.0, 14.0], 30)
    3
    >>> generation_day([9.0, 12.0, 11.0, 14.0], 30, generations=2) is None
    True
    """
    _check.positive("per_generation", per_generation)
    needed = per_generation * _check.count("generations", generations, least=1)
    total = 0.0
    for day, gained in enumerate(daily_degree_days, start=1):
        if math.isnan(gained):
            return None
        total += _check.not_negative(f"daily_degree_days[{day - 1}]", gained)
        if total >= needed * (1.0 - _ROUNDING):
            return day
    return None


def _day(low: Numbers, high: Numbers) -> tuple[Array, Array]:
    lows, highs = (
        _arrays.array(n, v, _check.TEMPERATURE) for n, v in (("low", low), ("high", high))
    )
    _arrays.same_shape(low=lows, high=highs)
    _arrays.ordered("low", lows, "high", highs)
    return lows, highs


def _single(curve: Curve, low: Numbers, high: Numbers, thresholds: Thresholds) -> Numbers:
    plain = _plain_day.day(low, high)
    if plain is not None:
        return _plain_day.thermal_time(curve.__name__, *plain, thresholds)
    return _arrays.plain(thermal_time(curve, *_day(low, high), thresholds))


def _double(
    curve: Curve, low: Numbers, high: Numbers, next_low: Numbers, thresholds: Thresholds
) -> Numbers:
    import numpy as np

    lows, highs = _day(low, high)
    after = _arrays.array("next_low", next_low, _check.TEMPERATURE)
    _arrays.same_shape(low=lows, high=highs, next_low=after)
    rising = thermal_time(curve, lows, highs, thresholds)
    bottom, top = np.minimum(highs, after), np.maximum(highs, after)
    return _arrays.plain((rising + thermal_time(curve, bottom, top, thresholds)) / 2.0)
