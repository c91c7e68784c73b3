"""What the sun and the air ask of plants, and how much water a root zone holds for them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nursery.science import _arrays, _check, air

if TYPE_CHECKING:
    from nursery.science._arrays import Array, Numbers

_LATITUDE = _check.Range(-90.0, 90.0, "a latitude from -90 to 90 degrees")
_DAY_OF_YEAR = _check.Range(1.0, 366.0, "a day of the year from 1 to 366")
_SOLAR_CONSTANT = 0.0820  # MJ m-2 min-1
_MINUTES_PER_DAY = 24.0 * 60.0
_MM_PER_MJ = 0.408  # evaporated by 1 MJ m-2


def extraterrestrial_radiation(latitude_deg: Numbers, day_of_year: Numbers) -> Numbers:
    """Return the daily sunshine above the atmosphere.

    Args:
        latitude_deg: latitude, -90 to 90, north positive, scalar or array [degree].
        day_of_year: 1 to 366, scalar or array.

    Returns:
        Radiation, 0 in polar night [MJ m-2 d-1]; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO Irrigation and Drainage Paper 56, eq. 21 and 23 to 25.

    >>> round(extraterrestrial_radiation(-22.9, 135), 1)
    25.1
    """
    import numpy as np

    latitude, day, declination, sunset = _sun(latitude_deg, day_of_year)
    distance = 1.0 + 0.033 * np.cos(2.0 * np.pi * day / 365.0)
    height = sunset * np.sin(latitude) * np.sin(declination)
    height = height + np.cos(latitude) * np.cos(declination) * np.sin(sunset)
    radiation = _MINUTES_PER_DAY / np.pi * _SOLAR_CONSTANT * distance * height
    # At the edge of polar night rounding can leave a trace below nothing.
    return _arrays.plain(np.maximum(radiation, 0.0))


def daylight_hours(latitude_deg: Numbers, day_of_year: Numbers) -> Numbers:
    """Return the hours between sunrise and sunset of the sun's centre.

    Args:
        latitude_deg: latitude, -90 to 90, north positive, scalar or array [degree].
        day_of_year: 1 to 366, scalar or array.

    Returns:
        Hours, 24 on a polar day and 0 in polar night [h]; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 24, 25 and 34.

    >>> round(daylight_hours(-22.9, 135), 1), daylight_hours(80, 172)
    (10.9, 24.0)
    """
    import numpy as np

    *_, sunset = _sun(latitude_deg, day_of_year)
    return _arrays.plain(24.0 / np.pi * sunset)


def reference_evapotranspiration(
    *,
    mean_celsius: Numbers,
    net_radiation: Numbers,
    soil_heat_flux: Numbers,
    wind_2m: Numbers,
    saturation_kpa: Numbers,
    actual_kpa: Numbers,
    pressure_kpa: Numbers,
) -> Numbers:
    """Return the evapotranspiration of the reference grass by Penman and Monteith.

    Args:
        mean_celsius: mean air temperature, -100 to 100, scalar or array [°C].
        net_radiation: net radiation at the crop, finite, scalar or array [MJ m-2 d-1].
        soil_heat_flux: heat into the soil, finite, about 0 over a day [MJ m-2 d-1].
        wind_2m: wind speed at 2 m, 0 or more, scalar or array [m s-1].
        saturation_kpa: mean saturation vapour pressure, above 0, scalar or array [kPa].
        actual_kpa: actual vapour pressure, 0 to `saturation_kpa`, scalar or array [kPa].
        pressure_kpa: atmospheric pressure, above 0, scalar or array [kPa].

    Returns:
        Evapotranspiration; below 0 where dew falls [mm d-1]. NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 6.

    >>> round(
    ...     reference_evapotranspiration(
    ...         mean_celsius=16.9, net_radiation=13.28, soil_heat_flux=0, wind_2m=2.078,
    ...         saturation_kpa=1.997, actual_kpa=1.409, pressure_kpa=100.1,
    ...     ), 1,
    ... )
    3.9
    """
    mean = _arrays.array("mean_celsius", mean_celsius, air.CELSIUS)
    radiation = _arrays.array("net_radiation", net_radiation, _check.FINITE)
    heat = _arrays.array("soil_heat_flux", soil_heat_flux, _check.FINITE)
    wind = _arrays.array("wind_2m", wind_2m, _check.NOT_NEGATIVE)
    saturation = _arrays.array("saturation_kpa", saturation_kpa, _check.POSITIVE)
    actual = _arrays.array("actual_kpa", actual_kpa, _check.NOT_NEGATIVE)
    gamma = air.psychrometric_constant(pressure_kpa)
    _arrays.same_shape(
        mean_celsius=mean,
        net_radiation=radiation,
        soil_heat_flux=heat,
        wind_2m=wind,
        saturation_kpa=saturation,
        actual_kpa=actual,
        pressure_kpa=_arrays.array("pressure_kpa", pressure_kpa, _check.POSITIVE),
    )
    actual = _but_for_rounding(actual, saturation)
    _arrays.ordered("actual_kpa", actual, "saturation_kpa", saturation)
    slope = air.vapour_pressure_slope(mean)
    sun = _MM_PER_MJ * slope * (radiation - heat)
    drying = gamma * 900.0 / (mean + 273.0) * wind * (saturation - actual)
    return _arrays.plain((sun + drying) / (slope + gamma * (1.0 + 0.34 * wind)))


def _but_for_rounding(actual: Array, saturation: Array) -> Array:
    """Return vapour pressures; those of saturated air may come in a last bit above saturation."""
    import numpy as np

    return np.where(actual > saturation * (1.0 + 1e-9), actual, np.minimum(actual, saturation))


def hargreaves(low: Numbers, high: Numbers, radiation: Numbers) -> Numbers:
    """Return the evapotranspiration of the reference grass from temperatures alone.

    Args:
        low: the day's lowest air temperature, -100 to 100, scalar or array [°C].
        high: the day's highest air temperature, not below `low`, scalar or array [°C].
        radiation: extraterrestrial radiation, 0 or more, scalar or array [MJ m-2 d-1].

    Returns:
        Evapotranspiration, 0 where the mean lies below -17.8 °C [mm d-1]; NaN where an element
        is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 52.

    >>> round(hargreaves(14.8, 26.6, 40.55), 1)
    5.0
    """
    import numpy as np

    lows = _arrays.array("low", low, air.CELSIUS)
    highs = _arrays.array("high", high, air.CELSIUS)
    sun = _arrays.array("radiation", radiation, _check.NOT_NEGATIVE)
    _arrays.same_shape(low=lows, high=highs, radiation=sun)
    _arrays.ordered("low", lows, "high", highs)
    warmth = np.maximum((lows + highs) / 2.0 + 17.8, 0.0)
    return _arrays.plain(0.0023 * warmth * np.sqrt(highs - lows) * sun * _MM_PER_MJ)


def total_available_water(
    field_capacity: Numbers, wilting_point: Numbers, root_depth_m: Numbers
) -> Numbers:
    """Return the water that a root zone holds between field capacity and wilting point.

    Args:
        field_capacity: water held against drainage, 0 to 1, scalar or array [m3 m-3].
        wilting_point: water that roots cannot take, 0 to `field_capacity` [m3 m-3].
        root_depth_m: depth of the roots, above 0, scalar or array [m].

    Returns:
        Water [mm]; NaN where an element is missing.

    Raises:
        ValueError: an argument out of range, a scalar NaN, or arrays of unequal length.

    Source:
        Allen et al. (1998) FAO-56, eq. 82.

    >>> round(total_available_water(0.32, 0.15, 0.4), 6)
    68.0
    """
    capacity = _arrays.array("field_capacity", field_capacity, _check.FRACTION)
    wilting = _arrays.array("wilting_point", wilting_point, _check.FRACTION)
    depth = _arrays.array("root_depth_m", root_depth_m, _check.POSITIVE)
    _arrays.same_shape(field_capacity=capacity, wilting_point=wilting, root_depth_m=depth)
    _arrays.ordered("wilting_point", wilting, "field_capacity", capacity)
    return _arrays.plain(1000.0 * (capacity - wilting) * depth)


def _sun(latitude_deg: Numbers, day_of_year: Numbers) -> tuple[Array, Array, Array, Array]:
    """Return latitude [rad], day of the year, solar declination [rad], sunset hour angle [rad].

    Beyond the polar circles the sun does not cross the horizon every day; the angle then stays
    at 0 in polar night and at pi on a polar day.
    """
    import numpy as np

    degrees = _arrays.array("latitude_deg", latitude_deg, _LATITUDE)
    day = _arrays.array("day_of_year", day_of_year, _DAY_OF_YEAR)
    _arrays.same_shape(latitude_deg=degrees, day_of_year=day)
    latitude = np.radians(degrees)
    declination = 0.409 * np.sin(2.0 * np.pi * day / 365.0 - 1.39)
    crossing = np.clip(-np.tan(latitude) * np.tan(declination), -1.0, 1.0)
    return latitude, day, declination, np.arccos(crossing)
