"""What planting costs on a slow phone: `python -m tests.bench.bench_row`.

A block of 20 000 positions in rows of 200, most of them planted already from one batch of 20 000,
on a page that is slowed four times. Told are the frames while the rows and the holes are scrolled
and while a thumb taps quickly, the time from a tap to its record on the disk, and whether each tap
became one record.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import os
import statistics
import sys
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

ROWS, HOLES, FULL = 100, 200, 60
BLOCK, BATCH = "terrace-9", "x-grove"
SLOWER, TAPS, EVERY_MS = 4, 40, 250
GOALS = {"p95": 34.0, "longest": 100.0, "tap to disk, p95": 50.0}

# Frames are told by the browser; a block of the page's thread is a frame that comes late.
FRAMES = """
window.frames_of = { told: [], on: false };
{
  let last = 0;
  const look = (now) => {
    if (frames_of.on && last) frames_of.told.push(now - last);
    last = frames_of.on ? now : 0;
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}
window.durable = [];
const real = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (stores, mode, options) {
  const work = real.call(this, stores, mode, options);
  if (this.name === "outbox" && mode === "readwrite")
    work.addEventListener("complete", () => durable.push(performance.now()));
  return work;
};
"""
SCROLL = """([what, way, times]) => new Promise((done) => {
  const on = what === null ? window : document.querySelector(what);
  let left = times;
  const step = () => {
    on.scrollBy(way === "down" ? { top: 120 } : { left: 90 });
    left -= 1;
    if (left > 0) requestAnimationFrame(step);
    else done();
  };
  requestAnimationFrame(step);
})"""
TAP = """([times, every]) => new Promise((done) => {
  durable.length = 0;
  const tapped = [];
  const timer = setInterval(() => {
    const hit = document.querySelector("main button[data-position]");
    tapped.push({ at: performance.now(), position: hit.dataset.position });
    hit.click();
    if (tapped.length === times) {
      clearInterval(timer);
      done(tapped);
    }
  }, every);
})"""
# Every record that waits on the phone.
KEPT = """() => new Promise((done) => {
  indexedDB.open("outbox").onsuccess = ({ target }) => {
    target.result.transaction("entries").objectStore("entries").getAll().onsuccess = (got) =>
      done(got.target.result.map(({ text }) => JSON.parse(text).body.positions.join()));
  };
})"""


def main() -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    with tempfile.TemporaryDirectory(prefix="nursery-bench-") as folder:
        # The database is the demo's, as the office opens it.
        os.environ |= {"NURSERY_DATA": f"{folder}/place", "NURSERY_DEMO": "yes"}
        import django

        django.setup()
        return measure(Path(folder) / "place")


def measure(folder: Path) -> int:
    from tests.journeys.offices import Desk, office_on
    from tests.phone_sync.patience import CHROMIUM, FLAGS

    with office_on(folder, 3) as office:
        lay_out(Desk(office.url))
        plant()
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            wrong = on_a_phone(browser, office.url)
            browser.close()
    return wrong


def lay_out(desk: Any) -> None:
    place = {"name": "Terrace 9", "short": "TR9", "kind": "terrace"}
    rows = [{"number": i + 1, "first": 1 + i * HOLES, "holes": HOLES} for i in range(ROWS)]
    desk.ask("PUT", f"rows/place/{BLOCK}", {"body": place})
    meant = [{"batch": BATCH, "first": 1, "last": ROWS * HOLES}]
    desk.ask("PUT", f"rows/layout/{BLOCK}", {"body": {"rows": rows, "meant": meant}})


def plant() -> None:
    """Write the batch and its plants in the first rows, a record each, as thumbs would."""
    from nursery.domain.kinds.field import seat
    from nursery.services import demo, log
    from nursery.services.installs import Outbox
    from tests.phone import Writer

    writer, at = Writer("grove", number=9), demo.EVENINGS[3] - timedelta(days=2)
    batch = {"id": BATCH, "label": "G1"}
    taken = {"batch": batch, "alive": ROWS * HOLES, "method": "full"}
    out = {"way": "out", "plants": ROWS * HOLES, "block": BLOCK}
    texts = [writer.write("taken_on", [BATCH], taken, at)]
    texts.append(writer.write("carried", [BATCH, BLOCK], out, at))
    for number in range(FULL * HOLES):
        row = str(number // HOLES + 1)
        body = {"block": BLOCK, "row": row, "positions": [str(number + 1)]}
        moment = at + timedelta(seconds=number + 1)
        texts.append(writer.write("planted", [BATCH, seat(BLOCK, row)], body, moment))
    outbox = Outbox(install=f"i-{writer.name}", device="d-bench", app="2026.12.0")
    log.receive_all("veshmere", outbox, texts, demo.EVENINGS[3])


def on_a_phone(browser: Browser, url: str) -> int:
    from nursery.services import demo
    from tests.journeys.offices import Desk
    from tests.phone_sync.conftest import phone_on

    with phone_on(browser, Desk(url), "slow phone", FRAMES, demo.W1) as phone:
        page = phone.page
        phone.go(f"plant/{BLOCK}")
        # Told from the copy, in parts: first that the rows are there, then that all is folded.
        page.locator("a[data-row='1'][data-open='0']").wait_for(timeout=240_000)
        page.evaluate(f"scrollTo(0, {FULL * 76})")
        page.locator(f"a[data-row='{FULL}'][data-open='0']").wait_for(timeout=240_000)
        page.evaluate("scrollTo(0, 0)")
        page.context.set_offline(True)
        session = page.context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        show("rows scrolled", framed(page, SCROLL, [None, "down", 90])[1])
        phone.go(f"plant/{BLOCK}/{FULL + 1}")
        page.locator(".holes").wait_for()
        page.wait_for_timeout(1500)
        show("holes scrolled", framed(page, SCROLL, [".holes", "on", 90])[1])
        page.locator("main button[data-position]").wait_for()
        return tapped(page, session)


def framed(page: Page, script: str, given: Any) -> tuple[Any, list[float]]:
    """Do something on the page; return what it says, and how long each frame took."""
    page.evaluate("frames_of.told.length = 0; frames_of.on = true")
    said = page.evaluate(script, given)
    page.wait_for_timeout(300)
    return said, page.evaluate("(frames_of.on = false, frames_of.told)")


def show(what: str, frames: list[float]) -> None:
    """Print how long frames took; the first ones of a chain that began late are left in."""
    frames = sorted(frames)
    for name, value in (
        ("median", statistics.median(frames)),
        ("p95", frames[int(0.95 * len(frames))]),
        ("longest", frames[-1]),
    ):
        goal = GOALS.get(name)
        told = f"{what + ', frames ' + name:<36}{value:9.1f} ms"
        print(told + ("" if goal is None else f"   goal {goal:6.0f}"), flush=True)


def tapped(page: Page, session: CDPSession) -> int:
    """Tap quickly; print what it cost, and whether each tap became one record."""
    taps, frames = framed(page, TAP, [TAPS, EVERY_MS])
    durable = page.evaluate("durable")
    page.wait_for_timeout(4000)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    show("quick taps", frames)
    # The next write after a tap is its record's: taps are further apart than writes take.
    took = sorted(min(done - t["at"] for done in durable if done > t["at"]) for t in taps)
    print(f"{'tap to disk, median':<36}{statistics.median(took):9.1f} ms")
    p95 = took[int(0.95 * len(took))]
    print(f"{'tap to disk, p95':<36}{p95:9.1f} ms   goal {GOALS['tap to disk, p95']:6.0f}")
    asked = page.locator("main button[data-position]").get_attribute("data-position")
    wanted = [str(FULL * HOLES + i) for i in range(1, TAPS + 1)]
    whole = page.evaluate(KEPT) == wanted and asked == str(FULL * HOLES + TAPS + 1)
    print(f"{TAPS} taps, a record each, next {asked}: {'whole' if whole else 'NOT WHOLE'}")
    return 0 if whole else 1


if __name__ == "__main__":
    sys.exit(main())
