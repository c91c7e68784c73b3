"""What a job works out for the season sheet: odds of the year, and readiness (rules J-1 to J-8)."""

from dataclasses import asdict
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from nursery.domain.planted_together import items
from nursery.domain.profiles import read as read_profile
from nursery.domain.reference import Site, SoilKind
from nursery.domain.reference import read as read_row
from nursery.domain.reference.growing import USUAL_FIT_SHARE
from nursery.domain.season_sheet import growth, odds, planting_days, readiness, sheet
from nursery.domain.season_sheet.readiness import HABIT
from nursery.domain.season_sheet.usual_growth import curve_of
from nursery.science.growth import CropCurve, Measure
from tests.domain.house import House, day
from tests.domain.test_toughening_course import PROFILE
from tests.science.test_growth import HEIGHT_CM, TALL, Nursery

SOWN = date(2031, 3, 3)
CURVE = {
    "ages_days": list(HEIGHT_CM.ages_days),
    "mean": list(HEIGHT_CM.mean),
    "spread": list(HEIGHT_CM.spread),
    "error": HEIGHT_CM.error,
}
FLUSHES = CropCurve((0, 100, 200, 400), (0, 2, 4, 7), (0.3, 0.6, 1.0, 1.5), error=0.3)
FLUSHED = Measure("flushes", 3.0, FLUSHES)
KNOWN = {**PROFILE, "least": {"height_cm": {"low": TALL.minimum}}, "growth": {"height_cm": CURVE}}
IN_FLUSHES = {
    **PROFILE,
    "least": {"flushes": {"low": FLUSHED.minimum}},
    "growth": {"flushes": {**asdict(FLUSHES)}},
}


def sown(plants: int) -> House:
    made = House()
    made.row("crop", "lime", {"name": "Lime", "profile": KNOWN})
    new = {"id": "s", "label": "S", "crop": "lime"}
    made.add("sown", "s", f"{SOWN} 08:00", {"batch": new, "seeds": plants})
    made.add("emerged", "s", "2031-03-20 08:00", {"total": plants})
    return made


def measured(house: House, batch: str, on: date, heights: Any, first: int = 0) -> None:
    plants = [{"tag": str(first + i), "height_cm": float(one)} for i, one in enumerate(heights)]
    house.add("measured", batch, f"{on} 13:00", {"plants": plants})


def forecast(house: House, share: float = 0.9) -> dict[str, Any]:
    book = house.book()
    [item] = items(book)
    _, profile = planting_days.profile_of(item, book)
    assert profile is not None
    grown = growth.of_group(item.batches, profile, book)
    assert grown.state == growth.FORECAST
    return readiness.of_group(item.batches, profile, grown, share, book)


def bought(plants: int) -> House:
    """Plants that came in on 3 March, of an age that nobody knows."""
    house = House()
    house.row("crop", "finger-lime", {"name": "Lime", "profile": KNOWN})
    house.arrive(f"{SOWN} 08:00", ("s",))
    house.count("s", plants, f"{SOWN} 08:10")
    return house


def whole_flushes(house: House, on: date, true: Any, _: Any) -> None:
    plants = [{"tag": str(i), "flushes": int(one)} for i, one in enumerate(np.rint(true))]
    house.add("measured", "s", f"{on} 13:00", {"plants": plants})


def counted(plants: int) -> House:
    house = sown(plants)
    house.row("crop", "lime", {"name": "Lime", "profile": IN_FLUSHES})
    return house


def test_only_groups_that_were_measured_enough_are_forecast_with_the_share_of_the_site() -> None:
    """Rule J-1; without a site the usual share holds."""
    house = sown(20)
    assert readiness.of_book(house.book()) == {}
    for age, height in ((80, 12.0), (105, 16.0)):
        measured(house, "s", SOWN + timedelta(days=age), [height] * 6)
    assert readiness.of_book(house.book()) == {"lime": forecast(house, USUAL_FIT_SHARE)}
    house.row("site", "site", {"latitude": -17, "fit_share": 0.5})
    assert readiness.of_book(house.book())["lime"]["share"] == 0.5


@pytest.mark.parametrize("count", growth.COUNTS)
def test_plants_that_all_have_the_count_asked_for_are_ready(count: str) -> None:
    """Two flushes are two, not a little less in half of the trees."""
    house = sown(30)
    least = {count: {"low": 2}}
    house.row("crop", "lime", {"name": "Lime", "profile": {**PROFILE, "least": least}})
    for on in ("2031-12-04", "2032-01-08", "2032-02-05"):
        plants = [{"tag": str(i), count: 2} for i in range(20)]
        house.add("measured", "s", f"{on} 13:00", {"plants": plants})
    found = forecast(house)
    assert found["day"] <= "2031-12-04"
    assert (found["state"], found["late"] <= "2032-02-05") == ("ready", True)


