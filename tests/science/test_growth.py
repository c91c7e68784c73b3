"""Growth forecasts: calibrated on simulated batches, sane with few or many measurement days."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from nursery.science.growth import CropCurve, Forecast, Habit, Measure, forecast
from nursery.science.growth.batch import evidence, steps
from tests.examples import examples

Sizes = npt.NDArray[np.float64]

# An invented crop.
HEIGHT_CM = CropCurve((0, 60, 120, 240, 400), (2, 10, 22, 45, 70), (1, 3, 5, 9, 14), error=0.5)
COLLAR_MM = CropCurve(
    (0, 60, 120, 240, 400), (1, 2.5, 4, 7, 10), (0.3, 0.5, 0.8, 1.3, 1.9), error=0.2
)
FLUSHES = CropCurve((0, 120, 400), (0, 1, 5), (0.3, 0.7, 1.2), error=0.4)
HABIT = Habit(between_batches=0.5, lasting_days=120, together=0.5, worth_plants=20)
TALL = Measure("height", 30.0, HEIGHT_CM)
STOUT = Measure("collar", 5.0, COLLAR_MM)
DAYS = np.arange(401.0)


def measured(measure: Measure, ages: tuple[float, ...], sizes: npt.ArrayLike) -> Measure:
    return replace(measure, ages_days=ages, sizes=np.asarray(sizes, np.float64))


def on_curve(curve: CropCurve, ages: tuple[float, ...], spreads: float, plants: int) -> Sizes:
    """Plants that stand evenly around a batch so many spreads above the crop's mean."""
    mean, spread = curve.at(np.array(ages))
    stand = math.sqrt(0.5) * stats.norm.ppf((np.arange(plants) + 0.5) / plants)
    sizes: Sizes = np.maximum(mean + spread * (spreads + stand[:, None]), 0.0)
    return sizes


class Nursery:
    """Simulated batches as the crop's curve and habit draw them."""

    def __init__(self, habit: Habit, seed: int) -> None:
        self.habit = habit
        self.draw = np.random.default_rng(seed)
        paths = habit.between_batches * habit.agreement(DAYS)
        self.root = np.linalg.cholesky(paths + 1e-9 * np.eye(len(DAYS)))

    def batch(self, measures: list[Measure], plants: int) -> list[Sizes]:
        """True sizes by measure, plants x days."""
        part = math.sqrt(self.habit.together), math.sqrt(1 - self.habit.together)
        shared = self.draw.standard_normal(len(DAYS)), self.draw.standard_normal(plants)
        grown = []
        for measure in measures:
            path = self.root @ (
                part[0] * shared[0] + part[1] * self.draw.standard_normal(len(DAYS))
            )
            stand = part[0] * shared[1] + part[1] * self.draw.standard_normal(plants)
            worth = self.habit.worth_plants
            within = (1 - self.habit.between_batches) * worth / self.draw.chisquare(worth)
            mean, spread = measure.curve.at(DAYS)
            grown.append(mean + spread * (path + math.sqrt(within) * stand[:, None]))
        return grown


def truth(grown: list[Sizes], measures: list[Measure], share: float) -> float:
    passed = np.all([g >= m.minimum for g, m in zip(grown, measures, strict=True)], axis=0)
    enough = passed.sum(axis=0) >= math.ceil(share * len(passed) - 1e-9)
    return float(DAYS[np.argmax(enough)]) if enough.any() else math.inf


def holds(found: Forecast, day: float) -> bool:
    early = math.inf if found.early is None else found.early
    late = math.inf if found.late is None else found.late
    return early <= day <= late


def share_held(
    measures: list[Measure], ages: tuple[float, ...], plants: int, runs: int, seed: int
) -> float:
    """How many simulated batches have their true day in the 80 % interval; 20 plants tagged."""
    nursery = Nursery(HABIT, seed)
    held = 0
    for run in range(runs):
        grown = nursery.batch(measures, plants)
        seen = []
        for measure, sizes in zip(measures, grown, strict=True):
            tagged = sizes[:20][:, [int(age) for age in ages]]
            noise = measure.curve.error * nursery.draw.standard_normal(tagged.shape)
            seen.append(measured(measure, ages, np.maximum(tagged + noise, 0.0)))
        found = forecast(seen, plants, 0.9, HABIT, draws=150, seed=run)
        held += holds(found, truth(grown, measures, 0.9))
    return held / runs


MEASURED = {
    "no measurement day": (),
    "one": (60.0,),
    "two": (60.0, 120.0),
    "many": (20.0, 40.0, 60.0, 80.0, 100.0, 120.0, 140.0),
}


