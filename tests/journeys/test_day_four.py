"""Day 4 of the story, a Friday: the pest is confirmed, tray 4 burned, the days counted anew."""

import re
from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import law
from nursery.ops.demo import names as n
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import (
    answers,
    bodies,
    chooses,
    fills_in_again,
    last,
    opens,
    photographs,
    saves,
    types,
)
from tests.journeys.test_acts import fills_in, types_order
from tests.journeys.workers import Worker, at_the_desk, goes_in, person, there

FRIDAY, SATURDAY, DAWN = date(2031, 5, 16), date(2031, 5, 17), date(2031, 5, 18)
TOO_SOON = date(2031, 5, 26)
BEGAN = there(FRIDAY, "10:10")
ROOM = n.QUARANTINE
SOON = {"number": 2, "on": "2031-05-26", "days": 9, "needed": 10, "plan": "2031-05-27"}
OFFICER = f"{demo.P.name}, Plant Health Service"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("day_four"), 3, BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.G, BEGAN)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    """W1's phone hears the office on the 16th, and then not for two days."""
    found = Worker(browser, office, demo.W1, BEGAN)
    found.phone.offline()
    yield found
    found.phone.context.close()


def test_the_laboratory_confirms_a_listed_pest(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"papers/{ROOM}/result")
    hand.page.get_by_role("button", name=re.compile("^S-03")).click()
    chooses(grower, "result.what", hand.says("result.confirmed"))
    photographs(grower, "shows.paper")
    saves(grower, "result.save", sample="S-03", result=hand.says("result.confirmed"))
    told = last(desk, n.T4, "resulted")
    assert (told["sample"], told["verdict"]) == ("S-03", "confirmed")


def officer_goes_in(grower: Worker) -> None:
    """The hold admits two people by name; an officer is let in all the same, and it is said."""
    hand = grower.hand
    grower.go(f"access/{ROOM}")
    hand.page.get_by_text(hand.says("access.others")).click()
    hand.type("access.name", demo.P.name)
    hand.type("access.firm", "Plant Health Service")
    hand.tap("access.newcomer_in")
    hand.reads("reason.not_admitted", people=[demo.W1.name, demo.G.name], reference="EM-77")
    hand.tap("gate.happened")
    hand.tap_named(hand.says("access.all_done"))
    hand.tap("access.in_says", name=OFFICER)
    expect(hand.page.get_by_role("listitem").filter(has_text=demo.P.name)).to_be_visible()


