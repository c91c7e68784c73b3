"""Phones in a real browser, behind a link that can be made bad, before the office as it runs."""

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright, expect, sync_playwright

from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import PHONE, Phone, joined
from tests.phone_sync.front import Front
from tests.phone_sync.patience import Browsers
from tests.steps import FRONTEND


# Of a file: a browser that goes on keeps a loop running, beside which Django opens no database.
@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """The demo nursery on the evening of its third day, its clock years ahead of the machine's."""
    with office_on(tmp_path_factory.mktemp("office") / "place", 3) as found:
        yield found


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="module")
def browsers(playwright: Playwright) -> Iterator[Browsers]:
    found = Browsers(playwright)
    yield found
    found.close()


@pytest.fixture
def browser(browsers: Browsers) -> Iterator[Browser]:
    with browsers.for_a_test() as found:
        yield found


@pytest.fixture
def front(office: Office) -> Iterator[Front]:
    with Front(office.port).running() as found:
        yield found


@pytest.fixture
def desk(front: Front) -> Desk:
    """The grower at the office, by the same way in as the phones."""
    return Desk(front.url)


@pytest.fixture
def newer(front: Front, tmp_path: Path) -> Callable[[], str]:
    """Deploy a build that differs by its name alone, and return that name."""

    def deploy() -> str:
        name, place = "the-next-build", tmp_path / "build"
        shutil.copytree(FRONTEND / "dist", place)
        page = place / "index.html"
        told = page.read_text().replace("<head>", f'<head><meta name="build" content="{name}">')
        page.write_text(told)
        worker = place / "sw.js"
        worker.write_text(
            re.sub(r"(build\W+)[0-9a-f]{16}", rf"\g<1>{'0' * 16}", worker.read_text())
        )
        assert "0" * 16 in worker.read_text()
        front.build = place
        return name

    return deploy


def tab_of(phone: Phone, sheet: str = "") -> Phone:
    """Open another tab of the same phone."""
    tab = Phone(phone.context, phone.context.new_page(), phone.faults)
    tab.page.set_default_timeout(20_000)
    tab.page.goto("/")
    expect(tab.page.locator(".where")).to_be_visible()
    tab.go(sheet)
    return tab


@contextmanager
def phone_on(
    browser: Browser, desk: Desk, name: str, script: str = "", who: demo.Somebody = demo.W2
) -> Iterator[Phone]:
    """Join a phone whose pages run a script before all others."""
    context = browser.new_context(
        base_url=desk.url, locale="en-GB", viewport={"width": PHONE[0], "height": PHONE[1]}
    )
    if script:
        context.add_init_script(script)
    try:
        yield joined(context, desk, who, name)
    finally:
        context.close()


@pytest.fixture
def phone(browser: Browser, desk: Desk, request: pytest.FixtureRequest) -> Iterator[Phone]:
    with phone_on(browser, desk, request.node.name[:80]) as found:
        yield found
        assert found.faults == []


def count(phone: Phone, alive: int, batch: str = "b-t1") -> None:
    """Count a tray on its screen; saved when this returns, as the screen says by going on."""
    fill(phone, alive, batch)
    save(phone)


def save(phone: Phone) -> None:
    """Save what stands on the screen; it says so by going on."""
    form = phone.page.url
    phone.page.get_by_role("button", name="Save ").click()
    expect(phone.page).not_to_have_url(form)


def sent(phone: Phone, seconds: float = 20) -> None:
    """Come back to the office, and wait until everything is there."""
    phone.page.evaluate("dispatchEvent(new Event('online'))")
    nothing = re.compile(r"\b0 (not sent|sin mandar)")
    expect(phone.page.locator(".where")).to_contain_text(
        nothing, timeout=seconds * 1000, use_inner_text=True
    )


def fill(phone: Phone, alive: int, batch: str = "b-t1") -> None:
    """Type a count, and do not save it."""
    phone.go(f"count/{batch}")
    phone.page.get_by_role("button", name="full count").click()
    phone.figures(str(alive))
