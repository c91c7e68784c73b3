"""The first visit and the taps after it, on a slow phone: `python -m tests.bench.bench_visit`.

The first visit of a phone that has nothing of ours: 1.6 Mbit/s, 150 ms before each answer and twice
that for each connection, the page slowed four times; told is when the largest piece of the screen
was painted, and what it loaded. Then a round of taps over the main screens of a phone that has
joined: from the finger's event to the next painted frame as the browser tells it, of each screen
the longest (what is called INP), and how long frames took meanwhile.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import gzip
import re
import statistics
import sys
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Browser, CDPSession, Locator, Page

from tests.bench import slow_phone
from tests.bench.slow_phone import link, p95, quantile, row, slowed
from tests.steps import FRONTEND

BITS, DELAY = 1_600_000, 0.15
ENTRIES, VISITS = 5_000, 5
FIRST_ROUTE_KB = 90

PAINTED = """
window.painted = 0;
new PerformanceObserver((list) => {
  for (const { startTime } of list.getEntries()) painted = startTime;
}).observe({ type: "largest-contentful-paint", buffered: true });
"""
# Each event that belongs to a tap; what took less than 16 ms the browser does not tell.
FELT = """
window.felt = {};
window.taps = 0;
window.frames_of = { told: [], on: false };
new PerformanceObserver((list) => {
  for (const { interactionId: id, duration } of list.getEntries())
    if (id) felt[id] = Math.max(felt[id] ?? 0, duration);
}).observe({ type: "event", durationThreshold: 16 });
document.addEventListener("click", () => (taps += 1), true);
{
  let last = 0;
  const look = (now) => {
    if (frames_of.on && last) frames_of.told.push(now - last);
    last = frames_of.on ? now : 0;
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}
"""
TOLD = """() => ({ felt: Object.values(felt), taps })"""


def main() -> int:
    kilobytes = sum(first_route().values())
    row("script of the first route, packed", kilobytes, "kB", str(FIRST_ROUTE_KB))
    with slow_phone.office() as front:
        slow_phone.write(0, ENTRIES)
        with slow_phone.chromium() as browser:
            first_visits(browser, front)
            with slow_phone.phone_before(browser, front, FELT) as phone:
                session = phone.page.context.new_cdp_session(phone.page)
                taps(phone, session)
                slow_phone.machine(phone.page, session)
    return 0


def first_route() -> dict[str, float]:
    """Return what the page asks for before its first screen, in kB (1024 bytes), as gzip packs it.

    The entry, in which the first words of every language are, and what it imports at once.
    """
    dist = FRONTEND / "dist"
    entry = re.search(r'src="/(assets/[^"]+\.js)"', (dist / "index.html").read_text())
    assert entry is not None
    found: dict[str, float] = {}
    wanted = [dist / entry[1]]
    while wanted:
        file = wanted.pop()
        if file.name in found:
            continue
        text = file.read_text()
        found[file.name] = packed(file.read_bytes())
        wanted += [file.parent / name for name in re.findall(r'from\s*"\./([^"]+\.js)"', text)]
        wanted += [file.parent / name for name in re.findall(r'import"\./([^"]+\.js)"', text)]
    return found


def packed(raw: bytes) -> float:
    return len(gzip.compress(raw, 9)) / 1024


def first_visits(browser: Browser, front: Any) -> None:
    """Visit with empty hands: by the address alone, and by the code with which a phone joins."""
    from tests.journeys.offices import Desk

    desk = Desk(front.url)
    ways: dict[str, Callable[[], str]] = {
        "by its address": lambda: "/",
        "by a code to join": lambda: f"/#/join/{desk.invite('new phone')}",
    }
    for name, path in ways.items():
        painted, scripts = [], 0
        for _ in range(VISITS):
            address = path()
            context = browser.new_context(
                base_url=front.url, locale="en-GB", viewport={"width": 390, "height": 844}
            )
            context.add_init_script(PAINTED)
            page = context.new_page()
            front.greeting = 2 * DELAY
            with link(front, BITS, DELAY), slowed(context.new_cdp_session(page)):
                page.goto(address, wait_until="commit")
                page.locator("main h1, main form, main button").first.wait_for(timeout=60_000)
                page.wait_for_timeout(2500)
                painted.append(page.evaluate("painted"))
                scripts = page.evaluate(SCRIPTS)
            front.greeting = 0.0
            context.close()
        row(f"first visit {name}: largest paint, median", statistics.median(painted), goal="2500")
        row("  script until then, as it came", scripts / 1024, "kB")


SCRIPTS = """() => performance.getEntriesByType("resource")
  .filter(({ name, startTime }) => name.endsWith(".js") && startTime < painted)
  .reduce((sum, { encodedBodySize }) => sum + encodedBodySize, 0)"""


def taps(phone: Any, session: CDPSession) -> None:
    """Go a round of the main screens with a finger; each screen is a visit of its own."""
    page = phone.page
    visits: list[list[float]] = []
    frames: list[float] = []
    for sheet, things in ROUND:
        phone.go(sheet)
        page.locator("main h1").first.wait_for(state="attached")
        page.wait_for_timeout(800)
        page.evaluate("felt = {}; taps = 0; frames_of.told.length = 0; frames_of.on = true")
        with slowed(session):
            for thing in things:
                press(page, thing)
            page.wait_for_timeout(600)
        told = page.evaluate(TOLD)
        frames += page.evaluate("(frames_of.on = false, frames_of.told)")
        # A tap that the browser does not tell of was painted within the frame.
        quick = [16.0] * max(0, told["taps"] - len(told["felt"]))
        visits.append([*told["felt"], *quick])
        row(f"  {sheet or 'home'}: {told['taps']} taps, longest", max(visits[-1], default=0.0))
    every = [one for visit in visits for one in visit]
    longest = [max(visit) for visit in visits if visit]
    row("tap to the next paint, longest of a screen, p75", quantile(longest, 0.75), goal="200")
    row(f"tap to the next paint, all {len(every)} taps, median", statistics.median(every))
    row("tap to the next paint, all taps, p95", p95(every))
    row("frames during the round, median", statistics.median(frames))
    row("frames during the round, p95", p95(frames))
    row("frames during the round, longest", max(frames))


# What is tapped is looked for anew each time: by role and name, or the first of a selector.
KEYS = [("button", "1"), ("button", "7"), ("button", "3")]
ROUND: list[tuple[str, list[tuple[str, str]]]] = [
    ("", [("css", "main a.line >> nth=0"), ("css", "nav.thumbs button >> nth=0")]),
    ("round", [("css", "main a.line >> nth=0"), ("css", "nav.thumbs button >> nth=0")]),
    ("count/x-7", [("button", "full count"), *KEYS, ("css", ".acts button >> nth=0")]),
    ("lose/x-8", [("css", "main .chips button >> nth=0"), *KEYS[:2]]),
    ("look/x-9", [("css", "main button >> nth=0"), ("css", "main button >> nth=1")]),
    ("note/x-10", [("css", "main textarea, main input >> nth=0")]),
    ("batch/x-11", [("css", "main .account a >> nth=0"), ("css", "nav.thumbs button >> nth=0")]),
    ("rooms", [("css", "main a >> nth=0"), ("css", "nav.thumbs button >> nth=0")]),
    ("room/room-1", [("css", "main a.line >> nth=0"), ("css", "nav.thumbs button >> nth=0")]),
    ("who", [("css", "main button >> nth=0"), ("css", "nav.thumbs button >> nth=0")]),
    ("unsent", [("css", "nav.thumbs button >> nth=0")]),
    ("stock", [("css", "main a >> nth=0"), ("css", "nav.thumbs button >> nth=0")]),
]


def press(page: Page, thing: tuple[str, str]) -> None:
    """Tap it where it stands, by a finger's events; what is not on this screen is told."""
    how, what = thing
    found: Locator = (
        page.locator(what)
        if how == "css"
        else page.get_by_role("button", name=what, exact=what.isdigit())
    )
    try:
        found.first.scroll_into_view_if_needed(timeout=5000)
        box = found.first.bounding_box()
    except Exception:
        box = None
    if box is None:
        print(f"  (nothing to tap: {what} on {page.url.split('#')[-1]})", flush=True)
        return
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + min(box["height"] / 2, 30))
    page.wait_for_timeout(400)


if __name__ == "__main__":
    sys.exit(main())
