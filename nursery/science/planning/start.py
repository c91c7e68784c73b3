"""How many to start so that enough stand."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from nursery.science import _check
from nursery.science.planning.rates import DRAWS, Rate

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

MOST_STARTED = 10_000_000
_GROUPS = 256


class Standing(NamedTuple):
    """How many will stand.

    Attributes:
        low: fewer than this stand in one tail of the interval.
        middle: as likely more as fewer.
        high: more than this stand in the other tail.
    """

    low: int
    middle: int
    high: int


def number_to_start(
    needed: int, probability: float, rates: Sequence[Rate], *, seed: int = 0
) -> int | None:
    """Return the least number to start so that enough plants stand at the end of all stages.

    Args:
        needed: plants that must stand, 0 or more.
        probability: with which probability, above 0 and below 1.
        rates: the stages' learned rates, at least one, in any order.
        seed: seed of the simulation of batches, 0 or more; the same gives the same number.

    Returns:
        Plants to start; None where even ten million do not give that probability.

    Raises:
        ValueError: an argument out of range, or no rate.

    Source:
        Given the shares of a batch its survivors are binomial, whatever the stages between; the
        shares are integrated over `Rate.draws`. One stage of one beta is the beta-binomial.

    >>> sure = Rate((1.0,), (800.0,), (200.0,))
    >>> number_to_start(100, 0.9, [sure])
    133
    """
    _check.count("needed", needed)
    _check.open_fraction("probability", probability)
    share = _shares(rates, seed)
    if needed == 0:
        return 0
    high = needed
    while chance_of(needed, high, share) < probability:
        if high > MOST_STARTED:
            return None
        high *= 2
    low = max(high // 2, needed - 1)
    while high - low > 1:
        middle = (low + high) // 2
        if chance_of(needed, middle, share) < probability:
            low = middle
        else:
            high = middle
    return high


def standing(
    started: int, rates: Sequence[Rate], *, interval: float = 0.8, seed: int = 0
) -> Standing:
    """Return how many of the started plants will stand at the end of all stages.

    Args:
        started: plants started, 0 or more.
        rates: the stages' learned rates, at least one.
        interval: probability between `low` and `high`, above 0 and below 1.
        seed: seed of the simulation, 0 or more.

    Raises:
        ValueError: an argument out of range, or no rate.

    Source:
        As `number_to_start`.

    >>> standing(1000, [Rate((1.0,), (8000.0,), (2000.0,))])
    Standing(low=783, middle=800, high=817)
    """
    _check.count("started", started, most=MOST_STARTED)
    _check.open_fraction("interval", interval)
    share = _shares(rates, seed)
    tail = (1 - interval) / 2
    return Standing(*(_fewest(started, share, at) for at in (tail, 0.5, 1 - tail)))


def chance_of(needed: int, started: int, share: "Numbers") -> float:
    """Return the probability that `needed`, from 1 to `started`, stand, over draws of the share."""
    from scipy.special import bdtrc

    return float(bdtrc(needed - 1, started, share).mean())


def _fewest(started: int, share: "Numbers", below: float) -> int:
    """Return the least number that is not exceeded with at least that probability."""
    low, high = -1, started
    while high - low > 1:
        middle = (low + high) // 2
        if 1 - chance_of(middle + 1, started, share) < below:
            low = middle
        else:
            high = middle
    return high


def _shares(rates: Sequence[Rate], seed: int) -> "Numbers":
    import numpy as np

    if not rates:
        raise ValueError("rates must be at least one stage, not none")
    _check.count("seed", seed)
    random = np.random.default_rng(seed)
    drawn = np.prod([rate.draws(DRAWS, random) for rate in rates], axis=0)
    # Neighbours differ by less than a probability can show, so their mean stands for them.
    share: npt.NDArray[np.float64] = np.sort(drawn).reshape(_GROUPS, -1).mean(axis=1)
    return share
