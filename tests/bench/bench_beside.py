"""The phone app beside a general-purpose sync database: `python -m tests.bench.bench_beside`.

PouchDB 9.0.0 with its IndexedDB adapter, on a page of the same browser, before pouchdb-server 4.2.0
in memory, both from npm and laid into a temporary folder: the same entries as documents, saved one
by one and replicated by 5 000, over the same links, the page slowed four times. Ours goes first by
its worker and then by a page that has none and does all itself, as the other does. Saving begins
with a tap and ends where it is kept: ours is a whole form, the other's page a bare button. The
other is told made to flush, and as it comes, not flushed to the disk; ours always is.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser

from tests.bench import bench_phone, slow_phone
from tests.bench.bench_phone import LINKS, LISTEN, MORE
from tests.bench.slow_phone import link, p95, row, slowed
from tests.phone_sync.front import Front
from tests.product import wait_until
from tests.servers import free_port

PACKAGES = ("pouchdb@9.0.0", "pouchdb-server@4.2.0")
ENTRIES, SAVES = 1_000, 30
Found = dict[str, float]

# A bare page with one button; where `strict` is set, what it saves is flushed as ours is.
READY = """() => (async () => {
  window.strict = false;
  const real = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    const how = strict && mode === "readwrite" ? { durability: "strict" } : options;
    return real.call(this, stores, mode, how);
  };
  window.own = new PouchDB("own", { adapter: "idb" });
  await own.info();
  document.body.innerHTML = "<button style='width: 300px; height: 300px'>Save</button>";
  document.querySelector("button").onclick = (event) => {
    tapped = event.timeStamp;
    own.put(next).then(() => durable.push(performance.now()));
  };
})()"""
NEXT = """([doc, flushed]) => {
  Object.assign(window, { next: doc, strict: flushed, durable: [], tapped: 0 });
}"""
# Batches as large as a step of ours; the client's own default of 100 beside it.
REPLICATE = """([url, name, size]) => (async () => {
  const here = new PouchDB(name, { adapter: "idb" });
  await here.info();
  const begun = performance.now();
  let first = null;
  const options = size ? { batch_size: size } : {};
  await here.replicate.from(url, options).on("change", () => (first ??= performance.now()));
  const all = performance.now();
  const { doc_count } = await here.info();
  await here.destroy();
  return { first: first - begun, all: all - begun, count: doc_count };
})()"""


def main() -> int:
    with installed() as folder:
        if folder is None:
            return 0
        with slow_phone.office() as front:
            theirs = of_theirs(folder)
            of_ours(front, theirs)
    return 0


def of_ours(front: Front, theirs: Found) -> None:
    """Save and pull with the phone app; tell how many times as long the other took."""

    def told(name: str, value: float, how: str = "", unit: str = "ms") -> None:
        row(f"ours: {name}{how}", value, unit)
        row("  the other / ours", theirs[name] / value, "times")

    slow_phone.write(0, ENTRIES)
    with slow_phone.chromium() as browser, slow_phone.phone_before(browser, front, LISTEN) as phone:
        session = phone.page.context.new_cdp_session(phone.page)
        slow_phone.machine(phone.page, session)
        took = bench_phone.saves(phone, session)
        told("saving one, median", statistics.median(took))
        told("saving one, p95", p95(took))
        phone.page.goto("/")
        at = ENTRIES
        for name, (bits, delay, *_) in LINKS.items():
            for how in (", worker", ", no worker"):
                with (
                    bench_phone.waiting(phone.page, front, at, alone=how != ", worker"),
                    link(front, bits, delay),
                    slowed(session),
                ):
                    pulled = bench_phone.pull(phone.page, slow=True)
                for what in ("first", "all"):
                    told(f"{MORE} at {name}, {what}", pulled[what], how)
                at += MORE
        told("bytes an entry on the wire", front.of("/sync/pull")[-1].passed / MORE, "", "bytes")


def of_theirs(folder: Path) -> Found:
    """Save and replicate with the other client."""
    found: Found = {}

    def told(name: str, value: float, how: str = "", unit: str = "ms") -> None:
        row(f"the other: {name}{how}", value, unit)
        found.setdefault(name, value)

    with serving(folder) as server, Front(server).running() as front:
        fill(server)
        with slow_phone.chromium() as browser, page_of(browser, front.url, folder) as page:
            session = page.context.new_cdp_session(page)
            slow_phone.machine(page, session)
            page.evaluate(READY)
            for flushed in (True, False):
                took = saves(page, session, flushed=flushed)
                how = "" if flushed else " (not flushed, as it comes)"
                told("saving one, median", statistics.median(took), how)
                told("saving one, p95", p95(took), how)
            for name, (bits, delay, *_) in LINKS.items():
                for step in (1000, 0):
                    with link(front, bits, delay), slowed(session):
                        got = page.evaluate(REPLICATE, [f"{front.url}/book", f"x{step}", step])
                    assert got["count"] == MORE, got
                    how = "" if step else " (its own steps of 100)"
                    for what in ("first", "all"):
                        told(f"{MORE} at {name}, {what}", got[what], how)
            runs = 2 * len(LINKS)
            told("bytes an entry on the wire", front.passed / MORE / runs, "", "bytes")
    return found


def saves(page: Any, session: Any, *, flushed: bool) -> list[float]:
    """Tap the button; the clock begins where the browser dates the event."""
    took = []
    for text in slow_phone.texts(900_000 if flushed else 950_000, SAVES):
        page.evaluate(NEXT, [document(text), flushed])
        with slowed(session):
            page.mouse.click(100, 100)
            took.append(page.evaluate(bench_phone.SAVED))
        page.wait_for_timeout(300)
    return took


@contextmanager
def installed() -> Iterator[Path | None]:
    """Give the folder with the other client and its server; None where npm cannot fetch them."""
    with tempfile.TemporaryDirectory(prefix="nursery-bench-") as folder:
        words = ["npm", "install", "--no-audit", "--no-fund", "--ignore-scripts", *PACKAGES]
        done = subprocess.run(words, cwd=folder, capture_output=True, text=True, check=False)
        if done.returncode != 0:
            print(f"Nothing to measure beside: npm fetched none of it.\n{done.stderr}")
        yield Path(folder) if done.returncode == 0 else None


@contextmanager
def serving(folder: Path) -> Iterator[int]:
    """Run its server in memory, and give the port."""
    port = free_port()
    program = str(folder / "node_modules/.bin/pouchdb-server")
    words = [program, "--in-memory", "--port", str(port), "--host", "127.0.0.1", "--no-stdout-logs"]
    server = subprocess.Popen(
        words, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        wait_until(lambda: answers(port), 60)
        yield port
    finally:
        server.kill()
        server.wait()


def answers(port: int) -> bool:
    try:
        return bool(asked(port, "GET", ""))
    except OSError:
        return False


def asked(port: int, method: str, path: str, body: Any = None) -> Any:
    data = None if body is None else json.dumps(body).encode()
    headers = {"Content-Type": "application/json"}
    wanted = urllib.request.Request(f"http://127.0.0.1:{port}/{path}", data, headers, method=method)
    with urllib.request.urlopen(wanted, timeout=120) as got:
        return json.loads(got.read())


def fill(port: int) -> None:
    asked(port, "PUT", "book")
    documents = [document(text) for text in slow_phone.texts(0, MORE)]
    for start in range(0, MORE, 500):
        asked(port, "POST", "book/_bulk_docs", {"docs": documents[start : start + 500]})


def document(text: str) -> dict[str, Any]:
    """Return the entry as a document: the same fields, its id under the name that is wanted."""
    fields = json.loads(text)
    return {"_id": fields.pop("id"), **fields}


@contextmanager
def page_of(browser: Browser, url: str, folder: Path) -> Iterator[Any]:
    context = browser.new_context()
    page = context.new_page()
    page.goto(url)
    page.add_script_tag(path=str(folder / "node_modules/pouchdb/dist/pouchdb.min.js"))
    yield page
    context.close()


if __name__ == "__main__":
    sys.exit(main())