@pytest.mark.parametrize("typed", [{"error": 0.01}, {"low": 2.4}], ids=str)
def test_a_count_is_off_by_rounding_and_asks_for_whole_ones(typed: dict[str, float]) -> None:
    """Three flushes are asked by 2.4 as well; no one counts flushes to a hundredth."""
    house = sown(30)
    curve = {**asdict(FLUSHES), "error": typed.get("error", 0.3)}
    least = {"flushes": {"low": typed.get("low", 3)}}
    known = {**PROFILE, "least": least, "growth": {"flushes": curve}}
    house.row("crop", "lime", {"name": "Lime", "profile": known})
    other = counted(30)
    for age in (80, 110):
        for one in (house, other):
            whole_flushes(one, SOWN + timedelta(days=age), [1, 1, 2, 2, 2, 3], None)
    assert forecast(house) == forecast(other)


NOTHING_ASKED = {
    "no flushes": {"least": {"height_cm": {"low": 30}, "flushes": {"low": 0}}},
    "no weeks in the nursery": {"least": {"height_cm": {"low": 30}}, "nursery_weeks": {"low": 0}},
}


@pytest.mark.parametrize("typed", NOTHING_ASKED.values(), ids=NOTHING_ASKED)
def test_a_figure_of_nothing_in_a_profile_stops_no_forecast(typed: dict[str, Any]) -> None:
    house = sown(40)
    profile = {name: value for name, value in KNOWN.items() if name != "growth"}
    house.row("crop", "lime", {"name": "Lime", "profile": {**profile, **typed}})
    for age in (80, 110):
        measured(house, "s", SOWN + timedelta(days=age), [20, 22, 24, 26, 28])
    assert list(forecast(house)["fan"]) == ["height_cm"]


def few_alive(house: House) -> None:
    house.count("s", 3, "2031-07-20 08:00")


def no_row(house: House) -> None:
    house.rows["crop"].pop("lime")


def no_profile(house: House) -> None:
    house.row("crop", "lime", {"name": "Lime"})


def again(*heights: float, first: int = 0) -> Any:
    return lambda house: measured(house, "s", SOWN + timedelta(days=130), heights, first)


def asks(**typed: Any) -> Any:
    return lambda house: house.row("crop", "lime", {"name": "Lime", "profile": {**KNOWN, **typed}})


ODD: dict[str, tuple[Any, str]] = {
    "nothing odd": (again(26, 28, 30, 31, 32), "forecast"),
    "fewer alive than were tagged": (few_alive, "forecast"),
    "plants that are as small as nothing": (again(0, 0, 0, 0, 0), "forecast"),
    "plants larger than the crop ever is": (again(500, 501, 502, 503, 504), "ready"),
    "tags that nobody measured before": (again(30, 31, 32, 33, 34, first=70), "forecast"),
    "more tags than plants": (again(*[30] * 150), "forecast"),
    "weeks beyond the life of a nursery": (asks(nursery_weeks={"low": 2000}), "forecast"),
    "a size that none ever has": (asks(least={"height_cm": {"low": 9000}}), "forecast"),
    "nothing of any size asked": (asks(least={"height_cm": {"low": 0}}), "no_minimum"),
    "a count that nobody took": (asks(least={"nodes": {"low": 4}}), "not_enough"),
    "another measure than was taken": (asks(least={"collar_mm": {"low": 5}}), "not_enough"),
    "a crop of which nothing is known": (no_profile, "no_prior"),
    "a crop without a row": (no_row, "no_prior"),
}


@pytest.mark.parametrize(("happens", "state"), ODD.values(), ids=ODD)
def test_odd_books_have_a_sheet_all_the_same(happens: Any, state: str) -> None:
    """Rule J-1: what lacks is said, and no day is told then."""
    house = sown(40)
    for age in (80, 110):
        measured(house, "s", SOWN + timedelta(days=age), [20, 22, 24, 26, 28])
    happens(house)
    book = house.book()
    stored = sheet.Stored(readiness=readiness.of_book(book))
    [found] = sheet.of_book(book, day("2031-08-01"), stored)["items"]
    ready = found["readiness"]
    assert ready["state"] == state
    told = [on for on in (ready["early"], ready["day"], ready["late"]) if on is not None]
    assert told == sorted(told)
    assert bool(told) <= (state in ("forecast", "ready"))


