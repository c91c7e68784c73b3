"""Survival from some rows: a published example, what cannot be told, and a simulation."""

import math

import numpy as np
import pytest
from scipy.stats import t

from nursery.science.row_sample import Estimate, alive, student_t

# Cochran (1977) 3.12, from memory: of 104 persons in 30 households 30 had seen a doctor, p = 0.288,
# v(p) = 0.00520. Sizes are the source's; who had seen one is spread so that its sums come out, sums
# of squares 86 and of products 113, on which alone p and v(p) rest.
PERSONS = (5, 6, 3, 3, 2, 3, 3, 3, 4, 4, 3, 2, 7, 4, 3, 5, 4, 4, 3, 3, 4, 3, 3, 1, 2, 4, 3, 4, 2, 4)
SEEN = (2, 0, 1, 0, 0, 0, 2, 0, 4, 0, 0, 0, 1, 1, 0, 0, 4, 0, 0, 0, 4, 0, 0, 1, 2, 2, 0, 1, 1, 4)
HOUSEHOLDS = list(zip(PERSONS, SEEN, strict=True))


def test_the_published_example() -> None:
    squares = (sum(a * a for a in SEEN), sum(m * a for m, a in HOUSEHOLDS))
    assert (sum(PERSONS), sum(SEEN), *squares) == (104, 30, 86, 113)
    # So many households that the share of them that was asked does not matter.
    share, error, _, _ = alive(HOUSEHOLDS, 10**7)
    assert share == pytest.approx(0.288, abs=5e-4)
    assert error is not None
    # Printed with p and the mean size rounded first.
    assert error**2 == pytest.approx(0.00520, abs=1e-5)


def test_the_more_of_the_block_is_counted_the_smaller_is_the_error() -> None:
    rows = [(10, 9), (10, 7), (10, 8)]
    few, half = alive(rows, 10**7).error, alive(rows, 6).error
    assert few is not None
    assert half == pytest.approx(few * math.sqrt(0.5), rel=1e-6)


def test_every_row_counted_is_no_estimate() -> None:
    assert alive([(10, 9), (20, 11)], 2) == Estimate(20 / 30, 0.0, 20 / 30, 20 / 30)


def test_what_rows_cannot_tell_is_not_told() -> None:
    assert alive([(10, 9)], 5) == Estimate(0.9, None, None, None)
    assert alive([(10, 10), (12, 12)], 5) == Estimate(1.0, 0.0, None, None)


def test_an_interval_stays_within_nothing_and_all() -> None:
    _, _, low, high = alive([(10, 0), (10, 10), (10, 10)], 30)
    assert (low, high) == (0.0, 1.0)


BAD = {
    "no row": ([], 5),
    "more rows than there are": ([(10, 9), (10, 9)], 1),
    "a row without plants": ([(0, 0), (10, 9)], 5),
    "more alive than planted": ([(10, 11), (10, 9)], 5),
}


@pytest.mark.parametrize(("rows", "of"), BAD.values(), ids=BAD.keys())
def test_rows_that_cannot_be_are_refused(rows: list[tuple[int, int]], of: int) -> None:
    with pytest.raises(ValueError, match="must be"):
        alive(rows, of)


def test_in_simulated_blocks_the_error_is_right_and_the_interval_holds_the_truth() -> None:
    """Sixty rows of 8 to 24 plants that die by rows, twelve of them counted, 2000 times."""
    chance = np.random.default_rng(7)
    planted = chance.integers(8, 25, 60)
    living = chance.binomial(planted, chance.beta(8, 1.6, 60))
    truth = living.sum() / planted.sum()
    found = []
    for _ in range(2000):
        some = chance.choice(60, 12, replace=False)
        found.append(alive([(int(planted[i]), int(living[i])) for i in some], 60))
    shares = np.array([one.share for one in found])
    told = np.array([one.error for one in found], dtype=float)
    assert shares.mean() == pytest.approx(truth, abs=0.002)
    assert math.sqrt((told**2).mean()) == pytest.approx(shares.std(), rel=0.08)
    held = [one.low <= truth <= one.high for one in found if one.low is not None and one.high]
    assert len(held) == 2000
    assert 0.92 < sum(held) / len(held) < 0.97
    # A calculation as if plants died one by one would promise far too much.
    alone = np.sqrt(shares * (1 - shares) / (12 * planted.mean()) * 0.8)
    assert alone.mean() < 0.75 * told.mean()


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 8, 11, 30])
def test_students_t_is_that_of_a_reference_library(freedom: int) -> None:
    assert student_t(freedom) == pytest.approx(t.ppf(0.975, freedom), rel=1e-9)
