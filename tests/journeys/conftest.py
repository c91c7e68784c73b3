"""A real browser against the product as it runs, with the demo nursery on its third evening."""

import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from nursery.services import demo
from tests.product import answer, plain_environment, running, wait_until
from tests.servers import free_port
from tests.steps import ROOT

CHROMIUM = "/usr/bin/chromium"
PHONE, DESK = (390, 844), (1280, 900)


@dataclass(frozen=True)
class Office:
    """Where the product answers."""

    url: str


@pytest.fixture(scope="session")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    assert (ROOT / "frontend/dist/index.html").is_file(), "Build the app: npm run build"
    place = tmp_path_factory.mktemp("office")
    told = {
        **plain_environment(),
        "NURSERY_DATA": str(place),
        "NURSERY_DEMO": "yes",
        "NURSERY_CLOCK": demo.EVENINGS[3].isoformat(),
    }
    words = [sys.executable, "-m", "config", "demo", "--day", "3"]
    subprocess.run(words, cwd=ROOT, env=told, check=True, stdout=subprocess.DEVNULL)
    port = free_port()
    with running(told, place / "web.log", "web", "--port", str(port)) as web:
        url = f"http://localhost:{port}"
        wait_until(lambda: answer(f"{url}/healthz")[0] == 200, why=web.said())
        yield Office(url)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield found
        found.close()


@dataclass
class Visit:
    """One person at one screen; `faults` are what the page complained of by itself."""

    context: BrowserContext
    page: Page
    faults: list[str]
    pictures: Path

    def picture(self, name: str) -> None:
        self.page.screenshot(path=self.pictures / f"{name}.png", full_page=True)


@pytest.fixture
def visit(browser: Browser, office: Office, tmp_path: Path) -> Iterator[Visit]:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": PHONE[0], "height": PHONE[1]}
    )
    page = context.new_page()
    page.set_default_timeout(20_000)
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    yield Visit(context, page, faults, tmp_path)
    context.close()
