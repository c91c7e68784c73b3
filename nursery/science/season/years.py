"""A record of weather from years of lists, as files and tables hold it."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from nursery.science import water
from nursery.science.season.weather import Weather

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Days = npt.NDArray[np.float64]

Years = Mapping[int, Mapping[str, Sequence[float | None]]]
RAIN, LOW, HIGH, WIND = "rain_mm", "low_c", "high_c", "wind_kmh"
DEMAND = "evapotranspiration_mm"


def weather_of(years: Years, latitude_deg: float) -> Weather:
    """Return the record without a break in its dates; a year that lacks is a year of gaps.

    Args:
        years: by year and measure the values by day of the year, None where missing. Measures are
            `rain_mm`, `low_c`, `high_c`, `wind_kmh` and `evapotranspiration_mm`; the last is worked
            out from lows and highs where it lacks.
        latitude_deg: south is negative, -90 to 90.

    Raises:
        ValueError: no year, or a value that no weather has.

    Source:
        Hargreaves, FAO-56 eq. 52, never below 0; a day whose low is above its high gives none.
    """
    import numpy as np

    if not years:
        raise ValueError("years must be at least one, not none")
    begin = date(min(years), 1, 1)
    rain, low, high, wind, demand = (
        np.concatenate([_year(years, year, name) for year in range(begin.year, max(years) + 1)])
        for name in (RAIN, LOW, HIGH, WIND, DEMAND)
    )
    worked_out = _demand(low, high, begin, latitude_deg)
    return Weather(
        first_day=begin,
        rain_mm=rain,
        evapotranspiration_mm=np.where(np.isnan(demand), worked_out, demand),
        max_celsius=None if np.isnan(high).all() else high,
        wind_kmh=None if np.isnan(wind).all() else wind,
    )


def _year(years: Years, year: int, name: str) -> "Days":
    import numpy as np

    length = (date(year + 1, 1, 1) - date(year, 1, 1)).days
    known = years.get(year, {}).get(name) or ()
    values = [np.nan if value is None else value for value in known[:length]]
    return np.array([*values, *[np.nan] * (length - len(values))], np.float64)


def _demand(low: "Days", high: "Days", begin: date, latitude_deg: float) -> "Days":
    import numpy as np

    days = [(begin + timedelta(days=i)).timetuple().tm_yday for i in range(len(low))]
    radiation = water.extraterrestrial_radiation(latitude_deg, np.array(days))
    sound = low <= high
    lows, highs = np.where(sound, low, np.nan), np.where(sound, high, np.nan)
    demand: Days = np.maximum(water.hargreaves(lows, highs, radiation), 0.0)
    return demand
