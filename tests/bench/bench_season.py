"""Time planting scores and windows over 30 years: `python -m tests.bench.bench_season`."""

from datetime import date
from statistics import median
from time import process_time

import numpy as np

from nursery.science.season import (
    Layer,
    OnsetRule,
    Site,
    Soil,
    Weather,
    planting_scores,
    windows,
)
from tests.bench import table

YEARS, FOLLOW_UP = 30, 60
SITE = Site(
    soil=Soil(0.30, 0.15),
    hole=Layer(0.25, 0.4, 0.3),
    wet_share=0.7,
    plant=Layer(0.20, 0.7, 0.5),
    rains=OnsetRule(20.0, 3, 1, 0.85, 9, 20),
    follow_up_days=FOLLOW_UP,
    hot_celsius=35.0,
    windy_kmh=40.0,
)


def invented(share_missing: float) -> Weather:
    """Return 30 years of a climate with one rainy season, some of its days missing."""
    draw = np.random.default_rng(7)
    length = round(YEARS * 365.25)
    season = 0.5 + 0.5 * np.cos(2 * np.pi * (np.arange(length) - 20) / 365.25)
    rain = np.where(draw.random(length) < 0.05 + 0.5 * season, draw.gamma(0.8, 12.0, length), 0.0)
    rain[draw.random(length) < share_missing] = np.nan
    return Weather(
        date(1995, 1, 1),
        rain,
        4.5 - season + draw.normal(0, 0.5, length).clip(-1, 1),
        28 + 4 * season + draw.normal(0, 2.5, length),
        draw.gamma(4.0, 4.0, length),
    )


def main() -> None:
    print(f"{YEARS} years x 366 planting days x {FOLLOW_UP} days")
    for name, share in (("complete record", 0.0), ("1 day in 500 missing", 0.002)):
        weather = invented(share)
        spent = []
        for _ in range(7):
            start = process_time()
            windows(planting_scores(weather, SITE).score, 0.3, 10)
            spent.append(1000 * (process_time() - start))
        scores = planting_scores(weather, SITE)
        found = windows(scores.score, 0.3, 10)
        took = median(spent)
        table.note(
            f"season windows, {name}",
            "100 ms",
            f"{took:.0f} ms of the processor",
            reached=took <= 100,
        )
        print(f"    {len(found)} windows, {scores.years.min()} to {scores.years.max()} years, "
              f"{scores.missing_days.max()} days missing at most")  # fmt: skip


if __name__ == "__main__":
    main()
