"""Survival in plain numbers is what the arrays give, which is what published tables give."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import chi2, t

from nursery.science import lives, row_sample, survival

TREES = st.lists(st.tuples(st.integers(0, 30), st.booleans()), max_size=60)
GROUPED = st.lists(
    st.tuples(st.integers(0, 30), st.booleans(), st.sampled_from("abcd")), min_size=2, max_size=80
)


@given(TREES)
def test_the_plain_curve_is_that_of_the_arrays(trees: list[tuple[int, bool]]) -> None:
    times, died = [time for time, _ in trees], [dead for _, dead in trees]
    plain, arrays = lives.kaplan_meier(times, died), survival.kaplan_meier(times, died)
    assert plain.times == arrays.times
    for ours, theirs in zip(plain[1:], arrays[1:], strict=True):
        assert ours == pytest.approx(theirs, abs=1e-9, nan_ok=True)


@given(GROUPED)
def test_the_plain_test_of_groups_is_that_of_the_arrays(
    trees: list[tuple[int, bool, str]],
) -> None:
    times, died = [time for time, _, _ in trees], [dead for _, dead, _ in trees]
    group = [name for _, _, name in trees]
    assume(len(set(group)) > 1)
    plain, arrays = lives.log_rank(times, died, group), survival.log_rank(times, died, group)
    assert plain.chi_square == pytest.approx(arrays.chi_square, abs=1e-7, rel=1e-7)
    assert plain.p == pytest.approx(arrays.p, abs=1e-7)


def test_one_group_cannot_be_compared() -> None:
    with pytest.raises(ValueError, match="at least 2 groups, not 1"):
        lives.log_rank([1, 2], [True, True], ["a", "a"])


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 8, 11, 30])
def test_tails_are_those_of_a_reference_library(freedom: int) -> None:
    for value in (0.0, 0.3, 2.0, 9.5, 40.0):
        assert lives.chi_square_above(value, freedom) == pytest.approx(chi2.sf(value, freedom))
    assert row_sample.student_t(freedom) == pytest.approx(t.ppf(0.975, freedom), rel=1e-9)
    assert math.isfinite(row_sample.student_t(freedom))
