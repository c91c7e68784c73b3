"""By which day to sow so that plants are ready in time."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from nursery.science import _check
from nursery.science.planning.rates import DRAWS, evenly

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

_LONGEST = _check.Range(0.0, 20_000.0, "0 to 20000 days")
_SOME_DAYS = _check.Range(1e-3, 20_000.0, "above 0 and up to 20000 days")


@dataclass(frozen=True)
class Duration:
    """How long a stage of the next batch takes: a Student t on the logarithm of days.

    Attributes:
        middle_days: as likely longer as shorter, 0 or more [days].
        scale: spread of the logarithm, 0 for a stage that always takes the same.
        freedom: degrees of freedom, above 0.
    """

    middle_days: float
    scale: float
    freedom: float

    def draws(self, number: int, random: "np.random.Generator") -> "Numbers":
        """Return how long the stage takes in that many next batches [days]."""
        import numpy as np
        from scipy.special import stdtrit

        spread = self.scale * stdtrit(self.freedom, evenly(number, random))
        # Far in the tail of few degrees of freedom the exponential would run over.
        longest: npt.NDArray[np.float64] = np.minimum(
            self.middle_days * np.exp(np.minimum(spread, 50.0)), _LONGEST.high
        )
        return longest


class SowBy(NamedTuple):
    """The last day to sow.

    Attributes:
        day: the last day on which plants sown are ready in time with the probability asked for.
        days: days that are allowed for.
        middle_days: days that it takes as likely as not.
    """

    day: date
    days: int
    middle_days: int


def fixed(days: float) -> Duration:
    """Return a stage that always takes as long, such as a legal period.

    Raises:
        ValueError: days that are negative or more than 20 000.

    >>> fixed(180)
    Duration(middle_days=180, scale=0.0, freedom=1.0)
    """
    return Duration(_check.number("days", days, _LONGEST), 0.0, 1.0)


def learn_duration(
    past_days: Sequence[float],
    expected_days: float,
    spread_days: float,
    worth_batches: float,
) -> Duration:
    """Return how long a stage takes, as the crop's profile and one's own batches tell it.

    Args:
        past_days: how long it took, one number a past batch, above 0; may be empty [days].
        expected_days: the profile's mean, above 0 [days].
        spread_days: standard deviation from batch to batch, above 0 [days].
        worth_batches: how many past batches the profile is worth, 2 or more.

    Raises:
        ValueError: an argument out of its range.

    Source:
        Normal model with unknown mean and variance for the logarithm of days, conjugate prior:
        Gelman et al. (2013) Bayesian Data Analysis, 3rd ed., section 3.3 (from memory).

    >>> learn_duration([], 100.0, 20.0, 4).middle_days < 100
    True
    >>> round(learn_duration([130.0] * 40, 100.0, 20.0, 4).middle_days)
    127
    """
    logs = [math.log(day) for day in _check.numbers("past_days", past_days, _SOME_DAYS)]
    _check.number("expected_days", expected_days, _SOME_DAYS)
    _check.number("spread_days", spread_days, _SOME_DAYS)
    _check.number("worth_batches", worth_batches, _check.Range(2, 1e6, "2 to a million batches"))
    prior_variance = math.log1p((spread_days / expected_days) ** 2)
    prior_mean = math.log(expected_days) - prior_variance / 2
    batches = worth_batches + len(logs)
    mean = (worth_batches * prior_mean + sum(logs)) / batches
    own = sum(logs) / len(logs) if logs else prior_mean
    squares = (
        worth_batches * prior_variance
        + sum((log - own) ** 2 for log in logs)
        + worth_batches * len(logs) / batches * (own - prior_mean) ** 2
    )
    scale = math.sqrt(squares / batches * (1 + 1 / batches))
    return Duration(math.exp(mean), scale, batches)


def sow_by(
    ready_by: date, durations: Sequence[Duration], probability: float, *, seed: int = 0
) -> SowBy:
    """Return the last day to sow so that all stages are over in time.

    Args:
        ready_by: the day by which plants must be ready, such as the last of a window.
        durations: the stages one after the other, at least one.
        probability: with which probability, above 0 and below 1.
        seed: seed of the simulation of batches, 0 or more; the same gives the same day.

    Raises:
        ValueError: no stage, an argument out of range, or a day before the year 1.

    Source:
        Simulation: stages of one batch are independent of each other.

    >>> sow_by(date(2032, 3, 1), [fixed(180), fixed(30)], 0.9)
    SowBy(day=datetime.date(2031, 8, 4), days=210, middle_days=210)
    """
    import numpy as np

    if not durations:
        raise ValueError("durations must be at least one stage, not none")
    _check.open_fraction("probability", probability)
    _check.count("seed", seed)
    random = np.random.default_rng(seed)
    total = np.sum([stage.draws(DRAWS, random) for stage in durations], axis=0)
    days, middle = (
        math.ceil(float(np.quantile(total, at, method="inverted_cdf")) - 1e-9)
        for at in (probability, 0.5)
    )
    if days >= ready_by.toordinal():
        raise ValueError(f"ready_by must be more than {days} days after the year 1, not {ready_by}")
    return SowBy(ready_by - timedelta(days=days), days, middle)
