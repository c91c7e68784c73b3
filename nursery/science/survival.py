"""How long plants stand, from trees seen dead, seen alive, or no longer to be found.

One entry is one tree. A tree whose label was lost, or that still stands at the last look, was
alive at least until then: it is censored, never dead. In plain numbers, without arrays: sheets that
the web process works out ask here.
"""

import math
from collections import Counter
from collections.abc import Hashable, Sequence
from itertools import accumulate
from statistics import NormalDist
from typing import NamedTuple

from nursery.science import _check

_Z = NormalDist().inv_cdf(0.975)
# What is left of a pivot by rounding.
_NOTHING = 1e-9


class Curve(NamedTuple):
    """Share still alive just after each time at which a tree died."""

    times: tuple[float, ...]
    survival: tuple[float, ...]
    low: tuple[float, ...]
    """Lower bound of the 95 % interval; NaN where it is not defined."""
    high: tuple[float, ...]
    """Upper bound of the 95 % interval; NaN where it is not defined."""


class LogRank(NamedTuple):
    """How far groups of trees differ in survival."""

    chi_square: float
    p: float


def kaplan_meier(times: Sequence[float], died: Sequence[bool]) -> Curve:
    """Return the share of trees still alive after each death, with a 95 % interval.

    Args:
        times: age of each tree when last seen, or at its death, 0 or more, any one unit.
        died: True for a death, False for a tree last seen alive; one lost sight of at the time
            of a death counts as still at risk then.

    Returns:
        Times of deaths, ascending, with the product-limit estimate, Greenwood's variance and
        the log-log interval; bounds are NaN once no tree is left. Without deaths, or without
        trees, all four are empty.

    Raises:
        ValueError: a time out of range or NaN, sequences of unequal length.

    Source:
        Kaplan & Meier (1958) J. Am. Stat. Assoc. 53: 457-481; Greenwood (1926); interval as
        Kalbfleisch & Prentice (1980), complementary log-log.

    >>> curve = kaplan_meier([2, 3, 3, 5], [True, True, False, True])
    >>> curve.times, [round(share, 3) for share in curve.survival]
    ((2.0, 3.0, 5.0), [0.75, 0.5, 0.0])
    """
    ages, dead = _trees(times, died)
    points: list[tuple[float, float, float, float]] = []
    share, greenwood = 1.0, 0.0
    for at, risk, deaths in _deaths(ages, dead):
        share *= 1 - deaths / risk
        if deaths < risk:
            greenwood += deaths / (risk * (risk - deaths))
            points.append((at, share, *_interval(share, greenwood)))
        else:
            points.append((at, 0.0, math.nan, math.nan))
    columns = tuple(zip(*points, strict=True)) if points else ((), (), (), ())
    return Curve(*columns)


def _interval(share: float, greenwood: float) -> tuple[float, float]:
    reach = math.exp(_Z * math.sqrt(greenwood) / math.log(share))
    return float(share ** (1 / reach)), float(share**reach)


