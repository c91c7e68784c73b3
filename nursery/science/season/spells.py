"""Wet and dry days as a chain in which only yesterday counts."""

from typing import TYPE_CHECKING

from nursery.science import _arrays, _check

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = float | npt.NDArray[np.float64]


def fit_wet_dry(wet_days: "npt.ArrayLike") -> tuple[float, float]:
    """Return how likely a wet day is after a dry one and after a wet one.

    Args:
        wet_days: 1 or True for wet, 0 or False for dry, NaN for missing; one series of days, or
            years x days (the last day of a year and the first of the next make no pair).

    Returns:
        (P wet after dry, P wet after wet); NaN for one that no pair of days tells about.

    Raises:
        ValueError: a value other than 0, 1 and NaN, or more than two dimensions.

    Source:
        Gabriel & Neumann (1962) Q. J. R. Meteorol. Soc. 88: 90-95, maximum likelihood of the
        two-state chain of first order: the shares of pairs counted (from memory).

    >>> fit_wet_dry([0, 0, 1, 1, 1, 0, 0, 1])
    (0.5, 0.6666666666666666)
    """
    import numpy as np

    wet = np.atleast_1d(_arrays.array("wet_days", np.asarray(wet_days, np.float64), _TRUTH))
    if wet.ndim > 2:
        raise ValueError(f"wet_days must be days or years x days, not of shape {wet.shape}")
    between = np.argwhere((wet > 0) & (wet < 1))
    if len(between):
        at = tuple(between[0].tolist())
        raise ValueError(
            f"wet_days[{', '.join(map(str, at))}] must be {_TRUTH.words}, not {wet[at]}"
        )
    before, after = wet[..., :-1], wet[..., 1:]
    known = ~np.isnan(before) & ~np.isnan(after)
    return tuple(_share(after[known & (before == state)]) for state in (0, 1))  # type: ignore[return-value]  # two states


def dry_spell_probability(
    p_wet_after_dry: "Numbers",
    p_wet_after_wet: "Numbers",
    run_days: int,
    within_days: int,
) -> "Numbers":
    """Return the probability of at least one dry run that long, the day before being wet.

    Args:
        p_wet_after_dry: probability of a wet day after a dry one, 0 to 1, scalar or array.
        p_wet_after_wet: probability of a wet day after a wet one, 0 to 1, same shape.
        run_days: length of the dry run, 1 or more [days].
        within_days: days looked at, 0 or more; the run must lie in them whole [days].

    Returns:
        Probability from 0 to 1, of the shape of the arguments.

    Raises:
        ValueError: a probability outside 0 to 1, or days that are not whole numbers in range.

    Source:
        Two-state Markov chain of first order; recursion over the length of the current dry run.

    >>> round(dry_spell_probability(0.25, 0.662, 8, 12), 8)
    0.13949658
    """
    import numpy as np

    after_dry = _arrays.array("p_wet_after_dry", p_wet_after_dry, _check.FRACTION)
    after_wet = _arrays.array("p_wet_after_wet", p_wet_after_wet, _check.FRACTION)
    shape = _arrays.same_shape(p_wet_after_dry=after_dry, p_wet_after_wet=after_wet)
    _check.count("run_days", run_days, least=1, most=_MOST_DAYS)
    _check.count("within_days", within_days, most=_MOST_DAYS)
    running = np.zeros((run_days, *shape))  # by days dry so far; 0 is a wet day
    running[0] = 1.0
    reached = np.zeros(shape)
    for _ in range(within_days):
        wetter = running[0] * after_wet + running[1:].sum(axis=0) * after_dry
        dry_on = running * (1 - after_dry)
        dry_on[0] = running[0] * (1 - after_wet)
        reached = reached + dry_on[-1]
        running[1:] = dry_on[:-1]
        running[0] = wetter
    missing = np.isnan(after_dry + after_wet)
    return _arrays.plain(np.where(missing, np.nan, np.clip(reached, 0.0, 1.0)))


def dry_run_survival(p_wet_after_dry: "Numbers", further_days: int) -> "Numbers":
    """Return the probability that it stays dry for so many days after a dry day.

    Args:
        p_wet_after_dry: probability of a wet day after a dry one, 0 to 1, scalar or array.
        further_days: days that follow, 0 or more [days].

    Raises:
        ValueError: a probability outside 0 to 1, or days that are no whole number in range.

    Source:
        Two-state Markov chain of first order: `(1 - p)^days`.

    >>> round(dry_run_survival(0.25, 5), 6)
    0.237305
    """
    after_dry = _arrays.array("p_wet_after_dry", p_wet_after_dry, _check.FRACTION)
    _check.count("further_days", further_days, most=_MOST_DAYS)
    return _arrays.plain((1 - after_dry) ** further_days)


def wet_share(p_wet_after_dry: "Numbers", p_wet_after_wet: "Numbers") -> "Numbers":
    """Return the share of days that are wet in the long run.

    Args:
        p_wet_after_dry: probability of a wet day after a dry one, 0 to 1, scalar or array.
        p_wet_after_wet: probability of a wet day after a wet one, 0 to 1, same shape.

    Returns:
        Share from 0 to 1; NaN where the first day decides for ever (0 after dry, 1 after wet).

    Raises:
        ValueError: a probability outside 0 to 1.

    Source:
        Stationary state of the two-state chain: `p01 / (1 - p11 + p01)`.

    >>> round(wet_share(0.25, 0.662), 4)
    0.4252
    """
    import numpy as np

    after_dry = _arrays.array("p_wet_after_dry", p_wet_after_dry, _check.FRACTION)
    after_wet = _arrays.array("p_wet_after_wet", p_wet_after_wet, _check.FRACTION)
    _arrays.same_shape(p_wet_after_dry=after_dry, p_wet_after_wet=after_wet)
    changes = np.asarray(1 - after_wet + after_dry)
    stuck = changes == 0
    share = after_dry / np.where(stuck, 1.0, changes)
    return _arrays.plain(np.where(stuck, np.nan, share))


def mean_spells(p_wet_after_dry: float, p_wet_after_wet: float) -> tuple[float, float]:
    """Return the mean length of dry and of wet spells [days]; infinite where one never ends.

    Args:
        p_wet_after_dry: probability of a wet day after a dry one, 0 to 1.
        p_wet_after_wet: probability of a wet day after a wet one, 0 to 1.

    Raises:
        ValueError: a probability outside 0 to 1.

    Source:
        Two-state Markov chain: spells are geometric, `1 / p01` and `1 / (1 - p11)`.

    >>> mean_spells(0.25, 0.5)
    (4.0, 2.0)
    """
    _check.fraction("p_wet_after_dry", p_wet_after_dry)
    _check.fraction("p_wet_after_wet", p_wet_after_wet)
    ends = (p_wet_after_dry, 1 - p_wet_after_wet)
    dry, wet = (1 / end if end else float("inf") for end in ends)
    return dry, wet


_TRUTH = _check.Range(0.0, 1.0, "0 for dry or 1 for wet")
_MOST_DAYS = 3660


def _share(after: "npt.NDArray[np.float64]") -> float:
    return float(after.mean()) if len(after) else float("nan")
