"""Our server beside one for any sync: `python -m tests.bench.bench_neighbour [entries]`.

The other is PouchDB's server as its package for Express gives it, on its usual store (LevelDB),
with PouchDB as its own client; both come from the npm registry at the versions in `neighbour/`,
into a folder of this run, and go with it. One process of Node drives both by turns with the same
entries of a large invented book, 200 at once, and then takes all of them back.

Alike: HTTP over one connection on this machine, the same texts, one process for each server, a disk
that keeps what was sent; pulled lines are parsed by the driver in both. Not alike: ours reads each
entry's envelope and body, numbers and chains it, folds every batch and place that it is about, and
flushes the disk before it answers; the other one makes a revision of a document and knows nothing
of its meaning, and does not wait for the disk. Its replication also writes into a store of the
client's own, which ours leaves to the phone (`bench_phone`). So its feed of changes is pulled bare
as well.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import Any

from tests.bench import fresh, table

ENTRIES, AT_ONCE, A_YEAR, SEED = 50_000, 200, 50_000, 7
SOURCES = Path(__file__).parent / "neighbour"
# After all that the entries tell, so that none is set aside as of days ahead.
CLOCK = "2039-01-01T00:00:00+00:00"
INSTALLING = 1200.0


def main() -> int:
    entries = int(sys.argv[1]) if len(sys.argv) > 1 else ENTRIES
    npm, node = shutil.which("npm"), shutil.which("node")
    if npm is None or node is None:
        print("Node is not installed, so nothing is measured.")
        return 0
    with tempfile.TemporaryDirectory(prefix="nursery-bench-neighbour-") as name:
        folder = Path(name)
        for file in SOURCES.iterdir():
            shutil.copy(file, folder)
        # Nothing of what came is run while it is installed.
        words = [npm, "install", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"]
        try:
            subprocess.run(words, cwd=folder, check=True, timeout=INSTALLING)
        except (subprocess.CalledProcessError, subprocess.TimeoutExpired):
            print("The other server could not be installed, so nothing is measured.")
            return 0
        with fresh.database() as engine, _theirs(node, folder) as theirs, _ours(folder) as ours:
            asked = {
                "texts": str(_texts(folder, entries)), "atOnce": AT_ONCE, "folder": name,
                "ours": ours, "theirs": {"url": theirs},
            }  # fmt: skip
            (folder / "asked.json").write_text(json.dumps(asked))
            drive = [node, "drive.cjs", "asked.json"]
            done = subprocess.run(drive, cwd=folder, check=True, stdout=subprocess.PIPE, text=True)
    tell(engine, entries, json.loads(done.stdout))
    return 0


def _texts(folder: Path, entries: int) -> Path:
    from nursery.ops.large import telling
    from nursery.ops.large.size import Size

    size = Size(entries, 1, max(1, entries // A_YEAR), SEED)
    told = (text for one in telling.told(size, 0) for text in getattr(one, "texts", ()))
    file = folder / "texts"
    file.write_text("\n".join(islice(told, entries)), encoding="utf-8")
    return file


@contextmanager
def _theirs(node: str, folder: Path) -> Iterator[str]:
    """Run the other server; give its address."""
    store = folder / "store"
    store.mkdir()
    words = [node, "server.cjs", str(store)]
    with subprocess.Popen(words, cwd=folder, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            yield f"http://127.0.0.1:{int(process.stdout.readline())}"
        finally:
            process.kill()


@contextmanager
def _ours(folder: Path) -> Iterator[dict[str, Any]]:
    """Run our web process on the fresh database; give its address and a phone's cookie."""
    from nursery.api.door import COOKIE
    from nursery.services import clock
    from tests.product import answer, running, wait_until
    from tests.servers import free_port
    from tests.sync import doors

    doors.open_nursery()
    phone = doors.enrol("bench", clock.now())
    assert isinstance(phone.server, doors.Door)
    secret, port = phone.server.client.cookies[COOKIE].value, free_port()
    environment = {**os.environ, "NURSERY_CLOCK": CLOCK}
    with running(environment, folder / "web", "web", "--port", str(port)) as web:
        address = f"http://127.0.0.1:{port}"
        wait_until(lambda: answer(f"{address}/healthz")[0] == 200, why="our server answers")
        assert web.process.poll() is None, web.said()
        cookie = f"{COOKIE}={secret}"
        told = {"url": f"{address}/api/v1", "cookie": cookie, "install": "i-bench"}
        yield {**told, "epoch": phone.epoch}


def tell(engine: str, entries: int, seconds: dict[str, float]) -> None:
    def rate(name: str) -> str:
        return f"{entries / seconds[name]:.0f}/s"

    def times(theirs: str, ours: str) -> str:
        return f"ours {rate(ours)}, theirs {rate(theirs)}: {seconds[theirs] / seconds[ours]:.2f} x"

    print(f"{engine}: {entries} entries, {AT_ONCE} a push, both over HTTP by one driver")
    table.note(
        "entries in, 200 a push, over HTTP", "2500/s",
        rate("pushOurs"), reached=entries / seconds["pushOurs"] >= 2500,
    )  # fmt: skip
    table.note(
        "entries out, NDJSON over HTTP, parsed", "20000/s",
        rate("pullOurs"), reached=entries / seconds["pullOurs"] >= 20_000,
    )  # fmt: skip
    table.note("push beside PouchDB server's bulk documents", "", times("pushTheirs", "pushOurs"))
    table.note("pull beside PouchDB server's changes", "", times("pullTheirs", "pullOurs"))
    table.note("pull beside PouchDB's own replication", "", times("replicate", "pullOurs"))


if __name__ == "__main__":
    sys.exit(main())
