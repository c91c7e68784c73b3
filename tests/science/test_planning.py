"""Numbers to start and days to sow: against exact distributions, and calibrated on simulation."""

import functools
import math
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from nursery.science.planning import (
    Duration,
    Expected,
    Rate,
    Standing,
    fixed,
    learn_duration,
    learn_rate,
    number_to_start,
    sow_by,
    standing,
)
from tests.examples import examples

CROP = Expected(rate=0.8, spread=0.1, worth_batches=3)


def one_beta(alpha: float, beta: float) -> Rate:
    return Rate((1.0,), (alpha,), (beta,))


@given(st.integers(1, 400), st.floats(0.05, 0.95), st.floats(1.5, 60), st.floats(1.5, 30))
def test_one_stage_agrees_with_the_exact_beta_binomial(
    needed: int, probability: float, alpha: float, beta: float
) -> None:
    """scipy.stats.betabinom; the simulation may miss by a thousandth of probability."""
    number = number_to_start(needed, probability, [one_beta(alpha, beta)])
    assert number is not None
    assert stats.betabinom.sf(needed - 1, number, alpha, beta) >= probability - 0.002
    if number > needed:
        assert stats.betabinom.sf(needed - 1, number - 1, alpha, beta) < probability + 0.002


@given(st.integers(1, 500), st.floats(0.1, 0.95), st.floats(0.5, 0.99))
@settings(max_examples=examples(25), deadline=None)  # quantiles of so narrow a beta are dear
def test_a_rate_known_for_sure_agrees_with_the_exact_binomial(
    needed: int, share: float, probability: float
) -> None:
    sure = one_beta(share * 1e6, (1 - share) * 1e6)
    number = number_to_start(needed, probability, [sure])
    assert number is not None
    assert stats.binom.sf(needed - 1, number, share) >= probability - 0.002
    assert stats.binom.sf(needed - 1, number - 1, share) < probability + 0.002


def test_stages_in_a_row_agree_with_their_product() -> None:
    """Two stages of 0.9 and 0.8 are one of 0.72."""
    stages = [one_beta(0.9e6, 0.1e6), one_beta(0.8e6, 0.2e6)]
    assert number_to_start(200, 0.9, stages) == number_to_start(
        200, 0.9, [one_beta(0.72e6, 0.28e6)]
    )


def test_two_uncertain_stages_agree_with_plain_simulation() -> None:
    stages = [one_beta(18.0, 2.0), one_beta(16.0, 4.0)]
    number = number_to_start(214, 0.9, stages)
    assert number is not None
    draw = np.random.default_rng(11)
    through = draw.binomial(number, draw.beta(18, 2, 400_000))
    through = draw.binomial(through, draw.beta(16, 4, 400_000))
    assert (through >= 214).mean() == pytest.approx(0.9, abs=0.004)


@given(st.integers(0, 300), st.integers(0, 20))
@settings(max_examples=examples(20), deadline=None)
def test_more_needed_or_surer_means_more_to_start(needed: int, more: int) -> None:
    rate = learn_rate([80, 90], [60, 75], CROP)
    number = number_to_start(needed, 0.8, [rate])
    later = number_to_start(needed + more, 0.8, [rate])
    surer = number_to_start(needed, 0.9, [rate])
    longer = number_to_start(needed, 0.8, [rate, rate])
    assert number is not None
    assert later is not None
    assert surer is not None
    assert longer is not None
    assert needed <= number <= min(later, surer, longer)


def test_nothing_needed_is_nothing_to_start() -> None:
    assert number_to_start(0, 0.9, [one_beta(8, 2)]) == 0


def test_where_hardly_any_plant_fails_just_the_need_is_started() -> None:
    assert number_to_start(20, 0.9, [one_beta(1e6, 1.0)]) == 20


def test_a_probability_out_of_reach_gives_no_number() -> None:
    assert number_to_start(1000, 0.99, [one_beta(0.05, 5.0)]) is None


def test_the_same_seed_gives_the_same_number() -> None:
    stages = [learn_rate([80, 90], [60, 75], CROP), learn_rate([], [], CROP)]
    assert number_to_start(214, 0.9, stages, seed=5) == number_to_start(214, 0.9, stages, seed=5)
    assert sow_by(date(2032, 3, 1), [Duration(90.0, 0.2, 8.0)], 0.9, seed=5) == sow_by(
        date(2032, 3, 1), [Duration(90.0, 0.2, 8.0)], 0.9, seed=5
    )


def test_what_stands_agrees_with_the_exact_beta_binomial() -> None:
    found = standing(300, [one_beta(16.0, 4.0)])
    exact = stats.betabinom(300, 16.0, 4.0)
    assert found == pytest.approx(tuple(exact.ppf([0.1, 0.5, 0.9])), abs=1)


def test_of_nothing_started_nothing_stands() -> None:
    assert standing(0, [one_beta(16.0, 4.0)]) == Standing(0, 0, 0)


