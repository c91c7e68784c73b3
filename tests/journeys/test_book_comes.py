"""A book that was taken away elsewhere comes to a new computer: damaged first, then whole."""

import json
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.phones import DESK, PHONE
from tests.product import answer, plain_environment, running, wait_until
from tests.servers import free_port
from tests.steps import ROOT

PASSWORD = "three tall kettles"
BEGIN = {
    "name": "Quillay Hollow",
    "zone": "America/Lima",
    "language": "en",
    "conditions": False,
    "grower": "Ana Huenul",
    "email": "ana@quillay.example",
    "password": PASSWORD,
}


def environment(folder: Path) -> dict[str, str]:
    return {**plain_environment(), "NURSERY_DATA": str(folder)}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of a small book that was kept on another computer."""
    folder = tmp_path_factory.mktemp("old")
    port = free_port()
    with running(environment(folder), folder / "web.log", "up", "--port", str(port)) as up:
        wait_until(lambda: answer(f"http://localhost:{port}/healthz")[0] == 200, why=up.said())
        asked = urllib.request.Request(
            f"http://localhost:{port}/api/v1/begin",
            json.dumps(BEGIN).encode(),
            {"Content-Type": "application/json", "X-Sync": "1"},
        )
        with urllib.request.urlopen(asked, timeout=30) as done:
            assert done.status == 201
    file = folder / "quillay.zip"
    subprocess.run(
        [sys.executable, "-m", "config", "export", "--out", str(file)],
        cwd=ROOT, env=environment(folder), check=True, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    return file


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[str]:
    port = free_port()
    with running(
        environment(tmp_path / "new"), tmp_path / "up.log", "up", "--port", str(port)
    ) as up:
        url = f"http://localhost:{port}"
        wait_until(lambda: answer(f"{url}/healthz")[0] == 200, why=up.said())
        yield url


@pytest.mark.parametrize(
    ("language", "light", "size"), [("en", "light", DESK), ("es", "dark", PHONE)]
)
def test_a_book_comes_to_a_new_computer(
    browser: Browser,
    empty: str,
    book: Path,
    tmp_path: Path,
    language: str,
    light: str,
    size: tuple[int, int],
) -> None:
    context = browser.new_context(
        base_url=empty,
        locale="en-GB" if language == "en" else "es-PE",
        color_scheme=light,  # type: ignore[arg-type]
        viewport={"width": size[0], "height": size[1]},
    )
    hand = Hand(context.new_page(), language)
    hand.page.goto("/")
    hand.is_at("begin.language")
    hand.page.get_by_role("link", name=hand.says("begin.book_line")).click()
    hand.is_at("begin.book")
    wrong = damaged_then_whole(hand, book, tmp_path)
    hand.page.get_by_label(hand.says("begin.email")).fill("ana@quillay.example")
    hand.page.get_by_label(hand.says("begin.password")).fill(PASSWORD)
    hand.page.get_by_role("button", name=hand.says("begin.book_take")).click()
    hand.is_at("stock.title")
    expect(hand.page.get_by_text("Quillay Hollow").first).to_be_visible()
    assert wrong == []
    context.close()


def damaged_then_whole(hand: Hand, book: Path, folder: Path) -> list[str]:
    """Choose a damaged copy, and read why it does not come in; then the whole one."""
    page = hand.page
    content = book.read_bytes()
    (folder / "copy.zip").write_bytes(content[: len(content) // 2])
    page.locator("input[type=file]").set_input_files(folder / "copy.zip")
    hand.reads("problem.book_file_unreadable", value="copy.zip")
    wrong = seen.wrongs(page)
    seen.picture(page, folder, "book-damaged")
    page.locator("input[type=file]").set_input_files(book)
    expect(page.get_by_role("heading", name="Quillay Hollow")).to_be_visible()
    seen.picture(page, folder, "book-comes")
    return wrong + seen.wrongs(page)
