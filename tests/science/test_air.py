from typing import Any

import numpy as np
import pyet
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.science import air

CELSIUS = st.floats(-40.0, 60.0)
HUMIDITIES = st.floats(0.0, 100.0)


def near(case: dict[str, Any]) -> Any:
    return pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@pytest.mark.published("air", "ex2-pressure", "ex4-pressure")
def test_pressure_in_worked_examples(case: dict[str, Any]) -> None:
    assert air.pressure(case["inputs"]["z"]) == near(case)


@pytest.mark.published("air", "annex2.1")
def test_the_table_of_pressures(case: dict[str, Any]) -> None:
    table = {str(z): air.pressure(z) for z in case["inputs"]["z"]}
    assert table == near(case)


@pytest.mark.published("air", "ex2-psychrometric")
def test_the_psychrometric_constant_in_a_worked_example(case: dict[str, Any]) -> None:
    assert air.psychrometric_constant(case["inputs"]["P"]) == near(case)


@pytest.mark.published("air", "ex3-svp")
def test_saturation_in_a_worked_example(case: dict[str, Any]) -> None:
    temperatures = case["inputs"]["T"]
    assert [air.saturation_vapour_pressure(t) for t in temperatures] == near(case)
    together = air.saturation_vapour_pressure(np.array(temperatures))
    assert np.asarray(together).tolist() == near(case)


@pytest.mark.published("air", "svp", "annex2.3")
def test_the_table_of_saturation_vapour_pressures(case: dict[str, Any]) -> None:
    assert air.saturation_vapour_pressure(case["inputs"]["T"]) == near(case)


@pytest.mark.published("air", "annex2.4")
def test_the_table_of_slopes(case: dict[str, Any]) -> None:
    assert air.vapour_pressure_slope(case["inputs"]["T"]) == near(case)


@pytest.mark.published("air", "ex4-psychrometer", "ex5")
def test_actual_vapour_pressure_in_worked_examples_rests_on_saturation(
    case: dict[str, Any],
) -> None:
    def saturated(celsius: float) -> float:
        return float(air.saturation_vapour_pressure(celsius))

    match case["inputs"]:
        case {"tdry": dry, "twet": wet, "P": pressure, "coef": coefficient}:
            actual = saturated(wet) - coefficient * pressure * (dry - wet)
        case {"tmin": low, "tmax": high, "rhmean": mean}:
            actual = mean / 100 * (saturated(low) + saturated(high)) / 2
        case {"tmin": low, "tmax": high, "rhmin": dry, "rhmax": wet}:
            actual = (saturated(low) * wet + saturated(high) * dry) / 200
        case unknown:
            raise AssertionError(unknown)
    assert actual == near(case)


@pytest.mark.published("air", "ex6-vpd")
def test_the_deficit_in_a_worked_example_is_the_mean_of_night_and_day(
    case: dict[str, Any],
) -> None:
    given_ = case["inputs"]
    night = air.vapour_pressure_deficit(given_["tmin"], given_["rhmax"])
    day = air.vapour_pressure_deficit(given_["tmax"], given_["rhmin"])
    assert (night + day) / 2 == near(case)


@given(st.lists(CELSIUS, min_size=1, max_size=20))
def test_saturation_and_slope_are_pyets(temperatures: list[float]) -> None:
    celsius = np.array(temperatures)
    assert np.allclose(air.saturation_vapour_pressure(celsius), pyet.calc_e0(celsius), rtol=1e-9)
    assert np.allclose(air.vapour_pressure_slope(celsius), pyet.calc_vpc(celsius), rtol=1e-9)


@given(st.floats(-400.0, 8000.0))
def test_pressure_and_its_constant_are_pyets(elevation: float) -> None:
    kilopascal = air.pressure(elevation)
    assert kilopascal == pytest.approx(pyet.calc_press(elevation), rel=1e-9)
    assert air.psychrometric_constant(kilopascal) == pytest.approx(pyet.calc_psy(kilopascal))


@given(CELSIUS)
def test_the_slope_is_the_derivative_of_saturation(celsius: float) -> None:
    step = 1e-3
    rise = air.saturation_vapour_pressure(celsius + step) - air.saturation_vapour_pressure(
        celsius - step
    )
    # The printed 4098 is 17.27 x 237.3 to four figures.
    assert air.vapour_pressure_slope(celsius) == pytest.approx(rise / (2 * step), rel=1e-4)


@given(CELSIUS, HUMIDITIES)
def test_the_deficit_is_nothing_in_saturated_air_and_all_in_dry_air(
    celsius: float, humidity: float
) -> None:
    saturated = air.saturation_vapour_pressure(celsius)
    assert air.vapour_pressure_deficit(celsius, 100.0) == 0.0
    assert air.vapour_pressure_deficit(celsius, 0.0) == saturated
    assert 0.0 <= float(air.vapour_pressure_deficit(celsius, humidity)) <= saturated


def test_a_missing_reading_stays_missing() -> None:
    deficit = air.vapour_pressure_deficit(
        np.array([20.0, np.nan, 25.0]), np.array([60, 60, np.nan])
    )
    assert np.isnan(np.asarray(deficit)).tolist() == [False, True, True]


def test_readings_of_unequal_length_are_refused() -> None:
    with pytest.raises(ValueError, match="celsius and relative_humidity_percent must be equally"):
        air.vapour_pressure_deficit(np.zeros(2), np.zeros(3))
