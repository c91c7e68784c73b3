"""A round on paper: printed at the office, ticked by hand, photographed and typed in offline."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo, words
from tests.journeys import camera, seen
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import Phone, phone_of
from tests.journeys.workers import there

LATER = there(date(2031, 3, 24), "11:30")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("paper"), 1, LATER) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, demo.G, "Grower's phone")
    yield found
    found.context.close()


def types(phone: Phone, place: str, box: str) -> None:
    phone.page.get_by_role("group", name=place, exact=True).get_by_role("button", name=box).click()


def is_printed(phone: Phone, desk: Desk) -> None:
    phone.go(f"round/{n.QUARANTINE}")
    link = phone.page.get_by_role("link", name="Print this round")
    printed = phone.context.request.get(f"{desk.url}{link.get_attribute('href')}")
    assert (printed.status, printed.body()[:5]) == (200, b"%PDF-")


def is_begun(phone: Phone, picture: Path) -> None:
    """Who wrote it, from when until when, and the picture of it."""
    page = phone.page
    page.get_by_role("link", name="Type in a sheet").click()
    expect(page.get_by_role("heading", name="From paper: Quarantine room")).to_be_visible()
    expect(page.get_by_text("Say who wrote the sheet.")).to_be_visible()
    who = page.get_by_role("group", name="Who wrote the sheet?")
    who.get_by_role("button", name=demo.W1.name).click()
    page.get_by_role("button", name="From").click()
    phone.figures("0710")
    phone.figures("0825")
    camera.take(page, "paper", camera.photograph(picture, size=(1600, 1200)))


def is_ticked(phone: Phone) -> None:
    """Five trays clean, two dead in T5, one trap empty and one wet."""
    page = phone.page
    for label in ("T1", "T2", "T3", "T4", "T6"):
        types(phone, label, "Looked, nothing")
    types(phone, "T5", "I see something")
    page.get_by_role("switch", name="Nobody knows what it is: hold").click()
    more = words.say("en", "tally.more", {"n": 1, "of": "dead today"})
    page.get_by_role("button", name=more).click(click_count=2)
    types(phone, "Trap A", "Read, nothing")
    types(phone, "Vent 2 trap", "Cannot read it")
    page.get_by_role("button", name="wet", exact=True).click()


def test_a_round_ticked_on_paper_is_typed_in_with_its_picture(
    phone: Phone, desk: Desk, tmp_path: Path
) -> None:
    page = phone.page
    is_printed(phone, desk)
    phone.offline()
    is_begun(phone, tmp_path / "sheet.jpg")
    is_ticked(phone)
    # Nothing of it is lost where the page is killed.
    page.reload()
    expect(page.get_by_role("button", name="Save 8 lines")).to_be_enabled()
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, "typed")
    page.get_by_role("button", name="Save 8 lines").click()
    expect(page).to_have_url(f"{desk.url}/#/round/{n.QUARANTINE}")
    phone.offline(False)
    phone.is_sent()

    look = desk.records(n.T5, "looked")[-1]
    sheet = look["body"]["sheet"]
    assert (look["author"], look["by_hand"], sheet["by"]) == (demo.G.id, True, demo.W1.id)
    assert look["body"]["minutes"] == pytest.approx(12.5)
    assert sheet["photo"] == desk.records(n.T5, "photographed")[-1]["body"]["photo"]
    assert desk.batch("T5")["alive"] == 48
    open_weeks = [one["due_by"] for one in desk.checks("look_over") if one["subject"] == n.T5]
    assert "2031-03-30T13:59:59.999Z" not in open_weeks, "this week's is done"
    phone.go(f"batch/{n.T5}")
    expect(page.get_by_text(f"from paper, written by {demo.W1.name}").first).to_be_visible()
    assert phone.faults == []


@pytest.mark.parametrize(
    ("hours", "says"),
    [
        ("08250710", "The sheet ends before it begins."),
        ("07102359", "That hour is still to come."),
    ],
)
def test_a_sheet_with_odd_hours_is_not_saved_and_loses_nothing(
    phone: Phone, hours: str, says: str
) -> None:
    page = phone.page
    phone.go(f"from-paper/{n.SHADE_HOUSE}")
    page.get_by_role("group", name="Who wrote the sheet?").get_by_role(
        "button", name=demo.W2.name
    ).click()
    page.get_by_role("button", name="From").click()
    phone.figures(hours)
    types(phone, "PA1", "Not looked")
    expect(page.get_by_text(says)).to_be_visible()
    expect(page.get_by_role("button", name="Save 1 line")).to_be_disabled()
    page.reload()
    expect(page.get_by_text(says)).to_be_visible()
