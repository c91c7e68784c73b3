"""What is due, for a nursery of 2 000 batches: with 100 000 and with 1 000 000 entries in its book.

Run `python -m tests.bench.bench_due`. It prints the p95 of reading the first page of what is due,
and how much longer the larger book takes. The goal is 100 ms, and no more than 1.3 times.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from tests.bench import fresh, table
from tests.phone import Writer

if TYPE_CHECKING:
    from nursery.services import in_bulk

BATCHES = 2000
SIZES = (100_000, 1_000_000)
ROUNDS = 100
NOW = datetime(2031, 5, 4, 8, tzinfo=UTC)


def told(entries: int) -> Iterator[in_bulk.Pushed | in_bulk.RowTyped]:
    """Yield a permit of weekly look-overs, its consignments, and arrivals, counts, look-overs."""
    from nursery.services import in_bulk  # noqa: PLC0415  Django is loaded by now

    term = {"id": "look", "rule": "look_over", "says": {}, "since": "2030-01-01", "source": "bench"}
    body: dict[str, Any] = {"reference": "B-1", "holder": "G", "terms": [term]}
    yield in_bulk.RowTyped("place", "r-1", {"name": "Room", "kind": "room"}, NOW)
    yield in_bulk.RowTyped("permit", "p-1", body, NOW)
    for number in range(BATCHES // 20):
        body = {"name": f"C{number}", "permit": "p-1"}
        yield in_bulk.RowTyped("consignment", f"c-{number}", body, NOW)
    writer = Writer("bench")
    for number in range(entries):
        turn, batch = divmod(number, BATCHES)
        name, at = f"b-{batch}", NOW - timedelta(days=400) + timedelta(minutes=number / 2)
        new = {"id": name, "label": f"T{batch}"}
        if turn == 0:
            body = {"consignment": f"c-{batch // 20}", "batches": [new], "place": "r-1"}
            text = writer.write("received", [name], body, at)
        elif turn == 1:
            text = writer.write("counted", [name], {"method": "full", "alive": 50}, at)
        else:
            look = {"answer": "nothing", "plants": 50, "minutes": 3}
            text = writer.write("looked", [name], look, at)
        yield in_bulk.Pushed("d-bench", "i-bench", [text], NOW)
        writer.written.clear()


def build(entries: int) -> str:
    """Make a nursery with so many entries in its book, and return its name."""
    from nursery.services import in_bulk, nurseries, outlook  # noqa: PLC0415

    nursery = f"bench-{entries}"
    nurseries.begin(nursery, "Bench", "Etc/GMT-10")
    in_bulk.write(nursery, told(entries))
    outlook.materialise(nursery, NOW)
    return nursery


def once(nursery: str) -> tuple[float, float]:
    """Return what reading the first page of what is due takes: ms by the clock, of the processor.

    The second leaves out what a database server does, and what else the machine does.
    """
    from nursery.services import reading  # noqa: PLC0415

    began, spent = time.perf_counter(), time.process_time()
    page = reading.due(nursery, NOW + timedelta(days=7), "")
    took = 1000 * (time.perf_counter() - began), 1000 * (time.process_time() - spent)
    if not page.items:
        raise RuntimeError("nothing is due, so nothing was measured")
    return took


def percentile_95(times: Sequence[float]) -> float:
    return sorted(times)[int(0.95 * len(times))]


def main() -> None:
    with fresh.database() as engine:
        books = [build(size) for size in SIZES]
        # In turn, so that whatever else the machine does meets both alike.
        rounds = [[once(nursery) for nursery in books] for _ in range(ROUNDS)]
    by_book = [list(zip(*times, strict=True)) for times in zip(*rounds, strict=True)]
    (small, small_cpu), (large, large_cpu) = (map(percentile_95, some) for some in by_book)
    print(engine)
    what = f"what is due of {BATCHES} batches, p95"
    table.note(f"{what}, {SIZES[1]} entries", "100 ms", f"{large:.1f} ms", reached=large < 100)
    table.note(
        f"{what}, against {SIZES[0]} entries", "1.3 x",
        f"{large:.1f} and {small:.1f} ms: {large / small:.2f} x; of the processor"
        f" {large_cpu:.1f} and {small_cpu:.1f}: {large_cpu / small_cpu:.2f} x",
        reached=large <= 1.3 * small,
    )  # fmt: skip


if __name__ == "__main__":
    main()
