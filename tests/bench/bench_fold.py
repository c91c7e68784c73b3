"""How long a fold takes, against decoding the same entries: `python -m tests.bench.bench_fold`.

Prints ratios of one run. The goal is at most 4 x `json.loads` for a batch of 5 000 entries, from
their texts to the state, and a time for each entry that does not grow with the history.
"""

import json
import time
from collections.abc import Callable

import orjson

from nursery.domain import entry, fold
from tests.bench import histories, table

GOAL = 4.0
REPEATS = 15


def least(*works: Callable[[], object]) -> list[float]:
    """Return the least processor time of each work, in seconds, taken by turns."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(REPEATS):
        for work, times in zip(works, taken, strict=True):
            began = time.process_time()
            work()
            times.append(time.process_time() - began)
    return [min(times) for times in taken]


def measure(size: int) -> None:
    texts = [json.dumps(raw) for raw in histories.batch(size)]
    entries = [entry.read(orjson.loads(text)) for text in texts]
    decoded, read, folded = least(
        lambda: [json.loads(text) for text in texts],
        lambda: [entry.read(orjson.loads(text)) for text in texts],
        lambda: fold.batch("t5", entries),
    )
    ratio = (read + folded) / decoded
    told = (
        f"read {read / decoded:.2f} + fold {folded / decoded:.2f} = {ratio:.2f} x,"
        f" {(read + folded) / size * 1e6:.1f} µs an entry"
    )
    table.note(f"fold of {size} entries", f"{GOAL:.0f} x json.loads", told, reached=ratio <= GOAL)


def main() -> None:
    for size in (500, 5_000, 20_000):
        measure(size)


if __name__ == "__main__":
    main()
