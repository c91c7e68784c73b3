"""The shell of the app: the grower reads the stock and a batch, with signal and without."""

import re

import pytest
from playwright.sync_api import Page, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.conftest import DESK, PHONE, Visit

SHEETS = {"stock": "/#/", "batch": "/#/batch/b-t4", "needs a look": "/#/looks", "none": "/#/no"}
LEAST_TARGET = 48

TOO_SMALL = """(least) => [...document.querySelectorAll('a, button, select, summary, input')]
  .filter((one) => one.checkVisibility() && !one.classList.contains('skip'))
  .map((one) => [one.textContent.trim(), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < least - 0.5 || box.width < least - 0.5)
  .map(([text, box]) => `${text}: ${box.width} x ${box.height}`)"""
TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


def sign_in(page: Page, who: demo.Somebody = demo.G) -> None:
    page.goto("/")
    page.get_by_label("Your e-mail address").fill(who.email)
    page.get_by_label("Password").fill(who.password)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Stock")).to_be_visible()


def settled(page: Page, address: str) -> None:
    page.goto(address)
    expect(page.locator("h1")).to_be_visible()
    expect(page.get_by_role("status")).to_have_count(0)


def test_a_wrong_password_is_said_in_words(visit: Visit) -> None:
    page = visit.page
    page.goto("/")
    page.get_by_label("Your e-mail address").fill(demo.G.email)
    page.get_by_label("Password").fill("not the password")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_contain_text("do not belong together")
    assert visit.faults == []


def test_the_grower_reads_the_third_evening(visit: Visit) -> None:
    page = visit.page
    sign_in(page)
    expect(page.get_by_text("Demo clock: it is SUN 4 MAY")).to_be_visible()
    trays = page.get_by_role("listitem").filter(has_text="Finger-lime")
    expect(trays).to_have_count(6)
    for tray in trays.all():
        expect(tray).to_contain_text("held")
    expect(trays.filter(has=page.get_by_role("img", name="T3"))).to_contain_text("53")
    expect(page.get_by_role("listitem").filter(has_text="Citrus")).not_to_contain_text("held")

    page.get_by_role("link").filter(has=page.get_by_role("img", name="T4")).click()
    account = page.get_by_role("group", name="plant account")
    expect(account).to_contain_text(re.compile(r"54 in\s*=\s*53 alive\s*\+\s*1 sampled"))
    expect(page.get_by_text("shuts the release")).to_be_visible()
    account.get_by_role("link", name="1 sampled").click()
    records = page.get_by_role("listitem").filter(has=page.locator("time"))
    expect(records).to_have_count(1)
    expect(records).to_contain_text("Ilsa Vorren")

    page.get_by_role("link", name="Needs a look").click()
    expect(page.get_by_role("listitem").first).to_contain_text("A find that nobody has answered")
    assert visit.faults == []


def test_a_forecast_stands_with_its_day_and_with_what_it_wants(visit: Visit) -> None:
    page = visit.page
    sign_in(page)
    settled(page, "/#/batch/b-t4")
    expect(page.get_by_text("last counted")).to_be_visible()
    expect(page.get_by_text("MON 3 MAR: 54")).to_be_visible()
    expect(page.get_by_text("SAT 30 AUG", exact=True)).to_be_visible()
    expect(page.get_by_text("as of SUN 4 MAY", exact=True)).to_be_visible()
    facts = page.locator("main")
    expect(facts).to_contain_text("The hold is lifted: a find in it and order EM-77.")
    expect(facts).to_contain_text("Official inspection 2 is missing.")
    expect(facts).to_contain_text(re.compile(r"Sample S-03.*Orrin plant laboratory.*on its way"))


