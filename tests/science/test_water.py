import math
from typing import Any

import numpy as np
import pandas as pd
import pvlib
import pyet
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from nursery.science import air, root_zone, water

LATITUDES = st.floats(-89.0, 89.0)
DAYS = st.integers(1, 365)


def near(case: dict[str, Any], expected: Any = None) -> Any:
    expected = case["expected"] if expected is None else expected
    return pytest.approx(expected, abs=case["tolerance"], rel=0)


def one_day(value: float, day: int = 187) -> "pd.Series[float]":
    return pd.Series(
        [value], index=pd.DatetimeIndex([pd.Timestamp(2021, 1, 1)]) + pd.Timedelta(days=day - 1)
    )


@pytest.mark.published("water", "ex10-rs")
def test_sunshine_and_day_length_in_a_worked_example(case: dict[str, Any]) -> None:
    place = (case["inputs"]["lat"], case["inputs"]["doy"])
    radiation, hours = water.extraterrestrial_radiation(*place), water.daylight_hours(*place)
    assert radiation == near(case, case["expected"]["Ra"])
    assert hours == near(case, case["expected"]["N"])
    sunshine = 220 / 31  # hours a day, as printed
    assert (0.25 + 0.5 * sunshine / hours) * radiation == near(case, case["expected"]["Rs"])


