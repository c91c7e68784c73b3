"""Water vapour and pressure of the air."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nursery.science import _arrays, _check

if TYPE_CHECKING:
    from nursery.science._arrays import Array, Numbers

CELSIUS = _check.Range(-100.0, 100.0, "a temperature from -100 to 100 °C")
ELEVATION = _check.Range(-500.0, 11000.0, "an elevation from -500 to 11000 m")


def saturation_vapour_pressure(celsius: Numbers) -> Numbers:
    """Return the vapour pressure of saturated air over water.

    Args:
        celsius: air temperature, -100 to 100, scalar or array [°C].

    Returns:
        Vapour pressure [kPa]; NaN where an element is missing.

    Raises:
        ValueError: a temperature out of range, or a scalar NaN.

    Source:
        Allen et al. (1998) FAO Irrigation and Drainage Paper 56, eq. 11.

    >>> round(saturation_vapour_pressure(24.5), 3)
    3.075
    """
    return _arrays.plain(_saturation(_arrays.array("celsius", celsius, CELSIUS)))


def vapour_pressure_slope(celsius: Numbers) -> Numbers:
    """Return by how much saturated vapour pressure rises per degree.

    Args:
        celsius: air temperature, -100 to 100, scalar or array [°C].

    Returns:
        Slope [kPa °C-1]; NaN where an element is missing.

    Raises:
        ValueError: a temperature out of range, or a scalar NaN.

    Source:
        Allen et al. (1998) FAO-56, eq. 13.

    >>> round(vapour_pressure_slope(20), 3)
    0.145
    """
    temperature = _arrays.array("celsius", celsius, CELSIUS)
    return _arrays.plain(4098.0 * _saturation(temperature) / (temperature + 237.3) ** 2)


def vapour_pressure_deficit(celsius: Numbers, relative_humidity_percent: Numbers) -> Numbers:
    """Return how much vapour the air could still take up.

    Args:
        celsius: air temperature, -100 to 100, scalar or array [°C].
        relative_humidity_percent: relative humidity, 0 to 100, scalar or array [%].

    Returns:
        Deficit, 0 in saturated air [kPa]; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 10 and 11.

    >>> round(vapour_pressure_deficit(25, 60), 3)
    1.267
    """
    temperature = _arrays.array("celsius", celsius, CELSIUS)
    humidity = _arrays.array("relative_humidity_percent", relative_humidity_percent, _check.PERCENT)
    _arrays.same_shape(celsius=temperature, relative_humidity_percent=humidity)
    return _arrays.plain(_saturation(temperature) * (1.0 - humidity / 100.0))


def psychrometric_constant(pressure_kpa: Numbers) -> Numbers:
    """Return the psychrometric constant of the air.

    Args:
        pressure_kpa: atmospheric pressure, above 0, scalar or array [kPa].

    Returns:
        Constant [kPa °C-1]; NaN where an element is missing.

    Raises:
        ValueError: a pressure out of range, or a scalar NaN.

    Source:
        Allen et al. (1998) FAO-56, eq. 8.

    >>> round(psychrometric_constant(81.8), 3)
    0.054
    """
    return _arrays.plain(0.000665 * _arrays.array("pressure_kpa", pressure_kpa, _check.POSITIVE))


def pressure(elevation_m: Numbers) -> Numbers:
    """Return the usual atmospheric pressure at an elevation.

    Args:
        elevation_m: height above sea level, -500 to 11000, scalar or array [m].

    Returns:
        Pressure [kPa]; NaN where an element is missing.

    Raises:
        ValueError: an elevation out of range, or a scalar NaN.

    Source:
        Allen et al. (1998) FAO-56, eq. 7, for 20 °C.

    >>> round(pressure(1800), 1)
    81.8
    """
    elevation = _arrays.array("elevation_m", elevation_m, ELEVATION)
    return _arrays.plain(101.3 * ((293.0 - 0.0065 * elevation) / 293.0) ** 5.26)


def _saturation(celsius: Array) -> Array:
    import numpy as np

    return 0.6108 * np.exp(17.27 * celsius / (celsius + 237.3))
