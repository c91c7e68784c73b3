"""The grower brings stock in from a spreadsheet: a bad file, mended, brought in; then once more."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE

HEAD = "Nr;Crop;Count;Counted on;Place;Pot or tray;Cells\n"
GOOD = "N1;Sweet bay;48;2031-02-28;Shade house;54-cell tray;54\n"
BAD = (
    "N2;Sweet bay;60;2031-02-28;Shade house;54-cell tray;54\n"
    "N1;Sweet bay;12,5;03/02/2031;Nowhere;;\n"
)
MENDED = (
    "N2;Sweet bay;51;2031-02-28;Shade house;54-cell tray;54\n"
    "N3;Sweet bay;12;03/02/2031;Shade house;;\n"
)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("stock-file"), 1) as office:
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


def chosen(hand: Hand, folder: Path, text: str, name: str = "stock.csv") -> None:
    file = folder / name
    file.write_bytes(text.encode("cp1252"))
    hand.page.locator("input[type=file]").set_input_files(file)


def told_faults(hand: Hand, folder: Path) -> None:
    """Choose a file with faults: each is told by row, column, value and remedy."""
    page = hand.page
    chosen(hand, folder, HEAD + GOOD + BAD)
    # A column that says nothing of itself is asked about first.
    expect(page.get_by_role("alert")).to_contain_text("No column for Label")
    seen.picture(page, folder, "stock-file-lacks")
    page.get_by_label("What Nr means").select_option("label")
    page.get_by_label("What Sweet bay is").select_option("+")
    expect(page.get_by_text("Row 4, Count (plants): 12,5")).to_be_visible()
    expect(page.locator("ul[aria-live] li")).to_have_count(5)
    for said in ("60 counted", "Row 2 has the same label", "Nothing here is called so"):
        expect(page.get_by_text(said)).to_be_visible()
    expect(page.get_by_role("button", name="Nothing to bring in yet")).to_be_disabled()
    seen.picture(page, folder, "stock-file-faults")


def test_a_bad_file_is_mended_and_comes_in(grower: Hand, office: Office, tmp_path: Path) -> None:
    page = grower.page
    page.get_by_role("link", name="Bring stock in from a file").click()
    grower.is_at("stock_file.title")
    with page.expect_download() as fetched:
        page.get_by_role("link", name="XLSX · English").click()
    assert fetched.value.suggested_filename == "stock-en.xlsx"
    told_faults(grower, tmp_path)
    # Mended and chosen again: what was said of columns and names is kept.
    chosen(grower, tmp_path, HEAD + GOOD + MENDED)
    page.get_by_role("button", name="the day is first").click()
    bring = page.get_by_role("button", name="Bring in 3 batches")
    expect(bring).to_be_enabled()
    expect(page.get_by_text("read as UTF-8, parted by semicolon")).to_be_visible()
    seen.picture(page, tmp_path, "stock-file-preview")
    bring.click()
    expect(page.get_by_text("3 batches came in, 111 plants")).to_be_visible()
    seen.picture(page, tmp_path, "stock-file-done")
    desk = Desk(office.url)
    assert desk.alive("N1", "N2", "N3") == [48, 51, 12]
    [record] = desk.records(desk.batch("N1")["id"], "taken_on")
    assert record["body"]["file"]["name"] == "stock.csv"


def test_the_same_file_a_second_time_is_told_to_be_here(grower: Hand, tmp_path: Path) -> None:
    page = grower.page
    page.goto("/#/bring-in")
    chosen(grower, tmp_path, HEAD.replace("Nr", "Label") + GOOD)
    expect(page.get_by_text("All of it is in the book already")).to_be_visible()
    expect(page.get_by_role("button", name="Nothing to bring in yet")).to_be_disabled()


def test_faulty_rows_stay_out_where_that_is_told(
    grower: Hand, office: Office, tmp_path: Path
) -> None:
    page = grower.page
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.goto("/#/bring-in")
    rows = "P1;Sweet bay;9;2031-02-28;Shade house;;\n"
    chosen(grower, tmp_path, HEAD.replace("Nr", "Label") + rows + BAD, "more.csv")
    page.get_by_role("switch", name="Leave 2 rows out").click()
    seen.picture(page, tmp_path, "stock-file-phone")
    page.get_by_role("button", name="Bring in 1 batch").click()
    expect(page.get_by_text("1 batch came in, 9 plants")).to_be_visible()
    expect(page.get_by_text("2 rows stayed out.")).to_be_visible()
    seen.picture(page, tmp_path, "stock-file-phone-done")
    assert Desk(office.url).alive("P1") == [9]


@pytest.mark.parametrize(
    ("language", "light", "size"),
    [
        ("English", "day", PHONE),
        ("Español", "night", DESK),
        ("Español", "day", (320, 700)),
    ],
)
def test_the_sheet_with_faults_is_open_to_everybody(
    grower: Hand, tmp_path: Path, language: str, light: str, size: tuple[int, int]
) -> None:
    page = grower.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    seen.settings(page, language=language, light=light)
    page.goto("/#/bring-in")
    expect(page.locator("main h1")).to_be_visible()
    rows = "Q1;Sweet bay;9;2031-02-28;Shade house;;\n"
    chosen(grower, tmp_path, HEAD.replace("Nr", "Label") + rows + BAD + "Q2;Fig;3;x;Room 7;;\n")
    expect(page.locator("ul[aria-live] li").first).to_be_visible()
    page.wait_for_timeout(500)
    seen.picture(page, tmp_path, f"stock-file-{size[0]}")
    assert seen.wrongs(page) == []
