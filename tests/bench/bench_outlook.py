"""The outlook of a nursery with 2 000 batches: what each part of it costs; and how it grows.

`python -m tests.bench.bench_outlook --growth [ENTRIES ...]` makes the book of `nursery demo
--large`, of one nursery over four years, for each number of entries (30 000, 100 000 and 333 000)
in a database of its own. It prints what reading the book and composing the outlook take of the
processor, what making and keeping it take as the job does it, and how much dearer that became
beside how many more batches are open: no more than these is the goal, and 3 s for the largest.

Run `python -m tests.bench.bench_outlook [batches]` for the parts. Half of the batches stand in
quarantine, in rooms of 20 trays, with a look-over a week for half a year, counts, losses and moves;
half stand under no conditions. Ten finds, one breach and one ordered course of treatments are open.
It prints the best processor time of each part, the size of the outlook as JSON, and the time as a
ratio to writing and reading that JSON once (`json.dumps` and `json.loads`).
"""

import gzip
import json
import os
import resource
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from time import process_time
from typing import Any

from nursery.domain import checks, exposure, gates, history, holds, notices, outlook, stored
from nursery.domain.book import Book
from tests.bench import fresh as database
from tests.bench import table
from tests.domain.house import ROWS, House, instant, place

NOW = instant("2031-09-01 08:00")
PER_ROOM = 20
WEEKS = 26
ASKED = "BENCH_OUTLOOK"
SIZES = (30_000, 100_000, 333_000)
GOAL_S = 3.0
# What measuring itself adds to a ratio.
NOISE = 1.3


