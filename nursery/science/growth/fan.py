"""Measures from lists of sizes, and how plants are likely to go on from the last measuring."""

from collections.abc import Sequence

from nursery.science import _check
from nursery.science.growth.crop import CropCurve, Measure

# Nine in ten of a normal spread lie below it.
NINE_IN_TEN = 1.2816


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


def fan(
    measure: Measure, every_days: int, until_days: float
) -> list[tuple[float, float, float, float]]:
    """Return age, and low, middle and high size of single plants, from the last measuring on.

    The measured mean goes on as the crop's curve does; eight plants in ten lie in the crop's own
    spread around it. Empty where nothing was measured.

    Args:
        measure: with the plants that were measured.
        every_days: the step, 1 or more [days].
        until_days: the last age, if it lies after the last measuring [days].

    Raises:
        ValueError: a step below one day.
    """
    import numpy as np

    _check.count("every_days", every_days, least=1)
    _check.not_negative("until_days", until_days)
    if not measure.ages_days:
        return []
    last = measure.ages_days[-1]
    ages = np.arange(last, max(until_days, last) + 1, every_days)
    mean, spread = measure.curve.at(ages)
    here, _ = measure.curve.at(np.array([last]))
    middle = mean + float(np.nanmean(measure.sizes[:, -1])) - float(here[0])
    low, high = middle - NINE_IN_TEN * spread, middle + NINE_IN_TEN * spread
    return list(zip(ages.tolist(), low.tolist(), middle.tolist(), high.tolist(), strict=True))
