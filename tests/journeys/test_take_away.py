"""The grower takes the book away: makes the file, fetches it, unzips it, and looks into it."""

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Office, office_on
from tests.journeys.phones import DESK
from tests.product import running


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """An office with a worker beside it, as `nursery up` starts one: the file is made by a job."""
    folder = tmp_path_factory.mktemp("away")
    with office_on(folder, 1) as office:
        told = office.told(demo.EVENINGS[1])
        with running(told, folder / "worker.log", "worker"):
            yield office


@pytest.fixture
def grower(browser: Browser, office: Office) -> Iterator[Hand]:
    context = browser.new_context(
        base_url=office.url,
        locale="en-GB",
        viewport={"width": DESK[0], "height": DESK[1]},
        accept_downloads=True,
    )
    hand = Hand(context.new_page())
    hand.page.goto("/")
    hand.page.get_by_label("Your e-mail address").fill(demo.G.email)
    hand.page.get_by_label("Password").fill(demo.G.password)
    hand.page.get_by_role("button", name="Sign in").click()
    hand.is_at("stock.title")
    yield hand
    assert hand.faults == []
    context.close()


def test_the_grower_makes_the_file_fetches_it_and_looks_into_it(
    grower: Hand, tmp_path: Path
) -> None:
    page = grower.page
    page.goto("/#/backup")
    grower.is_at("backup.title")
    page.get_by_role("link", name="Take the book away").click()
    grower.is_at("away.title")
    page.get_by_role("button", name="Make the file").click()
    made = page.get_by_role("link", name="Book of")
    expect(made).to_be_visible(timeout=60_000)
    with page.expect_download() as fetched:
        made.click()
    assert fetched.value.suggested_filename.startswith("book-veshmere-")
    file = tmp_path / "book.zip"
    fetched.value.save_as(file)
    looked_into(file)
    with page.expect_download() as form:
        page.get_by_role("link", name="Passport descriptors").click()
    assert form.value.suggested_filename == "mcpd.csv"


def looked_into(file: Path) -> None:
    with zipfile.ZipFile(file) as pack:
        assert pack.testzip() is None
        lines = pack.read("feed.jsonl").splitlines()
        assert len(lines) == json.loads(pack.read("nursery.json"))["lines"]
        assert "nursery import" in pack.read("README.txt").decode()
        text = pack.read("tables/batches.csv").decode("utf-8-sig")
        labels = {row["label"] for row in csv.DictReader(io.StringIO(text))}
        assert {"T1", "T2", "T3"} <= labels


@pytest.mark.parametrize(
    ("language", "light", "size"),
    [
        ("English", "day", (390, 844)),
        ("Español", "night", (1280, 900)),
        ("Español", "day", (320, 700)),
    ],
)
def test_the_sheet_is_open_to_everybody(
    grower: Hand, tmp_path: Path, language: str, light: str, size: tuple[int, int]
) -> None:
    page = grower.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    seen.settings(page, language=language, light=light)
    page.goto("/#/take-away")
    expect(page.locator("main h1")).to_be_visible()
    page.wait_for_timeout(1000)
    seen.picture(page, tmp_path, "take-away")
    assert seen.wrongs(page) == []