def test_without_batches_the_rate_is_the_profiles() -> None:
    rate = learn_rate([], [], CROP)
    assert rate.mean == pytest.approx(0.8, abs=1e-3)
    draws = rate.draws(20_000, np.random.default_rng(1))
    assert draws.std() == pytest.approx(0.1 * math.sqrt(1 + 1 / 3), rel=0.1)


def test_batches_without_plants_teach_nothing() -> None:
    assert learn_rate([0, 0], [0, 0], CROP).mean == pytest.approx(learn_rate([], [], CROP).mean)


def test_many_batches_outweigh_the_profile() -> None:
    draw = np.random.default_rng(2)
    shares = draw.beta(0.55 * 50, 0.45 * 50, 120)
    passed = draw.binomial(200, shares).tolist()
    rate = learn_rate([200] * 120, passed, CROP)
    assert rate.mean == pytest.approx(0.55, abs=0.02)
    spread = rate.draws(20_000, np.random.default_rng(1)).std()
    assert spread == pytest.approx(math.sqrt(0.55 * 0.45 / 51), rel=0.15)


def test_one_huge_batch_is_still_one_batch() -> None:
    """Ten thousand plants of one batch say little of how the next batch does."""
    rate = learn_rate([10_000], [5_000], CROP)
    assert 0.65 < rate.mean < 0.79
    assert rate.draws(20_000, np.random.default_rng(1)).std() > 0.09


@given(st.lists(st.tuples(st.integers(1, 300), st.floats(0, 1)), max_size=6), st.integers(1, 200))
@settings(max_examples=examples(25), deadline=None)
def test_a_better_batch_never_lowers_the_rate(batches: list[tuple[int, float]], size: int) -> None:
    started = [*(whole for whole, _ in batches), size]
    passed = [round(whole * share) for whole, share in batches]
    worse = learn_rate(started, [*passed, round(size * 0.3)], CROP).mean
    better = learn_rate(started, [*passed, size], CROP).mean
    assert 0 < worse <= better + 1e-9 < 1 + 1e-9


def stands_within(past: int, draw: np.random.Generator) -> tuple[bool, bool]:
    """A simulated crop that differs as the profile says, with so many past batches.

    Tells whether the next batch lies in the 80 % interval, and whether above its lower end.
    """
    sure = CROP.worth_batches * (CROP.likeness + 1) - 1
    mean = draw.beta(0.8 * sure, 0.2 * sure)
    like = CROP.likeness * math.exp(draw.normal() * math.sqrt(2 / CROP.worth_batches))
    started = draw.integers(50, 300, past)
    shares = draw.beta(mean * like, (1 - mean) * like, past + 1)
    rate = learn_rate(started.tolist(), draw.binomial(started, shares[:-1]).tolist(), CROP)
    stood = draw.binomial(250, shares[-1])
    found = standing(250, [rate])
    return found.low <= stood <= found.high, stood >= found.low


def test_an_80_percent_interval_holds_75_to_85_of_100_batches() -> None:
    """With none, one, two or ten past batches; 100 simulated crops each."""
    held = {}
    met: list[bool] = []
    for past in (0, 1, 2, 10):
        draw = np.random.default_rng(past)
        inside, above = zip(*(stands_within(past, draw) for _ in range(100)), strict=True)
        held[past] = sum(inside) / 100
        met += above
    assert all(0.7 <= share <= 0.9 for share in held.values()), held
    assert 0.75 <= sum(held.values()) / 4 <= 0.85
    assert 0.86 <= sum(met) / len(met) <= 0.94


@given(st.floats(5, 400), st.floats(0.01, 0.5), st.floats(3, 60), st.floats(0.05, 0.95))
def test_one_stage_is_allowed_for_as_its_distribution_says(
    middle: float, scale: float, freedom: float, probability: float
) -> None:
    """scipy.stats.t on the logarithm of days."""
    found = sow_by(date(2032, 3, 1), [Duration(middle, scale, freedom)], probability)
    exact = middle * math.exp(scale * stats.t(freedom).ppf(probability))
    assert found.days == pytest.approx(exact, rel=0.005, abs=1.01)
    assert found.day == date(2032, 3, 1) - timedelta(days=found.days)


def test_fixed_stages_add_up() -> None:
    assert sow_by(date(2032, 3, 31), [fixed(180), fixed(42.5)], 0.9) == (
        date(2031, 8, 21),
        223,
        223,
    )


def test_surer_means_sooner() -> None:
    stages = [fixed(180), learn_duration([60, 75], 70, 15, 4)]
    days = [sow_by(date(2032, 3, 1), stages, odds).days for odds in (0.5, 0.8, 0.9, 0.99)]
    assert days == sorted(days)
    assert len(set(days)) == 4


def test_a_day_that_cannot_be_counted_on_does_not_run_over() -> None:
    assert sow_by(date(2032, 3, 1), [Duration(100.0, 9.0, 1.0)], 0.999).days == 20_000