def test_more_measuring_makes_the_interval_narrower() -> None:
    nursery = Nursery(HABIT, seed=5)
    wide = {90: timedelta(), 120: timedelta()}
    for _ in range(30):
        house = sown(60)
        [true] = nursery.batch([TALL], 60)
        for age in (60, 90, 105, 120):
            measured(house, "s", SOWN + timedelta(days=age), np.maximum(true[:20, age], 0))
            if age in wide:
                found = forecast(house, share=0.5)
                until = found["late"] or (SOWN + timedelta(days=400)).isoformat()
                wide[age] += date.fromisoformat(until) - date.fromisoformat(found["early"])
    assert wide[120] < wide[90]


def test_the_age_of_bought_plants_is_the_one_that_their_size_speaks_for() -> None:
    """Rule J-3: 22 cm is what the crop has at 120 days, wherever the plants grew until then."""
    house = bought(40)
    measured(house, "s", date(2031, 7, 1), [20, 21, 22, 23, 24])
    measured(house, "s", date(2031, 7, 31), [26, 27, 27, 29, 30])
    found = forecast(house)
    assert found["fan"]["height_cm"][0]["on"] == "2031-07-31"
    assert found["fan"]["height_cm"][0]["middle"] == pytest.approx(27.8, abs=0.5)
    assert (found["share"], found["batches"]) == (0.9, 1)
    assert found["early"] <= found["day"] <= found["late"]
    # the mean plant passes 30 cm about twelve days later, nine in ten of them well after that
    assert day(found["day"]) > date(2031, 8, 10)


def test_a_measure_that_nobody_took_leaves_the_crop_s_own_curve() -> None:
    profile = {**KNOWN, "least": {"height_cm": {"low": 30}, "collar_mm": {"low": 5}}}
    house = sown(40)
    house.row("crop", "lime", {"name": "Lime", "profile": profile})
    for age in (80, 110):
        measured(house, "s", SOWN + timedelta(days=age), [20, 22, 24, 26, 28])
    assert forecast(house)["fan"]["collar_mm"] == []


def test_a_curve_is_the_typed_one_or_follows_from_smallest_size_and_weeks() -> None:
    profile = read_profile(KNOWN)
    assert curve_of(profile, "height_cm").mean == HEIGHT_CM.mean
    own = curve_of(read_profile(PROFILE), "height_cm")
    assert own.ages_days == (0, 420, 840)  # sixty weeks
    assert own.mean[1] == pytest.approx(1.26 * 45)
    assert own.error == 0.7
    with pytest.raises(KeyError):
        curve_of(profile, "nodes")


# Odds


def years(rain: float, high: float = 30.0, count: int = 3) -> dict[int, dict[str, list[float]]]:
    year = {"rain_mm": [rain] * 366, "low_c": [20.0] * 366, "high_c": [high] * 366}
    return {2001 + i: year for i in range(count)}


def site(**more: Any) -> Site:
    row = read_row("site", "site", {"latitude": -17, **more})
    assert isinstance(row, Site)
    return row


def test_in_a_wet_country_every_day_is_good_and_in_a_desert_none() -> None:
    """Rule J-8."""
    wet, dry = (odds.of_years(years(rain), site()) for rain in (25.0, 0.0))
    middle = {one["day"]: one for one in wet["days"]}["06-15"]
    assert (middle["score"], middle["wet"], middle["holds"]) == (1, 1, 1)
    assert (middle["stress_days"], middle["hot_days"], middle["windy_days"]) == (0, 0, 0)
    assert {one["score"] for one in dry["days"]} <= {0, None}
    assert (wet["without"], dry["windows"]) == (["windy_days"], [])
    assert wet["windows"]


def test_heat_takes_its_share_of_the_days_after() -> None:
    hot = odds.of_years(years(25.0, high=36.0), site(hot_c=35))
    middle = {one["day"]: one for one in hot["days"]}["06-15"]
    assert (middle["hot_days"], middle["score"]) == (60, 0)


def test_days_are_those_of_a_leap_year() -> None:
    found = odds.of_years(years(25.0), site())
    assert [one["day"] for one in found["days"]][58:61] == ["02-28", "02-29", "03-01"]
    assert len(found["days"]) == 366
    assert found["follow_up_days"] == 60


def test_every_kind_of_soil_holds_more_at_field_capacity_than_when_plants_wilt() -> None:
    assert set(odds.SOILS) == set(SoilKind)
    assert all(full > wilting > 0 for full, wilting in odds.SOILS.values())