@pytest.mark.parametrize("ages", MEASURED.values(), ids=MEASURED.keys())
def test_an_80_percent_interval_holds_the_truth_in_75_to_85_of_100_batches(
    ages: tuple[float, ...],
) -> None:
    assert 0.75 <= share_held([TALL], ages, plants=60, runs=200, seed=1) <= 0.85


def test_it_does_so_for_two_measures_together() -> None:
    """Twice 80 batches: measured once, and measured three times."""
    held = [
        share_held([TALL, STOUT], ages, plants=40, runs=80, seed=2)
        for ages in ((80.0,), (40.0, 80.0, 120.0))
    ]
    assert 0.75 <= sum(held) / 2 <= 0.85


def logistic(draw: np.random.Generator, plants: int) -> Sizes:
    """A batch of a crop that the forecast does not know the law of: logistic, with slow spells."""
    tall = 80 * np.exp(0.08 * draw.standard_normal() + 0.12 * draw.standard_normal(plants))
    rate = 0.017 * np.exp(0.15 * draw.standard_normal() + 0.08 * draw.standard_normal(plants))
    spells = np.interp(DAYS, [0, 100, 200, 300, 400], 0.2 * draw.standard_normal(5))
    clock = np.cumsum(np.exp(spells))
    return np.asarray(tall[:, None] / (1 + np.exp(3.2 - rate[:, None] * clock)))


def test_it_does_so_nearly_for_a_crop_of_another_law() -> None:
    """The prior is taken from 150 past batches; a tenth more or less is allowed for the misfit."""
    draw = np.random.default_rng(5)
    past = np.stack([logistic(draw, 30) for _ in range(150)])
    at = np.arange(0, 401, 40)
    spread = past.std(axis=(0, 1))[at]
    curve = CropCurve(
        tuple(map(float, at)),
        tuple(past.mean(axis=(0, 1))[at].tolist()),
        tuple(spread.tolist()),
        0.5,
    )
    between = float(np.mean(past.mean(axis=1).var(axis=0)[at] / spread**2))
    habit = Habit(between, lasting_days=200, together=0.0, worth_plants=20)
    held = 0
    for run in range(160):
        grown = logistic(draw, 60)
        ages = ((), (80.0,), (80.0, 120.0), (20.0, 60.0, 100.0, 140.0))[run % 4]
        seen = grown[:20][:, [int(age) for age in ages]] + 0.5 * draw.standard_normal(
            (20, len(ages))
        )
        measure = measured(Measure("height", 40.0, curve), ages, np.maximum(seen, 0.0))
        found = forecast([measure], 60, 0.9, habit, draws=200, seed=run)
        held += holds(found, truth([grown], [measure], 0.9))
    assert 0.70 <= held / 160 <= 0.90


def test_without_measurements_the_crop_speaks() -> None:
    """The median batch: its tenth plant from below, 1.28 deviations down, crosses 30 cm."""
    found = forecast([TALL], 100_000, 0.9, HABIT, draws=2000)
    ages = np.arange(401)
    mean, spread = HEIGHT_CM.at(ages.astype(np.float64))
    tenth = mean + spread * math.sqrt(0.5) * stats.norm.ppf(0.1)
    assert found.day == pytest.approx(int(np.argmax(tenth >= 30)), abs=4)
    assert found.reached > 0.98


def test_more_measurements_narrow_the_interval() -> None:
    widths = []
    for ages in ((), (60.0,), (60.0, 120.0), (60.0, 120.0, 150.0)):
        sizes = on_curve(HEIGHT_CM, ages, 0.0, 20)
        found = forecast([measured(TALL, ages, sizes)], 240, 0.9, HABIT)
        assert found.early is not None
        assert found.late is not None
        widths.append(found.late - found.early)
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] < widths[0] * 0.85


def test_a_batch_ahead_is_ready_sooner_than_one_behind() -> None:
    days = []
    for lead in (0.8, 0.0, -0.8):
        sizes = on_curve(HEIGHT_CM, (60.0, 120.0), lead, 20)
        found = forecast([measured(TALL, (60.0, 120.0), sizes)], 240, 0.9, HABIT)
        assert found.day is not None
        days.append(found.day)
    assert days == sorted(days)
    assert days[2] - days[0] > 30


def test_one_plant_measured_moves_the_forecast_less_than_twenty() -> None:
    plain, one, twenty = (
        forecast([measured(TALL, (100.0,), np.full((plants, 1), 26.0))], 240, 0.9, HABIT).day
        for plants in (0, 1, 20)
    )
    assert plain is not None
    assert one is not None
    assert twenty is not None
    assert plain > one > twenty


def test_a_batch_already_big_enough_is_ready_by_the_day_it_was_measured() -> None:
    sizes = np.full((20, 2), 60.0)
    found = forecast([measured(TALL, (150.0, 200.0), sizes)], 20, 1.0, HABIT)
    assert found.late is not None
    assert found.late <= 150


