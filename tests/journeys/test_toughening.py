"""Day 8 of the story, 12 February 2032: heat is forecast, leaves are scorched, one step back."""

import re
from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import chips, chooses, opens, saves
from tests.journeys.workers import Worker, person, there

THURSDAY = date(2032, 2, 12)
BEGAN = there(THURSDAY, "07:10")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("toughening"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def reads(worker: Worker, key: str) -> None:
    expect(worker.hand.page.locator(".advice .word")).to_have_text(worker.hand.says(key))


def test_the_round_asks_for_what_the_step_wants(w1: Worker) -> None:
    opens(w1, "round")
    asked = w1.hand.page.get_by_role("list", name=w1.hand.says("round.toughening"))
    expect(asked).to_contain_text(w1.hand.says("check.toughen_scorch"))
    expect(asked).to_contain_text("T1, T2, T3, T5, T6, U")
    asked.get_by_role("link").first.click()
    expect(w1.hand.page).to_have_url(re.compile(rf"#/toughen/{n.SHADE_HOUSE}$"))


def test_the_cloth_of_a_place_is_reached_from_its_sheet_and_where_nothing_toughens_from_none(
    w1: Worker,
) -> None:
    page = w1.hand.page
    link = page.get_by_role("link", name=w1.hand.says("batch.toughen"), exact=True)
    for place, count in ((n.QUARANTINE, 0), (n.SHADE_HOUSE, 1)):
        opens(w1, f"room/{place}")
        expect(page.get_by_role("link", name=w1.hand.says("room.watered"))).to_be_visible()
        expect(link).to_have_count(count)
    link.click()
    expect(page).to_have_url(re.compile(rf"#/toughen/{n.SHADE_HOUSE}$"))


def test_37_degrees_are_forecast_and_no_step_is_taken(w1: Worker) -> None:
    opens(w1, f"toughen/{n.SHADE_HOUSE}")
    reads(w1, "toughen.doing.freeze")
    w1.hand.reads("reason.toughening_heat", high=37, n=3, most=35)
    expect(w1.hand.page.locator(".now .big b")).to_have_text(w1.hand.says("toughen.shade", n=50))
    expect(w1.hand.page.locator(".now")).to_contain_text("mol")
    expect(w1.hand.page.locator("h1")).to_contain_text("Shade house")


def test_one_cloth_is_asked_about_for_those_of_one_program_and_never_for_none(w1: Worker) -> None:
    trays = chips(w1, "treat.which")
    expect(trays.get_by_role("img")).to_have_count(6)
    expect(trays.get_by_role("img", name=re.compile("PA1"))).to_have_count(0)
    everything = trays.get_by_role("button", name=w1.hand.says("move.all", n=6))
    everything.click()
    bar = w1.hand.page.get_by_role("button", name=w1.hand.says("toughen.save.stay", n=50))
    expect(bar).to_be_disabled()
    everything.click()
    expect(bar).to_be_enabled()


def test_14_of_60_are_scorched_and_the_phone_says_at_once_to_go_back(
    w1: Worker, office: Office
) -> None:
    hand = w1.hand
    hand.tap("toughen.scorched")
    tally = chips(w1, "toughen.scorched")
    for step, times in (("tally.more", 3), ("tally.less", 1)):
        amount = 5 if step == "tally.more" else 1
        name = hand.says(step, n=amount, of=hand.says("toughen.scorched"))
        for _ in range(times):
            tally.get_by_role("button", name=name, exact=True).click()
    reads(w1, "toughen.doing.back")
    hand.reads("reason.toughening_scorched", n=14, of=60, percent=23, most=5)
    saves(w1, "toughen.save.back", n=70)
    desk = Desk(office.url)
    for pot in n.POTS:
        body = desk.records(pot, "stepped")[-1]["body"]
        assert (body["step"], body["shade_percent"]) == ("back", 70)
        assert (body["scorched"], body["of"], body["program"]) == (14, 60, n.TOUGHENING)


def test_the_sheet_goes_on_from_there_without_hearing_from_the_office(w1: Worker) -> None:
    opens(w1, f"toughen/{n.T1}")
    expect(w1.hand.page.locator(".now .big b")).to_have_text(w1.hand.says("toughen.shade", n=70))
    reads(w1, "toughen.doing.freeze")


def test_a_step_on_against_the_advice_is_asked_about_once_kept_and_looked_at(
    w1: Worker, office: Office
) -> None:
    """Rule U-11."""
    opens(w1, f"toughen/{n.T1}")
    chooses(w1, "toughen.what", w1.hand.says("step_way.forward"))
    w1.hand.tap("toughen.save.forward", n=50)
    w1.hand.reads("toughen.against")
    saves(w1, "room.save_odd")
    desk = Desk(office.url)
    assert desk.records(n.T1, "stepped")[-1]["body"]["shade_percent"] == 50
    doubts = desk.batch("T1")["outlook"]["doubts"]
    [doubt] = [one for one in doubts if one["code"] == "step_against"]
    assert doubt["params"] == {"on": THURSDAY.isoformat(), "shade": 50}


def test_a_sample_of_one_tray_has_no_more_plants_than_live_in_it(w1: Worker) -> None:
    opens(w1, f"toughen/{n.T6}")
    w1.hand.tap("toughen.scorched")
    alive = w1.hand.says("toughen.of", n=0, of=39)
    expect(w1.hand.page.get_by_role("button", name=alive)).to_be_visible()
    opens(w1, f"toughen/{n.T1}")


def test_what_was_counted_is_not_asked_again(w1: Worker) -> None:
    opens(w1, "round")
    asked = w1.hand.page.get_by_role("list", name=w1.hand.says("round.toughening"))
    expect(asked).to_have_count(0)
    opens(w1, f"toughen/{n.T1}")


def test_water_that_does_not_come_is_written_down(w1: Worker, office: Office) -> None:
    w1.hand.tap("line.no_water")
    w1.hand.reads("reason.toughening_water_failed")
    w1.is_sent()
    desk = Desk(office.url)
    told = desk.get(f"places/{n.SHADE_HOUSE}")["timeline"]
    assert any(line["entry"]["body"].get("failed") for line in told)
