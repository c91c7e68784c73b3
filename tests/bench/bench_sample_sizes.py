"""Sample sizes of lots up to 200 000 units, each call timed alone.

Run `python -m tests.bench.bench_sample_sizes`; it prints, by lot, the slowest of all calls over
levels, confidences and efficacies in processor time, and the call that it was.
"""

import sys
from itertools import product
from time import process_time

from nursery.science import sampling

LOTS = (100, 1_000, 10_000, 50_000, 200_000)
LEVELS = (1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.001, 0.0001)
CONFIDENCES = (0.5, 0.8, 0.95, 0.99, 0.999999, 1.0)
EFFICACIES = (1.0, 0.95, 0.8, 0.5, 0.1, 0.01, 0.001)
REPEATS = 7


def milliseconds(*arguments: float) -> float:
    lot, *rest = arguments
    times = []
    for _ in range(REPEATS):
        start = process_time()
        sampling.sample_size(int(lot), *rest)
        times.append(process_time() - start)
    return min(times) * 1000.0


def main() -> None:
    cases = list(product(LEVELS, CONFIDENCES, EFFICACIES))
    lines = [f"{'lot':>8}{'calls':>7}{'mean ms':>9}{'slowest ms':>12}  level, confidence, efficacy"]
    for lot in LOTS:
        taken = {case: milliseconds(lot, *case) for case in cases}
        slowest = max(taken, key=lambda case: taken[case])
        mean = sum(taken.values()) / len(taken)
        lines.append(f"{lot:8}{len(taken):7}{mean:9.3f}{taken[slowest]:12.2f}  {slowest}")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
