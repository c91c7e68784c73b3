"""Simulated batches that agree with the measurements."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from nursery.science.growth import batch
from nursery.science.growth.crop import Habit, Measure

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

# More plants than this are shown by so many, spread evenly over the normal curve.
_MOST_PLANTS = 200
_MOST_AGES = 128


class Draws(NamedTuple):
    """Draws of one measure, in the crop's spreads.

    Attributes:
        margin: the batch's path above what is needed, draws x ages.
        plants: where its plants stand around the path, draws x plants.
    """

    margin: "Numbers"
    plants: "Numbers"


@dataclass(frozen=True)
class Plan:
    """What is simulated: the arguments of `forecast`."""

    measures: Sequence[Measure]
    batch_size: int
    habit: Habit
    draws: int
    seed: int

    @cached_property
    def ages(self) -> "Numbers":
        """Whole days on which a draw is looked at, up to the horizon."""
        import numpy as np

        first = min(measure.curve.ages_days[0] for measure in self.measures)
        last = max(age for one in self.measures for age in (*one.curve.ages_days, *one.ages_days))
        begin, end = math.floor(first), math.ceil(last)
        days = np.linspace(begin, end, min(_MOST_AGES, end - begin + 1))
        return np.unique(np.round(days))

    @cached_property
    def all_ages(self) -> "Numbers":
        """The ages looked at and those of any measurement."""
        import numpy as np

        measured = [age for measure in self.measures for age in measure.ages_days]
        return np.unique([*self.ages, *measured])

    @property
    def last_measured(self) -> float:
        """The last age measured; before all ages where nothing was."""
        return max((age for one in self.measures for age in one.ages_days), default=-math.inf)

    @property
    def plants(self) -> int:
        return min(self.batch_size, _MOST_PLANTS)


def simulated(plan: Plan) -> list[Draws]:
    """Return draws of every measure; the same draw of each belongs to the same batch."""
    import numpy as np

    random = np.random.default_rng(plan.seed)
    covariance = plan.habit.between_batches * plan.habit.agreement(plan.all_ages)
    root = np.linalg.cholesky(covariance + 1e-9 * np.eye(len(covariance)))
    common = _normal(plan, random)
    found = []
    for measure in plan.measures:
        own = _normal(plan, random)
        together = plan.habit.together
        path, plants = (
            math.sqrt(together) * shared + math.sqrt(1 - together) * single
            for shared, single in zip(common, own, strict=True)
        )
        found.append(_drawn(plan, measure, (covariance, path @ root.T, plants), random))
    return found


def _normal(plan: Plan, random: "np.random.Generator") -> tuple["Numbers", "Numbers"]:
    """Return standard normal draws for paths and for plants."""
    import numpy as np
    from scipy.special import ndtri

    paths = random.standard_normal((plan.draws, len(plan.all_ages)))
    if plan.batch_size == plan.plants:
        return paths, random.standard_normal((plan.draws, plan.plants))
    even = ndtri((np.arange(plan.plants) + 0.5) / plan.plants)
    return paths, random.permuted(np.tile(even, (plan.draws, 1)), axis=1)


def _drawn(
    plan: Plan,
    measure: Measure,
    prior: tuple["Numbers", "Numbers", "Numbers"],
    random: "np.random.Generator",
) -> Draws:
    """Return draws of one measure, the prior's draws moved to where the measurements are."""
    import numpy as np

    covariance, path, plants = (values.copy() for values in prior)
    found = batch.evidence(measure)
    measured = np.searchsorted(plan.all_ages, found.ages).tolist()
    told = batch.steps(found, covariance[np.ix_(measured, measured)], plan.habit)
    noise = random.standard_normal((plan.draws, len(measured)))
    shown = _shown(plan, len(found.z))
    spreads = _spreads(told, plan.draws, random)
    for number in np.unique(spreads).tolist():
        step, rows = told[number], np.flatnonzero(spreads == number)
        path[rows] = batch.paths(step, covariance, measured, path[rows], noise[rows])
        stand = batch.places(step, found, shown, path[np.ix_(rows, measured)],
                             plants[rows, : len(shown)])  # fmt: skip
        plants[rows] *= math.sqrt(step.variance)
        plants[rows, : len(shown)] = stand
    mean, spread = measure.curve.at(plan.ages)
    looked_at = np.searchsorted(plan.all_ages, plan.ages)
    return Draws(path[:, looked_at] - (measure.minimum - mean) / spread, plants)


def _shown(plan: Plan, tagged: int) -> list[int]:
    """Return the tagged plants that stand among the simulated ones, in their true share."""
    import numpy as np

    number = round(tagged * plan.plants / plan.batch_size)
    return [round(place) for place in np.linspace(0, max(tagged - 1, 0), number).tolist()]


def _spreads(
    told: list[batch.Step], draws: int, random: "np.random.Generator"
) -> "npt.NDArray[np.int64]":
    """Return which spread within the batch each draw has, as often as its weight says."""
    import numpy as np

    logs = np.array([step.log_weight for step in told])
    weights = np.exp(logs - logs.max()).cumsum()
    at = (np.arange(draws) + 0.5) / draws * weights[-1]
    return random.permutation(np.searchsorted(weights, at))
