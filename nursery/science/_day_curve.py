"""The curve of temperature through a day, and the area between thresholds under it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, NamedTuple

from nursery.science import _check

if TYPE_CHECKING:
    from nursery.science._arrays import Array

Cutoff = Literal["horizontal", "vertical", "intermediate"]

# From lowest, highest and threshold: the mean excess over the threshold, in degree-days, and
# the part of the day that lies above it.
Curve = Callable[["Array", "Array", float], tuple["Array", "Array"]]


class Thresholds(NamedTuple):
    """Between which temperatures a pest develops, and what happens above them."""

    lower: float
    upper: float | None
    cutoff: Cutoff

    @classmethod
    def of(cls, lower: float, upper: float | None, cutoff: Cutoff) -> Thresholds:
        """Return the thresholds, refusing an `upper` that is not above `lower`."""
        _check.number("lower", lower, _check.TEMPERATURE)
        _check.one_of("cutoff", cutoff, ("horizontal", "vertical", "intermediate"))
        if upper is not None and _check.number("upper", upper, _check.TEMPERATURE) <= lower:
            raise ValueError(f"upper must be above lower ({lower}), not {upper}")
        return cls(lower, upper, cutoff)


def thermal_time(curve: Curve, low: Array, high: Array, thresholds: Thresholds) -> Array:
    """Return the area under the curve between the thresholds, never negative."""
    import numpy as np

    lower, upper, cutoff = thresholds
    area, _ = curve(low, high, lower)
    if upper is not None:
        beyond, part_of_day = curve(low, high, upper)
        area = area - beyond
        if cutoff == "intermediate":
            area = area - beyond
        elif cutoff == "vertical":
            area = area - (upper - lower) * part_of_day
    return np.maximum(area, 0.0)


def sine(low: Array, high: Array, threshold: float) -> tuple[Array, Array]:
    import numpy as np

    position = _position(low, high, threshold)
    angle = np.arccos(position)
    bulge = np.sqrt(1.0 - position * position) * (0.5 * (high - low))
    return ((0.5 * (low + high) - threshold) * angle + bulge) / np.pi, angle / np.pi


def triangle(low: Array, high: Array, threshold: float) -> tuple[Array, Array]:
    import numpy as np

    part_of_day = 0.5 - 0.5 * _position(low, high, threshold)
    under_the_lowest = np.maximum(low - threshold, 0.0)
    return part_of_day**2 * (0.5 * (high - low)) + under_the_lowest, part_of_day


def _position(low: Array, high: Array, threshold: float) -> Array:
    """Return where the threshold lies, from -1 at the lowest or below to 1 at the highest.

    A day without any spread divides by zero: infinite becomes the end on its side, and 0 / 0,
    a threshold met exactly, becomes 1 since nothing lies above it. Missing days do so too, but
    their areas stay missing.
    """
    import numpy as np

    with np.errstate(all="ignore"):
        position = (2.0 * threshold - low - high) / (high - low)
    return np.fmax(np.fmin(position, 1.0), -1.0)
