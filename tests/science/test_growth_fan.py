"""Measures from lists, and how single plants are likely to go on."""

import numpy as np
import pytest

from nursery.science.growth import CropCurve, Measure, fan, measure_of

CURVE = CropCurve((0.0, 100.0, 200.0), (0.0, 20.0, 60.0), (1.0, 4.0, 8.0), 0.5)


def test_what_was_not_measured_is_missing() -> None:
    found = measure_of("height", 30.0, CURVE, [50.0, 100.0], [[9.0, None], [11.0, 22.0]])
    assert found.ages_days == (50.0, 100.0)
    assert np.isnan(found.sizes[0, 1])
    assert found.sizes[1].tolist() == [11.0, 22.0]
    assert measure_of("height", 30.0, CURVE, [], [[], []]).sizes.shape == (2, 0)


def test_rows_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="sizes must be rows of 1 ages"):
        measure_of("height", 30.0, CURVE, [50.0], [[9.0, 8.0], [1.0, 2.0]])
    with pytest.raises(ValueError, match="sizes"):
        measure_of("height", 30.0, CURVE, [50.0], [[-9.0]])


def test_the_measured_mean_goes_on_as_the_curve_does_within_its_spread() -> None:
    one = measure_of("height", 30.0, CURVE, [50.0, 100.0], [[9.0, 24.0], [11.0, 26.0]])
    found = fan(one, 50, 200.0)
    assert [age for age, *_ in found] == [100.0, 150.0, 200.0]
    # 25 measured where the crop has 20: 5 ahead; the crop gains 20 in fifty days
    assert [middle for _, _, middle, _ in found] == [25.0, 45.0, 65.0]
    _, low, middle, high = found[1]
    assert (middle - low, high - middle) == pytest.approx((1.2816 * 6, 1.2816 * 6))


def test_without_a_measuring_there_is_no_fan_and_after_the_end_only_today() -> None:
    assert fan(Measure("height", 30.0, CURVE), 14, 200.0) == []
    one = measure_of("height", 30.0, CURVE, [150.0], [[9.0]])
    assert [age for age, *_ in fan(one, 14, 100.0)] == [150.0]


@pytest.mark.parametrize(("size", "age"), [(0, 0), (10, 50), (40, 150), (99, 200)])
def test_the_age_of_a_size_is_that_of_the_mean_plant(size: float, age: float) -> None:
    assert CURVE.age_at(size) == age
