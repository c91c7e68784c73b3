"""Coverage and cost of growth forecasts: `python -m tests.bench.bench_growth`."""

import runpy
from pathlib import Path
from time import process_time

import numpy as np

from nursery.science.growth import forecast

# The simulated crop and its batches are those of the tests.
CASES = runpy.run_path(str(Path(__file__).parents[1] / "science" / "test_growth.py"))

BATCHES = 400


def main() -> None:
    print(f"80 % interval over {BATCHES} simulated batches of 60   goal 75 to 85 %")
    for name, ages in CASES["MEASURED"].items():
        held = CASES["share_held"]([CASES["TALL"]], ages, plants=60, runs=BATCHES, seed=9)
        print(f"{name:24}{100 * held:6.1f} %")
    ages = (60.0, 120.0)
    sizes = CASES["on_curve"](CASES["HEIGHT_CM"], ages, 0.0, 20)
    seen = CASES["measured"](CASES["TALL"], ages, sizes)
    for name, measures in (("one measure", [seen]), ("two measures", [seen, CASES["STOUT"]])):
        spent = []
        for _ in range(5):
            start = process_time()
            forecast(measures, 241, 0.9, CASES["HABIT"])
            spent.append(1000 * (process_time() - start))
        print(f"{name:24}{np.median(spent):6.1f} ms of processor time")


if __name__ == "__main__":
    main()
