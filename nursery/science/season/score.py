"""How good each day of the year is for planting, by what the record's years brought after it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from nursery.science import _check
from nursery.science.season.onset import OnsetRule, rains_hold
from nursery.science.season.soil import Layer, Soil, stress_days, wet_deep_enough
from nursery.science.season.weather import DAYS, Weather, planting_days

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Days = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Site:
    """What a planting asks of soil and weather.

    Attributes:
        soil: what water the soil holds.
        hole: the layer that must be wet on the planting day, as it lies open until then.
        wet_share: which share of the water that layer can give must be there, above 0 and up
            to 1, for the soil to count as wet deep enough.
        plant: the root zone of the small plant, as it is after planting.
        rains: what counts as onset of the rains, and how long they must hold.
        follow_up_days: the first days after planting that are looked at, 1 to 366.
        hot_celsius: from which highest temperature on a day is a heat day [°C].
        windy_kmh: from which wind on a day is a wind day [km/h].

    Raises:
        ValueError: a value out of its range.
    """

    soil: Soil
    hole: Layer
    wet_share: float
    plant: Layer
    rains: OnsetRule
    follow_up_days: int
    hot_celsius: float
    windy_kmh: float

    def __post_init__(self) -> None:
        _check.positive_fraction("wet_share", self.wet_share)
        _check.count("follow_up_days", self.follow_up_days, least=1, most=366)
        _check.number("hot_celsius", self.hot_celsius, _check.Range(-20, 60, "-20 to 60 °C"))
        _check.number("windy_kmh", self.windy_kmh, _check.Range(0, 500, "0 to 500 km/h"))


class Parts(NamedTuple):
    """The parts of the score, each an array of years x 366 planting days.

    NaN where missing days could change the value, or the day is not on record. Parts without a
    record are all 0 days and do not lower the score; `Scores.without` names them.
    """

    wet: "Days"
    holds: "Days"
    stress_days: "Days"
    hot_days: "Days"
    windy_days: "Days"


@dataclass(frozen=True, eq=False)  # arrays have no one truth
class Scores:
    """Each planting day over all years, arrays of 366 from 1 January to 31 December.

    A year counts for a planting day only if all parts are known there, so that score and parts
    speak of the same years.

    Attributes:
        wet_odds: share of years in which the soil was wet deep enough.
        hold_odds: share of years in which the rains had set in and held.
        stress_days: mean days of water stress in the follow-up.
        hot_days: mean heat days in the follow-up.
        windy_days: mean wind days in the follow-up.
        score: mean over years, 0 to 1.
        low: what the score of a year fell below in one tail of the interval.
        high: what it rose above in the other.
        years: years that count.
        years_on_record: years in which the planting day is on record at all.
        missing_days: days with a missing value among planting day and follow-up, of all years.
        by_year: score of every year, years x 366; NaN where it is not known.
        parts: the parts of every year.
        without: parts for which there is no record.
    """

    wet_odds: "Days"
    hold_odds: "Days"
    stress_days: "Days"
    hot_days: "Days"
    windy_days: "Days"
    score: "Days"
    low: "Days"
    high: "Days"
    years: "npt.NDArray[np.int64]"
    years_on_record: "npt.NDArray[np.int64]"
    missing_days: "npt.NDArray[np.int64]"
    by_year: "Days"
    parts: Parts
    without: tuple[str, ...]


def planting_scores(weather: Weather, site: Site, interval: float = 0.8) -> Scores:
    """Return how good every day of the year is for planting, with its parts and an interval.

    The plant goes in late on the planting day: the rain of that day is in the soil, and the
    follow-up begins on the next. The score of a year is the product of its parts, each 0 to 1:
    wet deep enough (or not), rains hold (or not), and the shares of follow-up days without
    water stress, without heat and without wind. So one part that fails spoils the day.

    Args:
        weather: the record; the more years, the better: 10 tell little, 30 much.
        site: soil, plant and limits.
        interval: share of years between `low` and `high`, above 0 and below 1.

    Raises:
        ValueError: an interval out of range.

    Source:
        Soil and stress: FAO Irrigation and Drainage Paper 56 (1998) eq. 82, 84, 85. Rains: see
        `OnsetRule`. The product of the parts: common practice, no source.
    """
    _check.open_fraction("interval", interval)
    parts = _parts(weather, site)
    return _summarised(weather, site, parts, interval)


def _parts(weather: Weather, site: Site) -> Parts:
    import numpy as np

    rain = np.asarray(weather.rain_mm, np.float64)
    demand = np.asarray(weather.evapotranspiration_mm, np.float64)
    wet, fullness = wet_deep_enough(rain, demand, site.soil, site.hole, site.wet_share)
    surely, maybe = rains_hold(rain, site.rains)
    stress = stress_days(rain, demand, fullness, (site.soil, site.plant), site.follow_up_days)
    days = site.follow_up_days
    found = (
        wet,
        np.where(surely == maybe, surely.astype(np.float64), np.nan),
        stress,
        _days_from(weather.max_celsius, site.hot_celsius, days, len(rain)),
        _days_from(weather.wind_kmh, site.windy_kmh, days, len(rain)),
    )
    places = planting_days(weather)
    return Parts(*(np.where(places < 0, np.nan, part[places]) for part in found))


def _days_from(values: "Days | None", limit: float, days: int, length: int) -> "Days":
    """Return for each day how many of the days after it reach the limit; NaN where one misses."""
    import numpy as np

    if values is None:
        return np.zeros(length)
    known = np.asarray(values, np.float64)
    reached = following_sum(np.nan_to_num(known, nan=-np.inf) >= limit, days)
    return np.where(following_sum(~np.isnan(known), days) < days, np.nan, reached)


def following_sum(counted: "npt.NDArray[np.bool_]", days: int) -> "npt.NDArray[np.int64]":
    """Return for each day how many of the `days` after it are counted; none after the end."""
    import numpy as np

    total = np.concatenate(([0], np.cumsum(counted), np.full(days, np.sum(counted))))
    here = np.arange(len(counted)) + 1
    summed: npt.NDArray[np.int64] = total[here + days] - total[here]
    return summed


def _summarised(weather: Weather, site: Site, parts: Parts, interval: float) -> Scores:
    import numpy as np

    days = site.follow_up_days
    by_year = parts.wet * parts.holds
    for lost in (parts.stress_days, parts.hot_days, parts.windy_days):
        by_year = by_year * (1 - lost / days)
    known = ~np.isnan(by_year)
    years = known.sum(axis=0)
    some = np.where(years > 0, years, 1)
    means = [
        np.where(years > 0, np.where(known, part, 0.0).sum(axis=0) / some, np.nan)
        for part in (*parts, by_year)
    ]
    low, high = _quantiles(by_year, years, ((1 - interval) / 2, (1 + interval) / 2))
    places = planting_days(weather)
    missing = weather.missing()
    gaps = missing + days - following_sum(~missing, days)
    absent = {"hot_days": weather.max_celsius, "windy_days": weather.wind_kmh}
    return Scores(
        wet_odds=means[0],
        hold_odds=means[1],
        stress_days=means[2],
        hot_days=means[3],
        windy_days=means[4],
        score=means[5],
        low=low,
        high=high,
        years=years,
        years_on_record=(places >= 0).sum(axis=0),
        missing_days=np.where(places < 0, 0, gaps[places]).sum(axis=0),
        by_year=by_year,
        parts=parts,
        without=tuple(name for name, values in absent.items() if values is None),
    )


def _quantiles(
    by_year: "Days", years: "npt.NDArray[np.int64]", shares: tuple[float, ...]
) -> list["Days"]:
    """Return quantiles of each planting day over its known years, linear between two years."""
    import numpy as np

    ordered = np.sort(by_year, axis=0)  # NaN goes last
    column = np.arange(DAYS)
    found = []
    for share in shares:
        place = share * np.maximum(years - 1, 0)
        below = np.floor(place).astype(np.int64)
        above = np.minimum(below + 1, np.maximum(years - 1, 0))
        step = place - below
        found.append(ordered[below, column] * (1 - step) + ordered[above, column] * step)
    return found
