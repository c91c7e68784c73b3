"""What is known of a crop's growth, and what was measured on a batch of it."""

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from nursery.science import _arrays, _check

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True)
class CropCurve:
    """The crop's prior for one measure: mean and spread of size by age.

    Attributes:
        ages_days: ages, two or more, rising [days]. Between them all is linear; before the
            first and after the last it stays.
        mean: mean size at those ages over all batches of the crop, never falling.
        spread: standard deviation at those ages of a plant taken from any batch, above 0.
        error: standard deviation of one measurement, reading and passing swings of the plant
            together, above 0; for whole numbers such as flushes at least 0.3.

    Raises:
        ValueError: fewer than two ages, unequal lengths, ages that do not rise, sizes that fall,
            a spread or error that is not above 0.
    """

    ages_days: tuple[float, ...]
    mean: tuple[float, ...]
    spread: tuple[float, ...]
    error: float

    def __post_init__(self) -> None:
        _check.same_length(ages_days=self.ages_days, mean=self.mean, spread=self.spread)
        _check.numbers("ages_days", self.ages_days, _check.NOT_NEGATIVE)
        _check.numbers("mean", self.mean, _check.NOT_NEGATIVE)
        _check.numbers("spread", self.spread, _check.POSITIVE)
        _check.positive("error", self.error)
        if len(self.ages_days) < 2:
            raise ValueError(f"ages_days must be two ages or more, not {self.ages_days}")
        _rising("ages_days", self.ages_days)
        for age, (size, later) in enumerate(pairwise(self.mean)):
            _check.ordered(f"mean[{age}]", size, f"mean[{age + 1}]", later)

    def at(self, ages_days: "Numbers") -> tuple["Numbers", "Numbers"]:
        """Return mean and spread at ages [the measure's unit]."""
        import numpy as np

        return (
            np.interp(ages_days, self.ages_days, self.mean),
            np.interp(ages_days, self.ages_days, self.spread),
        )

    def age_at(self, size: float) -> float:
        """Return the age at which the mean plant has a size [days]; the ends beyond the curve.

        Raises:
            ValueError: a size below 0.
        """
        import numpy as np

        _check.not_negative("size", size)
        return float(np.interp(size, self.mean, self.ages_days))


@dataclass(frozen=True)
class Habit:
    """How batches and plants of the crop differ, in all measures alike.

    Attributes:
        between_batches: share of the variance of size that lies between batches rather than
            between the plants of one, above 0 and below 1.
        lasting_days: how long a batch keeps its lead or lag: two days so far apart still agree
            by about a half, above 0 [days].
        together: correlation between measures, 0 to below 1.
        worth_plants: how many measured plants the crop's spread within a batch is worth,
            4 or more; more of it trusts the crop, less the batch.

    Raises:
        ValueError: a value out of its range.
    """

    between_batches: float
    lasting_days: float
    together: float
    worth_plants: float

    def __post_init__(self) -> None:
        _check.open_fraction("between_batches", self.between_batches)
        _check.positive("lasting_days", self.lasting_days)
        below_one = _check.Range(0.0, math.nextafter(1.0, 0.0), "a correlation of 0 to below 1")
        _check.number("together", self.together, below_one)
        plants = _check.Range(4.0, 1e6, "4 to a million plants")
        _check.number("worth_plants", self.worth_plants, plants)

    def agreement(self, ages_days: "Numbers") -> "Numbers":
        """Return how a batch's lead at one age is correlated with that at another, age x age.

        Source:
            Matérn covariance of order 3/2, the usual choice for a path that is smooth but not
            stiff: Rasmussen & Williams (2006) Gaussian Processes for Machine Learning, eq. 4.17.
        """
        import numpy as np

        apart = np.abs(np.subtract.outer(ages_days, ages_days)) * math.sqrt(3) / self.lasting_days
        matern: npt.NDArray[np.float64] = (1 + apart) * np.exp(-apart)
        return matern


def _nothing() -> "Numbers":
    import numpy as np

    return np.empty((0, 0))


@dataclass(frozen=True, eq=False)  # arrays have no one truth
class Measure:
    """One required measure: its minimum, the crop's curve, and what was measured.

    Attributes:
        name: such as "height".
        minimum: the size that a plant must have, 0 or more.
        curve: the crop's prior, in the unit of `minimum`.
        ages_days: ages on which tagged plants were measured, rising; may be empty [days].
        sizes: tagged plants x ages; NaN where a plant was not measured. The same plant has the
            same row in all measures. Tagged plants are taken as a random sample of the batch.

    Raises:
        ValueError: a minimum or size that is negative, ages that do not rise, a table that does
            not fit the ages.
    """

    name: str
    minimum: float
    curve: CropCurve
    ages_days: tuple[float, ...] = ()
    sizes: "Numbers" = field(default_factory=_nothing)

    def __post_init__(self) -> None:
        _check.not_negative("minimum", self.minimum)
        _check.numbers("ages_days", self.ages_days, _check.NOT_NEGATIVE)
        _rising("ages_days", self.ages_days)
        sizes = _arrays.array("sizes", self.sizes, _check.NOT_NEGATIVE)
        if sizes.ndim != 2 or sizes.shape[1] != len(self.ages_days):
            raise ValueError(
                f"sizes must be plants x {len(self.ages_days)} ages, not of shape {sizes.shape}"
            )


def _rising(name: str, values: tuple[float, ...]) -> None:
    for place, (value, later) in enumerate(pairwise(values)):
        if value >= later:
            raise ValueError(f"{name}[{place + 1}] must be above {value}, not {later}")