def log_rank(times: Sequence[float], died: Sequence[bool], group: Sequence[Hashable]) -> LogRank:
    """Return whether groups of trees survive alike.

    Args:
        times: age of each tree when last seen, or at its death, 0 or more, any one unit.
        died: True for a death, False for a tree last seen alive.
        group: the group of each tree; two groups or more.

    Returns:
        Chi-square with groups - 1 degrees of freedom, and the probability of one at least as
        large if all groups survive alike; 0 and 1 where no death tells the groups apart.

    Raises:
        ValueError: a time out of range or NaN, fewer than two groups, sequences of unequal
            length.

    Source:
        Mantel (1966) Cancer Chemother. Rep. 50: 163-170; for several groups Peto & Peto (1972)
        J. R. Stat. Soc. A 135: 185-207, with the hypergeometric variance.

    >>> chi_square, p = log_rank([3, 5, 7, 9, 11, 18], [True] * 6, list("aaabbb"))
    >>> round(chi_square, 3), round(p, 3)
    (5.052, 0.025)
    """
    _check.same_length(times=times, died=died, group=group)
    ages, dead = _trees(times, died)
    names = list(dict.fromkeys(group))
    if len(names) < 2:
        raise ValueError(f"group must name at least 2 groups, not {len(names)}")
    surplus = [0.0] * len(names)
    spread = [[0.0] * len(names) for _ in names]
    risks = {name: _at_risk(ages, group, name) for name in names}
    fallen = Counter((age, name) for age, gone, name in zip(ages, dead, group, strict=True) if gone)
    for at, risk, deaths in _deaths(ages, dead):
        shares = [risks[name](at) / risk for name in names]
        weight = deaths * (risk - deaths) / max(risk - 1, 1)
        for i, name in enumerate(names):
            surplus[i] += fallen[at, name] - deaths * shares[i]
            for j in range(len(names)):
                spread[i][j] += weight * shares[i] * ((i == j) - shares[j])
    chi_square = _squared(surplus, spread)
    return LogRank(chi_square, chi_square_above(chi_square, len(names) - 1))


def chi_square_above(value: float, freedom: int) -> float:
    """Return the probability of a chi-square of at least a value.

    Source:
        Abramowitz & Stegun (1964) 26.4.4 and 26.4.5.

    >>> round(chi_square_above(3.841, 1), 3), round(chi_square_above(5.991, 2), 3)
    (0.05, 0.05)
    """
    half = _check.not_negative("value", value) / 2
    odd = _check.count("freedom", freedom, 1) % 2
    term = math.sqrt(half / math.pi) * 2 if odd else 1.0
    total = term if freedom > 1 else 0.0
    for k in range(3 if odd else 2, freedom - 1, 2):
        term *= 2 * half / k
        total += term
    return (math.erfc(math.sqrt(half)) if odd else 0.0) + math.exp(-half) * total


def _trees(times: Sequence[float], died: Sequence[bool]) -> tuple[list[float], list[bool]]:
    _check.same_length(times=times, died=died)
    ages = [float(one) for one in _check.numbers("times", times, _check.NOT_NEGATIVE)]
    return ages, [bool(_check.count(f"died[{i}]", one, most=1)) for i, one in enumerate(died)]


def _deaths(ages: list[float], dead: list[bool]) -> list[tuple[float, int, int]]:
    """Return each time of a death with how many were at risk then, and how many died."""
    fallen = Counter(age for age, gone in zip(ages, dead, strict=True) if gone)
    seen = sorted(Counter(ages).items())
    before = (0, *accumulate(some for _, some in seen))
    left = ((at, len(ages) - gone) for (at, _), gone in zip(seen, before, strict=False))
    return [(at, risk, fallen[at]) for at, risk in left if fallen[at]]


def _at_risk(ages: list[float], group: Sequence[Hashable], name: Hashable) -> "_Risk":
    return _Risk(sorted(age for age, one in zip(ages, group, strict=True) if one == name))


class _Risk:
    """How many of some plants were not yet seen for the last time, asked of ascending times."""

    def __init__(self, ages: list[float]) -> None:
        self._ages = ages
        self._gone = 0

    def __call__(self, at: float) -> int:
        while self._gone < len(self._ages) and self._ages[self._gone] < at:
            self._gone += 1
        return len(self._ages) - self._gone


def _squared(surplus: Sequence[float], spread: Sequence[Sequence[float]]) -> float:
    """Return surplus x inverse(spread) x surplus, leaving out what the rest already tells."""
    left = [[*row, one] for row, one in zip(spread, surplus, strict=True)]
    total = 0.0
    for k in range(len(left)):
        pivot = left[k][k]
        if pivot < _NOTHING:
            continue
        total += left[k][-1] ** 2 / pivot
        for i in range(k + 1, len(left)):
            factor = left[i][k] / pivot
            left[i] = [a - factor * b for a, b in zip(left[i], left[k], strict=True)]
    return total
