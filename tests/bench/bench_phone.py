"""What the phone app costs on a slow phone: `python -m tests.bench.bench_phone`.

A browser whose page is slowed four times, before the office as it runs: a cold start without
signal with 20 000 entries on the phone, a pull of 5 000 more at 1.6 Mbit/s and 150 ms, and the time
from the tap on Save to the record on the disk. The browser slows its page's thread alone: what a
worker does runs at this machine's speed.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import os
import statistics
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

ENTRIES, MORE = 20_000, 5_000
BATCHES = 120
SLOWER = 4
BITS, DELAY = 1_600_000, 0.15
SAVES = 30
GOALS = {
    "cold start, usable": 1000.0,
    "first local rows after the script": 150.0,
    "pull, first rows": 500.0,
    "pull, all": 2000.0,
    "pull, longest block": 50.0,
    "save, p95": 50.0,
}

# Blocks of the page's thread are the gaps of a chain that is otherwise never still.
LISTEN = """
window.told = [];
window.gap = { longest: 0 };
new BroadcastChannel("phone").onmessage = ({ data }) =>
  told.push({ at: performance.now(), t: data.t, subjects: data.subjects?.length ?? 0 });
const real = IDBDatabase.prototype.transaction;
window.durable = [];
IDBDatabase.prototype.transaction = function (stores, mode, options) {
  const work = real.call(this, stores, mode, options);
  if (this.name === "outbox" && mode === "readwrite")
    work.addEventListener("complete", () => durable.push(performance.now()));
  return work;
};
{
  const channel = new MessageChannel();
  let last = performance.now();
  channel.port1.onmessage = () => {
    const now = performance.now();
    gap.longest = Math.max(gap.longest, now - last);
    last = now;
    setTimeout(() => channel.port2.postMessage(0), 0);
  };
  channel.port2.postMessage(0);
}
"""
PULL = """() => new Promise((done) => {
  told.length = 0;
  gap.longest = 0;
  const begun = performance.now();
  const timer = setInterval(() => {
    const over = told.find(({ t }) => t === "round");
    if (!over) return;
    clearInterval(timer);
    const first = told.find(({ t, subjects }) => t === "changed" && subjects > 0);
    const last = told.findLast(({ t, subjects }) => t === "changed" && subjects > 0);
    done({ first: first.at - begun, all: last.at - begun, longest: gap.longest });
  }, 20);
  dispatchEvent(new Event("online"));
})"""
STARTED = """() => new Promise((done) => {
  const script = performance.getEntriesByType("resource").find(({ name }) => /app-/.test(name));
  const look = () => {
    if (!document.querySelector("main h1, main [role=img]")) return setTimeout(look, 1);
    done({ usable: performance.now(), rows: performance.now() - script.responseEnd });
  };
  look();
})"""
TAP = """(button) => new Promise((done) => {
  durable.length = 0;
  const begun = performance.now();
  const timer = setInterval(() => {
    if (durable.length === 0) return;
    clearInterval(timer);
    done(durable[0] - begun);
  }, 1);
  button.click();
})"""


def main() -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    with tempfile.TemporaryDirectory(prefix="nursery-bench-") as folder:
        # The database is the demo's, as the office opens it.
        os.environ |= {"NURSERY_DATA": f"{folder}/place", "NURSERY_DEMO": "yes"}
        import django

        django.setup()
        measure(Path(folder) / "place")
    return 0


def measure(folder: Path) -> None:
    from tests.journeys.offices import office_on
    from tests.phone_sync.front import Front
    from tests.phone_sync.patience import CHROMIUM, FLAGS

    with office_on(folder, 3) as office, Front(office.port).running() as front:
        write(0, ENTRIES)
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            for found in on_a_phone(browser, front):
                show(found)
            browser.close()


def show(found: dict[str, float]) -> None:
    for name, value in found.items():
        goal = GOALS.get(name)
        told = f"{name:<36}{value:9.1f} ms" + ("" if goal is None else f"   goal {goal:6.0f}")
        print(told, flush=True)


def write(first: int, count: int) -> None:
    """Write entries about many trays into the demo's book."""
    from nursery.services import demo, log
    from nursery.services.installs import Outbox
    from tests.bench.histories import ROUND
    from tests.phone import Writer

    writer = Writer(f"bench{first}", number=first % 4000 + 7)
    begun = demo.EVENINGS[3] - timedelta(days=30)
    texts = []
    for number in range(first, first + count):
        batch, turn = f"x-{number % BATCHES}", number // BATCHES
        kind, body = ROUND[turn % len(ROUND)] if turn else ("received", None)
        shape = body(turn) if body else arrival(batch)
        texts.append(writer.write(kind, [batch], shape, begun + timedelta(seconds=number)))
    outbox = Outbox(install=f"i-{writer.name}", device="d-bench", app="2026.12.0")
    log.receive_all("veshmere", outbox, texts, demo.EVENINGS[3])


