"""Measures from lists, and how single plants are likely to go on."""

from dataclasses import replace

import numpy as np
import pytest

from nursery.science.growth import Ahead, CropCurve, Habit, Measure, forecast, measure_of
from tests.science.test_growth import HABIT as OF_TREES
from tests.science.test_growth import TALL, Nursery

CURVE = CropCurve((0.0, 100.0, 200.0), (0.0, 20.0, 60.0), (1.0, 4.0, 8.0), 0.5)

HABIT = Habit(between_batches=0.4, lasting_days=120.0, together=0.5, worth_plants=12.0)


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


def ahead(sizes: list[list[float | None]], ages: list[float]) -> tuple[Ahead, ...]:
    one = measure_of("height", 30.0, CURVE, ages, sizes)
    [fan] = forecast([one], max(len(sizes), 1), 0.9, HABIT).fans
    return fan


def test_a_fan_begins_with_the_plants_measured_last_and_goes_on_by_the_fortnight() -> None:
    """25 measured where the crop has 20; it gains 20 in the fifty days after."""
    found = ahead([[22.0 + i % 7] for i in range(28)], [100.0])
    assert [one.age for one in found] == [100.0 + 14 * i for i in range(8)]
    first, last = found[0], found[4]
    assert first.middle == pytest.approx(25, abs=0.7)
    assert last.age == 156.0
    assert 42.4 < last.middle < 42.4 + 5 * 6.24 / 4


def test_plants_that_are_alike_have_a_narrow_fan() -> None:
    """The crop's own spread is 4 at 100 days: a band of 10 where nobody measured."""
    alike = ahead([[24.5 + i % 3 / 2] for i in range(30)], [100.0])[0]
    apart = ahead([[18.0 + i % 15] for i in range(30)], [100.0])[0]
    assert alike.high - alike.low < 6
    assert apart.high - apart.low > 8


def test_no_plant_is_smaller_than_nothing() -> None:
    found = ahead([[0.0], [0.5], [0.0]], [10.0])
    assert min(one.low for one in found) == 0


def test_eight_plants_in_ten_are_in_the_band_sixty_days_later() -> None:
    nursery, inside = Nursery(OF_TREES, seed=11), []
    for run in range(120):
        [true] = nursery.batch([TALL], 40)
        error = nursery.draw.normal(0, TALL.curve.error, (20, 2))
        seen = np.maximum(true[:20, [80, 110]] + error, 0)
        one = replace(TALL, ages_days=(80.0, 110.0), sizes=seen)
        [fan] = forecast([one], 40, 0.9, OF_TREES, draws=150, seed=run).fans
        later = next(point for point in fan if point.age >= 166)
        sizes = true[:, round(later.age)]
        inside.append(np.mean((later.low <= sizes) & (sizes <= later.high)))
    assert 0.75 <= np.mean(inside) <= 0.85


def test_without_a_measuring_there_is_no_fan_and_after_the_end_only_today() -> None:
    assert forecast([Measure("height", 30.0, CURVE)], 10, 0.9, HABIT).fans == ((),)
    assert [one.age for one in ahead([[90.0]], [250.0])] == [250.0]


@pytest.mark.parametrize(("size", "age"), [(0, 0), (10, 50), (40, 150), (99, 200)])
def test_the_age_of_a_size_is_that_of_the_mean_plant(size: float, age: float) -> None:
    assert CURVE.age_at(size) == age
