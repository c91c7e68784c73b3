"""Requirement 1: what was said to be saved is on the disk, whatever becomes of the browser.

The browser is killed within 50 ms of the word, ten times here and a hundred times in the long run.
"""

import json
import os
import random
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import sleep

from playwright.sync_api import Playwright, expect

from nursery.services import demo
from tests.journeys.offices import Desk
from tests.journeys.phones import Phone
from tests.phone_sync import shelf
from tests.phone_sync.conftest import fill
from tests.phone_sync.front import Front
from tests.phone_sync.patience import CHROMIUM, FLAGS, killed, patience
from tests.product import wait_until

KILLS = 100 if os.environ.get("NURSERY_TEST_PROFILE") == "long" else 10
LATEST_MS = 50
LONGEST_START = 120.0
SAVE = """(button) => new Promise((done) => {
  addEventListener("hashchange", () => done(null), { once: true });
  button.click();
})"""


@contextmanager
def started(playwright: Playwright, profile: Path, url: str) -> Iterator[tuple[Phone, int]]:
    """Start a browser as a person does, on a profile that it keeps; it is killed at the end."""
    place = profile / "DevToolsActivePort"
    place.unlink(missing_ok=True)
    process = subprocess.Popen(
        [CHROMIUM, "--headless=new", *FLAGS, "--remote-debugging-port=0", "--window-size=390,844",
         "--lang=en-GB", f"--user-data-dir={profile}", "about:blank"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    try:
        wait_until(lambda: place.exists() and len(place.read_text().split()) > 1, 60)
        port = place.read_text().split()[0]
        browser = playwright.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        page = browser.contexts[0].pages[0]
        page.set_default_timeout(20_000)
        page.goto(url)
        with patience(LONGEST_START, lambda: killed(process.pid)):
            yield Phone(browser.contexts[0], page), process.pid
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def test_requirement_1_a_kill_right_after_saved_loses_nothing(
    playwright: Playwright, front: Front, desk: Desk, tmp_path: Path
) -> None:
    moments = random.Random(1)
    saved: list[int] = []
    for kill in range(KILLS + 1):
        with started(playwright, tmp_path / "profile", front.url) as (phone, pid):
            if kill == 0:
                join(phone, desk)
                front.portal = True
            held = shelf.outbox(phone.page)
            assert [json.loads(row["text"])["body"]["alive"] for row in held] == saved
            assert {row["id"] for row in held} <= {line["id"] for line in shelf.lines(phone.page)}
            if kill == KILLS:
                break
            phone.is_written_by(demo.W2)
            fill(phone, 10 + kill % 40)
            phone.page.get_by_role("button", name="Save ").evaluate(SAVE)
            sleep(moments.random() * LATEST_MS / 1000)
            os.killpg(pid, signal.SIGKILL)
            saved.append(10 + kill % 40)
    assert len(saved) == KILLS


def join(phone: Phone, desk: Desk) -> None:
    phone.go(f"join/{desk.invite('phone that is killed')}")
    phone.page.get_by_role("button", name="Join").click()
    expect(phone.page.get_by_role("button", name=demo.W2.name)).to_be_visible()
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