def nursery(batches: int) -> House:
    house = House(ROWS)
    house.row("consignment", "free", {"name": "Own", "without_conditions": True})
    for number in range(batches // PER_ROOM):
        _room(house, number, "c-1" if number % 2 else "free")
    return house


def _room(house: House, number: int, consignment: str) -> None:
    room = f"room-{number}"
    for kind, ident, body in (
        place(room, "room", "veshmere", floor_m2=24, bench_m2=15, doors=1, vents=2),
        place(f"bench-{number}", "bench", room),
        *(place(f"trap-{number}-{k}", "trap", room) for k in range(5)),
    ):
        house.row(kind, ident, body)
    trays = tuple(f"{number}-{k}" for k in range(PER_ROOM))
    new = [{"id": name, "label": f"R{number}T{k}", "cells": 54} for k, name in enumerate(trays)]
    body = {"consignment": consignment, "place": f"bench-{number}", "batches": new}
    house.add("received", trays, "2031-03-03 07:30", body)
    for name in trays:
        house.count(name, 54, "2031-03-03 08:00")
        house.add("lost", name, "2031-04-01 08:00", {"count": 2, "fate": "died", "kept": True})
    monday = instant("2031-03-03 09:00")
    for week in range(WEEKS):
        at = (monday + timedelta(weeks=week)).strftime("%Y-%m-%d 09:00")
        house.add("looked", trays, at, {"answer": "nothing", "minutes": 9}, by=f"w{number % 9}")
        for k in range(5):
            house.add("trapped", f"trap-{number}-{k}", at, {"answer": "read"}, by=f"w{number % 9}")
    if number % 10 == 1:
        house.find(trays[0], "2031-08-31 07:20", by=f"w{number % 9}")
    if number == 2:
        house.add("breached", room, "2031-08-31 05:40", {"what": "tear"})
    if number == 3:
        house.order(trays, "2031-08-30 10:20", "treat", "Q-09", times=2, interval_days=10)


def fresh(book: Book) -> Book:
    """Return the book without the indexes that it has made."""
    return Book(book.zone, book.batches, book.places, book.rows, book.finds)


def on_fresh(part: Callable[[Book], Any], book: Book) -> None:
    part(fresh(book))


def every_gate(book: Book) -> None:
    for batch in book.batches.values():
        gates.of_batch(batch, book, NOW)


PARTS: dict[str, Callable[[Book], Any]] = {
    "histories (clocks)": history.of_book,
    "incidents": exposure.incidents,
    "holds": holds.of_book,
    "checks, 5 weeks back and 60 days on": lambda book: checks.due(
        book, book.day(NOW) - outlook.BEHIND, book.day(NOW) + timedelta(days=60)
    ),
    "gates, 8 acts": every_gate,
    "notices": notices.of_book,
    "the whole outlook": lambda book: outlook.compose(book, NOW),
}


def best(task: Callable[[], object], repeats: int = 3) -> float:
    times = []
    for _ in range(repeats):
        began = process_time()
        task()
        times.append(process_time() - began)
    return min(times)


def growth(sizes: list[int]) -> None:
    told = [_child(size) for size in sizes]
    head = ["", *(f"{size:,}".replace(",", " ") for size in sizes)]
    names = [name for name in told[0] if name != "engine"]
    rows = [[name, *(f"{one[name]:.2f}" for one in told)] for name in names]
    print(f"{told[0]['engine']}: one nursery, four years")
    print(table.drawn(rows, head))
    first, last = told[0], told[-1]
    dearer, more = last["made, s"] / first["made, s"], last["open"] / first["open"]
    table.note(
        f"outlook, {sizes[-1]} entries", f"{GOAL_S:.0f} s", f"{last['made, s']:.1f} s of the"
        f" processor, {last['open']} of {last['batches']} batches open",
        reached=last["made, s"] < GOAL_S,
    )  # fmt: skip
    table.note(
        f"outlook, {sizes[-1]} entries against {sizes[0]}", f"{more:.1f} x, as open batches",
        f"{dearer:.1f} x", reached=dearer <= NOISE * more,
    )  # fmt: skip


def _child(size: int) -> dict[str, Any]:
    words = [sys.executable, "-m", "tests.bench.bench_outlook"]
    env = {**os.environ, ASKED: str(size)}
    done = subprocess.run(words, env=env, check=True, stdout=subprocess.PIPE, text=True)
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def measured(size: int) -> dict[str, Any]:
    """Return what the outlook of a large invented book takes, in s of the processor."""
    with database.database() as engine:
        # Django is loaded once the database to measure is there.
        from nursery.ops.large import make  # noqa: PLC0415
        from nursery.ops.large.size import Size  # noqa: PLC0415
        from nursery.services import outlook as kept  # noqa: PLC0415
        from nursery.store.scope import scope  # noqa: PLC0415

        [made] = make.make(Size(entries=size, nurseries=1))
        name, now = made.house.ident, made.until

        def read() -> Book:
            with scope(name) as rows:
                return kept.read_book(rows)

        book = read()
        alive = sum(not one.closed for one in book.batches.values())
        return {
            "engine": engine,
            "batches": len(book.batches),
            "open": alive,
            "read, s": best(read),
            "composed again, s": best(lambda: outlook.compose(fresh(book), now)),
            "made, s": best(lambda: kept.materialise(name, now)),
            "memory, MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        }


def main() -> None:
    if ASKED in os.environ:
        print(json.dumps(measured(int(os.environ[ASKED]))))
        return
    if sys.argv[1:2] == ["--growth"]:
        growth([int(one) for one in sys.argv[2:]] or list(SIZES))
        return
    batches = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    house = nursery(batches)
    began = process_time()
    book = house.book()
    lines = [f"{len(book.batches)} batches, {len(house.entries)} entries"]
    lines.append(f"folding the book                      {process_time() - began:7.2f} s")
    kept = [json.dumps(batch.as_json()) for batch in book.batches.values()]
    back = best(lambda: [stored.batch(json.loads(state)) for state in kept])
    lines.append(f"reading kept states back instead      {back:7.2f} s")
    for name, part in PARTS.items():
        lines.append(f"{name:37} {best(partial(on_fresh, part, book)):7.2f} s")
    made = outlook.compose(book, NOW)
    text = json.dumps(made)
    sent = best(lambda: json.loads(json.dumps(made)))
    packed = len(gzip.compress(text.encode(), 6))
    lines.append(
        f"outlook as JSON: {len(text) / 1e6:.1f} MB, {packed / 1e3:.0f} kB packed,"
        f" {len(made['checks'])} checks"
    )
    whole = best(lambda: outlook.compose(fresh(book), NOW))
    lines.append(f"whole outlook / writing and reading its JSON: {whole / sent:.1f} x")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
