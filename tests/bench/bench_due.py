"""What is due, for a nursery of 2 000 batches: with 100 000 and with 1 000 000 entries in its book.

Run `python -m tests.bench.bench_due`. It prints the p95 of reading the first page of what is due,
and how much longer the larger book takes. The goal is 100 ms, and no more than 1.3 times.
"""

import json
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from tests.bench import fresh
from tests.phone import Writer

BATCHES = 2000
SIZES = (100_000, 1_000_000)
ROUNDS = 100
NOW = datetime(2031, 5, 4, 8, tzinfo=UTC)
AT_ONCE = 10_000


def texts(entries: int) -> Iterator[tuple[str, str, datetime]]:
    """Yield entries as texts, with their batch and moment: arrivals, counts, then look-overs."""
    writer = Writer("bench")
    for number in range(entries):
        turn, batch = divmod(number, BATCHES)
        name, at = f"b-{batch}", NOW - timedelta(days=400) + timedelta(minutes=number / 2)
        new = {"id": name, "label": f"T{batch}"}
        if turn == 0:
            body = {"consignment": f"c-{batch // 20}", "batches": [new], "place": "r-1"}
            yield writer.write("received", [name], body, at), name, at
        elif turn == 1:
            yield writer.write("counted", [name], {"method": "full", "alive": 50}, at), name, at
        else:
            look = {"answer": "nothing", "plants": 50, "minutes": 3}
            yield writer.write("looked", [name], look, at), name, at
        writer.written.clear()


def conditions(nursery: str) -> None:
    """Type a permit that wants weekly look-overs, and the consignments under it."""
    from nursery.services import rows  # noqa: PLC0415  Django is loaded by now

    term = {"id": "look", "rule": "look_over", "says": {}, "since": "2030-01-01", "source": "bench"}
    permit = {"reference": "B-1", "holder": "G", "terms": [term]}
    rows.put(nursery, rows.Row("place", "r-1", None, {"name": "Room", "kind": "room"}), NOW)
    rows.put(nursery, rows.Row("permit", "p-1", None, permit), NOW)
    for number in range(BATCHES // 20):
        body = {"name": f"C{number}", "permit": "p-1"}
        rows.put(nursery, rows.Row("consignment", f"c-{number}", None, body), NOW)


def fill(nursery: str, entries: int) -> None:
    """Write a book of so many entries past the phones' door, and fold what it is about."""
    from nursery.domain import chain  # noqa: PLC0415  Django is loaded by now
    from nursery.services import refold  # noqa: PLC0415
    from nursery.store import lines  # noqa: PLC0415
    from nursery.store.scope import scope  # noqa: PLC0415

    batch: list[lines.Line] = []
    with scope(nursery, write=True) as book:
        head = book.lock_head()
        for text, about, at in texts(entries):
            raw, hashed = json.loads(text), chain.text_hash(text)
            head.last_seq += 1
            head.chain = chain.link(head.chain, head.last_seq, raw["id"], hashed)
            batch.append(
                lines.Line(
                    head.last_seq, "entry", raw["kind"], raw["id"], 0, text, hashed, head.chain,
                    NOW, at, raw["install"], raw["n"], about=(about,),
                )
            )  # fmt: skip
            if len(batch) == AT_ONCE:
                lines.write(book, batch)
                batch.clear()
        lines.write(book, batch)
        head.save()
        names = [f"b-{number}" for number in range(BATCHES)]
    for start in range(0, BATCHES, 50):
        with scope(nursery, write=True) as book:
            found = lines.of_subjects(book, names[start : start + 50])
            refold.keep(book, found, frozenset(), book.head.last_seq)


def build(entries: int) -> str:
    """Make a nursery with so many entries in its book, and return its name."""
    from nursery.services import nurseries, outlook  # noqa: PLC0415

    nursery = f"bench-{entries}"
    nurseries.begin(nursery, "Bench", "Etc/GMT-10")
    conditions(nursery)
    fill(nursery, entries)
    outlook.materialise(nursery, NOW)
    return nursery


def once(nursery: str) -> float:
    """Return the milliseconds that reading the first page of what is due takes."""
    from nursery.services import reading  # noqa: PLC0415

    began = time.perf_counter()
    page = reading.due(nursery, NOW + timedelta(days=7), "")
    took = 1000 * (time.perf_counter() - began)
    if not page.items:
        raise RuntimeError("nothing is due, so nothing was measured")
    return took


def percentile_95(times: list[float]) -> float:
    return sorted(times)[int(0.95 * len(times))]


def main() -> None:
    with fresh.database() as engine:
        books = [build(size) for size in SIZES]
        # In turn, so that whatever else the machine does meets both alike.
        rounds = [[once(nursery) for nursery in books] for _ in range(ROUNDS)]
    small, large = (percentile_95(list(times)) for times in zip(*rounds, strict=True))
    print(
        f"{engine}: what is due of {BATCHES} batches, p95 {small:.1f} ms at {SIZES[0]} entries, "
        f"{large:.1f} ms at {SIZES[1]}: {large / small:.2f} times (goals 100 ms, 1.3 times)"
    )


if __name__ == "__main__":
    main()
