"""A record of daily weather, and how its days fall on the planting days of the years."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from nursery.science import _arrays, _check
from nursery.science.season.onset import RAIN, Onset, OnsetRule, onset
from nursery.science.season.soil import EVAPOTRANSPIRATION

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Days = npt.NDArray[np.float64]

DAYS = 366
_LEAP_DAY = 59
_CELSIUS = _check.Range(-90.0, 60.0, "a temperature of -90 to 60 °C")
_WIND = _check.Range(0.0, 500.0, "a wind of 0 to 500 km/h")


@dataclass(frozen=True, eq=False)  # arrays have no one truth
class Weather:
    """Daily weather without a break in its dates; NaN is a missing value.

    Attributes:
        first_day: date of the first value.
        rain_mm: rain [mm d-1].
        evapotranspiration_mm: reference evapotranspiration [mm d-1].
        max_celsius: the day's highest temperature [°C]; None where there is no record of it.
        wind_kmh: the day's wind as the limit means it [km/h]; None where there is no record.

    Raises:
        ValueError: an empty record, series of unequal length, a value no weather has.
    """

    first_day: date
    rain_mm: "Days"
    evapotranspiration_mm: "Days"
    max_celsius: "Days | None" = None
    wind_kmh: "Days | None" = None

    def __post_init__(self) -> None:
        ranges = {
            "rain_mm": RAIN,
            "evapotranspiration_mm": EVAPOTRANSPIRATION,
            "max_celsius": _CELSIUS,
            "wind_kmh": _WIND,
        }
        series = {name: getattr(self, name) for name in ranges if getattr(self, name) is not None}
        for name, value in series.items():
            if _arrays.array(name, value, ranges[name]).ndim != 1:
                raise ValueError(f"{name} must be one series of days, not years x days")
        if not _check.same_length(**series):
            raise ValueError("rain_mm must be at least one day, not an empty series")

    @property
    def years(self) -> tuple[int, ...]:
        """The calendar years that the record touches, in order."""
        last = date.fromordinal(self.first_day.toordinal() + len(self.rain_mm) - 1)
        return tuple(range(self.first_day.year, last.year + 1))

    def missing(self) -> "npt.NDArray[np.bool_]":
        """Return for each day whether any of the series on record lacks its value."""
        import numpy as np

        series = [self.rain_mm, self.evapotranspiration_mm, self.max_celsius, self.wind_kmh]
        known = [np.asarray(values, np.float64) for values in series if values is not None]
        lacking: npt.NDArray[np.bool_] = np.isnan(np.sum(known, axis=0))
        return lacking


def planting_days(weather: Weather) -> "npt.NDArray[np.int64]":
    """Return, for years x 366 planting days, the place of the day in the record; -1 off it.

    The planting days are those of a leap year. A common year has no 29 February; its
    28 February stands in, so that a day that comes every four years breaks no window.

    Source:
        The calendar; the stand-in is this program's own choice.
    """
    import numpy as np

    leap = np.arange(DAYS)
    common = leap - (leap >= _LEAP_DAY)
    begin = weather.first_day.toordinal()
    places = np.array(
        [
            (leap if _is_leap(year) else common) + date(year, 1, 1).toordinal() - begin
            for year in weather.years
        ]
    )
    return np.where((places < 0) | (places >= len(weather.rain_mm)), -1, places)


def season_onsets(weather: Weather, rule: OnsetRule, planting_day: int) -> dict[int, Onset]:
    """Return the onset of the rains of every season on record, by the year the season begins in.

    Args:
        weather: the record; rain alone is used.
        rule: what counts as onset.
        planting_day: the set day from which each season is looked at, 0 (1 January) to 365.

    Returns:
        For each year in which the set day is on record: the onset, in days after the set day and
        less than 366 of them. The rain of the days before the set day counts to the amount.

    Raises:
        ValueError: a planting day out of range.

    Source:
        The rule of `onset`, season by season.
    """
    import numpy as np

    _check.count("planting_day", planting_day, most=DAYS - 1)
    rain = np.asarray(weather.rain_mm, np.float64)
    found = {}
    starts = planting_days(weather)[:, planting_day].tolist()
    for year, start in zip(weather.years, starts, strict=True):
        if start < 0:
            continue
        before = min(start, rule.within_days - 1)
        season = rain[start - before : start + DAYS + rule.look_ahead_days]
        within = (
            at - before if at is not None and at - before < DAYS else None
            for at in onset(season, rule, before)
        )
        found[year] = Onset(*within)
    return found


def month_day(planting_day: int) -> tuple[int, int]:
    """Return month and day of a planting day, 0 to 365.

    Raises:
        ValueError: a planting day out of range.

    >>> month_day(0), month_day(59), month_day(365)
    ((1, 1), (2, 29), (12, 31))
    """
    _check.count("planting_day", planting_day, most=DAYS - 1)
    day = date.fromordinal(date(2000, 1, 1).toordinal() + planting_day)
    return day.month, day.day


def _is_leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
