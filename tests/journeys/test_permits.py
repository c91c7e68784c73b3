"""A grower at the desk types a permit, is turned down for what cannot be, and asks what if."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from nursery.ops.demo import law
from nursery.services import demo, templates
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK
from tests.journeys.test_shell import sign_in

TEMPLATE = next(one for one in templates.every()["items"] if one["id"] == "growing_on")
COMING = date(2031, 8, 20)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("permits"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture
def grower(browser: Browser, office: Office) -> Iterator[Hand]:
    width, height = DESK
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": width, "height": height}
    )
    found = Hand(context.new_page())
    sign_in(found.page)
    yield found
    context.close()


def last_record(office: Office) -> int:
    """Return the number of the book's last line, as it stands on the disk."""
    book = f"file:{office.folder}/demo/nursery.sqlite3?mode=ro"
    with closing(sqlite3.connect(book, uri=True)) as disk:
        return max(int(seq) for (seq,) in disk.execute("SELECT last_seq FROM head"))


def row_of(page: Page, text: str) -> Locator:
    return page.get_by_role("listitem").filter(has_text=text)


def on_day(grower: Hand, of: str, day: date) -> None:
    """Set a day on the pad behind its field."""
    page = grower.page
    page.locator("summary", has_text=grower.says(of)).click()
    pad = page.get_by_role("group", name=grower.says(of), exact=True)
    month = grower.says(f"date.month.{day.month}")
    for name in (str(day.year), month):
        pad.get_by_role("button", name=name, exact=True).click()
    for figure in str(day.day):
        pad.get_by_role("button", name=figure, exact=True).click()


def saved(desk: Desk, reference: str) -> dict[str, object]:
    rows = desk.get("rows/permit")["items"]
    found: dict[str, object] = next(
        one["body"] for one in rows if one["body"]["reference"] == reference
    )
    return found


def typed(grower: Hand, reference: str) -> None:
    """Type the head of a permit; its conditions are not there yet."""
    grower.tap("permits.new")
    grower.type("permits.reference", reference)
    grower.type("permits.holder", "Veshmere Terraces")
    on_day(grower, "permits.valid_from", date(2031, 3, 1))
    grower.tap("button.save")
    grower.page.get_by_role("heading", name=f"Permit {reference}").wait_for()
    grower.reads("permits.no_terms")


def test_a_permit_is_typed_from_a_template_and_its_figures_are_changed(
    grower: Hand, desk: Desk
) -> None:
    page = grower.page
    page.get_by_role("link", name=grower.says("nav.permits")).click()
    grower.is_at("nav.permits")
    expect(row_of(page, "CQ-118")).to_contain_text(grower.says("permits.quantity", n=330))
    expect(row_of(page, "CQ-118")).to_contain_text("Finger-lime")
    assert seen.wrongs(page) == []

    typed(grower, "BN-7")
    grower.tap("permits.from_template")
    grower.tap("template.growing_on")
    grower.reads("template.no_source")
    assert seen.wrongs(page) == []
    grower.tap("permits.take_terms", n=len(TEMPLATE["terms"]))
    expect(row_of(page, "180 days of growth")).to_be_visible()
    terms = saved(desk, "BN-7")["terms"]
    assert isinstance(terms, list)
    assert [(one["rule"], one["says"]) for one in terms] == [
        (one["rule"], one["says"]) for one in TEMPLATE["terms"]
    ]

    row_of(page, "180 days of growth").get_by_role("link").click()
    grower.type("rule_field.days", "120")
    grower.type("rule_field.source", "Permit BN-7, condition 2")
    grower.tap("button.save")
    changed = row_of(page, "120 days of growth")
    expect(changed).to_contain_text("Permit BN-7, condition 2")
    expect(changed).to_contain_text(grower.says("permits.reaches_not"))
    assert seen.wrongs(page) == []
    assert grower.faults == []


def test_what_cannot_be_is_turned_down_by_its_field(
    grower: Hand, desk: Desk, office: Office
) -> None:
    page = grower.page
    page.goto(f"/#/permits/{law.PERMIT}")
    row_of(page, "180 days of growth").get_by_role("link").click()
    before = last_record(office)
    grower.type("rule_field.days", "99999999")
    grower.tap("button.save")
    wrong = page.locator("[data-field=days]")
    expect(wrong).to_have_text(grower.says("permits.cannot_be", value="99999999"))
    assert seen.wrongs(page) == []
    assert last_record(office) == before
    assert saved(desk, "CQ-118")["terms"] == law.TERMS

    grower.type("rule_field.days", "")
    grower.tap("button.save")
    expect(wrong).to_have_text(grower.says("permits.is_missing"))
    assert last_record(office) == before


def test_a_newer_text_stands_beside_the_older(grower: Hand, desk: Desk) -> None:
    page = grower.page
    page.goto(f"/#/permits/{law.PERMIT}")
    row_of(page, "168 hours empty").get_by_role("link").click()
    grower.tap("permits.term_after")
    grower.reads("permits.after_why")
    grower.type("rule_field.empty_hours", "240")
    grower.type("rule_field.source", "Letter of the service")
    page.get_by_role("switch", name=grower.says("rule_field.reaches_running")).click()
    grower.tap("button.save")
    expect(row_of(page, "240 hours empty")).to_contain_text(grower.says("permits.reaches"))
    expect(row_of(page, "168 hours empty")).to_be_visible()
    terms = saved(desk, "CQ-118")["terms"]
    assert isinstance(terms, list)
    newer = [one for one in terms if one["rule"] == "all_out"][-1]
    assert (newer["says"], newer["reaches_running"]) == ({"empty_hours": 240}, True)

    row_of(page, "240 hours empty").get_by_role("link").click()
    grower.tap("permits.take_out")
    grower.reads("permits.taken_out")
    grower.tap("permits.take_out_sure")
    expect(row_of(page, "168 hours empty")).to_be_visible()
    assert saved(desk, "CQ-118")["terms"] == law.TERMS


