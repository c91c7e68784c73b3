"""Degree-days of 30 years by double sine: arrays against a plain loop over the same days.

Run `python -m tests.bench.bench_degree_days`; it prints milliseconds and their ratio.
"""

import math
from collections.abc import Callable
from time import perf_counter

import numpy as np

from nursery.science import thermal

YEARS = 30
LOWER, UPPER = 10.0, 32.0


def weather() -> tuple[list[float], list[float], list[float]]:
    days = np.arange(YEARS * 365 + 8)
    draw = np.random.default_rng(30)
    low = 12.0 + 6.0 * np.sin(days / 58.1) + draw.normal(0.0, 3.0, days.size)
    high = low + draw.uniform(4.0, 18.0, days.size)
    return low[:-1].tolist(), high[:-1].tolist(), low[1:].tolist()


def area_above(low: float, high: float, threshold: float) -> float:
    if threshold >= high:
        return 0.0
    middle = (low + high) / 2.0
    if threshold <= low:
        return middle - threshold
    half = (high - low) / 2.0
    angle = math.asin((threshold - middle) / half)
    return ((middle - threshold) * (math.pi / 2.0 - angle) + half * math.cos(angle)) / math.pi


def half_day(low: float, high: float, upper: float | None) -> float:
    area = area_above(low, high, LOWER)
    return area if upper is None else area - area_above(low, high, upper)


def loop(
    lows: list[float], highs: list[float], next_lows: list[float], upper: float | None
) -> list[float]:
    return [
        (half_day(low, high, upper) + half_day(min(high, after), max(high, after), upper)) / 2.0
        for low, high, after in zip(lows, highs, next_lows, strict=True)
    ]


def best_of(repeats: int, task: Callable[[], object]) -> float:
    times = []
    for _ in range(repeats):
        start = perf_counter()
        task()
        times.append(perf_counter() - start)
    return min(times) * 1000.0


def main() -> None:
    lists = weather()
    low, high, after = (np.array(values) for values in lists)
    print(f"{'upper threshold':18}{'loop ms':>10}{'arrays ms':>11}{'ratio':>8}{'differ by':>12}")
    for name, upper in (("none", None), ("horizontal", UPPER)):
        arrays = best_of(
            20, lambda u=upper: thermal.double_sine(low, high, after, lower=LOWER, upper=u)
        )
        plain = best_of(5, lambda u=upper: loop(*lists, u))
        differ = np.max(
            np.abs(
                thermal.double_sine(low, high, after, lower=LOWER, upper=upper)
                - loop(*lists, upper)
            )
        )
        print(f"{name:18}{plain:10.1f}{arrays:11.2f}{plain / arrays:8.0f}{differ:12.1e}")


if __name__ == "__main__":
    main()
