"""The curve of one day in plain numbers: what `_day_curve` does for arrays, without numpy."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from nursery.science import _check

if TYPE_CHECKING:
    from nursery.science._day_curve import Thresholds


def day(low: object, high: object) -> tuple[float, float] | None:
    """Return a day's temperatures, checked, if both are plain numbers; None for arrays.

    Raises:
        ValueError: one is no temperature, or `low` lies above `high`.
    """
    if not (isinstance(low, int | float) and isinstance(high, int | float)):
        return None
    _check.number("low", low, _check.TEMPERATURE)
    _check.number("high", high, _check.TEMPERATURE)
    _check.ordered("low", low, "high", high)
    return float(low), float(high)


def thermal_time(curve: str, low: float, high: float, thresholds: Thresholds) -> float:
    """Return the area under the curve `sine` or `triangle` between the thresholds."""
    area_above = _sine if curve == "sine" else _triangle
    lower, upper, cutoff = thresholds
    area, _ = area_above(low, high, lower)
    if upper is not None:
        beyond, part_of_day = area_above(low, high, upper)
        area -= beyond
        if cutoff == "intermediate":
            area -= beyond
        elif cutoff == "vertical":
            area -= (upper - lower) * part_of_day
    return max(area, 0.0)


def _sine(low: float, high: float, threshold: float) -> tuple[float, float]:
    position = _position(low, high, threshold)
    angle = math.acos(position)
    bulge = math.sqrt(1.0 - position * position) * (0.5 * (high - low))
    return ((0.5 * (low + high) - threshold) * angle + bulge) / math.pi, angle / math.pi


def _triangle(low: float, high: float, threshold: float) -> tuple[float, float]:
    part_of_day = 0.5 - 0.5 * _position(low, high, threshold)
    return part_of_day**2 * (0.5 * (high - low)) + max(low - threshold, 0.0), part_of_day


def _position(low: float, high: float, threshold: float) -> float:
    """Return where the threshold lies, from -1 at the lowest or below to 1 at the highest."""
    if threshold >= high:
        return 1.0
    if threshold <= low:
        return -1.0
    return (2.0 * threshold - low - high) / (high - low)
