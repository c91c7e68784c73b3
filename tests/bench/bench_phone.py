"""What the phone app costs on a slow phone: `python -m tests.bench.bench_phone`, or its pulls alone
with the word `pulls`.

A browser whose page is slowed four times, before the office as it runs, with 20 000 entries on the
phone: cold starts without signal, pulls of 5 000 more over two bad links, one over a good one, and
the time from the tap on Save to the record on the disk. The browser slows its page's thread alone;
so each pull is told twice, by the worker at this machine's speed, and by a page that has no worker
and does everything itself, slowed.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import statistics
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import CDPSession, Page

from tests.bench import slow_phone
from tests.bench.slow_phone import SLOWER, link, p95, row, slowed

ENTRIES, MORE = 20_000, 5_000
SAVES, STARTS = 30, 7
# Bits a second, seconds before an answer, goals of the first rows and of all, in milliseconds.
LINKS = {
    "1.6 Mbit/s, 150 ms": (1_600_000, 0.15, "500", "2000"),
    "400 kbit/s, 400 ms": (400_000, 0.4, "1200", "7000"),
}
TOLD = ("usable", "rows", "drawn")
SHEETS = {"first screen": "", "a batch of 167 records": "batch/x-7"}

# Blocks of the page's thread are the gaps of a chain that otherwise ticks every few milliseconds.
# One that never rests takes, slowed, most of a core from the worker, which a phone's page does not.
# Lines that wait are there for a round, and no glance before it: whoever saves data has none.
PAUSE_MS = 4
LISTEN = """
Object.defineProperty(navigator, "connection", { value: { saveData: true } });
if (sessionStorage.getItem("alone")) delete window.Worker;
window.told = [];
window.gap = { longest: 0, on: false };
new BroadcastChannel("phone").onmessage = ({ data }) =>
  told.push({ at: performance.now(), t: data.t, subjects: data.subjects?.length ?? 0 });
window.durable = [];
window.tapped = 0;
window.painted = null;
new PerformanceObserver((list) => {
  for (const { name, startTime } of list.getEntries())
    if (name === "first-contentful-paint") painted = startTime;
}).observe({ type: "paint", buffered: true });
{
  const real = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    const work = real.call(this, stores, mode, options);
    if (this.name === "outbox" && mode === "readwrite")
      work.addEventListener("complete", () => durable.push(performance.now()));
    return work;
  };
  document.addEventListener("click", (event) => (tapped = event.timeStamp), true);
  const channel = new MessageChannel();
  let last = 0;
  channel.port1.onmessage = () => {
    const now = performance.now();
    if (last) gap.longest = Math.max(gap.longest, now - last);
    last = gap.on ? now : 0;
    setTimeout(() => channel.port2.postMessage(0), gap.on ? PAUSE_MS : 100);
  };
  channel.port2.postMessage(0);
}
""".replace("PAUSE_MS", str(PAUSE_MS))
# How far the copy has come is read from the disk by a connection of its own, and only where it is
# asked: on a slowed page each look is up to a fifth of the longest block that it would tell of.
PULL = """({ copy, slowed }) => new Promise((done) => {
  told.length = 0;
  indexedDB.open(copy).onsuccess = ({ target: { result: disk } }) => {
    Object.assign(gap, { longest: 0, on: true });
    const begun = performance.now();
    let at = null;
    let committed = begun;
    const ended = () => {
      gap.on = false;
      disk.close();
      const shown = told.filter(({ t, subjects }) => t === "changed" && subjects > 0);
      done({
        first: shown.at(0).at - begun,
        all: shown.at(-1).at - begun,
        committed: committed - begun,
        longest: gap.longest,
      });
    };
    const look = () => {
      const over = told.find(({ t }) => t === "round");
      const again = () => (over ? ended() : setTimeout(look, 20));
      if (slowed) return void again();
      const asked = disk.transaction("told").objectStore("told").get("cursor");
      asked.onsuccess = () => {
        const { seq } = asked.result;
        if (at !== null && seq !== at) committed = performance.now();
        at = seq;
        again();
      };
    };
    look();
    dispatchEvent(new Event("online"));
  };
})"""
# The app's script begins where its first line says so. Rows are there in the task after the frame
# in which they were laid out; when that frame was on the screen, the browser tells later.
STARTED = """() => new Promise((done) => {
  const look = (usable) => {
    const [began] = performance.getEntriesByName("began");
    const there = began && document.querySelector("main h1, main [role=img]");
    const at = usable ?? (there ? performance.now() : null);
    if (at === null || painted === null) return setTimeout(look, 1, at);
    done({ usable: at, rows: at - began.startTime, drawn: painted - began.startTime });
  };
  look(null);
})"""


def main(parts: Sequence[str]) -> int:
    """Measure all of it, or the pulls alone where the word is given."""
    with slow_phone.office() as front:
        slow_phone.write(0, ENTRIES)
        with (
            slow_phone.chromium() as browser,
            slow_phone.phone_before(browser, front, LISTEN) as phone,
        ):
            session = phone.page.context.new_cdp_session(phone.page)
            slow_phone.machine(phone.page, session)
            if "pulls" not in parts:
                for name, sheet in SHEETS.items():
                    cold(name, sheet, phone.page, session)
                took = saves(phone, session)
                row("tap on Save to the record on the disk, median", statistics.median(took))
                row("tap on Save to the record on the disk, p95", p95(took), goal="50")
            pulls(phone.page, session, front)
            slow_phone.machine()
    return 0


def cold(name: str, sheet: str, page: Page, session: CDPSession) -> None:
    """Start the app without signal, at this machine's speed and slowed."""
    page.goto(f"/#/{sheet}")
    page.locator("main h1").first.wait_for(state="attached")
    page.context.set_offline(True)
    for times in (1, SLOWER):
        found: list[dict[str, float]] = []
        with slowed(session, times):
            for _ in range(STARTS):
                page.goto("about:blank")
                page.goto(f"/#/{sheet}", wait_until="commit")
                found.append(page.evaluate(STARTED))
        usable, rows, drawn = (statistics.median(one[key] for one in found) for key in TOLD)
        goals = ("1000", "150") if times == SLOWER else ("", "")
        row(f"cold start, {name}, {times} x slower, usable", usable, goal=goals[0])
        row("  first local rows after the script began", rows, goal=goals[1])
        row("  the first frame on the screen after that", drawn)
    page.context.set_offline(False)


