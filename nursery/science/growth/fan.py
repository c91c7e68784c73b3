"""Measures from lists of sizes, and how plants are likely to go on from the last measuring."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from nursery.science.growth.crop import CropCurve, Measure
from nursery.science.growth.simulate import Draws

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

EVERY_DAYS = 14
# Eight plants in ten lie between low and high.
TAIL = 0.1
# So many draws and plants of each are enough to draw a fan.
DRAWS, PLANTS = 100, 40


class Ahead(NamedTuple):
    """Sizes of single plants at an age [days]: one in ten is below `low`, one above `high`."""

    age: float
    low: float
    middle: float
    high: float


def measure_of(
    name: str,
    minimum: float,
    curve: CropCurve,
    ages_days: Sequence[float],
    sizes: Sequence[Sequence[float | None]],
) -> Measure:
    """Return a measure from a row of sizes for each plant, None where it was not measured.

    Raises:
        ValueError: a size or an age that cannot be, or rows that do not fit the ages.
    """
    import numpy as np

    if any(len(row) != len(ages_days) for row in sizes):
        raise ValueError(f"sizes must be rows of {len(ages_days)} ages, not of other lengths")
    rows = [[np.nan if size is None else size for size in row] for row in sizes]
    table = np.array(rows, np.float64).reshape(len(rows), len(ages_days))
    return Measure(name, minimum, curve, tuple(ages_days), table)


def fan(measure: Measure, found: Draws, ages: "Numbers") -> tuple[Ahead, ...]:
    """Return how single plants are likely to go on from the last measuring, a fortnight apart.

    Empty where nothing was measured. Nothing is told of days after the crop's curve ends.

    Args:
        measure: with the plants that were measured.
        found: draws of batches that agree with what was measured.
        ages: the ages of these draws, rising [days].

    Source:
        Shares of the simulated plants; coverage is tested on simulated batches.
    """
    import numpy as np

    if not measure.ages_days:
        return ()
    days = np.arange(measure.ages_days[-1], ages[-1] + 1, EVERY_DAYS)
    mean, spread = measure.curve.at(ages)
    path = _at(days, ages, _some(found.margin, DRAWS) + (measure.minimum - mean) / spread)
    mean, spread = measure.curve.at(days)
    plants = _some(_some(found.plants, DRAWS).T, PLANTS).T
    sizes = mean + spread * (path[:, None, :] + plants[:, :, None])
    bands = np.quantile(sizes.reshape(-1, len(days)), (TAIL, 0.5, 1 - TAIL), axis=0)
    low, middle, high = np.maximum(bands, 0).tolist()
    return tuple(Ahead(*row) for row in zip(days.tolist(), low, middle, high, strict=True))


def _at(days: "Numbers", ages: "Numbers", path: "Numbers") -> "Numbers":
    """Return rows given at ages for other days among them, linear in between."""
    import numpy as np

    after = np.clip(np.searchsorted(ages, days), 1, len(ages) - 1)
    share = (days - ages[after - 1]) / (ages[after] - ages[after - 1])
    between: Numbers = path[:, after - 1] * (1 - share) + path[:, after] * share
    return between


def _some(rows: "Numbers", most: int) -> "Numbers":
    """Return at most so many rows, evenly out of all."""
    import numpy as np

    return rows[np.unique(np.linspace(0, len(rows) - 1, min(most, len(rows))).astype(np.int64))]
