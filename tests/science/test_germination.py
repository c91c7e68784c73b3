import math
from itertools import combinations_with_replacement
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy

from nursery.science import germination

COUNTS = st.lists(st.integers(0, 40), min_size=1, max_size=25)


def summary(case: dict[str, Any]) -> germination.Germination:
    given_ = case["inputs"]
    return germination.summarise(given_["counts"], given_["times"], given_["total_seeds"])


def near(case: dict[str, Any]) -> Any:
    return pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


DIRECT = {
    "germ-germination-percent": "percent",
    "germ-first-germ-time": "first_day",
    "germ-last-germ-time": "last_day",
    "germ-t50-coolbear": "t50_coolbear",
    "germ-t50-farooq": "t50_farooq",
    "germ-var-gt": "variance",
    "germ-mean-germ-rate": "mean_rate",
    "germ-cvg-kotowski": "velocity",
    "germ-uncertainty-bits": "uncertainty",
}


@pytest.mark.published(
    "germination",
    "germ-germination-percent", "germ-first", "germ-last", "germ-t50", "germ-var", "germ-mean",
    "germ-cvg", "germ-uncertainty",
)  # fmt: skip
def test_the_measures_of_the_printed_germination_test(case: dict[str, Any]) -> None:
    assert getattr(summary(case), DIRECT[case["id"]]) == near(case)


@pytest.mark.published(
    "germination", "germ-time-spread", "germ-cv-gt", "germ-se-germ-rate", "germ-cu"
)
def test_printed_measures_that_follow_from_the_summary(case: dict[str, Any]) -> None:
    test, germinated = summary(case), sum(case["inputs"]["counts"])
    assert test.last_day is not None
    assert test.first_day is not None
    assert test.variance is not None
    assert test.mean_time is not None
    derived = {
        "germ-time-spread": test.last_day - test.first_day,
        "germ-cv-gt": math.sqrt(test.variance) / test.mean_time,
        "germ-se-germ-rate": math.sqrt(test.variance / germinated) / test.mean_time**2,
        "germ-cu-germination": germinated / (test.variance * (germinated - 1)),
    }
    assert derived[case["id"]] == near(case)


def replicates(mean: int, spread: int) -> tuple[int, ...] | None:
    """Return four percentages with this rounded mean and this range, if there are any."""
    for low in range(101 - spread):
        high = low + spread
        for middle in combinations_with_replacement(range(low, high + 1), 2):
            if math.floor((low + high + sum(middle)) / 4 + 0.5) == mean:
                return (low, *middle, high)
    return None


def widest_ranges(case: dict[str, Any]) -> dict[int, int]:
    widest = {}
    for means, spread in case["expected"].items():
        first, _, last = means.partition("-")
        for mean in range(int(first), int(last or first) + 1):
            widest[mean] = spread
    return widest


@pytest.mark.published("germination", "tolerance-4x100")
def test_replicates_agree_up_to_the_tabled_range_and_not_beyond(case: dict[str, Any]) -> None:
    for mean, widest in widest_ranges(case).items():
        for row in {mean, 100 - mean}:
            inside, outside = replicates(row, widest), replicates(row, widest + 1)
            assert inside is not None
            assert germination.within_tolerance(inside)
            # With a mean of 1 no four replicates lie further apart than the table allows.
            assert outside is not None or row == 1
            assert outside is None or not germination.within_tolerance(outside)


@pytest.mark.published("germination", "tolerance-example")
def test_worked_replicates(case: dict[str, Any]) -> None:
    within = germination.within_tolerance(case["inputs"]["replicates"])
    assert within == case["expected"]["within"]


@pytest.mark.parametrize("row", [(100, 100, 100, 100), (100, 100, 100, 98), (0, 0, 0, 0)])
def test_all_or_nothing_germination_is_within_tolerance(row: tuple[int, ...]) -> None:
    assert germination.within_tolerance(row)


def test_a_mean_of_half_uses_the_last_row() -> None:
    assert germination.within_tolerance([40, 50, 50, 60])
    assert not germination.within_tolerance([39, 50, 51, 60])


@pytest.mark.parametrize("count", [0, 3, 5])
def test_other_than_four_replicates_are_refused(count: int) -> None:
    with pytest.raises(ValueError, match=f"percents must be four replicates, not {count}"):
        germination.within_tolerance([90] * count)