def saves(phone: Any, session: CDPSession) -> list[float]:
    """Tap Save with a finger's event; the clock begins where the browser dates the event."""
    from tests.phone_sync.conftest import fill

    took: list[float] = []
    for number in range(SAVES):
        phone.go("")
        fill(phone, 10 + number, "x-7")
        phone.page.wait_for_timeout(300)
        box = phone.page.get_by_role("button", name="Save ").bounding_box()
        phone.page.evaluate("durable.length = 0")
        with slowed(session):
            phone.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
            took.append(phone.page.evaluate(SAVED))
        phone.page.wait_for_timeout(500)
    return took


SAVED = """() => new Promise((done) => {
  const look = () => (durable.length ? done(durable[0] - tapped) : setTimeout(look, 50));
  look();
})"""


def pulls(page: Page, session: CDPSession, front: Any) -> None:
    page.goto("/")
    page.locator("main h1").first.wait_for()
    at = ENTRIES
    for name, (bits, delay, first, every) in LINKS.items():
        for alone in (False, True):
            with waiting(page, front, at, alone=alone), link(front, bits, delay):
                with slowed(session):
                    found = pull(page, slow=True)
                how = "no worker" if alone else "worker"
                row(f"pull of {MORE} at {name}, {how}: first rows", found["first"], goal=first)
                row("  all", found["all"], goal=every)
                row(
                    "  longest block of the page's thread",
                    found["longest"],
                    goal="" if alone else "50",
                )
            at += MORE
    size = sum(call.passed for call in front.of("/sync/pull")[-1:])
    row("bytes an entry on the wire", size / MORE, "bytes", "60")
    with waiting(page, front, at, alone=False):
        found = pull(page, slow=False)
    row(
        "pull and commit at this machine's speed",
        MORE / found["committed"] * 1000,
        "a second",
        "13000",
    )
    row("  with folding and telling", MORE / found["all"] * 1000, "a second")


def pull(page: Page, *, slow: bool) -> dict[str, float]:
    """Fetch what waits; how far the disk has come is told where the page is not slowed."""
    asked = {"copy": page.evaluate(COPY), "slowed": slow}
    found: dict[str, float] = page.evaluate(PULL, asked)
    return found


COPY = """() => new Promise((done) => {
  indexedDB.open("outbox").onsuccess = ({ target: { result: disk } }) => {
    disk.transaction("own").objectStore("own").get("own").onsuccess = (got) => {
      disk.close();
      done(got.target.result.copy);
    };
  };
})"""


@contextmanager
def waiting(page: Page, front: Any, at: int, *, alone: bool) -> Iterator[None]:
    """Let 5 000 entries wait at the office, for a page that has or has not a worker."""
    page.evaluate("(alone) => sessionStorage.setItem('alone', alone)", "yes" if alone else "")
    page.reload()
    page.locator("main h1").first.wait_for()
    page.evaluate(CALM)
    front.portal = True
    # Django refuses to work in a thread in which a loop runs, as the browser's driver has it.
    with ThreadPoolExecutor(1) as beside:
        beside.submit(slow_phone.write, at, MORE).result()
    page.wait_for_timeout(3000)
    front.portal = False
    yield


CALM = """() => new Promise((done) => {
  const look = () => (told.some(({ t }) => t === "round") ? done() : setTimeout(look, 50));
  look();
})"""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
