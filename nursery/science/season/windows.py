"""Planting windows: runs of good days."""

from typing import TYPE_CHECKING, NamedTuple

from nursery.science import _arrays, _check
from nursery.science.season.weather import DAYS

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt


class Window(NamedTuple):
    """A run of good planting days.

    Attributes:
        first: its first planting day, 0 (1 January) to 365.
        last: its last; below `first` where the window runs over the turn of the year.
        days: how many days it has.
        score: the mean score of its days.
    """

    first: int
    last: int
    days: int
    score: float


def windows(score: "npt.NDArray[np.float64]", good: float, shortest_days: int) -> list[Window]:
    """Return the runs of planting days whose score is good, by first day.

    31 December and 1 January are neighbours. A day without a score is not good: it ends a run.

    Args:
        score: score of the 366 planting days, 0 to 1; NaN where it is not known.
        good: the least score of a good day, above 0 and up to 1.
        shortest_days: the least length of a window, 1 or more [days].

    Raises:
        ValueError: a score out of range or not of 366 days, a limit out of range.

    >>> import numpy as np
    >>> year = np.zeros(366)
    >>> year[100:120] = 0.75
    >>> windows(year, good=0.6, shortest_days=7)
    [Window(first=100, last=119, days=20, score=0.75)]
    """
    import numpy as np

    days = _arrays.array("score", score, _check.FRACTION)
    if days.shape != (DAYS,):
        raise ValueError(f"score must be {DAYS} planting days, not of shape {days.shape}")
    _check.positive_fraction("good", good)
    _check.count("shortest_days", shortest_days, least=1, most=DAYS)
    is_good = np.nan_to_num(days, nan=0.0) >= good
    if is_good.all():
        return [Window(0, DAYS - 1, DAYS, float(days.mean()))]
    starts = np.flatnonzero(is_good & ~np.roll(is_good, 1))
    found = []
    for first in starts.tolist():
        length = int(np.argmin(np.roll(is_good, -first)))
        mean = float(np.roll(days, -first)[:length].mean())
        if length >= shortest_days:
            found.append(Window(first, (first + length - 1) % DAYS, length, mean))
    return found
