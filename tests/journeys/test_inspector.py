"""The inspector reads: by a link until its day, and on the grower's phone without signal."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.ops.demo import law
from nursery.services import demo, words
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE, Phone, phone_of
from tests.journeys.test_shell import sign_in

FILE = f"file/{law.CONSIGNMENT}"
# What an auditor asks, and something that the answer must show on the third evening of the story.
ASKED = {
    "file.where": r"CQ-118.*318 came, 304 alive.*at most 330.*T4.*Bench 2.*53",
    "file.visits": r"Quarantine room.*Maro Hestel",
    "file.looks": r"weeks",
    "file.screen": r"No record",
    "file.bag": r"dead",
    "file.changes": r"Every version stays",
    "file.shared": r"Exposed: .*T1.*T6",
    "file.receivers": r"No record",
    "file.bath": r"opper.*pH of the drain water: 6.1.*No record is kept of the calibration",
    "file.people": (
        r"by order EM-77 only.*Ilsa Vorren and Nela Quirova.*Named in this file.*grower.*training"
    ),
}
# The same by the last evening, of what had not happened on the third.
ASKED_LATER = {
    "file.where": r"CQ-118.*318 came, 241 alive",
    "file.screen": r"breach.*35.cm.*Open for 13.h.25.min at most.*repaired.*incident report",
    "file.receivers": r"moved.*Shade house",
    "file.people": r"Quarantine room: whoever works in the nursery|Shade house: whoever",
}


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("inspector"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def later(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("later"), 7) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


def fresh(browser: Browser, office: Office, size: tuple[int, int] = DESK) -> Page:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": size[0], "height": size[1]}
    )
    return context.new_page()


def made(browser: Browser, office: Office, name: str) -> str:
    """Make a link as the grower does; return it."""
    page = fresh(browser, office)
    grower = Hand(page)
    sign_in(page)
    grower.page.get_by_role("link", name=grower.says("nav.links")).click()
    grower.tap("links.new")
    grower.type("links.for", name)
    grower.tap_named(grower.says("links.days", n=7))
    grower.tap("links.make")
    expect(page.get_by_role("img", name=grower.says("links.code_alt", name=name))).to_be_visible()
    assert seen.wrongs(page) == []
    link = page.get_by_text(re.compile(r"#/read/")).inner_text()
    assert grower.faults == []
    page.context.close()
    return link


def test_a_link_reads_everything_and_changes_nothing(browser: Browser, office: Office) -> None:
    link = made(browser, office, "Dacio Brill")
    page = fresh(browser, office)
    inspector = Hand(page)
    page.goto(link)
    inspector.is_at("nav.consignments")
    expect(page).not_to_have_url(re.compile("#/read/"))
    nav = page.get_by_role("navigation", name=inspector.says("nav.main"))
    expect(nav.get_by_role("link")).to_have_text(
        [inspector.says("nav.stock"), inspector.says("nav.consignments")]
    )
    page.get_by_role("link", name="Finger-lime").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Release file")
    expect(page.locator("main .total")).to_have_text("304 alive")
    expect(page.get_by_text(inspector.says("file.own_record"))).to_be_visible()
    assert seen.wrongs(page) == []
    page.goto("/#/people")
    inspector.reads("problem.not_allowed")
    assert inspector.faults == []
    page.context.close()


@pytest.mark.parametrize("key", ASKED)
def test_each_question_of_an_auditor_is_answered_by_two_taps(
    browser: Browser, office: Office, desk: Desk, key: str
) -> None:
    is_answered(reading(browser, office, desk, PHONE), key, ASKED[key])


@pytest.mark.parametrize("key", ASKED_LATER)
def test_a_question_is_answered_otherwise_once_something_happened(
    browser: Browser, later: Office, key: str
) -> None:
    until = "2031-12-20T00:00:00Z"
    is_answered(reading(browser, later, Desk(later.url), PHONE, until), key, ASKED_LATER[key])


def is_answered(inspector: Hand, key: str, told: str) -> None:
    page, before = inspector.page, inspector.taps
    page.get_by_role("link", name="Finger-lime").click()
    inspector.taps += 1
    inspector.tap(key)
    assert inspector.taps - before == 2
    inspector.is_at(key)
    expect(page.locator("main")).to_contain_text(re.compile(told, re.DOTALL))
    assert seen.wrongs(page) == []
    assert inspector.faults == []
    page.context.close()


def test_a_week_opens_to_who_looked_when_and_how_long(
    browser: Browser, office: Office, desk: Desk
) -> None:
    told = desk.ask("POST", "links", {"name": "Dacio Brill", "ends_at": "2031-06-01T00:00:00Z"})
    page = fresh(browser, office, PHONE)
    page.goto(told["link"])
    Hand(page).is_at("nav.consignments")
    page.goto(f"/#/{FILE}/looks")
    page.get_by_role("button", name=re.compile("Week 24 MAR to 30 MAR")).click()
    looks = page.locator("main ul").get_by_role("listitem")
    expect(looks).to_have_count(6)
    expect(looks.first).to_contain_text(re.compile(r"T1.*nothing found.*minutes", re.DOTALL))
    assert seen.wrongs(page) == []
    page.context.close()


def test_the_grower_sees_what_was_read_and_ends_it(browser: Browser, office: Office) -> None:
    link = made(browser, office, "Orrin laboratory")
    page = fresh(browser, office)
    page.goto(link)
    Hand(page).is_at("nav.consignments")
    at_desk = fresh(browser, office)
    grower = Hand(at_desk)
    sign_in(at_desk)
    at_desk.goto("/#/links")
    at_desk.get_by_role("link", name="Orrin laboratory").click()
    expect(at_desk.get_by_text("consignments", exact=True).first).to_be_visible()
    grower.tap("links.end")
    expect(at_desk.get_by_text(re.compile("^ended "))).to_be_visible()
    page.reload()
    expect(page.get_by_text(re.compile("link is unknown, was ended|Sign in")).first).to_be_visible()
    assert grower.faults == []
    for one in (page, at_desk):
        one.context.close()


def reading(
    browser: Browser,
    office: Office,
    desk: Desk,
    size: tuple[int, int],
    until: str = "2031-06-01T00:00:00Z",
) -> Hand:
    """Return somebody who opened a link on a screen of this size."""
    told = desk.ask("POST", "links", {"name": "Dacio Brill", "ends_at": until})
    page = fresh(browser, office, size)
    inspector = Hand(page)
    page.goto(told["link"])
    inspector.is_at("nav.consignments")
    return inspector


def test_who_reads_by_a_link_stops_by_a_button(
    browser: Browser, office: Office, desk: Desk
) -> None:
    inspector = reading(browser, office, desk, PHONE)
    inspector.tap("read.stop")
    inspector.reads("sign_in.title")
    inspector.page.goto(f"/#/{FILE}")
    inspector.page.reload()
    expect(inspector.page.locator("main .total")).to_have_count(0)
    inspector.reads("sign_in.title")
    assert inspector.faults == []
    inspector.page.context.close()


@pytest.mark.parametrize("size", [(390, 640), (360, 560)])
def test_a_low_screen_shows_the_file_and_not_its_bars(
    browser: Browser, office: Office, desk: Desk, size: tuple[int, int]
) -> None:
    inspector = reading(browser, office, desk, size)
    page = inspector.page
    page.get_by_role("link", name="Finger-lime").click()
    expect(page.locator("main .total")).to_have_text("304 alive")
    bars = [box for one in page.locator(".acts").all() if (box := one.bounding_box())]
    assert sum(box["height"] for box in bars) <= size[1] / 6
    expect(page.get_by_role("link", name=inspector.says("file.pdf"))).to_be_visible()
    expect(page.get_by_role("link", name=inspector.says("file.bundle"))).to_be_visible()
    assert seen.wrongs(page) == []
    assert inspector.faults == []
    page.context.close()


def test_a_reader_comes_to_the_room_and_cannot_change_it(
    browser: Browser, office: Office, desk: Desk
) -> None:
    inspector = reading(browser, office, desk, PHONE)
    page = inspector.page
    page.goto(f"/#/{FILE}/visits")
    page.get_by_role("link", name=re.compile("^Quarantine room")).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Quarantine room")
    expect(page.locator("main")).to_contain_text("Maro Hestel")
    expect(page.get_by_role("link", name=inspector.says("rooms.edit"))).to_have_count(0)
    assert seen.wrongs(page) == []
    assert inspector.faults == []
    page.context.close()


def taken_back(phone: Phone, pin: str) -> None:
    phone.tap("Take back")
    phone.figures(pin)


def test_a_phone_that_is_handed_over_shows_one_file_until_a_grower_takes_it_back(
    browser: Browser, office: Office, desk: Desk
) -> None:
    phone = phone_of(browser, desk, demo.G, "Grower's phone")
    phone.go(FILE)
    expect(phone.page.locator("main .total")).to_have_text("304 alive")
    phone.tap("Hand this phone to the inspector", role="link")
    phone.tap("Hand over", exact=True)
    phone.offline()
    page = phone.page
    expect(page.get_by_text("Read only. Nothing can be changed.")).to_be_visible()
    for address in ("", "stock", "round", "count/b-t1", "people"):
        phone.go(address)
        expect(page.get_by_role("heading", level=1)).to_contain_text("Release file")
        expect(page.locator("nav.thumbs")).to_have_count(0)
    page.reload()
    expect(page.get_by_text("Read only. Nothing can be changed.")).to_be_visible()
    for key, shown in ASKED.items():
        # One tap from the page that the phone shows, and one back to it.
        page.get_by_role("link", name=words.say("en", key), exact=True).click()
        expect(page.get_by_role("heading", level=1)).to_have_text(words.say("en", key))
        expect(page.locator("main")).to_contain_text(re.compile(shown, re.DOTALL))
        expect(page.get_by_role("link", name=re.compile("^Quarantine room"))).to_have_count(0)
        assert seen.wrongs(page) == []
        page.get_by_role("link", name=words.say("en", "file.back")).click()
    taken_back(phone, demo.W1.pin)
    expect(page.get_by_role("alert")).to_contain_text("Not the PIN of a grower.")
    phone.figures(demo.G.pin)
    expect(page.locator("nav.thumbs")).to_be_visible()
    assert phone.faults == []
    phone.context.close()