@pytest.mark.parametrize("counts", [[], [0], [0, 0, 0]])
def test_without_germination_only_the_percentage_is_known(counts: list[int]) -> None:
    test = germination.summarise(counts, range(1, len(counts) + 1), 50)
    assert test.percent == 0.0
    assert set(test[1:]) == {None}


def test_a_single_seed_has_neither_variance_nor_synchrony() -> None:
    test = germination.summarise([0, 1, 0], [3, 5, 8], 10)
    assert (test.variance, test.synchrony) == (None, None)
    assert (test.percent, test.mean_time, test.uncertainty) == (10.0, 5.0, 0.0)
    assert test.t50_coolbear == 5.0
    assert test.t50_farooq == 4.0


def test_germination_all_on_the_day_of_sowing_has_no_speed() -> None:
    test = germination.summarise([4], [0], 4)
    assert (test.mean_time, test.mean_rate, test.velocity) == (0.0, None, None)


def test_half_times_by_hand() -> None:
    """Days 2, 4 and 6; ten seeds, so that the levels are 5.5 and 5."""
    hand = {
        "the first count already lies beyond": ([9, 1, 0], None, None),
        "the first count meets the lower level": ([5, 5, 0], 2 + 2 * 0.5 / 5, 2.0),
        "a later count meets the lower level": ([2, 3, 5], 4 + 2 * 0.5 / 5, 4.0),
        "between two counts": ([2, 4, 4], 2 + 2 * 3.5 / 4, 2 + 2 * 3 / 4),
        "a count without news is stepped over": ([2, 0, 8], 4 + 2 * 3.5 / 8, 4 + 2 * 3 / 8),
    }
    for name, (counts, coolbear, farooq) in hand.items():
        test = germination.summarise(counts, [2, 4, 6], 20)
        assert (test.t50_coolbear, test.t50_farooq) == (coolbear, farooq), name


@given(COUNTS, st.data())
def test_moments_and_entropy_are_numpys_and_scipys(counts: list[int], data: st.DataObject) -> None:
    days = sorted(
        data.draw(
            st.lists(st.integers(1, 200), min_size=len(counts), max_size=len(counts), unique=True)
        )
    )
    germinated = sum(counts)
    test = germination.summarise(counts, days, germinated + 3)
    if germinated == 0:
        return
    seeds = np.repeat(days, counts)
    assert test.mean_time == pytest.approx(seeds.mean())
    assert test.uncertainty == pytest.approx(entropy(counts, base=2), abs=1e-12)
    if germinated > 1:
        assert test.variance == pytest.approx(seeds.var(ddof=1), abs=1e-9)
        pairs = np.triu(seeds[:, None] == seeds[None, :], k=1).sum()
        assert test.synchrony == pytest.approx(pairs / math.comb(germinated, 2))


@given(COUNTS.filter(lambda counts: sum(counts) > 0), st.integers(1, 50))
def test_sowing_later_moves_every_day_and_no_spread(counts: list[int], later: int) -> None:
    days = list(range(1, len(counts) + 1))
    early = germination.summarise(counts, days, sum(counts))
    late = germination.summarise(counts, [day + later for day in days], sum(counts))
    for name in ("first_day", "last_day", "mean_time", "t50_coolbear", "t50_farooq"):
        before, after = getattr(early, name), getattr(late, name)
        assert (after is None) == (before is None)
        if before is not None:
            assert after == pytest.approx(before + later)
    for name in ("percent", "variance", "uncertainty", "synchrony"):
        assert getattr(late, name) == pytest.approx(getattr(early, name), abs=1e-8)


@given(COUNTS.filter(lambda counts: sum(counts) > 0))
def test_half_times_lie_between_the_first_and_the_last_day(counts: list[int]) -> None:
    test = germination.summarise(counts, range(1, len(counts) + 1), sum(counts))
    assert test.last_day is not None
    for half_time in (test.t50_coolbear, test.t50_farooq):
        assert half_time is None or 1 <= half_time <= test.last_day


def test_more_germinated_than_sown_is_refused() -> None:
    with pytest.raises(ValueError, match="sown must be at least the 12 germinated, not 10"):
        germination.summarise([5, 7], [1, 2], 10)


@pytest.mark.parametrize("days", [[1, 1], [2, 1]])
def test_counts_that_do_not_follow_each_other_are_refused(days: list[int]) -> None:
    with pytest.raises(ValueError, match=r"days\[1\] must be later than the count before it"):
        germination.summarise([1, 1], days, 10)
