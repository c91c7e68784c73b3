"""Every sheet of a joined phone, in both languages and lights, small and wide: open to all."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.conftest import CHROMIUM
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE, Phone, phone_of
from tests.steps import ROOT

# Sheets that want to know what they are about, with something of the demo's third evening.
ABOUT = {"batch": "b-t4", "photo": "b-t4", "join": "a-code"}
# A sheet that another one's state opens, each with its reason.
APART: dict[str, str] = {}


def names() -> list[str]:
    """Return the name of every sheet, as the app lists them."""
    listed = (ROOT / "frontend/src/screens/sheets.ts").read_text()
    return re.findall(r'^  "?([a-z-]+)"?: \{ load', listed, re.MULTILINE)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("sheets"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def phone(browser: Browser, office: Office) -> Iterator[Phone]:
    found = phone_of(browser, Desk(office.url), demo.G, "Grower's phone")
    yield found
    found.context.close()


def opened(phone: Phone, name: str) -> None:
    phone.go(f"{name}/{ABOUT[name]}" if name in ABOUT else name)
    expect(phone.page.locator("main h1, main [role=alert]").first).to_be_visible()


LOOKS = {
    "a phone by day": ("English", "day", PHONE, "100%"),
    "un teléfono de noche": ("Español", "night", PHONE, "100%"),
    "a desk by lamp": ("English", "night", DESK, "100%"),
    "un escritorio de día": ("Español", "day", DESK, "100%"),
    "the narrowest phone": ("Español", "day", (320, 700), "100%"),
    "letters twice as large": ("English", "day", PHONE, "200%"),
}


@pytest.mark.parametrize("look", LOOKS, ids=LOOKS.keys())
def test_every_sheet_is_open_to_everybody(phone: Phone, look: str, tmp_path: Path) -> None:
    language, light, (width, height), letters = LOOKS[look]
    page = phone.page
    page.set_viewport_size({"width": width, "height": height})
    phone.go("")
    seen.settings(page, language=language, light=light)
    page.evaluate("size => { document.documentElement.style.fontSize = size }", letters)
    wrong = {}
    for name in ["", "who", *names()]:
        opened(phone, name)
        seen.picture(page, tmp_path, name or "home")
        if found := seen.wrongs(page):
            wrong[name] = found
    page.evaluate("document.documentElement.style.fontSize = ''")
    assert wrong == {}
    assert phone.faults == []


def test_the_browser_finds_nothing_against_installing_the_app(
    browser: Browser, office: Office, tmp_path: Path
) -> None:
    # Only a profile that is kept can install; a context as the others have is one in private.
    kept = browser.browser_type.launch_persistent_context(
        tmp_path, executable_path=CHROMIUM, args=["--no-sandbox"]
    )
    try:
        page = kept.new_page()
        page.goto(office.url)
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        asked = kept.new_cdp_session(page)
        assert asked.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
        assert asked.send("Page.getAppManifest")["errors"] == []
    finally:
        kept.close()
