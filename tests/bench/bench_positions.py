"""Time the positions of a 10 ha terraced block: `python -m tests.bench.bench_positions`."""

import math
from collections.abc import Callable
from statistics import median
from time import process_time

from nursery.science.geometry import (
    Block,
    Layout,
    Position,
    RowPlan,
    Slope,
    rows_along_bearing,
    rows_along_contour,
    rows_on_terraces,
    to_geojson,
)
from tests.bench import table

# An invented hillside of 400 m x 250 m at 17 degrees south.
WEST, SOUTH = 36.7, -17.0
EAST, NORTH = WEST + 400 / 106_500, SOUTH + 250 / 110_660
BOUNDARY = {
    "type": "Polygon",
    "coordinates": [[[WEST, SOUTH], [EAST, SOUTH], [EAST, NORTH], [WEST, NORTH], [WEST, SOUTH]]],
}
ROW_M = 3.0
LAYOUT = Layout(
    (RowPlan("crop", 2.0), RowPlan("crop", 2.0), RowPlan("shelter", 1.0)),
    ROW_M,
    set_back_m=2.0,
    slope=Slope(30.0, 180.0, "slope"),
)
BLOCK = Block(BOUNDARY, (WEST, SOUTH))


def contour(up: float) -> dict[str, object]:
    """Return a winding level line of 120 corners, at a share of the way up the hillside."""
    steps = [i / 119 for i in range(120)]
    wave = 12 / 110_660
    level = SOUTH + up * (NORTH - SOUTH)
    return {
        "type": "LineString",
        "coordinates": [
            [WEST + step * (EAST - WEST), level + wave * math.sin(9 * step)] for step in steps
        ],
    }


def milliseconds(work: Callable[[], list[Position]]) -> tuple[float, int]:
    """Return the median time of five runs and the number of positions."""
    work()
    spent = []
    found: list[Position] = []
    for _ in range(5):
        start = process_time()
        found = work()
        spent.append(1000 * (process_time() - start))
    return median(spent), len(found)


def main() -> None:
    terraces = [contour(0.04 + 0.92 * i / 79) for i in range(80)]
    cases: dict[str, Callable[[], list[Position]]] = {
        "rows along a bearing": lambda: rows_along_bearing(BLOCK, LAYOUT, 75.0),
        "rows along one contour": lambda: rows_along_contour(BLOCK, LAYOUT, contour(0.5)),
        "80 surveyed terraces": lambda: rows_on_terraces(BLOCK, LAYOUT, terraces, 1, "left"),
    }
    for name, work in cases.items():
        spent, number = milliseconds(work)
        told = f"{spent:.0f} ms of the processor, {number} positions"
        table.note(f"10 ha, {name}", "1000 ms", told, reached=spent <= 1000)
    holes = rows_along_contour(BLOCK, LAYOUT, contour(0.5))
    start = process_time()
    to_geojson(holes)
    print(f"{'GeoJSON out':24}{len(holes):>10}{1000 * (process_time() - start):>9.1f}")


if __name__ == "__main__":
    main()
