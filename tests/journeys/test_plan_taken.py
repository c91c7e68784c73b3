"""What a plan proposes, decided on the phone: one taken, one dropped, both kept."""

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.test_plan_back import asks, knows_cacao, proposes
from tests.journeys.workers import Worker, at_the_desk, person, there

BEGAN = demo.EVENINGS[5]
# A house in which nothing stands yet: the plan begins there.
HOUSE, NAME = "new-house", "New house"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("plan-taken"), 5) as made:
        desk = Desk(made.url)
        knows_cacao(desk)
        house = {"body": {"name": NAME, "kind": "room"}, "rev": 0}
        desk.ask("PUT", f"rows/place/{HOUSE}", house)
        yield made


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.G, BEGAN)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def booked(desk: Desk) -> list[dict[str, Any]]:
    lines = desk.get(f"places/{HOUSE}")["timeline"]
    found = [one["entry"]["body"] for one in lines if one["entry"]["kind"] == "booked"]
    return [one for one in found if not one.get("proposed")]


def proposal(worker: Worker, act: str) -> Locator:
    return worker.hand.page.locator(f'main [data-proposal="{act}"]')


def planned(worker: Worker) -> Locator:
    """The list of what is planned for today."""
    return worker.hand.page.get_by_role("list", name=worker.hand.says("round.planned"))


def test_the_plan_stands_on_the_calendar_of_a_house_that_is_empty(
    browser: Browser, office: Office, desk: Desk
) -> None:
    page = at_the_desk(browser, office)
    weeks = desk.get("season")["weeks"]
    asks(Hand(page), next(n for n, one in enumerate(weeks) if one["first"] > "2032-06-01"))
    proposes(Hand(page), NAME)
    assert booked(desk) == []


def test_a_worker_is_told_and_decides_nothing(w1: Worker) -> None:
    w1.hears()
    w1.go("round")
    expect(proposal(w1, "sowing")).to_contain_text(NAME)
    expect(proposal(w1, "sowing").get_by_role("button")).to_have_count(0)


def test_one_is_taken_and_one_dropped_without_signal(grower: Worker) -> None:
    grower.hears()
    grower.phone.offline(True)
    grower.go("round")
    for act in ("sowing", "toughening", "planting"):
        expect(proposal(grower, act)).to_contain_text(NAME)
    assert seen.wrongs(grower.hand.page) == []
    proposal(grower, "sowing").get_by_role("button", name=grower.hand.says("round.take")).click()
    expect(proposal(grower, "sowing")).to_have_count(0)
    dropped = proposal(grower, "toughening")
    dropped.get_by_role("button", name=grower.hand.says("round.drop")).click()
    expect(dropped).to_have_count(0)
    expect(proposal(grower, "planting")).to_be_visible()


def test_both_survive_a_reload_before_they_are_sent_and_after(grower: Worker, desk: Desk) -> None:
    for sent in (False, True):
        if sent:
            grower.is_sent()
        grower.reloads()
        grower.go("round")
        expect(proposal(grower, "planting")).to_be_visible()
        for act in ("sowing", "toughening"):
            expect(proposal(grower, act)).to_have_count(0)
    [taken] = booked(desk)
    assert (taken["act"], "proposed" in taken) == ("sowing", False)


def test_on_its_day_the_act_stands_on_the_list_of_the_day(
    grower: Worker, office: Office, desk: Desk
) -> None:
    [taken] = booked(desk)
    expect(planned(grower).filter(has_text=NAME)).to_have_count(0)
    day = date.fromisoformat(taken["on"])
    office.open(there(day, "08:55"))
    grower.at("09:00", day)
    grower.hears()
    grower.go("round")
    line = planned(grower).filter(has_text=NAME)
    expect(line).to_contain_text(re.compile(r"sow", re.IGNORECASE))
    assert seen.wrongs(grower.hand.page) == []
    grower.reloads()
    grower.go("round")
    expect(line).to_be_visible()
    expect(proposal(grower, "toughening")).to_have_count(0)


def test_the_other_phone_hears_of_both(w1: Worker) -> None:
    w1.hears()
    w1.go("round")
    expect(proposal(w1, "planting")).to_be_visible()
    expect(proposal(w1, "sowing")).to_have_count(0)
    expect(proposal(w1, "toughening")).to_have_count(0)
