"""The page on which phones learn to trust, in a real browser: readable by everybody, complete."""

import threading
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from wsgiref.simple_server import WSGIRequestHandler, make_server

import pytest
from playwright.sync_api import Browser

from config import certificates, web
from config.address import Address
from config.trust import Trust
from nursery.services import words
from tests.journeys import seen
from tests.steps import ROOT

NAMES = ["low-house-office.local", "192.168.1.20"]


class Silent(WSGIRequestHandler):
    def log_message(self, *_words: object) -> None:
        pass


@pytest.fixture(scope="module")
def url() -> Iterator[str]:
    root = certificates.make_authority(NAMES, datetime.now(UTC)).root
    page = Trust(root, Address(NAMES[0], 8600), NAMES[1], 8601, web.root(ROOT))
    with make_server("127.0.0.1", 0, page, handler_class=Silent) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
        thread.join()


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 390, 1280])
@pytest.mark.parametrize("language", words.languages())
def test_everybody_can_read_it(
    language: str, width: int, light: str, url: str, browser: Browser, tmp_path: Path
) -> None:
    # The page lets no script in, the one that looks at it neither.
    context = browser.new_context(
        viewport={"width": width, "height": 844},
        color_scheme="dark" if light == "dark" else "light",
        bypass_csp=True,
    )
    page = context.new_page()
    page.goto(f"{url}/{language}")
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, f"trust-{language}-{width}-{light}")
    context.close()


def test_under_its_own_rules_it_loads_its_sheet_and_its_letters(url: str, browser: Browser) -> None:
    context = browser.new_context(locale="es-PE")
    page, faults, loaded = context.new_page(), list[str](), list[tuple[str, int]]()
    page.on("console", lambda message: faults.append(message.text))
    page.on("response", lambda got: loaded.append((got.url.removeprefix(url), got.status)))
    page.goto(url, wait_until="networkidle")
    assert faults == []
    assert set(loaded) - {("/favicon.ico", 404)} == {
        ("/", 200),
        ("/trust.css", 200),
        ("/face.woff2", 200),
    }
    assert page.get_by_role("link", name=words.say("es", "trust.get")).is_visible()
    context.close()