def arrival(batch: str) -> dict[str, Any]:
    place = "room-1"
    batches = [{"id": batch, "label": batch.upper(), "stated": 50}]
    return {"consignment": "c-bench", "place": place, "batches": batches}


def on_a_phone(browser: Browser, front: Any) -> Iterator[dict[str, float]]:
    from nursery.services import demo
    from tests.journeys.offices import Desk
    from tests.phone_sync.conftest import phone_on

    with phone_on(browser, Desk(front.url), "slow phone", LISTEN, demo.W2) as phone:
        page = phone.page
        page.wait_for_function("told.some(({ t }) => t === 'round')", timeout=120_000)
        page.goto("/#/batch/x-7")
        page.get_by_text("X-7").first.wait_for()
        session = page.context.new_cdp_session(page)
        yield cold(page, session)
        yield pulled(page, session, front)
        yield saved(phone, session)


def slow(session: CDPSession, times: int) -> None:
    session.send("Emulation.setCPUThrottlingRate", {"rate": times})


def cold(page: Page, session: CDPSession) -> dict[str, float]:
    page.context.set_offline(True)
    slow(session, SLOWER)
    found: list[dict[str, float]] = []
    for _ in range(7):
        page.goto("about:blank")
        page.goto("/#/batch/x-7", wait_until="commit")
        found.append(page.evaluate(STARTED))
    slow(session, 1)
    page.context.set_offline(False)
    return {
        "cold start, usable": statistics.median(one["usable"] for one in found),
        "first local rows after the script": statistics.median(one["rows"] for one in found),
    }


def pulled(page: Page, session: CDPSession, front: Any) -> dict[str, float]:
    front.portal = True
    # Django refuses to work in a thread in which a loop runs, as the browser's driver has it.
    with ThreadPoolExecutor(1) as beside:
        beside.submit(write, ENTRIES, MORE).result()
    page.wait_for_timeout(3000)
    front.bits_per_second, front.delay, front.portal = BITS, DELAY, False
    slow(session, SLOWER)
    found: dict[str, float] = page.evaluate(PULL)
    slow(session, 1)
    front.bits_per_second, front.delay = 0.0, 0.0
    return {
        "pull, first rows": found["first"],
        "pull, all": found["all"],
        "pull, longest block": found["longest"],
    }


def saved(phone: Any, session: CDPSession) -> dict[str, float]:
    from tests.phone_sync.conftest import fill

    took = []
    for number in range(SAVES):
        phone.go("")
        fill(phone, 10 + number, "x-7")
        slow(session, SLOWER)
        took.append(phone.page.get_by_role("button", name="Save ").evaluate(TAP))
        slow(session, 1)
        phone.page.wait_for_timeout(300)
    took.sort()
    return {"save, median": statistics.median(took), "save, p95": took[int(0.95 * len(took))]}


if __name__ == "__main__":
    sys.exit(main())
