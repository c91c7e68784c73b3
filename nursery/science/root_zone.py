"""The soil around the roots as a bucket, day by day.

Depletion is the water missing from field capacity: 0 when the bucket is full, the total
available water (`water.total_available_water`) at the wilting point. Down to the readily
available share a plant takes what the air asks; below it, less and less.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from nursery.science import _arrays, _check

if TYPE_CHECKING:
    from nursery.science._arrays import Array, Numbers

_SHARE = _check.Range(0.0, _check.OPEN_FRACTION.high, "a fraction from 0 and below 1")


class RootZone(NamedTuple):
    """The root zone after a day."""

    depletion: Numbers
    """Water missing from field capacity at the end of the day [mm]."""
    stress: Numbers
    """Stress coefficient of the day: 1 without stress, 0 at the wilting point."""
    drained: Numbers
    """Water lost below the roots on the day [mm]."""


def depletion_fraction(tabled: Numbers, crop_evapotranspiration: Numbers) -> Numbers:
    """Return the share of the available water that can be used before stress begins.

    Args:
        tabled: the crop's share at 5 mm d-1, above 0, up to 1, scalar or array.
        crop_evapotranspiration: what the air asks of the crop, 0 or more [mm d-1].

    Returns:
        Share, 0.1 to 0.8; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO Irrigation and Drainage Paper 56, footnote of table 22.

    >>> round(depletion_fraction(0.4, 8), 2)
    0.28
    """
    import numpy as np

    share = _arrays.array("tabled", tabled, _check.POSITIVE_FRACTION)
    asked = _demand(crop_evapotranspiration)
    _arrays.same_shape(tabled=share, crop_evapotranspiration=asked)
    return _arrays.plain(np.clip(share + 0.04 * (5.0 - asked), 0.1, 0.8))


def readily_available_water(total: Numbers, fraction: Numbers) -> Numbers:
    """Return the water that a plant takes without stress.

    Args:
        total: total available water, above 0, scalar or array [mm].
        fraction: share usable before stress begins, from 0 and below 1, scalar or array.

    Returns:
        Water [mm]; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 83.

    >>> round(readily_available_water(68, 0.3), 1)
    20.4
    """
    held, share = _soil(total, fraction)
    _arrays.same_shape(total=held, fraction=share)
    return _arrays.plain(held * share)


def stress_coefficient(depletion: Numbers, total: Numbers, fraction: Numbers) -> Numbers:
    """Return what part of its demand a plant still takes from a drying root zone.

    Args:
        depletion: water missing from field capacity, 0 or more, scalar or array [mm].
        total: total available water, above 0, scalar or array [mm].
        fraction: share usable before stress begins, from 0 and below 1, scalar or array.

    Returns:
        Coefficient, 1 down to `readily_available_water`, then falling on a straight line to 0
        at `total`; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 84.

    >>> round(stress_coefficient(55, 136, 0.4), 3)
    0.993
    """
    missing = _arrays.array("depletion", depletion, _check.NOT_NEGATIVE)
    held, share = _soil(total, fraction)
    _arrays.same_shape(depletion=missing, total=held, fraction=share)
    return _arrays.plain(_stress(missing, held, share))


def after_day(
    depletion: Numbers,
    *,
    rain: Numbers,
    crop_evapotranspiration: Numbers,
    total: Numbers,
    fraction: Numbers,
) -> RootZone:
    """Return the root zone after one day of rain and use.

    The day's stress follows from the depletion in the morning. What rain brings beyond a full
    bucket drains on the same day; use stops at the wilting point. A series is one call a day,
    each with the depletion that the one before left; many years or places go side by side.

    Args:
        depletion: water missing in the morning, 0 or more, scalar or array [mm].
        rain: rain and irrigation that reach the root zone, 0 or more [mm d-1].
        crop_evapotranspiration: demand without stress, 0 or more [mm d-1].
        total: total available water, above 0 [mm].
        fraction: share usable before stress begins, from 0 and below 1.

    Returns:
        Depletion, stress and drainage; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 81, 84, 85 and 88.

    >>> zone = after_day(55, rain=0, crop_evapotranspiration=6, total=136, fraction=0.4)
    >>> round(zone.depletion, 2), round(zone.stress, 3), zone.drained
    (60.96, 0.993, 0.0)
    """
    import numpy as np

    missing = _arrays.array("depletion", depletion, _check.NOT_NEGATIVE)
    wet = _arrays.array("rain", rain, _check.NOT_NEGATIVE)
    asked = _demand(crop_evapotranspiration)
    held, share = _soil(total, fraction)
    _arrays.same_shape(
        depletion=missing, rain=wet, crop_evapotranspiration=asked, total=held, fraction=share
    )
    stress = _stress(missing, held, share)
    change = stress * asked - wet
    drained = np.maximum(-change - missing, 0.0)
    left = np.clip(missing + change, 0.0, held)
    return RootZone(_arrays.plain(left), _arrays.plain(stress), _arrays.plain(drained))


def _demand(crop_evapotranspiration: Numbers) -> Array:
    return _arrays.array("crop_evapotranspiration", crop_evapotranspiration, _check.NOT_NEGATIVE)


def _soil(total: Numbers, fraction: Numbers) -> tuple[Array, Array]:
    return (
        _arrays.array("total", total, _check.POSITIVE),
        _arrays.array("fraction", fraction, _SHARE),
    )


def _stress(depletion: Array, total: Array, fraction: Array) -> Array:
    import numpy as np

    return np.clip((total - depletion) / ((1.0 - fraction) * total), 0.0, 1.0)
