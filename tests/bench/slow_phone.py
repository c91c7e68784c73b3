"""What the measurements of the phone app share: an office, a bad link, a slowed page, rows.

The browser slows its page's thread alone, and counts what other programs take of the machine as
that thread's own time: so each run says how busy the machine was, how long a fixed piece of
arithmetic took on the page, and how long the disk takes for one flush.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import os
import statistics
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from time import perf_counter
from typing import Any, Literal

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

SLOWER = 4
BATCHES = 120
ARITHMETIC = """() => {
  const begun = performance.now();
  let sum = 0;
  for (let i = 0; i < 5_000_000; i += 1) sum = (sum * 31 + i) % 1_000_003;
  return performance.now() - begun + sum * 0;
}"""


def row(what: str, measured: float, unit: str = "ms", goal: str = "") -> None:
    """Print one row: what, measured, goal."""
    print(f"{what:<52}{measured:10.1f} {unit:<8}{goal and 'goal ' + goal}", flush=True)


def p95(found: Sequence[float]) -> float:
    return quantile(found, 0.95)


def quantile(found: Sequence[float], share: float) -> float:
    """Return the smallest value that at least this share of them does not pass."""
    ordered = sorted(found)
    return ordered[max(0, -(-int(share * 1000) * len(ordered) // 1000) - 1)]


def machine(page: Page | None = None, session: CDPSession | None = None) -> None:
    """Print what else the machine had to do, and how quick it is for one flush and one page."""
    load = os.getloadavg()[0]
    row(f"machine: load of the last minute, {os.cpu_count()} cores", load, "")
    flushes = flushed(50)
    row("machine: one flush of 4 kB to the disk, median", statistics.median(flushes))
    row("machine: one flush of 4 kB to the disk, p95", p95(flushes))
    if page is None or session is None:
        return
    plain = min(page.evaluate(ARITHMETIC) for _ in range(5))
    with slowed(session):
        took = statistics.median(page.evaluate(ARITHMETIC) for _ in range(5))
    row("machine: arithmetic on the slowed page / at its best", took / plain, "times")


def flushed(times: int) -> list[float]:
    """Return how long it takes to write and flush a page of a file, in milliseconds."""
    took = []
    with tempfile.NamedTemporaryFile(prefix="nursery-bench-") as file:
        for _ in range(times):
            begun = perf_counter()
            file.write(bytes(4096))
            file.flush()
            os.fsync(file.fileno())
            took.append((perf_counter() - begun) * 1000)
    return took


@contextmanager
def slowed(session: CDPSession, times: float = SLOWER) -> Iterator[None]:
    session.send("Emulation.setCPUThrottlingRate", {"rate": times})
    try:
        yield
    finally:
        session.send("Emulation.setCPUThrottlingRate", {"rate": 1})


@contextmanager
def link(front: Any, bits_per_second: float, delay: float) -> Iterator[None]:
    """Let no more bits through, and each answer begin later by a delay in seconds."""
    front.bits_per_second, front.delay = bits_per_second, delay
    try:
        yield
    finally:
        front.bits_per_second, front.delay = 0.0, 0.0


@contextmanager
def office(day: Literal[3] = 3) -> Iterator[Any]:
    """Give a proxy before the demo's office on an evening of its story."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    with tempfile.TemporaryDirectory(prefix="nursery-bench-") as folder:
        # The database is the demo's, as the office opens it.
        os.environ |= {"NURSERY_DATA": f"{folder}/place", "NURSERY_DEMO": "yes"}
        import django

        django.setup()
        from tests.journeys.offices import office_on
        from tests.phone_sync.front import Front

        with office_on(Path(folder) / "place", day) as found, Front(found.port).running() as front:
            yield front


@contextmanager
def chromium() -> Iterator[Browser]:
    from tests.phone_sync.patience import CHROMIUM, FLAGS

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def phone_before(browser: Browser, front: Any, script: str = "") -> Iterator[Any]:
    """Give a phone that has joined and fetched all that the office has."""
    from nursery.services import demo
    from tests.journeys.offices import Desk
    from tests.phone_sync.conftest import phone_on

    listen = (
        'new BroadcastChannel("phone").onmessage = ({ data }) => (window.news ??= []).push(data);'
    )
    with phone_on(browser, Desk(front.url), "slow phone", listen + script, demo.W2) as phone:
        over = (
            "(window.news ??= []).some(({ t, standing }) => t === 'round' && standing === 'calm')"
        )
        phone.page.wait_for_function(over, timeout=240_000)
        yield phone


def texts(first: int, count: int) -> list[str]:
    """Return entries about many trays, as a phone writes them."""
    from nursery.services import demo
    from tests.bench.histories import ROUND
    from tests.phone import Writer

    writer = Writer(f"bench{first}", number=first % 4000 + 7)
    begun = demo.EVENINGS[3] - timedelta(days=30)
    found = []
    for number in range(first, first + count):
        batch, turn = f"x-{number % BATCHES}", number // BATCHES
        kind, body = ROUND[turn % len(ROUND)] if turn else ("received", None)
        shape = body(turn) if body else arrival(batch)
        found.append(writer.write(kind, [batch], shape, begun + timedelta(seconds=number)))
    return found


def write(first: int, count: int) -> None:
    """Write entries about many trays into the demo's book."""
    from nursery.services import demo, log
    from nursery.services.installs import Outbox

    outbox = Outbox(install=f"i-bench{first}", device="d-bench", app="2026.12.0")
    log.receive_all("veshmere", outbox, texts(first, count), demo.EVENINGS[3])


def arrival(batch: str) -> dict[str, Any]:
    place = "room-1"
    batches = [{"id": batch, "label": batch.upper(), "stated": 50}]
    return {"consignment": "c-bench", "place": place, "batches": batches}
