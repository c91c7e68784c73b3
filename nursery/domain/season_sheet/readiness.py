"""When a group is grown enough to plant: its own measurements and its crop's curve (rule J-3).

Calls what loads numpy: for jobs alone.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from math import ceil
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.figures import Curve
from nursery.domain.planted_together import items
from nursery.domain.profiles import Profile
from nursery.domain.reference.growing import USUAL_FIT_SHARE
from nursery.domain.season_sheet import growth, kin, planting_days
from nursery.domain.season_sheet.growth import Growth
from nursery.domain.season_sheet.usual_growth import OF_COUNTS, curve_of
from nursery.science.growth import (
    Ahead,
    CropCurve,
    Forecast,
    Habit,
    Measure,
    forecast,
    measure_of,
)

# How batches of a crop differ from another; no crop's own figures are known. (From memory.)
HABIT = Habit(between_batches=0.4, lasting_days=120.0, together=0.5, worth_plants=12.0)
INTERVAL = 0.8
# What is counted is whole: a plant is counted as having three from two and a half on.
HALF = 0.5
FAN_ENDS = 1500


def of_book(book: Book) -> dict[str, dict[str, Any]]:
    """Return the forecast of every group of the sheet for which one can be made (rule J-1)."""
    share = next((row.fit_share for _, row in book.rows_of("site")), USUAL_FIT_SHARE)
    found = {}
    for item in items(book):
        _, profile = planting_days.profile_of(item, book)
        grown = growth.of_group(item.batches, profile, book)
        if profile is not None and grown.state == growth.FORECAST:
            found[item.id] = of_group(item.batches, profile, grown, share, book)
    return found


def of_group(
    batches: tuple[Batch, ...], profile: Profile, grown: Growth, share: float, book: Book
) -> dict[str, Any]:
    """Return the forecast of the day on which a share of the plants has every smallest size."""
    asked = grown.asked
    curves = {name: curve_of(profile, name) for name in asked}
    began = _began(batches, grown, curves, book)
    tags = sorted({tag for name in asked for tag in grown.sizes.get(name, {})})
    measures = [_measure(name, asked[name], curves[name], (grown, tags, began)) for name in asked]
    alive = max(sum(one.alive or 0 for one in batches), len(tags), 1)
    found = forecast(measures, alive, share, HABIT, interval=INTERVAL)
    return {
        "state": _state(began, found, grown),
        "early": _day(began, found.early),
        "day": _day(began, found.day),
        "late": _day(began, found.late),
        "reached": round(found.reached, 3),
        "share": share,
        "batches": len(batches),
        "fan": {name: _fan(ahead, began) for name, ahead in zip(asked, found.fans, strict=True)},
    }


def _state(began: date, found: Forecast, grown: Growth) -> str:
    """Tell those that were big enough on the day last measured from those that are awaited."""
    late = None if found.late is None else began + timedelta(days=found.late)
    return growth.FORECAST if late is None or late > grown.days[-1] else growth.READY


def _began(
    batches: tuple[Batch, ...], grown: Growth, curves: Mapping[str, Curve], book: Book
) -> date:
    """Return the day on which the plants are taken to have begun to grow (rule J-3).

    Of what was sown here it is that day; of others nobody knows the age, so it is the day that the
    size first measured speaks for.
    """
    sown = [kin.sown_at(one, book) for one in batches]
    known = [at for at in sown if at is not None]
    if len(known) == len(sown):
        return book.day(min(known))
    name = next(name for name in curves if grown.sizes.get(name))
    first = min(day for of in grown.sizes[name].values() for day in of)
    on = [of[first] for of in grown.sizes[name].values() if first in of]
    return first - timedelta(days=round(_prior(name, curves[name]).age_at(sum(on) / len(on))))


def _measure(
    name: str, least: float, curve: Curve, plants: tuple[Growth, list[str], date]
) -> Measure:
    grown, tags, began = plants
    of = grown.sizes.get(name, {})
    days = sorted({day for sizes in of.values() for day in sizes if day >= began})
    return measure_of(
        name,
        ceil(least) - HALF if name in growth.COUNTS else least,
        _prior(name, curve),
        [float((day - began).days) for day in days],
        [[of.get(tag, {}).get(day) for day in days] for tag in tags],
    )


def _prior(name: str, curve: Curve) -> CropCurve:
    """Return what is known of the crop; a count is off by what rounding takes or adds at least."""
    error = max(curve.error, OF_COUNTS) if name in growth.COUNTS else curve.error
    return CropCurve(curve.ages_days, curve.mean, curve.spread, error)


def _fan(ahead: Sequence[Ahead], began: date) -> list[dict[str, Any]]:
    """Return middle and 80 % band of single plants from the last measuring on, every fortnight."""
    return [
        {
            "on": _day(began, round(one.age)),
            "low": round(one.low, 1),
            "middle": round(one.middle, 1),
            "high": round(one.high, 1),
        }
        for one in ahead
        if one.age <= FAN_ENDS
    ]


def _day(began: date, age: int | None) -> str | None:
    return None if age is None else (began + timedelta(days=age)).isoformat()
