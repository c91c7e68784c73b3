"""The grower makes a sheet of labels: trays by one tap, first free label, the nursery's size."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Response, expect

from tests.journeys import seen
from tests.journeys.conftest import DESK, Visit
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.test_shell import settled, sign_in

LABELS = re.compile(r"/api/v1/labels$")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("sheets-of-labels"), 3) as office:
        yield office


@pytest.fixture
def visit(browser: Browser, office: Office, tmp_path: Path) -> Iterator[Visit]:
    width, height = DESK
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": width, "height": height}
    )
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    sign_in(page)
    settled(page, "/#/labels")
    yield Visit(context, page, faults, tmp_path)
    assert faults == []
    context.close()


def made(page: Page) -> Response:
    with page.expect_response(LABELS) as answered:
        page.get_by_role("button", name=re.compile("^Make")).click()
    return answered.value


def test_the_trays_of_a_consignment_get_two_labels_each_by_two_taps(visit: Visit) -> None:
    page = visit.page
    expect(page.get_by_role("button", name="Choose a tray or a place")).to_be_disabled()
    page.get_by_role("button", name="all of Finger-lime, March 2031").click()
    answer = made(page)
    assert answer.headers["content-type"] == "application/pdf"
    asked = answer.request.post_data_json or {}
    assert sorted(asked["batches"]) == [f"b-t{n}" for n in range(1, 7)]
    assert (asked["each"], asked["skip"], asked["places"]) == (2, 0, [])
    link = page.get_by_role("link", name="Open the labels")
    expect(link).to_contain_text("1 sheet")
    with visit.context.expect_page() as opened:
        link.click()
    assert opened.value.url.startswith("blob:")
    # Another choice is another file.
    page.get_by_role("button", name=re.compile("T1")).click()
    expect(page.get_by_role("button", name="Make 10 labels")).to_be_visible()


def test_a_sheet_that_is_partly_used_begins_at_its_first_free_label(visit: Visit) -> None:
    page = visit.page
    page.get_by_role("button", name=re.compile("T3")).click()
    page.get_by_role("group", name="How many each").get_by_role("button", name="4").click()
    page.get_by_role("button", name="label 23", exact=True).click()
    assert seen.wrongs(page) == []
    assert made(page).request.post_data_json == {
        "batches": ["b-t3"],
        "places": [],
        "each": 4,
        "skip": 22,
        "each_plant": False,
    }
    expect(page.get_by_role("link", name="Open the labels")).to_contain_text("2 sheets")


def test_every_pot_gets_a_tag_before_it_leaves_for_the_field(visit: Visit) -> None:
    page = visit.page
    page.get_by_role("button", name=re.compile("T3")).click()
    page.get_by_role("group", name="How many each").get_by_role(
        "button", name="one for each plant"
    ).click()
    bar = page.get_by_role("button", name=re.compile("^Make"))
    tags = int(re.findall(r"\d+", bar.inner_text())[0])
    assert tags > 40
    asked = made(page).request.post_data_json or {}
    assert (asked["each_plant"], asked["batches"]) == (True, ["b-t3"])
    expect(page.get_by_role("link", name="Open the labels")).to_contain_text(
        f"{-(-tags // 24)} sheets"
    )


def test_the_nursery_chooses_its_size_and_a_wrong_one_is_named(
    visit: Visit, office: Office
) -> None:
    page = visit.page
    page.get_by_role("button", name="Change the size").click()
    page.get_by_label("Beside each other").fill("4")
    expect(page.get_by_role("alert")).to_contain_text(
        "4 labels of 70 mm beside each other take 280 mm"
    )
    expect(page.get_by_role("button", name="Save")).to_be_disabled()
    page.get_by_label("Beside each other").fill("3")
    expect(page.get_by_role("alert")).to_have_count(0)
    page.get_by_role("button", name=re.compile("30 × 99 mm, A4, 21")).click()
    expect(
        page.get_by_text("30 × 99 mm, A4, 21 on a sheet · tag for a pot or a stake").first
    ).to_be_visible()
    page.reload()
    expect(
        page.get_by_text("30 × 99 mm, A4, 21 on a sheet · tag for a pot or a stake").first
    ).to_be_visible()
    page.get_by_role("button", name="Change the size").click()
    page.get_by_role("button", name="60 × 40 mm, from a roll").click()
    expect(page.get_by_text("60 × 40 mm, from a roll").first).to_be_visible()
    expect(page.get_by_role("group", name="First free label")).to_have_count(0)
    rows = Desk(office.url).get("rows/nursery")["items"]
    assert rows[0]["body"]["label"]["stock"] == "roll"
    page.get_by_role("button", name=re.compile("T3")).click()
    assert made(page).status == 200
    expect(page.get_by_role("link", name="Open the labels")).to_contain_text("2 sheets")


def test_what_is_held_gets_labels_of_the_hold_and_nothing_else_is_offered(visit: Visit) -> None:
    page = visit.page
    page.get_by_role("button", name="Labels of the hold").click()
    expect(page.get_by_role("button", name=re.compile("OC1"))).to_have_count(0)
    page.get_by_role("button", name=re.compile("T3")).click()
    page.get_by_role("button", name="Quarantine room", exact=False).first.click()
    assert seen.wrongs(page) == []
    answer = made(page)
    asked = answer.request.post_data_json or {}
    assert (answer.status, asked["hold"], asked["batches"]) == (200, True, ["b-t3"])
