"""Thirty phones come back after seven days: `python -m tests.bench.bench_crowd`.

Each holds 5 000 records about a hundred trays of its own, of which a push meets twenty, and sends
them at once with the others, 200 a push, packed, to `nursery up` as people run it, over sockets.
Meanwhile one more phone sends a record a second, and another asks for what is new. Before that come
pushes of 20 and of 200 records of four phones on trays without a past. None may be made to wait
(429), each record must be told to be stored, and be in the book once: that is asserted. Speed is
only told, and beside it how long a processor was busy for each push, with what answers and with all
of the product, the worker's jobs too: on a machine that does other things, that says more.

`NURSERY_TEST_SERVER` (or `NURSERY_DATABASE_URL`) names a PostgreSQL server; else the embedded
database is measured. `--phones`, `--entries`: a smaller crowd. `--trays 20`: a longer past of each.
`--workers N`: so many processes that answer, instead of `nursery up`.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import json
import os
import sys
import threading
from argparse import ArgumentParser, Namespace
from time import perf_counter

from tests.bench import fresh
from tests.bench.phones import AT_ONCE, Line, at_once, bodies, busy, lines, packed, sender, served

CALM_PHONES = 4
READ_EVERY_S = 0.25
GOALS = {20: (60, 1200), 200: (12.5, 2500)}
P95_S = 2.0


def main() -> int:
    choice = _choice()
    os.environ.setdefault("NURSERY_TEST_SERVER", os.environ.get("NURSERY_DATABASE_URL", ""))
    with fresh.database() as engine, served(choice.workers) as (port, product):
        how = f"{choice.workers} processes that answer" if choice.workers else "nursery up"
        print(f"{engine}, {how}; {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}")
        calm(port, product)
        crowd(port, product, choice)
    return 0


def _choice() -> Namespace:
    parser = ArgumentParser(prog="python -m tests.bench.bench_crowd", description=__doc__)
    parser.add_argument("--phones", type=int, default=30)
    parser.add_argument("--entries", type=int, default=5000, help="of each phone")
    parser.add_argument("--trays", type=int, default=100, help="of each phone")
    parser.add_argument("--workers", type=int, default=0)
    return parser.parse_args()


def row_of_work(before: tuple[float, float], after: tuple[float, float], pushes: float) -> None:
    web, everything = (1000 * (b - a) / pushes for a, b in zip(before, after, strict=True))
    row("  processors busy for each", f"{web:.0f} ms, with the worker's {everything:.0f} ms", "")


def calm(port: int, product: int) -> None:
    """Tell how many pushes one nursery takes, whole stack, from four phones at once."""
    for size, pushes in ((20, 50), (200, 15)):
        some = lines(port, f"calm{size}-", CALM_PHONES, 100 + size)
        made = [bodies(line, size * pushes, size) for line in some]
        before = busy(product)
        seconds = at_once([sender(line, body) for line, body in zip(some, made, strict=True)])
        after, count = busy(product), CALM_PHONES * pushes
        least, entries = GOALS[size]
        row(f"pushes of {size}", f"{count / seconds:.1f}/s", f"{least}/s")
        row(f"  entries in, {size} a push", f"{size * count / seconds:.0f}/s", f"{entries}/s")
        row_of_work(before, after, count)


def crowd(port: int, product: int, choice: Namespace) -> None:
    many = lines(port, "back", choice.phones, 500)
    made = [bodies(line, choice.entries, AT_ONCE, choice.trays) for line in many]
    [single, reader] = lines(port, "here", 2, 900)
    over, read = threading.Event(), threading.Event()
    seen: dict[str, float] = {}
    told: dict[str, float] = {}
    acts = ((one_a_second, single, told, over), (reading, reader, seen, read))
    beside = [threading.Thread(target=act, args=args) for act, *args in acts]
    for thread in beside:
        thread.start()
    before = busy(product)
    seconds = at_once([sender(line, body) for line, body in zip(many, made, strict=True)])
    after = busy(product)
    for thread, end in zip(beside, (over, read), strict=True):
        end.set()
        thread.join()
    entries = sum(len(line.stored) for line in many)
    row(f"{choice.phones} phones back, {entries} entries", f"{seconds:.0f} s", "")
    row("  entries in", f"{entries / seconds:.0f}/s", "")
    row_of_work(before, after, entries / AT_ONCE)
    how_they_fared(many, single, told, seen)
    assert entries == choice.phones * choice.entries
    in_the_book([*many, single])


def how_they_fared(
    many: list[Line], single: Line, told: dict[str, float], seen: dict[str, float]
) -> None:
    lag = [seen[ident] - told[ident] for ident in told.keys() & seen.keys()]
    waited = sum(status != 200 for line in (*many, single) for status in line.statuses)
    told_of("  a push of 200 of theirs", [s for line in many for s in line.seconds], P95_S)
    told_of("  a push of one record meanwhile", single.seconds, P95_S)
    told_of("  answer to one -> in another's pull", lag, P95_S, share=0.99)
    row("  made to wait, or failed", str(waited), "0")
    assert waited == 0
    assert len(told) == len(lag), "the reader missed some"


def one_a_second(line: Line, told: dict[str, float], over: threading.Event) -> None:
    from nursery.services import clock

    while not over.is_set():
        ident = line.phone.write("noted", ["b-here"], {"text": "x"}, clock.now())
        text = line.phone.queue.pop(ident)
        line.push(packed(line.phone.envelope([text])))
        told[ident] = perf_counter()
        over.wait(1)


def reading(line: Line, seen: dict[str, float], over: threading.Event) -> None:
    """Ask for what is new four times a second; once all is over, until nothing more comes."""
    cursor, epoch = line.phone.cursor, line.phone.epoch
    while True:
        last = over.is_set()
        status, said, _ = line.ask("GET", f"pull?after={epoch}:{cursor}&limit=10000")
        assert status == 200, said[:200]
        now = perf_counter()
        rows = [json.loads(raw) for raw in said.splitlines()]
        for found in rows:
            if found["t"] == "entry":
                seen[found["id"]] = now
            cursor = max(cursor, found.get("seq", 0))
        if last and not rows[-1]["more"]:
            return
        if not rows[-1]["more"]:
            over.wait(READ_EVERY_S)


def in_the_book(some: list[Line]) -> None:
    from nursery.services import verify
    from nursery.store.scope import scope
    from tests.sync.doors import NURSERY

    with scope(NURSERY) as book:
        ids = [*book.entries.values_list("ident", flat=True)]
        seqs = [*book.feed.order_by("seq").values_list("seq", flat=True)]
        assert seqs == [*range(1, book.head.last_seq + 1)]
    assert len(ids) == len({*ids})
    stored = {ident for line in some for ident in line.stored}
    assert stored <= {*ids}, "an acknowledged entry was lost"
    begun = perf_counter()
    assert verify.chain(NURSERY) == []
    row(f"  the chain of {len(seqs)} lines stands", f"{perf_counter() - begun:.1f} s", "")


def told_of(what: str, seconds: list[float], goal: float, share: float = 0.95) -> None:
    """Print the middle, the 95th and the 99th of a hundred; `share` is the one with a goal."""
    ordered = sorted(seconds)
    p50, p95, p99 = (ordered[int(part * (len(ordered) - 1))] for part in (0.5, 0.95, 0.99))
    row(what, f"p50 {p50:.2f}, p95 {p95:.2f}, p99 {p99:.2f} s", f"p{share * 100:.0f} {goal:.0f} s")


def row(what: str, measured: str, goal: str) -> None:
    print(f"  {what:<44}{measured:<42}{goal}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