@pytest.mark.published("water", "ex20-hargreaves")
def test_hargreaves_in_a_worked_example(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    radiation = water.extraterrestrial_radiation(given_["lat"], given_["doy"])
    assert water.hargreaves(given_["tmin"], given_["tmax"], radiation) == near(case)


def brussels() -> dict[str, float]:
    """Example 18 of FAO-56: a day of July at 50.8 degrees north, 100 m."""
    night, day = (float(air.saturation_vapour_pressure(t)) for t in (12.3, 21.5))
    return {
        "mean_celsius": 16.9,
        "net_radiation": 13.28,
        "soil_heat_flux": 0.0,
        "wind_2m": 2.078,
        "saturation_kpa": (night + day) / 2,
        "actual_kpa": (night * 0.84 + day * 0.63) / 2,
        "pressure_kpa": float(air.pressure(100)),
    }


@pytest.mark.published("water", "ex18-eto-brussels")
def test_the_steps_of_the_worked_example_of_evapotranspiration(case: dict[str, Any]) -> None:
    day = brussels()
    steps = {
        "delta": air.vapour_pressure_slope(day["mean_celsius"]),
        "gamma": air.psychrometric_constant(day["pressure_kpa"]),
        "es": day["saturation_kpa"],
        "ea": day["actual_kpa"],
        "Ra": water.extraterrestrial_radiation(case["inputs"]["lat"], case["inputs"]["doy"]),
        "ETo": water.reference_evapotranspiration(**day),
    }
    # Wind at 2 m, clear-sky and net radiation have no function here; the printed ones are fed in.
    for name, value in steps.items():
        assert value == near(case, case["expected"][name]), name


@pytest.mark.published("water", "ex18-eto-2dp", "pyet-ex18")
def test_evapotranspiration_of_the_worked_example(case: dict[str, Any]) -> None:
    assert water.reference_evapotranspiration(**brussels()) == near(case)


@pytest.mark.published("water", "ex36")
def test_total_and_readily_available_water_of_the_printed_soils(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    total = water.total_available_water(given_["theta_fc"], given_["theta_wp"], given_["zr"])
    assert total == near(case, case["expected"]["TAW"])
    readily = root_zone.readily_available_water(total, given_["p"])
    assert readily == near(case, case["expected"]["RAW"])


@given(LATITUDES, DAYS)
def test_sunshine_is_pyets(latitude: float, day: int) -> None:
    with np.errstate(invalid="ignore"):  # pyet takes the arc cosine of what never sets
        theirs = float(
            pyet.extraterrestrial_r(one_day(0.0, day).index, math.radians(latitude)).iloc[0]
        )
    ours = water.extraterrestrial_radiation(latitude, day)
    assert ours >= 0.0
    if not math.isnan(theirs):
        assert ours == pytest.approx(theirs, rel=1e-4, abs=1e-3)


@given(st.floats(-50.0, 50.0), DAYS)
def test_day_length_is_pvlibs_to_a_quarter_of_an_hour(latitude: float, day: int) -> None:
    noon = pd.DatetimeIndex([pd.Timestamp("2021-01-01 12:00", tz="UTC")]) + pd.Timedelta(
        days=day - 1
    )
    sun = pvlib.solarposition
    declination = sun.declination_spencer71(day)
    equation = sun.equation_of_time_spencer71(day)
    rise, setting, _ = sun.sun_rise_set_transit_geometric(
        noon, latitude, 0.0, declination, equation
    )
    theirs = (setting - rise)[0].total_seconds() / 3600
    # FAO's declination is a plain sine and runs up to 1.5 degrees early in autumn.
    assert water.daylight_hours(latitude, day) == pytest.approx(theirs, abs=0.25)


@given(LATITUDES, DAYS)
def test_day_and_night_change_places_between_the_hemispheres(latitude: float, day: int) -> None:
    north, south = water.daylight_hours(latitude, day), water.daylight_hours(-latitude, day)
    assert north + south == pytest.approx(24.0, abs=1e-9)


POLES = {
    "polar day in June": (78.0, 172, 24.0),
    "polar night in December": (78.0, 355, 0.0),
    "polar night in June": (-78.0, 172, 0.0),
    "polar day in December": (-78.0, 355, 24.0),
    "the pole itself": (90.0, 172, 24.0),
    "the other pole": (-90.0, 172, 0.0),
}


@pytest.mark.parametrize(("latitude", "day", "hours"), POLES.values(), ids=POLES.keys())
def test_beyond_the_polar_circles(latitude: float, day: int, hours: float) -> None:
    assert water.daylight_hours(latitude, day) == hours
    radiation = water.extraterrestrial_radiation(latitude, day)
    assert radiation == 0.0 if hours == 0.0 else radiation > 40.0


@given(
    st.tuples(st.floats(-5.0, 30.0), st.floats(0.5, 18.0)),
    st.floats(20.0, 100.0), st.floats(0.0, 10.0), st.floats(-1.0, 30.0), st.floats(70.0, 103.0),
)  # fmt: skip
@example(day=(2.5, 1.0), humidity=100.0, wind=0.0, radiation=0.0, pressure=70.0)
def test_evapotranspiration_is_pyets(
    day: tuple[float, float], humidity: float, wind: float, radiation: float, pressure: float
) -> None:
    low, spread = day
    high, mean = low + spread, low + spread / 2
    saturated = (pyet.calc_e0(low) + pyet.calc_e0(high)) / 2
    actual = saturated * humidity / 100
    theirs = pyet.pm_fao56(
        one_day(mean), one_day(wind), rn=one_day(radiation), tmax=one_day(high),
        tmin=one_day(low), ea=one_day(actual), pressure=pressure, clip_zero=False,
    )  # fmt: skip
    ours = water.reference_evapotranspiration(
        mean_celsius=mean, net_radiation=radiation, soil_heat_flux=0.0, wind_2m=wind,
        saturation_kpa=saturated, actual_kpa=actual, pressure_kpa=pressure,
    )  # fmt: skip
    assert ours == pytest.approx(float(theirs.iloc[0]), rel=1e-6, abs=1e-6)


@given(st.floats(-30.0, 30.0), st.floats(0.0, 20.0), st.floats(-60.0, 60.0), DAYS)
def test_hargreaves_is_pyets_with_the_fixed_heat_of_vaporisation(
    low: float, spread: float, latitude: float, day: int
) -> None:
    mean, high = low + spread / 2, low + spread
    theirs = pyet.hargreaves(
        one_day(mean, day), one_day(high, day), one_day(low, day), lat=math.radians(latitude)
    )
    heat = float(pyet.calc_lambda(mean))
    radiation = water.extraterrestrial_radiation(latitude, day)
    ours = water.hargreaves(low, high, radiation)
    assert ours == pytest.approx(float(theirs.iloc[0]) * heat * 0.408, rel=1e-3, abs=1e-6)


@given(st.floats(0.0, 8.0), st.floats(0.0, 8.0))
def test_more_wind_never_lowers_evapotranspiration_of_dry_air(one: float, other: float) -> None:
    day = brussels() | {"net_radiation": 0.0}
    calm = water.reference_evapotranspiration(**(day | {"wind_2m": min(one, other)}))
    windy = water.reference_evapotranspiration(**(day | {"wind_2m": max(one, other)}))
    assert calm <= windy + 1e-12


def test_arrays_give_what_scalars_give_and_missing_stays_missing() -> None:
    low, high = np.array([12.0, np.nan]), np.array([24.0, 20.0])
    computed = np.asarray(water.hargreaves(low, high, 40.0))
    assert computed[0] == water.hargreaves(12.0, 24.0, 40.0)
    assert math.isnan(computed[1])
    latitudes = np.array([[-10.0], [50.0]])
    lengths = np.asarray(water.daylight_hours(latitudes, np.array([1.0, 180.0, np.nan])))
    assert lengths.shape == (2, 3)
    assert lengths[1, 1] == water.daylight_hours(50.0, 180)
    assert np.isnan(lengths[:, 2]).all()


def test_a_soil_that_wilts_when_it_is_wettest_is_refused() -> None:
    with pytest.raises(ValueError, match=r"wilting_point must be at most field_capacity \(0.1\)"):
        water.total_available_water(0.1, 0.2, 0.4)


def test_air_beyond_saturation_is_refused() -> None:
    with pytest.raises(ValueError, match="actual_kpa must be at most saturation_kpa"):
        water.reference_evapotranspiration(**(brussels() | {"actual_kpa": 3.0}))