def test_when_all_plants_are_tagged_and_passed_nothing_is_left_open() -> None:
    found = forecast(
        [measured(TALL, (200.0,), [[30.0 + step] for step in range(3, 13)])], 10, 0.5, HABIT
    )
    assert found.late is not None
    assert found.late <= 200


def test_a_minimum_that_the_crop_never_reaches_gives_no_day() -> None:
    found = forecast([replace(TALL, minimum=500.0)], 100, 0.9, HABIT)
    assert found == Forecast(None, None, None, 0.0, 400, ((),))


def test_a_day_beyond_the_curve_is_left_open() -> None:
    found = forecast([replace(TALL, minimum=55.0)], 100, 0.9, HABIT)
    assert found.early is not None
    assert found.late is None
    assert 0 < found.reached < 0.9


def test_a_batch_older_than_the_curve_is_still_looked_at() -> None:
    sizes = on_curve(HEIGHT_CM, (450.0,), -3.0, 20)
    found = forecast([measured(TALL, (450.0,), sizes)], 100, 0.9, HABIT)
    assert found.horizon_days == 450
    assert found.day is None


def test_plants_do_not_shrink_so_a_batch_too_small_today_was_never_ready() -> None:
    sizes = on_curve(HEIGHT_CM, (260.0,), -1.8, 20)  # behind, just below the minimum
    found = forecast([measured(TALL, (260.0,), sizes)], 240, 0.9, HABIT)
    assert found.early is not None
    assert found.early > 260


def test_no_minimum_is_met_from_the_first_day() -> None:
    assert forecast([replace(TALL, minimum=0.0)], 100, 0.5, HABIT).late == 0


def test_every_required_measure_must_pass() -> None:
    alone = forecast([TALL], 240, 0.9, HABIT)
    both = forecast([TALL, STOUT], 240, 0.9, HABIT)
    three = forecast([TALL, STOUT, Measure("flushes", 2.0, FLUSHES)], 240, 0.9, HABIT)
    assert alone.day is not None
    assert both.day is not None
    assert three.day is not None
    assert alone.day < both.day <= three.day


def test_the_same_measure_twice_asks_hardly_more_than_once() -> None:
    alike = replace(HABIT, together=0.999)
    once, twice = forecast([TALL], 150, 0.9, alike), forecast([TALL, TALL], 150, 0.9, alike)
    assert once.day is not None
    assert twice.day is not None
    assert abs(once.day - twice.day) <= 6


@given(st.floats(0.2, 0.9), st.floats(0.05, 0.1))
@settings(max_examples=examples(15, long=1000), deadline=None)  # each simulates two batches
def test_a_greater_share_takes_longer(share: float, more: float) -> None:
    sizes = on_curve(HEIGHT_CM, (60.0,), 0.3, 12)
    seen = measured(TALL, (60.0,), sizes)
    less, greater = (forecast([seen], 80, part, HABIT).day for part in (share, share + more))
    assert less is not None
    assert greater is not None
    assert less <= greater


def test_the_same_input_gives_the_same_forecast() -> None:
    seen = measured(TALL, (60.0,), on_curve(HEIGHT_CM, (60.0,), 0.3, 12))
    assert forecast([seen, STOUT], 80, 0.9, HABIT) == forecast([seen, STOUT], 80, 0.9, HABIT)


def test_a_plant_not_measured_on_a_day_is_left_out_of_that_day() -> None:
    ages = (60.0, 120.0)
    sizes = on_curve(HEIGHT_CM, ages, 0.0, 20)
    holed = sizes.copy()
    holed[3, 1] = np.nan
    whole, gappy = (
        forecast([measured(TALL, ages, table)], 240, 0.9, HABIT) for table in (sizes, holed)
    )
    assert whole.day is not None
    assert gappy.day == pytest.approx(whole.day, abs=8)


def test_a_plant_never_measured_says_nothing() -> None:
    none = measured(TALL, (60.0,), [[np.nan], [np.nan]])
    found = evidence(none)
    weights = [step.log_weight for step in steps(found, np.array([[0.5]]), HABIT)]
    empty = [step.log_weight for step in steps(evidence(TALL), np.empty((0, 0)), HABIT)]
    assert weights == pytest.approx(empty)


