"""The odds of the year by planting day, from the weather on record (rules J-7 and J-8).

Calls what loads numpy: for jobs alone.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from math import isnan
from typing import Any

from nursery.domain.reference import Site, SoilKind
from nursery.science import season

# By year and measure the values by day of the year, None where missing, in the units of the book.
Years = Mapping[int, Mapping[str, Sequence[float | None]]]

# Water held at field capacity and at the wilting point, shares of the volume: the middles of the
# ranges of FAO-56 table 19 (from memory).
SOILS: Mapping[SoilKind, tuple[float, float]] = {
    SoilKind.SAND: (0.12, 0.045),
    SoilKind.LOAMY_SAND: (0.15, 0.065),
    SoilKind.SANDY_LOAM: (0.23, 0.11),
    SoilKind.LOAM: (0.25, 0.12),
    SoilKind.SILT_LOAM: (0.29, 0.15),
    SoilKind.SILT: (0.32, 0.17),
    SoilKind.SILT_CLAY_LOAM: (0.335, 0.205),
    SoilKind.SILTY_CLAY: (0.36, 0.23),
    SoilKind.CLAY: (0.36, 0.22),
}
# Bare ground over an open hole, and a young plant over its root ball: coefficient and share of the
# water that is drawn without stress. (FAO-56, from memory.)
BARE, YOUNG = (0.4, 0.3), (0.7, 0.5)
# A hole is wet with so much of what it can hold for plants; with less rain a day counts as dry.
# (Both from memory.)
WET_SHARE, WET_DAY_MM = 0.6, 0.85
# A run of days is shown as good with such odds, from such a length on. (Choices of the product.)
GOOD, SHORTEST_DAYS = 0.5, 10
PLANTING_DAYS = 366
LEAP_YEAR = date(2032, 1, 1)


def of_years(years: Years, site: Site) -> dict[str, Any]:
    """Return the odds of each of 366 planting days with their parts, and the runs of good days.

    Raises:
        ValueError: a value that no weather has, or no year at all.
    """
    weather = season.weather_of(years, site.latitude)
    found = season.planting_scores(weather, asked(site))
    runs = season.windows(found.score, GOOD, SHORTEST_DAYS)
    parts = {
        "score": found.score,
        "low": found.low,
        "high": found.high,
        "wet": found.wet_odds,
        "holds": found.hold_odds,
        "stress_days": found.stress_days,
        "hot_days": found.hot_days,
        "windy_days": found.windy_days,
    }
    return {
        "follow_up_days": int(site.follow_up_days),
        "years": int(found.years.max()),
        "without": list(found.without),
        "windows": [{"first": _name(run.first), "last": _name(run.last)} for run in runs],
        "days": [
            {
                "day": _name(n),
                **{part: _rounded(values[n]) for part, values in parts.items()},
                "years": int(found.years[n]),
            }
            for n in range(PLANTING_DAYS)
        ],
    }


def asked(site: Site) -> season.Site:
    """Return what a planting asks of soil and weather at a site."""
    rains = site.rains
    return season.Site(
        soil=season.Soil(*SOILS[site.soil]),
        hole=season.Layer(site.hole_cm / 100, *BARE),
        wet_share=WET_SHARE,
        plant=season.Layer(site.root_cm / 100, *YOUNG),
        rains=season.OnsetRule(
            amount_mm=rains.amount_mm,
            within_days=rains.within_days,
            wet_days=1,
            wet_day_mm=WET_DAY_MM,
            longest_dry_days=max(0, rains.dry_days - 1),
            look_ahead_days=rains.ahead_days,
        ),
        follow_up_days=site.follow_up_days,
        hot_celsius=site.hot_c,
        windy_kmh=site.windy_kmh,
    )


def _name(day: int) -> str:
    return f"{LEAP_YEAR + timedelta(days=day):%m-%d}"


def _rounded(value: float) -> float | None:
    return None if isnan(value) else round(float(value), 3)
