"""What the measurements say of a batch in one measure.

Sizes are taken as so many spreads above or below the crop's mean of that age. In that scale a
batch drifts about 0 along a smooth path, its plants keep their places around the path, and every
measurement adds an error. All of it is Gaussian, so the path given the measurements is known in
closed form; only the spread within the batch is weighed over a grid.
"""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nursery.science.growth.crop import Habit, Measure

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

# Within-batch variance over the crop's: a quarter to four times, in steps of about 12 %.
_STEPS, _WIDEST = 25, 4.0


@dataclass(frozen=True, eq=False)  # arrays have no one truth
class Evidence:
    """Measurements in the crop's scale.

    Attributes:
        ages: ages measured [days].
        z: plants x ages, 0 where not measured.
        weight: plants x ages, one over the variance of the measurement; 0 where not measured.
    """

    ages: "Numbers"
    z: "Numbers"
    weight: "Numbers"


@dataclass(frozen=True, eq=False)  # arrays have no one truth
class Step:
    """One spread within the batch, and what the measurements say if it is the true one.

    Attributes:
        variance: between the plants of the batch, in the crop's scale.
        log_weight: logarithm of its prior times its likelihood, up to a constant.
        precision: ages x ages, what the plants tell of the batch's path.
        pull: one an age, precision times the path that fits best.
    """

    variance: float
    log_weight: float
    precision: "Numbers"
    pull: "Numbers"


def evidence(measure: Measure) -> Evidence:
    """Return the measurements of a measure in the crop's scale."""
    import numpy as np

    ages = np.asarray(measure.ages_days, np.float64)
    sizes = np.asarray(measure.sizes, np.float64)
    mean, spread = measure.curve.at(ages)
    seen = ~np.isnan(sizes)
    z = np.where(seen, (np.where(seen, sizes, 0.0) - mean) / spread, 0.0)
    return Evidence(ages, z, np.where(seen, (spread / measure.curve.error) ** 2, 0.0))


def steps(found: Evidence, batch: "Numbers", habit: Habit) -> list[Step]:
    """Return the grid of spreads within the batch, each with its weight.

    Args:
        found: the measurements.
        batch: prior covariance of the batch's path at the measured ages.
        habit: how batches and plants of the crop differ.

    Source:
        Linear mixed model with a random plant effect and a Gaussian-process batch effect;
        Rasmussen & Williams (2006) Gaussian Processes for Machine Learning, eq. 2.30, with the
        plant effect integrated out by the matrix inversion lemma. Prior of the spread: scaled
        inverse chi-square, Gelman et al. (2013) Bayesian Data Analysis, section 2.6.
    """
    import numpy as np

    grid = np.geomspace(1 / _WIDEST, _WIDEST, _STEPS)
    freedom = habit.worth_plants
    told = []
    for ratio in grid.tolist():
        variance = ratio * (1 - habit.between_batches)
        prior = -freedom / 2 * (math.log(ratio) + 1 / ratio)
        likelihood, precision, pull = _likelihood(found, variance, batch)
        told.append(Step(variance, prior + likelihood, precision, pull))
    return told


def _likelihood(
    found: Evidence, variance: float, batch: "Numbers"
) -> tuple[float, "Numbers", "Numbers"]:
    """Return the log-likelihood of a spread, and what the plants tell of the path if it holds."""
    import numpy as np

    weight, z = found.weight, found.z
    each = weight.sum(axis=1)
    shrunk = variance / (1 + variance * each)
    pulled = (weight * z).sum(axis=1)
    precision = np.diag(weight.sum(axis=0)) - weight.T @ (shrunk[:, None] * weight)
    pull = (weight * z).sum(axis=0) - weight.T @ (shrunk * pulled)
    misfit = (weight * z * z).sum() - (shrunk * pulled**2).sum()
    gain = np.eye(len(batch)) + batch @ precision
    explained = pull @ np.linalg.solve(gain, batch @ pull)
    width = np.log1p(variance * each).sum() + np.linalg.slogdet(gain)[1]
    return float(explained - misfit - width) / 2, precision, pull


def paths(
    step: Step, batch: "Numbers", measured: list[int], before: "Numbers", noise: "Numbers"
) -> "Numbers":
    """Return draws of the batch's path given the measurements.

    Args:
        step: what the measurements say.
        batch: prior covariance of the path, all ages x all ages.
        measured: which of all ages were measured.
        before: draws of the path from the prior, draws x all ages.
        noise: standard normal draws, draws x measured ages.

    Source:
        Conditioning by kriging a prior draw (Matheron's rule): Wilson et al. (2021) J. Mach.
        Learn. Res. 22 (105): 1-47, section 3 (from memory).
    """
    import numpy as np

    values, vectors = np.linalg.eigh(step.precision)
    blurred = noise * np.sqrt(np.maximum(values, 0.0)) @ vectors.T
    surprise = step.pull - before[:, measured] @ step.precision - blurred
    here = batch[np.ix_(measured, measured)]
    gain = np.eye(len(measured)) + step.precision @ here
    moved: Numbers = before + np.linalg.solve(gain, surprise.T).T @ batch[measured]
    return moved


def places(
    step: Step, found: Evidence, shown: list[int], path: "Numbers", normal: "Numbers"
) -> "Numbers":
    """Return draws of where tagged plants stand around the batch's path, draws x plants.

    Args:
        step: what the measurements say.
        found: the measurements.
        shown: which of the tagged plants.
        path: draws of the path at the measured ages, draws x ages.
        normal: standard normal draws, draws x plants.
    """
    import numpy as np

    weight = found.weight[shown]
    certain = 1 / step.variance + weight.sum(axis=1)
    pulled = (weight * found.z[shown]).sum(axis=1) - path @ weight.T
    stand: Numbers = pulled / certain + normal / np.sqrt(certain)
    return stand