@given(st.integers(1, 6), st.integers(1, 4), st.integers(0, 10_000))
@settings(deadline=None)
def test_the_weight_of_a_spread_is_its_exact_gaussian_likelihood(
    plants: int, days: int, seed: int
) -> None:
    """Against scipy.stats.multivariate_normal over all measurements, written out whole."""
    draw = np.random.default_rng(seed)
    ages = tuple(np.sort(draw.choice(np.arange(10.0, 300.0), days, replace=False)).tolist())
    sizes = on_curve(HEIGHT_CM, ages, draw.normal(), plants) + draw.normal(0, 1, (plants, days))
    sizes[draw.random(sizes.shape) < 0.2] = np.nan
    found = evidence(measured(TALL, ages, np.maximum(sizes, 0.0)))
    batch = HABIT.between_batches * HABIT.agreement(np.array(ages))
    seen = found.weight > 0
    plant, day = np.nonzero(seen)
    if not len(plant):
        return
    exact = []
    told = steps(found, batch, HABIT)
    for step in told:
        same = (plant[:, None] == plant) * step.variance
        whole = batch[np.ix_(day, day)] + same + np.diag(1 / found.weight[seen])
        ratio = step.variance / (1 - HABIT.between_batches)
        prior = -HABIT.worth_plants / 2 * (math.log(ratio) + 1 / ratio)
        exact.append(prior + stats.multivariate_normal(cov=whole).logpdf(found.z[seen]))
    mine = np.array([step.log_weight for step in told])
    assert mine - mine[0] == pytest.approx(np.array(exact) - exact[0], abs=1e-6)


NAN = float("nan")
ROWS = np.ones((3, 1))
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "one age": (lambda: CropCurve((0,), (1,), (1,), 1), "ages_days must be two ages or more"),
    "unequal ages": (
        lambda: CropCurve((0, 9), (1, 2, 3), (1, 1), 1),
        "ages_days and mean and spread must be equally long, not 2 and 3 and 2",
    ),
    "ages that stand": (lambda: CropCurve((5, 5), (1, 2), (1, 1), 1), r"ages_days\[1\] must be"),
    "a shrinking crop": (
        lambda: CropCurve((0, 9), (3, 2), (1, 1), 1),
        r"mean\[0\] must be at most mean\[1\] \(2\), not 3",
    ),
    "a missing mean": (lambda: CropCurve((0, 9), (NAN, 2), (1, 1), 1), r"mean\[0\] must be"),
    "no spread": (lambda: CropCurve((0, 9), (1, 2), (0, 1), 1), r"spread\[0\] must be .* not 0"),
    "no error": (lambda: CropCurve((0, 9), (1, 2), (1, 1), 0), "error must be .* not 0"),
    "all between batches": (lambda: replace(HABIT, between_batches=1), "between_batches must be"),
    "nothing lasting": (lambda: replace(HABIT, lasting_days=0), "lasting_days must be"),
    "one and the same": (lambda: replace(HABIT, together=1.0), "together must be a correlation"),
    "worth two plants": (lambda: replace(HABIT, worth_plants=2), "worth_plants must be 4 to"),
    "a minimum below none": (lambda: replace(TALL, minimum=-1), "minimum must be"),
    "ages backwards": (lambda: measured(TALL, (9.0, 3.0), ROWS), r"ages_days\[1\] must be above"),
    "a table that does not fit": (
        lambda: measured(TALL, (9.0, 12.0), ROWS),
        r"sizes must be plants x 2 ages, not of shape \(3, 1\)",
    ),
    "a row of numbers": (lambda: measured(TALL, (9.0,), [1.0]), "sizes must be plants x 1 ages"),
    "a negative size": (lambda: measured(TALL, (9.0,), -ROWS), r"sizes\[0, 0\] must be"),
    "no measure": (lambda: forecast([], 9, 0.9, HABIT), "measures must be at least one"),
    "no plants": (lambda: forecast([TALL], 0, 0.9, HABIT), "batch_size must be a whole number"),
    "a share in percent": (lambda: forecast([TALL], 9, 90, HABIT), "share must be .* not 90"),
    "more tagged than there are": (
        lambda: forecast([measured(TALL, (9.0,), ROWS)], 2, 0.9, HABIT),
        "sizes must be of at most 2 plants, not 3",
    ),
    "other plants in each measure": (
        lambda: forecast(
            [measured(TALL, (9.0,), ROWS), measured(STOUT, (9.0,), ROWS[:2])], 9, 0.9, HABIT
        ),
        r"sizes must have the same plants in all measures, not \[2, 3\]",
    ),
    "an interval of all": (
        lambda: forecast([TALL], 9, 0.9, HABIT, interval=1.0),
        "interval must be a fraction above 0 and below 1, not 1.0",
    ),
    "too few draws": (lambda: forecast([TALL], 9, 0.9, HABIT, draws=5), "draws must be a whole"),
    "a seed below none": (lambda: forecast([TALL], 9, 0.9, HABIT, seed=-1), "seed must be a whole"),
}


@pytest.mark.parametrize(("call", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_a_forecast_that_cannot_be_is_turned_down(call: Callable[[], Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
