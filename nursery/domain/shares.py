"""What share of plants passes a stage, and how many to start, in plain arithmetic.

The same figures as `science.planning`, without arrays, so that an answer needs no job: shares of
batches are beta distributions, several stages one after the other are taken as one with the same
mean and spread. A test holds both to each other.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from nursery.science.planning import Expected

MOST_STARTED = 1_000_000
_MEANS, _LIKENESSES = 201, 13
# Below this share of what is summed already, a further summand changes no figure.
_NOTHING = 1e-15


@dataclass(frozen=True, slots=True)
class Share:
    """The share of a batch that passes, by its mean and the mean of its square over batches."""

    mean: float
    square: float

    @property
    def spread(self) -> float:
        return math.sqrt(max(0.0, self.square - self.mean**2))

    def beta(self) -> tuple[float, float]:
        """Return the two parameters of the beta distribution with this mean and spread."""
        variance = max(self.square - self.mean**2, 1e-12)
        likeness = max(self.mean * (1 - self.mean) / variance - 1, 1e-6)
        return self.mean * likeness, (1 - self.mean) * likeness


def learned(batches: Sequence[tuple[int, int]], expected: Expected) -> Share:
    """Return the share as the crop's figures and one's own batches tell it.

    `batches` hold how many went in and how many came out. Mean and likeness of batches are weighed
    over a grid, as `science.planning.learn_rate` does.
    """
    sure = expected.worth_batches * (expected.likeness + 1) - 1
    cells: list[tuple[float, float, float]] = []
    for n in range(_LIKENESSES):
        step = -3 + 6 * n / (_LIKENESSES - 1)
        likeness = expected.likeness * math.exp(step * math.sqrt(2 / expected.worth_batches))
        for m in range(_MEANS):
            mean = (m + 0.5) / _MEANS
            weight = (expected.rate * sure - 1) * math.log(mean)
            weight += ((1 - expected.rate) * sure - 1) * math.log1p(-mean) - step**2 / 2
            weight += _seen(batches, mean * likeness, (1 - mean) * likeness)
            cells.append((weight, mean, likeness))
    top = max(weight for weight, _, _ in cells)
    weighed = [(math.exp(weight - top), mean, likeness) for weight, mean, likeness in cells]
    total = sum(weight for weight, _, _ in weighed)
    first = sum(weight * mean for weight, mean, _ in weighed)
    second = sum(w * mean * (mean * k + 1) / (k + 1) for w, mean, k in weighed)
    return Share(first / total, second / total)


def _seen(batches: Sequence[tuple[int, int]], alpha: float, beta: float) -> float:
    base = _log_beta(alpha, beta)
    return sum(_log_beta(alpha + passed, beta + began - passed) - base for began, passed in batches)


def _log_beta(alpha: float, beta: float) -> float:
    return math.lgamma(alpha) + math.lgamma(beta) - math.lgamma(alpha + beta)


def together(shares: Iterable[Share]) -> Share:
    """Return the share that passes all stages; stages do not depend on each other."""
    some = list(shares)
    return Share(math.prod(one.mean for one in some), math.prod(one.square for one in some))


def number_to_start(needed: int, probability: float, shares: Sequence[Share]) -> int | None:
    """Return the least number to start so that enough plants pass with the probability.

    None where even a million do not give it.

    Source: beta-binomial; for several stages one beta of the same mean and spread.
    """
    share = together(shares)
    if needed == 0 or share.mean >= 1:
        return needed
    alpha, beta = share.beta()

    def enough(started: int) -> bool:
        return chance(needed, started, alpha, beta) >= probability

    return _least(needed, enough)


def _least(needed: int, enough: Callable[[int], bool]) -> int | None:
    high = needed
    while not enough(high):
        if high > MOST_STARTED:
            return None
        high *= 2
    low = max(high // 2, needed - 1)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def chance(needed: int, started: int, alpha: float, beta: float) -> float:
    """Return how likely it is that of so many started at least `needed` pass."""
    if needed > started or needed <= 0:
        return float(needed <= 0)
    above = needed > started * alpha / (alpha + beta)
    # From the middle outwards summands fall, so that the sum may end early.
    tail = _tail(needed if above else needed - 1, started, (alpha, beta), up=above)
    return tail if above else 1 - tail


def _tail(at: int, started: int, of: tuple[float, float], *, up: bool) -> float:
    """Return the probability of `at` and all beyond it."""
    alpha, beta = of
    log = math.lgamma(started + 1) - math.lgamma(at + 1) - math.lgamma(started - at + 1)
    log += _log_beta(at + alpha, started - at + beta) - _log_beta(alpha, beta)
    part = total = math.exp(log)
    falls = alpha >= 1 and beta >= 1
    while (at < started) if up else (at > 0):
        if up:
            part *= (started - at) / (at + 1) * (at + alpha) / (started - at - 1 + beta)
            at += 1
        else:
            part *= at / (started - at + 1) * (started - at + beta) / (at - 1 + alpha)
            at -= 1
        total += part
        if falls and part <= total * _NOTHING:
            break
    return min(1.0, total)
