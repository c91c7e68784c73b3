"""How many plants live in a block of which some rows were counted.

A row is a cluster: plants of one row die together, of one wet end or one careless crew, so that a
hundred plants of two rows tell less than a hundred that lie scattered.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from nursery.science import _check

LEVEL = 0.95


class Estimate(NamedTuple):
    """A share with its standard error and 95 % interval; None where the rows cannot tell them."""

    share: float
    error: float | None
    low: float | None
    high: float | None


def alive(rows: Sequence[tuple[int, int]], rows_in_all: int) -> Estimate:
    """Return the share of plants that live in the whole block.

    Args:
        rows: of each counted row, how many were planted and how many of them live.
        rows_in_all: rows of the block, counted or not.

    Returns:
        The ratio of sums, with the variance of a ratio between clusters, shrunk by the share of
        rows that were counted, and the interval by Student's t, cut at 0 and 1. Of one row of
        several there is no error; of rows that do not differ at all it is 0, and no interval is
        told. With every row counted the share is no estimate: it and its interval are the count.

    Raises:
        ValueError: no row, more rows than there are, a row without plants or with more alive than
            planted.

    Source:
        Cochran (1977) Sampling Techniques, 3rd ed., 3.12 and 6.3-6.5 (from memory). A systematic
        sample is taken as a random one: its own error cannot be told from itself.

    >>> share, error, low, high = alive([(10, 9), (10, 7), (10, 8)], 15)
    >>> round(share, 3), round(error or 0, 4), round(low or 0, 3), round(high or 0, 3)
    (0.8, 0.0516, 0.578, 1.0)
    """
    counted = _check.count("rows", len(rows), 1, _check.count("rows_in_all", rows_in_all, 1))
    for i, (planted, living) in enumerate(rows):
        _check.count(f"rows[{i}]", living, 0, _check.count(f"rows[{i}]", planted, 1))
    planted = sum(one for one, _ in rows)
    share = sum(living for _, living in rows) / planted
    if counted == rows_in_all:
        return Estimate(share, 0.0, share, share)
    if counted == 1:
        return Estimate(share, None, None, None)
    spread = sum((living - share * some) ** 2 for some, living in rows) / (counted - 1)
    rest = 1 - counted / rows_in_all
    error = math.sqrt(rest * spread / counted) / (planted / counted)
    if error == 0:
        return Estimate(share, error, None, None)
    reach = error * student_t(counted - 1)
    return Estimate(share, error, max(0.0, share - reach), min(1.0, share + reach))


def student_t(freedom: int) -> float:
    """Return the distance that 95 % of Student's t lie within, to both sides.

    Source:
        Abramowitz & Stegun (1964) 26.7.3 and 26.7.4, halved into an interval of 1e-12.

    >>> [round(student_t(freedom), 3) for freedom in (1, 2, 5, 10)]
    [12.706, 4.303, 2.571, 2.228]
    """
    _check.count("freedom", freedom, 1)
    low, high = 0.0, 13.0
    while high - low > 1e-12:
        middle = (low + high) / 2
        low, high = (middle, high) if _within(middle, freedom) < LEVEL else (low, middle)
    return (low + high) / 2


def _within(t: float, freedom: int) -> float:
    """Return the probability that Student's t lies between -t and t."""
    angle = math.atan(t / math.sqrt(freedom))
    sine, cosine = math.sin(angle), math.cos(angle)
    even = freedom % 2 == 0
    term = 1.0 if even else cosine
    total = term if even or freedom > 1 else 0.0
    for k in range(2 if even else 3, freedom - 1, 2):
        term *= (k - 1) / k * cosine * cosine
        total += term
    return sine * total if even else 2 / math.pi * (angle + sine * total)
