"""On which day enough of a batch is big enough."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import TYPE_CHECKING

from nursery.science import _check
from nursery.science.growth.crop import Habit, Measure
from nursery.science.growth.fan import Ahead, fan
from nursery.science.growth.simulate import Draws, Plan, simulated

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Numbers = npt.NDArray[np.float64]

DRAWS = 400
_DRAWS_AT_ONCE = 50


@dataclass(frozen=True)
class Forecast:
    """When the batch is ready, as ages in whole days.

    Attributes:
        early: the day before which it is ready in one tail of the interval.
        day: the day by which it is as likely ready as not.
        late: the day after which it is ready in the other tail. Each is None where it lies
            beyond the horizon.
        reached: probability that it is ready by the horizon, 0 to 1.
        horizon_days: the age up to which the crop's curve, or a measurement, reaches.
        fans: for each measure how single plants go on from the last measuring.
    """

    early: int | None
    day: int | None
    late: int | None
    reached: float
    horizon_days: int
    fans: tuple[tuple[Ahead, ...], ...]


def forecast(
    measures: Sequence[Measure],
    batch_size: int,
    share: float,
    habit: Habit,
    *,
    interval: float = 0.8,
    draws: int = DRAWS,
    seed: int = 0,
) -> Forecast:
    """Return the day on which a share of the batch passes the minimum in every measure.

    Without a measurement it is the crop's own prior; with more and more of them the batch speaks
    for itself. The same input gives the same answer.

    Args:
        measures: the required measures, at least one.
        batch_size: plants alive in the batch, tagged ones included, 1 or more.
        share: share of them that must pass, above 0 and up to 1.
        habit: how batches and plants of the crop differ.
        interval: probability between `early` and `late`, above 0 and below 1.
        draws: simulated batches, 100 or more.
        seed: seed of the simulation, 0 or more.

    Raises:
        ValueError: no measure, more tagged plants than plants, rows of unequal number, or an
            argument out of its range.

    Source:
        Bayesian linear mixed model, see `batch`; coverage is tested on simulated batches.
        Limits: plants keep their rank within the batch, measures of a plant are correlated by
        the crop's figure and not by its own, tagged plants are a random sample.
    """
    _check_request(measures, batch_size, share)
    _check.open_fraction("interval", interval)
    _check.count("draws", draws, least=100, most=100_000)
    _check.count("seed", seed)
    plan = Plan(measures, batch_size, habit, draws, seed)
    batches = simulated(plan)
    crossed = _first_days(batches, share, plan)
    tail = (1 - interval) / 2
    early, day, late = (_quantile(crossed, at) for at in (tail, 0.5, 1 - tail))
    reached = sum(map(math.isfinite, crossed)) / draws
    fans = tuple(
        fan(measure, found, plan.ages) for measure, found in zip(measures, batches, strict=True)
    )
    return Forecast(early, day, late, reached, round(plan.ages[-1]), fans)


def _check_request(measures: Sequence[Measure], batch_size: int, share: float) -> None:
    if not measures:
        raise ValueError("measures must be at least one, not none")
    _check.count("batch_size", batch_size, least=1)
    _check.positive_fraction("share", share)
    tagged = {len(measure.sizes) for measure in measures} - {0}
    if len(tagged) > 1:
        raise ValueError(f"sizes must have the same plants in all measures, not {sorted(tagged)}")
    if tagged and max(tagged) > batch_size:
        raise ValueError(f"sizes must be of at most {batch_size} plants, not {max(tagged)}")


def _first_days(found: list[Draws], share: float, plan: Plan) -> list[float]:
    """Return for each draw the age at which enough plants pass; infinite where they do not."""
    import numpy as np

    plants = found[0].plants.shape[1]
    fail = plants - math.ceil(share * plants - 1e-9)
    if len(found) == 1:  # then the plant that decides is the same at all ages
        deciding = np.partition(found[0].plants, fail, axis=1)[:, fail, None]
        return _crossings(found[0].margin + deciding, plan)
    crossed = []
    for start in range(0, len(found[0].margin), _DRAWS_AT_ONCE):
        part = slice(start, start + _DRAWS_AT_ONCE)
        worst = reduce(np.minimum, (_plants_above(one, part) for one in found))
        last_needed = np.partition(worst, fail, axis=2)[:, :, fail]
        crossed += _crossings(last_needed.astype(np.float64), plan)
    return crossed


def _plants_above(found: Draws, part: slice) -> "npt.NDArray[np.float32]":
    """Return how far each plant is above its minimum, draws x ages x plants.

    Single precision is plenty for spreads, and halves what is moved through memory.
    """
    import numpy as np

    margin, plants = (values[part].astype(np.float32) for values in found)
    above: npt.NDArray[np.float32] = margin[:, :, None] + plants[:, None, :]
    return above


def _crossings(margin: "Numbers", plan: Plan) -> list[float]:
    """Return where each row comes to 0 or more, linear between ages.

    Plants do not shrink: what fails on the last day measured has not passed on any day before.
    """
    import numpy as np

    ages = plan.ages
    passed = margin >= 0
    past = int(np.searchsorted(ages, plan.last_measured, side="right"))
    passed[:, :past] = np.logical_and.accumulate(passed[:, :past][:, ::-1], axis=1)[:, ::-1]
    first = np.argmax(passed, axis=1)
    row = np.arange(len(margin))
    before = np.maximum(first - 1, 0)
    rise = margin[row, first] - margin[row, before]
    back = np.where(first > before, margin[row, first] / np.where(rise > 0, rise, 1.0), 0.0)
    at = ages[first] - back * (ages[first] - ages[before])
    crossed: list[float] = np.where(passed.any(axis=1), at, np.inf).tolist()
    return crossed


def _quantile(crossed: list[float], share: float) -> int | None:
    """Return the whole day by which a share of the draws has crossed."""
    at = sorted(crossed)[math.ceil(share * len(crossed) - 1e-9) - 1]
    return math.ceil(at - 1e-9) if math.isfinite(at) else None
