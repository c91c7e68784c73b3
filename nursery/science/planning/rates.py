"""What share of plants passes a stage, learned from past batches."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nursery.science import _check

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

DRAWS = 4096
_MEANS, _LIKENESSES = 201, 13


@dataclass(frozen=True)
class Expected:
    """What the crop's profile says of a stage, before any batch of one's own.

    Attributes:
        rate: share of plants that pass, above 0 and below 1.
        spread: standard deviation of that share from batch to batch, above 0.
        worth_batches: how many past batches this figure is worth, 1 or more.

    Raises:
        ValueError: a value out of range, or a spread wider than any share can have.
    """

    rate: float
    spread: float
    worth_batches: float

    def __post_init__(self) -> None:
        _check.open_fraction("rate", self.rate)
        _check.positive("spread", self.spread)
        _check.number("worth_batches", self.worth_batches, WORTH)
        widest = math.sqrt(self.rate * (1 - self.rate) / 1.5)
        if self.spread > widest:
            raise ValueError(
                f"spread must be at most {widest:.3f} for this rate, not {self.spread}"
            )

    @property
    def likeness(self) -> float:
        """Alpha plus beta of the beta distribution over batches; more is more alike."""
        return self.rate * (1 - self.rate) / self.spread**2 - 1


@dataclass(frozen=True)
class Rate:
    """A learned rate: beta distributions over batches, each with its weight.

    Attributes:
        weights: how likely each is, summing to 1.
        alphas: first parameters.
        betas: second parameters.
    """

    weights: tuple[float, ...]
    alphas: tuple[float, ...]
    betas: tuple[float, ...]

    @property
    def mean(self) -> float:
        """The expected share of the next batch."""
        pairs = zip(self.weights, self.alphas, self.betas, strict=True)
        return sum(weight * alpha / (alpha + beta) for weight, alpha, beta in pairs)

    def draws(self, number: int, random: "np.random.Generator") -> "Numbers":
        """Return shares of that many next batches, spread evenly over what is likely."""
        import numpy as np
        from scipy.special import betaincinv

        weights = np.cumsum(self.weights)
        picked = np.searchsorted(weights, evenly(number, random) * weights[-1])
        shares: npt.NDArray[np.float64] = betaincinv(
            np.array(self.alphas)[picked], np.array(self.betas)[picked], evenly(number, random)
        )
        return shares


def learn_rate(started: Sequence[int], passed: Sequence[int], expected: Expected) -> Rate:
    """Return the rate of a stage, as the crop's profile and one's own batches tell it.

    Each batch has its own share, drawn from a beta distribution over batches, and its plants
    pass one by one. Mean and likeness of the batches are weighed over a grid, so that no batch,
    one or many make sense, and a large batch counts as one batch, not as so many plants.

    Args:
        started: plants that went into the stage, one number a past batch; may be empty.
        passed: plants that came out, likewise, not more than went in.
        expected: the crop's profile.

    Raises:
        ValueError: lists of unequal length, negative counts, more plants out than in.

    Source:
        Beta-binomial model with a prior on mean and likeness: Gelman et al. (2013) Bayesian Data
        Analysis, 3rd ed., section 5.3 (from memory).

    >>> crop = Expected(rate=0.8, spread=0.1, worth_batches=3)
    >>> round(learn_rate([], [], crop).mean, 2)
    0.8
    >>> round(learn_rate([100, 120, 90], [60, 80, 52], crop).mean, 2)
    0.71
    """
    import numpy as np
    from scipy.special import betaln, xlog1py, xlogy

    _check.same_length(started=started, passed=passed)
    came_in, came_out = _check.counts("started", started), _check.counts("passed", passed)
    for number, (whole, part) in enumerate(zip(came_in, came_out, strict=True)):
        _check.ordered(f"passed[{number}]", part, f"started[{number}]", whole)
    mean = ((np.arange(_MEANS) + 0.5) / _MEANS)[:, None]
    steps = np.linspace(-3, 3, _LIKENESSES)
    likeness = expected.likeness * np.exp(steps * math.sqrt(2 / expected.worth_batches))
    alpha, beta = mean * likeness, (1 - mean) * likeness
    sure = expected.worth_batches * (expected.likeness + 1) - 1
    weight = xlogy(expected.rate * sure - 1, mean) + xlog1py((1 - expected.rate) * sure - 1, -mean)
    weight = weight - steps**2 / 2
    for whole, part in zip(came_in, came_out, strict=True):
        weight = weight + betaln(alpha + part, beta + whole - part) - betaln(alpha, beta)
    weight = np.exp(weight - weight.max()).ravel()
    kept = weight > weight.max() * 1e-9
    share = weight[kept] / weight[kept].sum()
    return Rate(*(tuple(values.tolist()) for values in
                  (share, alpha.ravel()[kept], beta.ravel()[kept])))  # fmt: skip


def evenly(number: int, random: "np.random.Generator") -> "Numbers":
    """Return numbers between 0 and 1, one in the middle of each equal step, in random order."""
    import numpy as np

    return (random.permutation(number) + 0.5) / number if number else np.empty(0)


WORTH = _check.Range(1.0, 1e6, "1 to a million batches")
