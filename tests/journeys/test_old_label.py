"""An old label leads to the batch that bore it, without signal; and what hangs at doors is printed.

The grower relabels a tray offline, types its old label, is told its new one and since when; a label
that two batches bore is asked about.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, Phone, phone_of
from tests.journeys.test_shell import settled, sign_in


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("old-labels"), 2) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, demo.G, "Grower's phone")
    seen.settings(found.page, language="English", light="day")
    yield found
    assert found.faults == []
    found.context.close()


def relabel(phone: Phone, batch: str, figures: str) -> None:
    phone.go(f"relabel/{batch}")
    phone.figures(figures)
    phone.tap("Save new label")
    expect(phone.page.get_by_role("button", name=re.compile("^Undo: T"))).to_be_visible()


def typed(phone: Phone, *keys: str) -> None:
    phone.go("scan")
    phone.tap("Type the label")
    for key in (*keys, "This one"):
        phone.tap(key, exact=True)


def test_an_old_label_is_told_its_new_one_without_signal(phone: Phone, tmp_path: Path) -> None:
    phone.offline()
    relabel(phone, "b-t6", "18")
    page = phone.page
    typed(phone, "T", "6")
    expect(page.get_by_role("heading", name="T6 is T18 now")).to_be_visible()
    expect(page.get_by_text("It was T6 from MON 3 MAR until MON 24 MAR.")).to_be_visible()
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, "renamed")
    phone.tap("Go on with T18")
    expect(page).to_have_url(re.compile(r"#/batch/b-t6$"))
    expect(page.get_by_text("Was T6 until MON 24 MAR.")).to_be_visible()
    expect(page.get_by_text("Former labels")).to_be_visible()
    expect(page.get_by_text("T6, MON 3 MAR to MON 24 MAR")).to_be_visible()
    seen.picture(page, tmp_path, "former")


def test_a_label_that_two_batches_bore_is_asked_about(phone: Phone, tmp_path: Path) -> None:
    relabel(phone, "b-t5", "6")
    page = phone.page
    typed(phone, "T", "6")
    expect(page.get_by_role("heading", name="Which one is it?")).to_be_visible()
    expect(page.get_by_text("was T6")).to_be_visible()
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, "which")
    page.get_by_role("button").filter(has_text="was T6").click()
    expect(page).to_have_url(re.compile(r"#/batch/b-t6$"))
    phone.offline(off=False)
    phone.is_sent()


def test_the_card_of_a_door_is_printed_from_the_room_and_from_its_door(
    phone: Phone, desk: Desk
) -> None:
    for sheet in (f"room/{n.QUARANTINE}", f"access/{n.QUARANTINE}"):
        phone.go(sheet)
        link = phone.page.get_by_role("link", name="Print the card of the door")
        printed = phone.context.request.get(f"{desk.url}{link.get_attribute('href')}")
        assert (printed.status, printed.body()[:5]) == (200, b"%PDF-")
        assert seen.wrongs(phone.page) == []


@pytest.mark.parametrize(("width", "height"), [DESK, (390, 844)])
def test_the_office_reads_former_labels_and_prints_a_draft_of_the_passport(
    browser: Browser, office: Office, tmp_path: Path, width: int, height: int
) -> None:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": width, "height": height}
    )
    page = context.new_page()
    sign_in(page)
    settled(page, "/#/batch/b-t6")
    expect(page.get_by_text("Former labels")).to_be_visible()
    href = page.get_by_role("link", name="Plant passport, draft").get_attribute("href")
    printed = context.request.get(f"{office.url}{href}")
    assert (printed.status, printed.body()[:5]) == (200, b"%PDF-")
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, "batch")
    settled(page, "/#/take-away")
    page.get_by_role("link", name="In a calendar").click()
    expect(page).to_have_url(re.compile(r"#/reminders/calendar"))
    context.close()
