"""Degree-days of 30 years by double sine: arrays against loops over the same days.

Run `python -m tests.bench.bench_degree_days`. It prints the best milliseconds of processor time
of three ways, and how many times slower the two loops are than the arrays:

- arrays: one call of `thermal.double_sine` for all days, with its checks;
- loop: a plain Python loop over the bare formula, without any check;
- calls: a plain Python loop that calls `thermal.double_sine` once a day.
"""

import math
import sys
from collections.abc import Callable
from time import process_time
from typing import Any

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
        start = process_time()
        task()
        times.append(process_time() - start)
    return min(times) * 1000.0


def main() -> None:
    lists = weather()
    low, high, after = (np.array(values) for values in lists)
    lines = [
        f"{'upper threshold':18}{'arrays':>9}{'loop':>9}{'calls':>9}{'ratios':>13}{'apart':>10}"
    ]
    for name, upper in (("none", None), ("horizontal", UPPER)):

        def arrays(upper: float | None = upper) -> Any:
            return thermal.double_sine(low, high, after, lower=LOWER, upper=upper)

        def plain_loop(upper: float | None = upper) -> list[float]:
            return loop(*lists, upper)

        def one_call_a_day(upper: float | None = upper) -> list[Any]:
            return [
                thermal.double_sine(*day, lower=LOWER, upper=upper)
                for day in zip(*lists, strict=True)
            ]

        fast, slow, slowest = (
            best_of(50, arrays),
            best_of(5, plain_loop),
            best_of(2, one_call_a_day),
        )
        apart = np.abs(arrays() - np.array(plain_loop())).max()
        ratios = f"{slow / fast:.0f} / {slowest / fast:.0f}"
        lines.append(
            f"{name:18}{fast:7.2f}ms{slow:7.1f}ms{slowest:7.0f}ms{ratios:>13}{apart:10.0e}"
        )
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