def test_three_died_and_fifty_are_burned_with_them(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    types_order(grower)
    opens(grower, f"lose/{n.T4}")
    for dead in range(3):
        grower.add(hand.says("fate.died", n=dead))
    saves(grower, "lose.save", label="T4", lost=hand.says("fate.died", n=3))
    goes_in(grower)
    officer_goes_in(grower)
    opens(grower, f"destroy/{n.T4}")
    expect(hand.page.locator("main h1 b")).to_have_text("50")
    with_them = hand.page.get_by_role("switch", name=hand.says("destroy.dead", n=3))
    if with_them.get_attribute("aria-checked") != "true":
        with_them.click()
    types(grower, "arrive.weight", "arrive.weight", "3.1")
    hand.tap("method.burned")
    chooses(grower, "arrive.witness", demo.P.name)
    photographs(grower, "shows.destroyed")
    saves(grower, "destroy.save", n=50)
    gone = last(desk, n.T4, "disposed")
    assert (gone["method"], gone["kg"], gone["witness"]) == ("burned", 3.1, demo.P.name)
    assert gone["plants"] == [{"id": n.T4, "count": 3}], "the dead burn with the tray"


def test_318_are_251_alive_12_dead_5_sampled_and_50_destroyed(desk: Desk) -> None:
    [came] = [one for one in desk.get("consignments")["items"] if one["id"] == law.CONSIGNMENT]
    ledger = came["ledger"]
    ways = ("in", "alive", "died", "sampled", "destroyed", "difference")
    assert [ledger[way] for way in ways] == [318, 251, 7 + 2 + 3, 4 + 1, 50, 0]
    tray = desk.get(f"batches/{n.T4}")["ledger"]
    assert (tray["died"], tray["destroyed"]) == (3, 50), "the dead stay dead"


def test_treatment_1_says_in_large_figures_until_when_nobody_goes_in(
    w1: Worker, grower: Worker, office: Office, desk: Desk
) -> None:
    assert w1.faults == []
    hand = grower.hand
    grower.go(f"access/{ROOM}")
    hand.tap_named(hand.says("access.out_says", name=OFFICER))
    hand.tap("access.go_out")
    office.open(there(SATURDAY, "16:52"))
    grower.at("16:52", SATURDAY)
    opens(grower, f"treat/{ROOM}")
    chooses(grower, "treat.operator", demo.G.name)
    fills_in(grower)
    hand.reads("caution.spray")
    expect(hand.page.locator("main .out")).to_contain_text("04:50")
    expect(hand.page.locator("main .out")).to_contain_text("SUN 18 MAY")
    size = (
        hand.page.locator("main .out")
        .get_by_text("04:50")
        .last.evaluate(
            "one => parseFloat(getComputedStyle(one).fontSize)"
            " / parseFloat(getComputedStyle(document.body).fontSize)"
        )
    )
    assert size >= 2, "the hour is read from afar"
    hand.reads("treat.litres", n=3)
    saves(grower, "treat.save")
    done = last(desk, n.T1, "treated")
    assert (done["order"], done["litres"], done["area_m2"]) == ("Q-09", 3, 15)
    assert done["reentry_until"] == "2031-05-17T18:50:00.000Z"
    assert desk.get(f"places/{ROOM}")["reentry_until"] == "2031-05-17T18:50:00.000Z"


def test_on_the_first_sheet_the_day_and_the_hour_leave_the_words_their_room(
    grower: Worker,
) -> None:
    grower.go("")
    main = grower.hand.page.locator("main")
    band = main.get_by_role("status").filter(has_text="SUN 18 MAY 04:50")
    box = band.first.bounding_box()
    assert box is not None
    assert box["height"] < 160


def test_treatment_2_is_planned_for_the_27th_and_not_for_the_26th(
    grower: Worker, desk: Desk
) -> None:
    hand = grower.hand
    opens(grower, f"treat/{ROOM}/plan")
    hand.tap_named(hand.says("when.other"))
    hand.page.get_by_role("button", name=hand.says("date.month.5"), exact=True).click()
    hand.pad("26")
    hand.reads("reason.course_too_soon", **SOON)
    hand.tap_named(hand.says("plan.then", on="2031-05-27"))
    saves(grower, "plan.save", on="2031-05-27")
    planned = last(desk, n.T1, "booked")
    assert (planned["act"], planned["on"], planned["order"]) == ("treatment", "2031-05-27", "Q-09")


def told(code: str, **params: object) -> str:
    return words.say("en", f"reason.{code}", params, House(today=SATURDAY))


def test_the_dawn_watering_is_planned_for_w1(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"treat/{ROOM}/plan")
    chooses(grower, "plan.what", hand.says("act.watering"))
    hand.tap_named(hand.says("when.other"))
    hand.page.get_by_role("button", name=hand.says("date.month.5"), exact=True).click()
    hand.pad("18")
    saves(grower, "plan.save", on="2031-05-18")
    planned = [(one["act"], one["on"]) for one in desk.get(f"places/{ROOM}")["record"]["bookings"]]
    assert planned == [("treatment", "2031-05-27"), ("watering", "2031-05-18")]


def test_the_grower_reads_when_they_go_and_what_season_is_lost(
    browser: Browser, office: Office, grower: Worker, desk: Desk
) -> None:
    clock = desk.batch("T1")["outlook"]["clock"]
    [moved] = clock["moved"]
    assert (moved["params"]["n"], moved["params"]["to"]) == (85, "2031-11-23")
    page = at_the_desk(browser, office)
    page.goto(f"/#/batch/{n.T1}")
    main = page.locator("main")
    expect(main).to_contain_text("23 NOV")
    expect(main).to_contain_text(told("if_treated", number=2, reference="Q-09", on="2031-05-27"))
    weeks = {"first": "2031-10-01", "last": "2031-11-15"}
    then = {"next_first": "2032-03-01", "next_last": "2032-03-31"}
    expect(main).to_contain_text(told("main_weeks_lost", **weeks, **then))
    main.get_by_text(grower.hand.says("batch.why_then")).click()
    expect(main.locator("details")).to_contain_text(told("moved_later", **moved["params"]))
    page.context.close()


def test_a_phone_last_synced_on_the_16th_cannot_tell_on_the_18th(w1: Worker) -> None:
    w1.at("04:30", DAWN)
    answers(w1, "entering", ROOM, "cannot_tell")
    w1.hand.reads("gate.cannot_tell")
    w1.hand.reads("may.sign")


def test_dawn_waits_until_ten_to_five(w1: Worker, office: Office) -> None:
    office.open(there(DAWN, "04:30"))
    w1.is_sent()
    w1.hears()
    answers(w1, "entering", ROOM, "wait")
    expect(w1.hand.page.locator("main .hour")).to_have_text("04:50")
    w1.go(f"round/{ROOM}")
    task = w1.hand.page.get_by_role("link").filter(has_text=w1.hand.says("act.watering"))
    expect(task).to_contain_text("04:50")
    w1.at("04:51", DAWN)
    w1.go("")
    answers(w1, "entering", ROOM, "yes")
    w1.go(f"round/{ROOM}")
    expect(task).not_to_contain_text("04:50")
    task.click()
    saves(w1, "button.save")
    w1.go(f"round/{ROOM}")
    expect(task).to_contain_text(w1.hand.says("round.planned_done"))
    assert w1.faults == []


def test_sprayed_on_the_26th_it_is_kept_asked_about_and_starts_no_clock(
    browser: Browser, office: Office, grower: Worker, desk: Desk
) -> None:
    hand = grower.hand
    office.open(there(TOO_SOON, "16:52"))
    grower.at("16:52", TOO_SOON)
    opens(grower, f"treat/{ROOM}")
    chooses(grower, "treat.operator", demo.G.name)
    fills_in_again(grower, "Orrin white oil", "L-78", demo.W1.name)
    hand.reads("reason.course_too_soon", **SOON)
    saves(grower, "gate.happened")
    assert len(bodies(desk, n.T1, "treated")) == 2, "what was done is never thrown away"
    clock = desk.batch("T1")["outlook"]["clock"]
    assert (clock["only_if"]["code"], clock["only_if"]["params"]["on"]) == (
        "if_treated",
        "2031-05-27",
    )
    assert "treatment_missing" in {reason["code"] for reason in clock["unmet"]}
    page = at_the_desk(browser, office)
    page.goto("/#/looks")
    asked = page.get_by_role("listitem").filter(has_text=hand.says("doubt.treated_too_soon"))
    expect(asked.first).to_be_visible()
    page.context.close()
    assert grower.faults == []
