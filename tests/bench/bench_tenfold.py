"""What the server's work costs as one nursery's book grows tenfold, and tenfold again.

Run `python -m tests.bench.bench_tenfold [ENTRIES ...]`; usual are 10 000, 100 000 and 1 000 000.
The book is that of `nursery demo --large`, of one nursery with 50 000 entries a year: the smaller
ones are the same book, earlier. Each has a database of its own. What is written for the append are
the entries that come next. Times are the least of some rounds, in ms of this process's processor
time, so that what else the machine does counts less; a backup's is by the clock.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from itertools import islice
from pathlib import Path
from typing import Any

from tests.bench import fresh, table, wire

SIZES = (10_000, 100_000, 1_000_000)
A_YEAR, SEED = 50_000, 7
ROUNDS, AT_ONCE = 7, 200
# What the largest book still has to be told when it is measured.
MORE = 5000
ASKED = "BENCH_TENFOLD"
# How much dearer tenfold may be, where a goal is set: for what is due.
GOAL_DUE = 1.3


def main() -> int:
    if ASKED in os.environ:
        size, whole = map(int, os.environ[ASKED].split())
        with fresh.database() as engine:
            print(json.dumps({"engine": engine, **measured(size, whole)}))
        return 0
    sizes = [int(one) for one in sys.argv[1:]] or list(SIZES)
    columns = [_child(size, max(sizes) + MORE) for size in sizes]
    rows = [
        [what, *(_shown(what, one[what]) for one in columns), _growth(what, columns)]
        for what in columns[0]
        if what != "engine"
    ]
    head = ["ms", *(f"{size:,}".replace(",", " ") for size in sizes), "last / one before"]
    print(f"{columns[0]['engine']}: one nursery with {A_YEAR} entries a year")
    print(table.drawn(rows, head))
    for what, *cells in rows:
        goal = f"{GOAL_DUE}" if what == "what is due, p95" else ""
        ratio = cells[-1]
        reached = float(ratio) <= GOAL_DUE if goal and ratio else None
        told = f"{' / '.join(cells[:-1])}; ratio {ratio}" if ratio else " / ".join(cells[:-1])
        table.note(f"tenfold: {what}", goal, told, reached=reached)
    return 0


def _child(size: int, whole: int) -> dict[str, Any]:
    """Measure one size in a process of its own; its last line is what it measured."""
    asked = {**os.environ, ASKED: f"{size} {whole}"}
    words = [sys.executable, "-m", "tests.bench.bench_tenfold"]
    done = subprocess.run(words, env=asked, check=True, stdout=subprocess.PIPE, text=True)
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def _shown(what: str, value: float) -> str:
    return f"{value:.0f}" if what.startswith("  ") or value >= 100 else f"{value:.1f}"


def _growth(what: str, columns: list[dict[str, Any]]) -> str:
    if len(columns) < 2 or not columns[-2][what]:
        return ""
    return f"{columns[-1][what] / columns[-2][what]:.2f}"


def measured(size: int, whole: int) -> dict[str, float]:
    """Write the first `size` entries of the whole book, and measure what work costs then."""
    from nursery.ops.large import act, frame, telling
    from nursery.ops.large.size import Size
    from nursery.services import in_bulk, nurseries, outlook

    asked = Size(whole, 1, max(1, whole // A_YEAR), SEED)
    house = frame.house(0, whole, asked.years)
    nurseries.begin(house.ident, house.name, act.ZONE)
    rest = telling.told(asked, 0)
    began = time.process_time()
    written = in_bulk.write(house.ident, _first(rest, size))
    wrote = time.process_time() - began
    outlook.materialise(house.ident, written.until)
    found = {"writing the book, µs an entry": 1e6 * wrote / size}
    found |= _reads(house.ident, written.until)
    found |= _appends(house.ident, rest, written.until)
    return found | _appends_again(house.ident, written.until) | _sizes(size)


def _first(told: Iterator[Any], entries: int) -> Iterator[Any]:
    """Yield what comes until so many entries have come."""
    made = 0
    while made < entries:
        one = next(told)
        made += len(getattr(one, "texts", ()))
        yield one


def _least(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Return the least processor time of some rounds, in ms."""
    return min(_times(work, rounds))


def _times(work: Callable[[], object], rounds: int) -> list[float]:
    spent = []
    for _ in range(rounds):
        began = time.process_time()
        work()
        spent.append(1000 * (time.process_time() - began))
    return spent


