"""What taking in 200 entries costs: `python -m tests.bench.bench_append [--verify]`.

Against one `bulk_create` and commit of the same rows, by turns in one run, with the disk flushed by
both; the goal is at most 3 x, refold included. Told for batches that are new and for batches that
have 300 entries each. Also for how long the head is locked, how many pushes the API takes in one
process, and with `--verify` how long the chain of 100 000 entries takes.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import json
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from functools import partial
from typing import Any

from tests.bench import fresh, histories, table
from tests.phone import Writer

GOAL = 3.0
BATCHES = 20
ROUNDS = 12
AT_ONCE = 200
NOW = histories.START + timedelta(days=4000)
# What is wanted of pushes a second, by how many entries each brings.
API_GOALS: dict[int, Callable[[float], tuple[str, bool]]] = {
    20: lambda rate: ("60 pushes/s", rate >= 60),
    200: lambda rate: ("2500 entries/s", rate * 200 >= 2500),
}


def main() -> int:
    with fresh.database() as engine:
        print(
            f"{engine}: {AT_ONCE} entries on {BATCHES} batches, of {ROUNDS} rounds the middle one"
        )
        for history in (0, 300):
            append(history)
        whole_stack()
        if "--verify" in sys.argv:
            verify()
    return 0


def texts_of(writer: Writer, count: int, batches: int, prefix: str) -> list[str]:
    """Return what rounds write about some trays, as a phone would store it."""
    made = []
    for _ in range(count):
        n = writer.n
        kind, body = histories.ROUND[(n // batches) % len(histories.ROUND)]
        at = histories.START + timedelta(minutes=n)
        made.append(writer.write(kind, [f"{prefix}-{n % batches}"], body(n), at))
    return made


def append(history: int) -> None:
    from nursery.services import log, nurseries
    from nursery.services.installs import Outbox
    from nursery.store.models import NurseryRow
    from nursery.store.scope import scope

    ident, plain = f"n-{history}", f"plain-{history}"
    nurseries.begin(ident, "One", "Etc/GMT-10")
    nurseries.begin(plain, "Two", "Etc/GMT-10")
    key = NurseryRow.objects.get(ident=plain).pk
    writer, box = Writer(f"a{history}"), Outbox("i-a", "d-a")
    ours: list[float] = []
    theirs: list[float] = []
    locked: list[float] = []
    for number in range(ROUNDS):
        name = f"b{number}"
        for _ in range(history * BATCHES // AT_ONCE):
            log.receive(ident, box, texts_of(writer, AT_ONCE, BATCHES, name), NOW)
        texts = texts_of(writer, AT_ONCE, BATCHES, name)
        with locks_timed() as held:
            ours.append(timed(partial(log.receive, ident, box, texts, NOW)))
        locked += held
        # In the scope of each: PostgreSQL shows and takes no rows of a nursery that is not named.
        with scope(ident) as book:
            rows = [*book.feed.order_by("-seq")[:AT_ONCE]]
        for row in rows:
            row.pk, row.nursery_id = None, key
        theirs.append(timed(partial(created, plain, rows)))
    ratio = middle(ours) / middle(theirs)
    table.note(
        f"append of 200, {history} entries of each batch before", f"{GOAL} x bulk_create",
        f"{1000 * middle(ours):.1f} ms, bulk_create {1000 * middle(theirs):.1f} ms: {ratio:.2f} x",
        reached=ratio <= GOAL,
    )  # fmt: skip
    print(f"    head locked p50 {1000 * middle(locked):.1f}, most {1000 * max(locked):.1f} ms")


def created(nursery: str, rows: list[Any]) -> None:
    """What nobody could do without: the same rows by one `bulk_create`, and their commit."""
    from nursery.store.models import FeedRow
    from nursery.store.scope import scope

    with scope(nursery, write=True):
        FeedRow.objects.bulk_create(rows)


@contextmanager
def locks_timed() -> Iterator[list[float]]:
    """Note from the lock of the head to the end of the commit."""
    from django.db import connection

    from nursery.store.scope import Scope

    held: list[float] = []
    began: list[float] = []
    lock, commit = Scope.lock_head, connection.commit

    def lock_and_note(book: Scope) -> Any:
        head = lock(book)
        began.append(time.perf_counter())
        return head

    def commit_and_note() -> None:
        commit()
        if began:
            held.append(time.perf_counter() - began.pop())

    Scope.lock_head = lock_and_note  # type: ignore[method-assign, assignment]
    connection.commit = commit_and_note  # type: ignore[method-assign]
    try:
        yield held
    finally:
        Scope.lock_head = lock  # type: ignore[method-assign]
        connection.commit = commit  # type: ignore[method-assign]


def timed(act: Callable[[], object]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def middle(times: list[float]) -> float:
    return sorted(times)[len(times) // 2]


def whole_stack() -> None:
    """Pushes through routes, door, shapes and answer, one after the other in this process."""
    from nursery.services import clock
    from tests.sync import doors

    doors.open_nursery()
    for at_once, pushes in ((20, 60), (200, 15)):
        phone = doors.enrol(f"p{at_once}", clock.now())
        prefix = f"s{at_once}"
        bodies = [
            phone.envelope(texts_of(phone.writer, at_once, at_once, f"{prefix}-{number % 10}"))
            for number in range(pushes)
        ]
        began = time.perf_counter()
        for body in bodies:
            phone.server.push(body)
        rate = pushes / (time.perf_counter() - began)
        told = f"{rate:.0f} pushes/s, {rate * at_once:.0f} entries/s"
        goal, reached = API_GOALS[at_once](rate)
        table.note(f"pushes through the API, {at_once} each", goal, told, reached=reached)
        size = len(json.dumps(bodies[0]))
        print(f"    {size / at_once:.0f} bytes an entry before packing")


def verify() -> None:
    from nursery.services import log, nurseries, verify
    from nursery.services.installs import Outbox

    nurseries.begin("long", "Long", "UTC")
    writer = Writer("v")
    for number in range(100_000 // AT_ONCE):
        some = texts_of(writer, AT_ONCE, AT_ONCE, f"v{number // 10}")
        log.receive("long", Outbox("i-v", "d-v"), some, NOW)
    began = time.perf_counter()
    assert verify.chain("long") == []
    took = time.perf_counter() - began
    table.note("verify 100 000 entries of chain", "10 s", f"{took:.2f} s", reached=took <= 10)


if __name__ == "__main__":
    sys.exit(main())
