"""A crop is copied from a starting point, its figures changed at the desk, on both widths."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE
from tests.journeys.test_shell import sign_in

WIDTHS = {"a desk": DESK, "a phone": PHONE}


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("profiles"), 1) as made:
        yield made


@pytest.fixture(params=list(WIDTHS.values()), ids=list(WIDTHS))
def grower(request: pytest.FixtureRequest, browser: Browser, office: Office) -> Iterator[Hand]:
    width, height = request.param
    context = browser.new_context(
        base_url=office.url, viewport={"width": width, "height": height}, locale="en-GB"
    )
    page = context.new_page()
    hand = Hand(page)
    sign_in(page)
    yield hand
    assert hand.faults == []
    context.close()


def test_a_crop_starts_from_what_is_commonly_known(grower: Hand, office: Office) -> None:
    page, desk = grower.page, Desk(office.url)
    name = f"Cacao {page.viewport_size['width'] if page.viewport_size else 0}"
    page.goto("/#/rows/crop/new")
    grower.reads("profile.none")
    page.get_by_role("button", name="Cacao, seedling").click()
    grower.reads("profile.stays")
    grower.type("rows.name", name)
    page.locator("summary", has_text=grower.says("profile.group_spacing")).click()
    litres = page.get_by_role("group", name=grower.says("profile.litres"))
    expect(litres).to_contain_text(grower.says("profile.memory"))
    low = litres.get_by_label(grower.says("profile.from"))
    low.fill("4")
    expect(litres).to_contain_text(grower.says("profile.own"))
    grower.tap("button.save")
    wrong = page.locator("[data-field='profile.litres']")
    expect(wrong).to_have_text(grower.says("profile.odd_range", value="2"))
    low.fill("1.5")
    page.locator("summary", has_text=grower.says("profile.group_stages")).click()
    weeks = page.get_by_role("group", name=grower.says("profile.nursery_weeks"))
    expect(weeks).to_contain_text(grower.says("profile.source", source="FAO Better Farming 22"))
    types_a_curve(grower)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    grower.tap("button.save")
    expect(page.get_by_role("link", name=name)).to_be_visible()
    holds_the_change_alone(desk, name)


def types_a_curve(grower: Hand) -> None:
    """Type how high cacao grows; plants that shrink are asked about."""
    page = grower.page
    page.locator("summary", has_text=grower.says("profile.group_growth")).click()
    growth = page.locator("details", has_text=grower.says("profile.curve_what"))
    height = growth.get_by_label(grower.says("profile.height_cm"))
    height.fill(shrinks := "0: 40 / 8; 150: 3 / 1")
    grower.tap("button.save")
    wrong = page.locator("[data-field='profile.growth.height_cm']")
    expect(wrong).to_have_text(grower.says("profile.odd_curve", value=shrinks))
    height.fill("0: 3 / 1; 150: 40 / 8")


def holds_the_change_alone(desk: Desk, name: str) -> None:
    [row] = [one for one in desk.get("rows/crop")["items"] if one["body"]["name"] == name]
    profile = row["body"]["profile"]
    assert profile["litres"] == {"low": 1.5, "high": 2, "source": None, "own": True}
    [shipped] = [one for one in desk.get("crop-profiles")["items"] if one["id"] == "cacao"]
    curve = profile.pop("growth")["height_cm"]
    assert (curve["ages_days"], curve["mean"], curve["spread"]) == ([0, 150], [3, 40], [1, 8])
    shipped.pop("growth", None)
    assert {**profile, "litres": shipped["litres"]} == shipped