def test_the_nursery_has_rules_of_its_own(grower: Hand, desk: Desk) -> None:
    page = grower.page
    page.goto("/#/permits/own-rules")
    expect(row_of(page, "every 14 days")).to_contain_text("House rules of Veshmere Terraces, 3")
    grower.tap("permits.own_new")
    grower.tap("rule.look_back")
    grower.type("rule_field.days", "21")
    grower.type("rule_field.source", "House rules of Veshmere Terraces, 9")
    grower.tap("button.save")
    expect(row_of(page, "21 days before the find")).to_contain_text(
        grower.says("permits.everywhere")
    )
    bodies = [one["body"]["term"] for one in desk.get("rows/due_rule")["items"]]
    assert [one["says"] for one in bodies if one["rule"] == "look_back"] == [{"days": 21}]


def test_what_if_is_answered_with_its_reasons_and_nothing_is_written(
    grower: Hand, office: Office
) -> None:
    page = grower.page
    page.get_by_role("link", name=grower.says("nav.what_if")).click()
    before = last_record(office)
    grower.type("whatif.plants", "400")
    page.get_by_role("group", name=grower.says("whatif.room")).get_by_role(
        "button", name="Quarantine room"
    ).click()
    grower.type("whatif.days", "180")
    assert seen.wrongs(page) == []
    on_day(grower, "whatif.on", COMING)
    grower.tap("whatif.ask")
    expect(page.get_by_role("status")).to_have_text(grower.says("gate.no"))
    reasons = page.get_by_role("list", name=grower.says("gate.no"))
    expect(reasons).to_contain_text("All in, all out in Quarantine room")
    # 180 days of growth after the day on which they come in.
    expect(page.get_by_role("table").first).to_contain_text(re.compile("16 FEB 2032"))
    expect(page.locator("[data-nothing-written]")).to_contain_text(f"record {before},")
    assert seen.wrongs(page) == []
    assert last_record(office) == before
    assert grower.faults == []


def test_planting_weeks_are_set_and_the_loss_is_told(grower: Hand, desk: Desk) -> None:
    page = grower.page
    page.goto("/#/weeks")
    grower.is_at("weeks.title")
    was = desk.get("rows/nursery")["items"][0]["body"].get("planting", [])
    for of, month, figure in (("weeks.first", 6, "1"), ("weeks.last", 6, "20")):
        pad = page.get_by_role("group", name=grower.says(of), exact=True)
        pad.get_by_role("button", name=grower.says(f"date.month.{month}"), exact=True).click()
        for one in figure:
            pad.get_by_role("button", name=one, exact=True).click()
    assert seen.wrongs(page) == []
    grower.tap("weeks.add")
    expect(row_of(page, "1 JUN to 20 JUN")).to_be_visible()
    *others, new = desk.get("rows/nursery")["items"][0]["body"]["planting"]
    today = desk.get("season")["today"]
    set_now = {"first": "06-01", "last": "06-20", "set_by": demo.G.id, "set_on": today}
    assert (others, new) == (was, set_now)
    row_of(page, "1 JUN to 20 JUN").get_by_role("button", name=re.compile("^Take")).click()
    expect(row_of(page, "1 JUN to 20 JUN")).to_have_count(0)
    assert desk.get("rows/nursery")["items"][0]["body"]["planting"] == was


def test_the_certificate_stands_beside_the_permit(grower: Hand) -> None:
    page = grower.page
    page.goto(f"/#/permits/{law.PERMIT}/edit")
    grower.type("permits.origin", "Sarrow")
    grower.type("permits.declaration", "Free of scale")
    grower.tap("button.save")
    page.get_by_role("heading", name="Permit CQ-118").wait_for()
    page.goto(f"/#/consignments/{law.CONSIGNMENT}")
    held = {
        field: page.locator(f"tr[data-field={field}]")
        for field in ("quantity", "origin", "declaration", "form")
    }
    expect(held["quantity"]).to_contain_text(grower.says("certificate.held.same"))
    expect(held["origin"]).to_contain_text(grower.says("certificate.held.different"))
    expect(held["origin"]).to_contain_text(re.compile("Sarrow.*Tellaveen"))
    expect(held["declaration"]).to_contain_text(grower.says("certificate.held.missing"))
    expect(held["form"]).to_contain_text(grower.says("certificate.held.not_asked"))
    assert seen.wrongs(page) == []
    grower.tap("certificate.type")
    grower.type("certificate.declaration", "free of  SCALE")
    assert seen.wrongs(page) == []
    grower.tap("button.save")
    expect(held["declaration"]).to_contain_text(grower.says("certificate.held.same"))
    expect(held["quantity"]).to_contain_text(re.compile("330.*324"))
    assert grower.faults == []