def test_the_inspector_reads_what_each_record_says(visit: Visit) -> None:
    page = visit.page
    page.goto("/")
    expect(page.get_by_text("Demo clock. Not a real day.")).to_be_visible()
    sign_in(page, demo.P)
    expect(page.get_by_role("navigation").get_by_role("link")).to_have_text(
        ["Stock", "Consignments"]
    )
    settled(page, "/#/batch/b-t4")
    records = page.get_by_role("listitem").filter(has=page.locator("time"))
    for said in (
        "EM-77: hold, only Nela Quirova and Ilsa Vorren may go in, photo of the paper",
        "S-03, 1 whole plant, whole plant T4-17, to Orrin plant laboratory, for the find",
        "suspicion in T4, reference EM-77",
        "T4-17, 1 plant, 9 per leaf, 3 photos",
        "Under the leaves, with the lens: 3 plants",
        "consignment Finger-lime, March 2031: 324 plants on the paper, certificate PC-5521",
    ):
        expect(records.filter(has_text=said).first).to_be_visible()
    expect(records.filter(has_text="54 plants on the paper")).to_have_count(1)
    settled(page, "/#/batch/b-t5")
    expect(page.locator("dl").last).to_contain_text(re.compile(r"a find nearby and order EM-77"))
    expect(page.locator("dl").last).to_contain_text(re.compile(r"Officer's bag\s*2 dead"))
    burned = "dead plants, 4 of T5, 3 of T6, burned, witness Maro Hestel"
    expect(records.filter(has_text=burned)).to_have_count(1)
    assert visit.faults == []


def test_the_stock_opens_without_signal(visit: Visit) -> None:
    page = visit.page
    sign_in(page)
    settled(page, "/#/batch/b-t4")
    expect(page.get_by_role("group", name="plant account")).to_be_visible()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    visit.context.set_offline(True)
    page.reload()
    expect(page.get_by_text("No signal. What this phone kept")).to_be_visible()
    expect(page.get_by_role("group", name="plant account")).to_contain_text("53 alive")
    page.get_by_role("link", name="Stock").click()
    expect(page.get_by_role("listitem").filter(has_text="Finger-lime")).to_have_count(6)
    page.goto("/#/batch/b-t1")
    expect(page.get_by_text("nothing kept on this phone yet")).to_be_visible()
    visit.context.set_offline(False)
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("group", name="plant account")).to_contain_text("53 alive")
    assert visit.faults == []


def test_signing_out_leaves_nothing_to_read(visit: Visit) -> None:
    page = visit.page
    sign_in(page)
    page.locator("summary").first.click()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    visit.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("listitem")).to_have_count(0)


def test_everything_can_be_reached_by_keys(visit: Visit) -> None:
    page = visit.page
    sign_in(page)
    page.reload()
    expect(page.get_by_role("listitem").first).to_be_visible()
    page.keyboard.press("Tab")
    expect(page.get_by_text("Go to the sheet")).to_be_focused()
    page.keyboard.press("Enter")
    # The group's own sign that folds it away, then the first tray in it.
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("group", name="plant account")).to_be_visible()


@pytest.mark.parametrize(
    ("language", "light", "size"),
    [("English", "day", PHONE), ("Español", "night", PHONE), ("English", "night", DESK)],
    ids=lambda value: value if isinstance(value, str) else f"{value[0]}px",
)
def test_every_sheet_is_open_to_everybody(
    visit: Visit, language: str, light: str, size: tuple[int, int]
) -> None:
    page = visit.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    sign_in(page)
    page.locator("summary").first.click()
    page.locator("select").first.select_option(label=language)
    page.locator("select").last.select_option(value=light)
    page.keyboard.press("Escape")
    page.locator("summary").first.click()
    for name, address in SHEETS.items():
        settled(page, address)
        visit.picture(f"{name}-{language}-{light}-{size[0]}")
        assert seen.violations(page) == [], name
        assert page.evaluate(TOO_SMALL, LEAST_TARGET) == [], name
    assert visit.faults == []


SMALL = {
    "the narrowest phone": (320, "100%"),
    "a desk at twice the size": (640, "100%"),
    "a phone with letters twice as large": (390, "200%"),
}


@pytest.mark.parametrize(("width", "letters"), SMALL.values(), ids=SMALL.keys())
def test_no_sheet_is_wider_than_its_screen(visit: Visit, width: int, letters: str) -> None:
    page = visit.page
    sign_in(page)
    page.set_viewport_size({"width": width, "height": 800})
    for name, address in SHEETS.items():
        settled(page, address)
        page.evaluate("size => { document.documentElement.style.fontSize = size }", letters)
        visit.picture(f"{name}-{width}-{letters}")
        assert page.evaluate(TOO_WIDE) == 0, name
