"""How long plants stand, from trees seen dead, seen alive, or no longer to be found.

One entry is one tree. A tree whose label was lost, or that still stands at the last look, was
alive at least until then: it is censored, never dead.
"""

from __future__ import annotations

import warnings
from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from nursery.science import _check

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    from nursery.science._arrays import Array

    Flags = npt.NDArray[np.bool_]


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
    import numpy as np
    from scipy.stats import CensoredData, ecdf

    ages, dead = _trees(times, died)
    deaths = np.unique(ages[dead])
    if not deaths.size:
        return Curve((), (), (), ())
    estimate = ecdf(CensoredData.right_censored(ages, ~dead)).sf
    with warnings.catch_warnings():
        # Said of the times from which nothing is left; here that is documented as NaN.
        warnings.simplefilter("ignore", RuntimeWarning)
        interval = estimate.confidence_interval(0.95, method="log-log")
    at = np.searchsorted(estimate.quantiles, deaths)
    curves = (estimate, interval.low, interval.high)
    return Curve(
        tuple(deaths.tolist()), *(tuple(curve.probabilities[at].tolist()) for curve in curves)
    )


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
    import numpy as np
    from scipy.stats import chi2

    _check.same_length(times=times, died=died, group=group)
    ages, dead = _trees(times, died)
    names = {name: i for i, name in enumerate(dict.fromkeys(group))}
    if len(names) < 2:
        raise ValueError(f"group must name at least 2 groups, not {len(names)}")
    member = np.eye(len(names))[[names[name] for name in group]]
    surplus, spread = _observed_less_expected(ages, dead, member)
    # Surpluses add up to nothing, so the matrix has one rank less than groups.
    chi_square = float(surplus @ np.linalg.pinv(spread, hermitian=True) @ surplus)
    return LogRank(chi_square, float(chi2.sf(chi_square, len(names) - 1)))


def _trees(times: Sequence[float], died: Sequence[bool]) -> tuple[Array, Flags]:
    import numpy as np

    _check.same_length(times=times, died=died)
    ages = _check.numbers("times", times, _check.NOT_NEGATIVE)
    flags = np.asarray(died).tolist()
    dead = [_check.count(f"died[{i}]", flag, most=1) for i, flag in enumerate(flags)]
    return np.array(ages, dtype=float), np.array(dead, dtype=bool)


def _observed_less_expected(ages: Array, dead: Flags, member: Array) -> tuple[Array, Array]:
    """Return deaths beyond the expected of each group, and their covariance."""
    import numpy as np

    ascending = np.argsort(ages)
    ages, dead, member = ages[ascending], dead[ascending], member[ascending]
    at_times, deaths = np.unique(ages[dead], return_counts=True)
    first = np.searchsorted(ages, at_times)
    # Trees at risk: those not yet seen for the last time, by group.
    at_risk = member[::-1].cumsum(axis=0)[::-1][first]
    everyone = at_risk.sum(axis=1)
    share = at_risk / everyone[:, None]
    surplus = (member * dead[:, None]).sum(axis=0) - (deaths[:, None] * share).sum(axis=0)
    weight = deaths * (everyone - deaths) / np.maximum(everyone - 1.0, 1.0)
    spread = np.diag((weight[:, None] * share).sum(axis=0)) - (share * weight[:, None]).T @ share
    return surplus, spread
