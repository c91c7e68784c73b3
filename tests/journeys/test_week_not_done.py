"""After day 6 of the story: a week in which nobody looks, since the north screen is replaced."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.seen import wrongs
from tests.journeys.sheets import chooses, opens, saves
from tests.journeys.storm import FILE, POTS, ROOM, says
from tests.journeys.workers import Worker, at_the_desk, there

WITHOUT_LOOK, SCREEN_REPLACED = date(2031, 9, 22), "the north screen is being replaced"
BEGAN = there(WITHOUT_LOOK, "08:05")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("week-not-done"), 6, BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    found = Worker(browser, office, demo.G, BEGAN)
    yield found
    found.phone.context.close()


def test_a_week_without_look_over_is_told_with_its_reason(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    grower.hears()
    opens(grower, f"room/{ROOM}")
    hand.tap("room.missed")
    hand.type("missed.words", SCREEN_REPLACED)
    chooses(grower, "told.whom", hand.says("card.plant_health"))
    hand.type("told.reference", "RP-3")
    chooses(grower, "told.how", hand.says("told.phone"))
    hand.reads("told.written")
    assert wrongs(hand.page) == []
    saves(grower, "missed.save")
    told = desk.get(FILE)
    [notice] = [one for one in told["notified"] if one["body"].get("reference") == "RP-3"]
    assert {*notice["about"]} >= {desk.batch(pot)["id"] for pot in POTS}
    skipped = {one["about"][0]: one["body"]["reason"] for one in told["not_done"]}
    assert skipped == {desk.batch(pot)["id"]: SCREEN_REPLACED for pot in POTS}


def test_that_week_is_neither_blank_nor_nil(browser: Browser, office: Office, desk: Desk) -> None:
    office.open(there(date(2031, 9, 30), "09:00"))
    [week] = [w for w in desk.get(FILE)["looks"]["weeks"] if w["from"] == "2031-09-22"]
    assert (week["answer"], week["done"], week["minutes"]) == ("not_done", 0, 0)
    page = at_the_desk(browser, office)
    page.goto("/#/file/con-1/looks")
    hand = Hand(page)
    shown = page.locator("main")
    week_of = {"start": "2031-09-22", "end": "2031-09-28"}
    said = says(hand, "week.told", **week_of, answer=hand.says("week.not_done"), n=0)
    expect(shown.locator("[data-answer=not_done]")).to_contain_text(said)
    lines = page.get_by_role("paragraph")
    line = lines.filter(has_text=says(hand, "week.span", **week_of))
    expect(line).to_contain_text(SCREEN_REPLACED)
    running = says(hand, "week.span", start="2031-09-29", end="2031-10-05")
    expect(lines.filter(has_text=running)).to_have_count(0)
    assert hand.faults == []
    page.context.close()