def test_without_batches_a_stage_takes_as_long_as_the_profile_says() -> None:
    learned = learn_duration([], 100.0, 20.0, 1e5)
    exact = stats.lognorm(s=learned.scale, scale=learned.middle_days)
    assert exact.mean() == pytest.approx(100.0, rel=1e-3)
    assert exact.std() == pytest.approx(20.0, rel=1e-2)


def test_many_batches_teach_a_stage() -> None:
    draw = np.random.default_rng(4)
    past = draw.lognormal(math.log(130), 0.1, 400).tolist()
    learned = learn_duration(past, 100.0, 30.0, 3)
    assert learned.middle_days == pytest.approx(130, rel=0.02)
    assert learned.scale == pytest.approx(0.1, rel=0.1)


@pytest.mark.parametrize("past", [0, 1, 2, 10])
def test_nine_of_ten_batches_sown_by_that_day_are_ready(past: int) -> None:
    """Simulated crops as the conjugate prior draws them; each stage has so many past batches."""
    draw = np.random.default_rng(100 + past)
    worth, prior_variance = 10.0, math.log1p(0.2**2)
    ready = 0
    upper = functools.cache(lambda freedom: stats.t(freedom).ppf(0.9))
    for _ in range(1000):
        variance = worth * prior_variance / draw.chisquare(worth)
        middle = draw.normal(math.log(100) - prior_variance / 2, math.sqrt(variance / worth))
        days = np.exp(draw.normal(middle, math.sqrt(variance), past + 1))
        learned = learn_duration(days[:-1].tolist(), 100.0, 20.0, worth)
        allowed = learned.middle_days * math.exp(learned.scale * upper(learned.freedom))
        ready += days[-1] <= allowed
    assert 870 <= ready <= 930


NAN = float("nan")
BETA = [one_beta(8, 2)]
MARCH = date(2032, 3, 1)
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "a rate in percent": (lambda: Expected(80, 0.1, 3), "rate must be a fraction .* not 80"),
    "a rate of all": (lambda: Expected(1.0, 0.1, 3), "rate must be a fraction above 0 and below 1"),
    "a missing spread": (lambda: Expected(0.8, NAN, 3), "spread must be .* not nan"),
    "a spread no share can have": (lambda: Expected(0.8, 0.4, 3), "spread must be at most 0.327"),
    "a profile worth nothing": (lambda: Expected(0.8, 0.1, 0), "worth_batches must be 1 to a"),
    "more out than in": (
        lambda: learn_rate([10, 5], [5, 6], CROP),
        r"passed\[1\] must be at most started\[1\] \(5\), not 6",
    ),
    "half a plant": (lambda: learn_rate([10], [4.5], CROP), r"passed\[0\] must be a whole"),  # type: ignore[list-item]
    "fewer than none": (lambda: learn_rate([-1], [0], CROP), r"started\[0\] must be a whole"),
    "unequal lists": (
        lambda: learn_rate([10], [], CROP),
        "started and passed must be equally long, not 1 and 0",
    ),
    "a need below none": (lambda: number_to_start(-1, 0.9, BETA), "needed must be a whole number"),
    "a probability in percent": (
        lambda: number_to_start(10, 90, BETA),
        "probability must be a fraction above 0 and below 1, not 90",
    ),
    "no stage": (lambda: number_to_start(10, 0.9, []), "rates must be at least one stage"),
    "a seed of a half": (
        lambda: number_to_start(10, 0.9, BETA, seed=0.5),  # type: ignore[arg-type]
        "seed must be a whole number",
    ),
    "started below none": (lambda: standing(-3, BETA), "started must be a whole number"),
    "an interval of all": (lambda: standing(3, BETA, interval=1.0), "interval must be a fraction"),
    "a stage backwards": (lambda: fixed(-3), "days must be 0 to 20000 days, not -3"),
    "a past of no days": (
        lambda: learn_duration([0.0], 90, 9, 3),
        r"past_days\[0\] must be above 0",
    ),
    "no expected days": (lambda: learn_duration([], 0, 9, 3), "expected_days must be above 0"),
    "a missing spread of days": (
        lambda: learn_duration([], 90, NAN, 3),
        "spread_days must be above 0",
    ),
    "a profile worth a batch": (
        lambda: learn_duration([], 90, 9, 1),
        "worth_batches must be 2 to a million batches, not 1",
    ),
    "no durations": (lambda: sow_by(MARCH, [], 0.9), "durations must be at least one stage"),
    "certainty": (lambda: sow_by(MARCH, [fixed(9)], 1.0), "probability must be a fraction"),
    "a seed below none": (
        lambda: sow_by(MARCH, [fixed(9)], 0.9, seed=-1),
        "seed must be a whole number",
    ),
    "a day before the calendar": (
        lambda: sow_by(date(1, 1, 9), [fixed(9)], 0.9),
        "ready_by must be more than 9 days after the year 1, not 0001-01-09",
    ),
}


@pytest.mark.parametrize(("call", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_a_plan_that_cannot_be_is_turned_down(call: Callable[[], Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
