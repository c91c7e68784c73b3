"""A real browser against the product as it runs, with the demo nursery on its third evening."""

import os
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.journeys import seen
from tests.journeys.offices import KEPT, Office, office_on

CHROMIUM = "/usr/bin/chromium"
PHONE, DESK = (390, 844), (1280, 900)


def pytest_configure(config: pytest.Config) -> None:
    """Give all processes of this run one folder for what of the story is told already."""
    if KEPT not in os.environ:
        folder = tempfile.TemporaryDirectory(prefix="nursery-told-")
        os.environ[KEPT] = folder.name
        config.add_cleanup(folder.cleanup)
        config.add_cleanup(forgotten)


def forgotten() -> None:
    os.environ.pop(KEPT, None)


@pytest.fixture(scope="session")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("office"), 3) as office:
        yield office


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
        seen.picture(self.page, self.pictures, name)


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