def _reads(nursery: str, now: datetime) -> dict[str, float]:
    from nursery.domain.trace_start import Start
    from nursery.services import pull, reading, trace
    from nursery.store.models import AboutRow, SubjectRow

    epoch = pull.epoch(nursery)
    due = sorted(_times(lambda: reading.due(nursery, now + timedelta(days=7), ""), 40))
    batch = SubjectRow.objects.filter(type=SubjectRow.BATCH, closed=False).order_by("ident")[0]
    planted = AboutRow.objects.filter(subject__startswith="terrace").values_list("seq", flat=True)
    of = AboutRow.objects.filter(seq__in=planted[:200], subject__startswith="b").first()
    page = [*pull.after(nursery, pull.Cursor(epoch, 0), pull.MOST, now)]
    start = [Start.read(f"batch:{of.subject if of else batch.ident}")]
    return {
        "pull, first page of 2000": _least(
            lambda: list(pull.after(nursery, pull.Cursor(epoch, 0), pull.PAGE, now))
        ),
        **{
            f"  bytes of an entry in a pull, {coding}": wire.packed(page, coding) / (len(page) - 2)
            for coding in wire.CODINGS
        },
        "snapshot for a new phone": _least(lambda: list(pull.snapshot(nursery, now)), 2),
        "what is due, p95": due[int(0.95 * len(due))],
        "page of batches": _least(lambda: reading.batches(nursery, "", now, closed=False)),
        "one batch": _least(lambda: reading.batch(nursery, batch.ident, now)),
        "trace of a batch": _least(lambda: trace.of(nursery, start, now)),
        **_folds(nursery),
        "backup, by the clock": _backup(),
    }


def _folds(nursery: str) -> dict[str, float]:
    """Fold the subject of most entries among batches, and among places."""
    from django.db.models import Count

    from nursery.services import refold
    from nursery.store.models import AboutRow

    found = AboutRow.objects.values("subject").annotate(n=Count("seq")).order_by("-n")
    batch = found.filter(subject__regex=r"^b\d")[0]
    place = found.filter(subject__startswith="room")[0]
    return {
        "  entries of the longest batch": batch["n"],
        "refold of that batch": _least(lambda: refold._again(nursery, [batch["subject"]]), 3),
        "  entries of the longest place": place["n"],
        "refold of that place": _least(lambda: refold._again(nursery, [place["subject"]]), 3),
    }


def _backup() -> float:
    from nursery.services import backups

    with tempfile.TemporaryDirectory(prefix="nursery-bench-backup-") as folder:
        began = time.perf_counter()
        backups.make(Path(folder))
        return 1000 * (time.perf_counter() - began)


def _appends(nursery: str, rest: Iterator[Any], now: datetime) -> dict[str, float]:
    """Take in what comes next by the phones' own way, 200 at a time."""
    from nursery.services import log
    from nursery.services.installs import Outbox

    texts = (text for one in rest for text in getattr(one, "texts", ()))
    box, later, spent = Outbox("i-1", "d-1"), now + timedelta(days=400), []
    for _ in range(ROUNDS):
        some = [*islice(texts, AT_ONCE)]
        began = time.process_time()
        log.receive(nursery, box, some, later)
        spent.append(1000 * (time.process_time() - began))
    return {"append of the next 200": sorted(spent)[ROUNDS // 2]}


def _appends_again(nursery: str, now: datetime) -> dict[str, float]:
    """Take in 200 looks of standing batches, 20 batches a push, as a round writes them."""
    from nursery.services import log
    from nursery.services.installs import Outbox
    from nursery.store.models import SubjectRow
    from tests.phone import Writer

    standing = SubjectRow.objects.filter(type=SubjectRow.BATCH, closed=False)
    names = list(standing.order_by("ident").values_list("ident", flat=True)[:20])
    writer, box, spent = Writer("bench"), Outbox("i-bench", "d-bench"), []
    for turn in range(ROUNDS):
        at = now + timedelta(minutes=turn)
        look = {"answer": "nothing", "plants": 40, "minutes": 4.5}
        texts = [writer.write("looked", [names[n % len(names)]], look, at) for n in range(AT_ONCE)]
        began = time.process_time()
        log.receive(nursery, box, texts, at)
        spent.append(1000 * (time.process_time() - began))
    return {"append of 200 looks of 20 batches": sorted(spent)[ROUNDS // 2]}


def _sizes(entries: int) -> dict[str, float]:
    """Return what an entry takes on the disk, indexes and kept states included."""
    from django.db import connection

    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT pg_database_size(current_database())")
        else:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            cursor.execute("SELECT page_count * page_size FROM pragma_page_count, pragma_page_size")
        (size,) = cursor.fetchone()
    return {"  bytes on the disk, an entry": size / entries}


if __name__ == "__main__":
    sys.exit(main())
