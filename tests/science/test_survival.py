import math
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from lifelines import KaplanMeierFitter
from lifelines.statistics import multivariate_logrank_test
from scipy.stats import CensoredData, chi2, logrank
from statsmodels.duration.survfunc import SurvfuncRight, survdiff

from nursery.science import survival

# Freireich et al. (1963), weeks of remission in leukaemia, 6-MP group: from memory.
TREATED = [6, 6, 6, 7, 10, 13, 16, 22, 23, 6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
TREATED_ENDED = [True] * 9 + [False] * 12
# The placebo group of the same trial, as in the published case `km-placebo`.
PLACEBO = [23, 22, 17, 15, 12, 12, 11, 11, 8, 8, 8, 8, 5, 5, 4, 4, 3, 2, 2, 1, 1]

TREES = st.lists(st.tuples(st.integers(0, 30), st.booleans()), min_size=1, max_size=40)
GROUPED = st.lists(
    st.tuples(st.integers(0, 30), st.booleans(), st.sampled_from("abc")), min_size=6, max_size=60
)


def near(case: dict[str, Any]) -> Any:
    return pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@pytest.mark.published("survival", "km-placebo", "km-hand")
def test_published_curves(case: dict[str, Any]) -> None:
    times, died = case["inputs"]["time"], [bool(one) for one in case["inputs"]["event"]]
    curve = survival.kaplan_meier(times, died)
    alive = {str(int(t)): s for t, s in zip(curve.times, curve.survival, strict=True)}
    assert {time: alive[time] for time in case["expected"]} == near(case)


@pytest.mark.published("survival", "km-medians")
def test_published_medians(case: dict[str, Any]) -> None:
    def median(times: list[int], died: list[bool]) -> float:
        curve = survival.kaplan_meier(times, died)
        return next(t for t, s in zip(curve.times, curve.survival, strict=True) if s <= 0.5)

    medians = [median(TREATED, TREATED_ENDED), median(PLACEBO, [True] * len(PLACEBO))]
    assert medians == near(case)


@pytest.mark.published("survival", "logrank")
def test_the_published_log_rank_statistic(case: dict[str, Any]) -> None:
    chi_square, p = survival.log_rank(
        TREATED + PLACEBO,
        TREATED_ENDED + [True] * len(PLACEBO),
        ["6-MP"] * len(TREATED) + ["placebo"] * len(PLACEBO),
    )
    assert chi_square == pytest.approx(case["expected"]["chi2"], abs=case["tolerance"], rel=0)
    assert p < 0.0001


@given(TREES)
def test_the_curve_is_statsmodels_and_the_interval_its_log_log(
    trees: list[tuple[int, bool]],
) -> None:
    times, died = [time for time, _ in trees], [dead for _, dead in trees]
    curve = survival.kaplan_meier(times, died)
    assert list(curve.times) == sorted({time for time, dead in trees if dead})
    if not curve.times:
        return
    with np.errstate(all="ignore"):  # statsmodels divides by the trees that are left, even by 0
        theirs = SurvfuncRight(np.array(times), np.array(died, dtype=int))
    assert curve.times == pytest.approx(theirs.surv_times)
    assert curve.survival == pytest.approx(theirs.surv_prob, abs=1e-12)
    for low, alive, high, error in zip(
        curve.low, curve.survival, curve.high, theirs.surv_prob_se, strict=True
    ):
        if alive < 1e-12:
            assert math.isnan(low)
            assert math.isnan(high)
        else:
            reach = NormalDist().inv_cdf(0.975) * error / (alive * math.log(alive))
            bounds = sorted((alive ** math.exp(reach), alive ** math.exp(-reach)))
            assert (low, high) == pytest.approx(bounds, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_intervals_are_those_of_lifelines(seed: int) -> None:
    draw = np.random.default_rng(seed)
    times, died = draw.integers(1, 40, 60), draw.random(60) < 0.6
    curve = survival.kaplan_meier(times.tolist(), died.tolist())
    fitted = KaplanMeierFitter(alpha=0.05).fit(times, died)
    interval = fitted.confidence_interval_survival_function_.loc[list(curve.times)].to_numpy()
    left = np.array(curve.survival) > 0.0
    assert np.allclose(np.column_stack([curve.low, curve.high])[left], interval[left], atol=1e-6)


@given(TREES)
def test_survival_falls_and_lies_inside_its_interval(trees: list[tuple[int, bool]]) -> None:
    curve = survival.kaplan_meier([t for t, _ in trees], [dead for _, dead in trees])
    assert list(curve.survival) == sorted(curve.survival, reverse=True)
    for low, alive, high in zip(curve.low, curve.survival, curve.high, strict=True):
        assert math.isnan(low) or 0.0 <= low <= alive <= high <= 1.0


@given(GROUPED)
def test_the_log_rank_of_several_groups_is_that_of_statsmodels(
    trees: list[tuple[int, bool, str]],
) -> None:
    times, died, group = (list(column) for column in zip(*trees, strict=True))
    # With a group that no death ever faced at risk, statsmodels' matrix has no inverse.
    first_death = min((time for time, dead, _ in trees if dead), default=math.inf)
    facing = {name for time, _, name in trees if time >= first_death}
    at_risk_together = sum(time > first_death for time in times)
    assume(facing == set(group) and len(facing) > 1 and at_risk_together > 1)
    chi_square, p = survival.log_rank(times, died, group)
    theirs, their_p = survdiff(np.array(times), np.array(died, dtype=int), np.array(group))
    assert chi_square == pytest.approx(theirs, rel=1e-6, abs=1e-6)
    assert p == pytest.approx(their_p, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_the_log_rank_of_several_groups_is_that_of_lifelines(seed: int) -> None:
    draw = np.random.default_rng(seed)
    times, died, group = draw.integers(1, 40, 90), draw.random(90) < 0.6, draw.integers(0, 4, 90)
    chi_square, p = survival.log_rank(times.tolist(), died.tolist(), group.tolist())
    theirs = multivariate_logrank_test(times, group, died)
    assert chi_square == pytest.approx(theirs.test_statistic, rel=1e-9)
    assert p == pytest.approx(theirs.p_value, rel=1e-9)


@given(st.integers(0, 10_000))
def test_the_log_rank_of_two_groups_is_the_square_of_scipys(seed: int) -> None:
    draw = np.random.default_rng(seed)
    times, died = draw.integers(1, 30, 40), draw.random(40) < 0.7
    first = np.arange(40) < 18
    theirs = logrank(
        *(CensoredData.right_censored(times[side], ~died[side]) for side in (first, ~first))
    )
    chi_square, p = survival.log_rank(times.tolist(), died.tolist(), first.tolist())
    assert chi_square == pytest.approx(theirs.statistic**2, rel=1e-9)
    assert p == pytest.approx(theirs.pvalue, rel=1e-9)


EMPTY = {"no trees": ([], []), "no deaths": ([3, 8], [False, False])}


@pytest.mark.parametrize(("times", "died"), EMPTY.values(), ids=EMPTY.keys())
def test_without_deaths_there_are_no_steps(times: list[float], died: list[bool]) -> None:
    assert survival.kaplan_meier(times, died) == ((), (), (), ())


def test_one_dead_tree_leaves_none() -> None:
    curve = survival.kaplan_meier([4], [True])
    assert (curve.times, curve.survival) == ((4.0,), (0.0,))
    assert math.isnan(curve.low[0])


def test_trees_lost_sight_of_at_a_death_were_still_at_risk() -> None:
    together = survival.kaplan_meier([5, 5], [True, False])
    assert together.survival == (0.5,)


NOT_TOLD_APART = {
    "no deaths": ([3, 8], [False, False], ["a", "b"]),
    "all at once": ([3, 3, 3, 3], [True] * 4, ["a", "a", "b", "b"]),
}


@pytest.mark.parametrize(
    ("times", "died", "group"), NOT_TOLD_APART.values(), ids=NOT_TOLD_APART.keys()
)
def test_groups_that_no_death_tells_apart_are_alike(
    times: list[float], died: list[bool], group: list[str]
) -> None:
    assert survival.log_rank(times, died, group) == (0.0, 1.0)


@pytest.mark.parametrize(("group", "named"), [([], 0), (["a", "a"], 1)])
def test_fewer_than_two_groups_are_refused(group: list[str], named: int) -> None:
    with pytest.raises(ValueError, match=f"group must name at least 2 groups, not {named}"):
        survival.log_rank([3.0] * len(group), [True] * len(group), group)


@given(GROUPED)
def test_a_group_that_no_death_ever_faced_tells_nothing(
    trees: list[tuple[int, bool, str]],
) -> None:
    """Where a matrix has no inverse: groups out of sight before the first death have no share."""
    times, died, group = (list(column) for column in zip(*trees, strict=True))
    assume(len(set(group)) > 1)
    later = [time + 1 for time in times]
    before = survival.log_rank(later, died, group)
    beside = survival.log_rank([*later, 0, 0], [*died, False, False], [*group, "away", "away"])
    assert beside.chi_square == pytest.approx(before.chi_square)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 8, 11, 30])
def test_tails_are_those_of_a_reference_library(freedom: int) -> None:
    for value in (0.0, 0.3, 2.0, 9.5, 40.0):
        assert survival.chi_square_above(value, freedom) == pytest.approx(chi2.sf(value, freedom))
