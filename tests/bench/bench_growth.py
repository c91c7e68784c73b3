"""Coverage and cost of growth forecasts: `python -m tests.bench.bench_growth`."""

from time import process_time

import numpy as np

from nursery.science.growth import forecast
from tests.science.test_growth import (
    HABIT,
    HEIGHT_CM,
    MEASURED,
    STOUT,
    TALL,
    measured,
    on_curve,
    share_held,
)

BATCHES = 400


def main() -> None:
    print(f"80 % interval over {BATCHES} simulated batches of 60   goal 75 to 85 %")
    for name, ages in MEASURED.items():
        held = share_held([TALL], ages, plants=60, runs=BATCHES, seed=9)
        print(f"{name:24}{100 * held:6.1f} %")
    ages = (60.0, 120.0)
    seen = measured(TALL, ages, on_curve(HEIGHT_CM, ages, 0.0, 20))
    for name, measures in (("one measure", [seen]), ("two measures", [seen, STOUT])):
        spent = []
        for _ in range(5):
            start = process_time()
            forecast(measures, 241, 0.9, HABIT)
            spent.append(1000 * (process_time() - start))
        print(f"{name:24}{np.median(spent):6.1f} ms of processor time")


if __name__ == "__main__":
    main()
