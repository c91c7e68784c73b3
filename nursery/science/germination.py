"""How many seeds came up, when, and how closely together."""

import math
from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from nursery.science import _check

# Widest range allowed among four replicates of 100, from each rounded mean upwards. Six of the
# rows from 70 to 99 are not what the rounded studentised range gives, so the table stands.
_WIDEST_RANGE = (
    (99, 5), (98, 6), (97, 7), (96, 8), (95, 9), (93, 10), (91, 11), (89, 12), (87, 13),
    (84, 14), (81, 15), (78, 16), (73, 17), (67, 18), (56, 19), (50, 20),
)  # fmt: skip


class Germination(NamedTuple):
    """A germination test in numbers; None where a number is not defined."""

    percent: float
    """Germinated per 100 sown [%]."""
    first_day: float | None
    last_day: float | None
    mean_time: float | None
    """Mean germination time [d]."""
    variance: float | None
    """Variance of the germination time, with one less than the germinated below [d²]."""
    velocity: float | None
    """Kotowski's coefficient of velocity [% d-1]."""
    t50_coolbear: float | None
    """Day on which (germinated + 1) / 2 had come up [d]."""
    t50_farooq: float | None
    """Day on which germinated / 2 had come up [d]."""
    mean_rate: float | None
    """One over the mean time [d-1]."""
    uncertainty: float | None
    """Spread of germination over the days [bit]."""
    synchrony: float | None
    """Share of pairs of seeds that came up on the same day, 0 to 1."""


def summarise(counts: Sequence[int], days: Sequence[float], sown: int) -> Germination:
    """Return the usual measures of one germination test.

    Args:
        counts: newly germinated at each count, not cumulative, each 0 or more.
        days: day of each count since sowing, 0 or more, each later than the one before [d].
        sown: seeds sown, 1 or more, not fewer than germinated.

    Returns:
        The measures. Without any germination only `percent` is defined, and is 0; with a
        single seed there is no variance and no synchrony; a half-time is None where the first
        count already lies beyond it, since no earlier count tells when it was passed.

    Raises:
        ValueError: an argument out of range, NaN, or sequences of unequal length.

    Source:
        Ranal & Santana (2006) Rev. Bras. Bot. 29: 1-11 (mean time, variance, rate,
        uncertainty, synchrony); Kotowski (1926) Proc. Am. Soc. Hort. Sci. 23: 176-184;
        Coolbear, Francis & Grierson (1984) J. Exp. Bot. 35: 1609-1617; Farooq et al. (2005)
        J. Integr. Plant Biol. 47: 187-193.

    >>> test = summarise([0, 4, 17, 10, 7, 1, 0, 1], [4, 5, 6, 7, 8, 9, 10, 11], 50)
    >>> test.percent, test.mean_time, test.t50_farooq
    (80.0, 6.7, 5.9411764705882355)
    """
    _check.same_length(counts=counts, days=days)
    counts, days = _check.counts("counts", counts), _days(days)
    sown, germinated = _check.count("sown", sown, least=1), sum(counts)
    if germinated > sown:
        raise ValueError(f"sown must be at least the {germinated} germinated, not {sown}")
    if not germinated:
        return Germination(0.0, *[None] * 10)
    came_up = [day for n, day in zip(counts, days, strict=True) if n]
    total_time = sum(n * day for n, day in zip(counts, days, strict=True))
    mean = total_time / germinated
    squares = sum(n * (day - mean) ** 2 for n, day in zip(counts, days, strict=True))
    pairs = math.comb(germinated, 2)
    shares = [n / germinated for n in counts if n]
    return Germination(
        percent=100.0 * germinated / sown,
        first_day=came_up[0],
        last_day=came_up[-1],
        mean_time=mean,
        variance=squares / (germinated - 1) if pairs else None,
        velocity=100.0 * germinated / total_time if total_time else None,
        t50_coolbear=_day_reached((germinated + 1) / 2, counts, days),
        t50_farooq=_day_reached(germinated / 2, counts, days),
        mean_rate=germinated / total_time if total_time else None,
        uncertainty=sum(-share * math.log2(share) for share in shares) + 0.0,
        synchrony=sum(math.comb(n, 2) for n in counts) / pairs if pairs else None,
    )


def within_tolerance(percents: Sequence[float]) -> bool:
    """Return whether four replicates of 100 seeds agree well enough to be averaged.

    Args:
        percents: germination of each of the four replicates, whole numbers from 0 to 100 [%].

    Returns:
        True if highest less lowest is at most the range allowed at their mean, the mean being
        rounded half up to a whole percent; a mean below 50 uses the row of 100 less the mean.

    Raises:
        ValueError: a percentage that four times 100 seeds cannot give, or not four of them.

    Source:
        7 CFR 201.55, table of maximum tolerated ranges between four replicates of 100, means
        of 70 and above; below 70 ISTA Rules table 5B, from memory.

    >>> within_tolerance([88, 91, 85, 94]), within_tolerance([70, 82, 86, 90])
    (True, False)
    """
    if len(percents) != 4:
        raise ValueError(f"percents must be four replicates, not {len(percents)}")
    whole = [_check.count(f"percents[{i}]", p, most=100) for i, p in enumerate(percents)]
    mean = math.floor(sum(whole) / 4 + 0.5)
    row = max(mean, 100 - mean)
    allowed = next(widest for lowest, widest in _WIDEST_RANGE if row >= lowest)
    return max(whole) - min(whole) <= allowed


def _days(days: Sequence[float]) -> list[float]:
    checked = _check.numbers("days", days, _check.NOT_NEGATIVE)
    for i in range(1, len(checked)):
        if checked[i] <= checked[i - 1]:
            raise ValueError(
                f"days[{i}] must be later than the count before it ({checked[i - 1]}), "
                f"not {checked[i]}"
            )
    return checked


def _day_reached(level: float, counts: Sequence[int], days: Sequence[float]) -> float | None:
    """Return the day on which the cumulative count passed `level`, on a straight line."""
    reached = list(accumulate(counts))
    later = next(i for i, total in enumerate(reached) if total >= level)
    if reached[later] == level:
        return days[later]
    if later == 0:
        return None
    into_step = (level - reached[later - 1]) / counts[later]
    return days[later - 1] + into_step * (days[later] - days[later - 1])
