"""A signed release file, opened from a file in a browser without network."""

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect

from nursery.paper import bundle_check
from nursery.services import demo
from tests.journeys.conftest import DESK, PHONE, Visit
from tests.journeys.offices import Office

FILE = "/api/v1/consignments/con-1/file"
SLOW = 60_000


@pytest.fixture(scope="module")
def content(browser: Browser, office: Office) -> bytes:
    """The signed file as the grower gets it from the running office."""
    context = browser.new_context(base_url=office.url)
    told = {"email": demo.G.email, "password": demo.G.password}
    signed_in = context.request.post("/api/v1/session", data=told)
    assert signed_in.ok, signed_in.text()
    answer = context.request.get(f"{FILE}.html")
    assert answer.ok, answer.text()
    found = answer.body()
    paper = context.request.get(f"{FILE}.pdf")
    assert paper.body().startswith(b"%PDF-")
    context.close()
    assert bundle_check.check(found).holds
    return found


@pytest.fixture(params=[PHONE, DESK], ids=["phone", "desk"])
def away(browser: Browser, request: pytest.FixtureRequest) -> Iterator[BrowserContext]:
    """A browser without network."""
    width, height = request.param
    context = browser.new_context(
        offline=True, locale="en-GB", viewport={"width": width, "height": height}
    )
    context.set_default_timeout(SLOW)
    yield context
    context.close()


def opened(context: BrowserContext, folder: Path, content: bytes) -> Page:
    file = folder / "release.html"
    file.write_bytes(content)
    page = context.new_page()
    page.goto(file.as_uri())
    return page


def bent(content: bytes, at: int) -> bytes:
    return content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]


def place_of(content: bytes, part: str) -> int:
    """Return the place of a letter well inside a part."""
    start = content.index(bundle_check.STARTS) + len(bundle_check.STARTS)
    found = re.search(part.encode(), content[start:])
    assert found is not None
    return start + found.end() + 90


def test_it_verifies_and_reads_without_network(
    away: BrowserContext, tmp_path: Path, content: bytes
) -> None:
    faults: list[str] = []
    asked: list[str] = []
    away.on("request", lambda request: asked.append(request.url))
    page = opened(away, tmp_path, content)
    page.on("pageerror", lambda error: faults.append(str(error)))
    verdict = page.locator("#verdict")
    expect(verdict).to_contain_text("Verified: this is what was signed.", timeout=SLOW)
    expect(verdict).to_contain_text(bundle_check.check(content).fingerprint)
    expect(page.get_by_role("heading", level=1)).to_have_text("Release file CQ-118")
    expect(page.locator("#file")).to_contain_text("318 in = 304 alive + 9 dead + 5 sampled")
    expect(page.locator("#file")).to_contain_text("no official certificate")
    page.get_by_text("The records as they were stored").click()
    expect(page.locator("pre").first).to_contain_text('"kind"')
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert {url.split(":")[0] for url in asked} <= {"file", "data"}
    assert faults == []


def test_it_speaks_both_languages(away: BrowserContext, tmp_path: Path, content: bytes) -> None:
    page = opened(away, tmp_path, content)
    page.get_by_role("button", name="Español").click()
    expect(page.locator("#verdict")).to_contain_text("Comprobado: esto es lo que se firmó.")
    expect(page.get_by_role("heading", level=1)).to_have_text("Expediente de liberación CQ-118")
    assert page.evaluate("document.documentElement.lang") == "es"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


PARTS = [
    ('\\["key","', "Not what was signed"),
    ('\\["manifest","', "the list of parts"),
    ('\\["checkpoint","', "the signed state of the book"),
    ('\\["file","', "the readable page"),
    ('\\["record",1\\d\\d,', "record 1"),
]


@pytest.mark.parametrize(("part", "said"), PARTS, ids=[said for _, said in PARTS])
def test_a_changed_byte_is_named_and_no_word_is_shown(
    browser: Browser, tmp_path: Path, content: bytes, part: str, said: str
) -> None:
    context = browser.new_context(offline=True, locale="en-GB")
    at = place_of(content, part) - (60 if "key" in part else 0)
    page = opened(context, tmp_path, bent(content, at))
    verdict = page.locator("#verdict")
    expect(verdict).to_contain_text("Not what was signed.", timeout=SLOW)
    expect(verdict).to_contain_text(said)
    expect(page.locator("#file")).to_contain_text("not shown, since they are not what was signed")
    expect(page.locator("#file")).not_to_contain_text("318")
    context.close()


def test_a_changed_program_does_not_run_and_the_page_says_not_checked(
    browser: Browser, tmp_path: Path, content: bytes
) -> None:
    context = browser.new_context(offline=True, locale="en-GB")
    page = opened(context, tmp_path, bent(content, content.rindex(b"function verdict(") + 12))
    page.wait_for_timeout(1500)
    expect(page.locator("#verdict")).to_contain_text("Not checked.")
    expect(page.locator("#verdict")).not_to_contain_text("Verified")
    expect(page.locator("#file")).to_be_empty()
    context.close()


def test_a_page_that_is_trusted_checks_every_byte_of_another_file(
    away: BrowserContext, tmp_path: Path, content: bytes
) -> None:
    page = opened(away, tmp_path, content)
    picker = page.locator("input[type=file]")
    answer = page.locator("#tools [role=status]")
    other = tmp_path / "other.html"
    other.write_bytes(content)
    picker.set_input_files(other)
    expect(answer).to_contain_text("Verified: this is what was signed.", timeout=SLOW)
    expect(answer).to_contain_text("veshmere · con-1 · 2031-05-04")
    other.write_bytes(bent(content, content.index(b"<style>") + 40))
    picker.set_input_files(other)
    expect(answer).to_contain_text("the page around the records", timeout=SLOW)


def test_it_can_be_read_by_everybody(away: BrowserContext, tmp_path: Path, content: bytes) -> None:
    page = opened(away, tmp_path, content)
    expect(page.locator("#verdict")).to_contain_text("Verified", timeout=SLOW)
    found = Axe().run(page)
    assert found.response["violations"] == [], json.dumps(found.response["violations"])[:2000]


def test_the_office_gives_it_as_a_file_to_keep(visit: Visit) -> None:
    answer = visit.context.request.get(f"{FILE}.html")
    assert answer.status == 401  # nobody is signed in here
