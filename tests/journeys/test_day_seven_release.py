"""Day 7 of the story: the last official inspection, the phone in the officer's hand, the notice."""

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from nursery.ops.demo import law
from nursery.ops.demo import names as n
from nursery.ops.demo.frame import PESTS, PLACES
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import answers, chooses, last, opens, photographs, saves
from tests.journeys.storm import picks
from tests.journeys.workers import Worker, at_the_desk, goes_in, person, there

THURSDAY, MONDAY = date(2031, 11, 20), date(2031, 11, 24)
BEGAN = there(THURSDAY, "08:00")
ROOM = n.QUARANTINE
FILE = f"file/{law.CONSIGNMENT}"
POTS = {n.T1: 50, n.T2: 52, n.T3: 47, n.T5: 43, n.T6: 41, n.MIXED: 8}
WITHOUT_LOOK = date(2031, 9, 22)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("day-seven"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.G, BEGAN)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def says(hand: Hand, key: str, **params: Any) -> str:
    """Return a sentence with days as the nursery's own clocks show them."""
    return words.say(hand.language, key, params, House(demo.ZONE, today=THURSDAY))


def reads(hand: Hand, key: str, **params: Any) -> None:
    expect(hand.page.locator("main")).to_contain_text(says(hand, key, **params))


def test_53_would_show_one_in_twenty_and_the_permit_says_all(grower: Worker) -> None:
    hand = grower.hand
    grower.at("08:25", THURSDAY)
    goes_in(grower)
    opens(grower, f"papers/{ROOM}/inspect")
    reads(hand, "reason.sample_all_though", seen=53, percent=5, confidence=95, lot=241)
    assert seen.wrongs(hand.page) == []


def test_all_241_are_seen_and_one_colony_of_an_unlisted_pest_is_wiped_off(
    grower: Worker, office: Office, desk: Desk
) -> None:
    hand = grower.hand
    office.open(there(THURSDAY, "08:50"))
    grower.at("08:50", THURSDAY)
    opens(grower, f"papers/{ROOM}/inspect")
    hand.type("inspect.name", demo.P.name)
    hand.tap_named(hand.says("inspect.nothing"))
    chooses(grower, "inspect.unlisted", str(PESTS[n.MEALYBUG]["name"]))
    chooses(grower, "inspect.on", "T2")
    hand.type("inspect.report", "IR-88")
    saves(grower, "inspect.save", n=241)
    inspected = {pot: last(desk, pot, "inspected") for pot in POTS}
    assert {pot: one["plants"] for pot, one in inspected.items()} == POTS
    assert {one["answer"] for one in inspected.values()} == {"nothing"}
    found = last(desk, n.T2, "found")
    assert (found["suspicion"], found["pest"]) == (False, n.MEALYBUG)
    assert desk.batch("T2")["outlook"]["held"] == []


def test_the_bag_of_7_dead_and_5_culled_is_shown(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"bag/{ROOM}/shown")
    hand.type("inspect.name", demo.P.name)
    hand.reads("fate.culled", n=3)
    saves(grower, "bag.save_shown", n=7 + 5)
    shown = last(desk, n.T1, "shown")
    assert (shown["to"], sum(one["count"] for one in shown["plants"])) == (demo.P.name, 12)
    bags: dict[str, int] = {}
    for batch in desk.get("batches?closed=true")["items"]:
        for fate, plants in batch["bag"].items():
            bags[fate] = bags.get(fate, 0) + plants
    assert bags == {"died": 7, "culled": 5}


def test_it_is_said_at_once_that_a_notice_on_the_28th_would_be_too_late(
    browser: Browser, office: Office, desk: Desk
) -> None:
    clocks = [desk.batch(label)["outlook"]["clock"] for label in ("T1", "T2", "T3", "T5", "T6")]
    assert [clock["unmet"] for clock in clocks] == [[]] * 5
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto("/#/consignments")
    lapse = {"number": 2, "on": "2031-11-20", "last": "2031-11-27", "next": "2031-11-28"}
    reads(hand, "reason.inspection_lapses", **lapse, days=8)
    page.goto(f"/#/{FILE}")
    sunday = {"earliest": "2031-11-23", "on": "2031-11-24"}
    reads(hand, "file.earliest", on="2031-11-23")
    reads(hand, "reason.notice_day", **sunday)
    assert date.fromisoformat(sunday["earliest"]).strftime("%A") == "Sunday"
    assert seen.wrongs(page) == []
    assert hand.faults == []
    page.context.close()


def test_the_week_without_look_over_is_accepted_in_writing(
    grower: Worker, office: Office, desk: Desk
) -> None:
    hand = grower.hand
    office.open(there(THURSDAY, "09:40"))
    grower.at("09:40", THURSDAY)
    grower.phone.offline(False)
    grower.hears()
    opens(grower, f"papers/{ROOM}/accept")
    hand.tap("accept.week")
    chooses(grower, "accept.week_of", hand.says("accept.other_week"))
    picks(hand, "accept.week_of", WITHOUT_LOOK)
    hand.type("paper.reference", "AC-5")
    photographs(grower, "shows.paper")
    saves(grower, "accept.save", reference="AC-5")
    told = last(desk, n.T1, "accepted")
    assert (told["what"], told["week_of"]) == ("week", WITHOUT_LOOK.isoformat())
    assert {*told["about"]} == {*POTS}


def line_of(hand: Hand, start: str, end: str) -> Locator:
    span = says(hand, "week.span", start=start, end=end)
    return hand.page.get_by_role("paragraph").filter(has_text=span)


def test_the_phone_in_the_officers_hand_reads_one_file_without_signal(grower: Worker) -> None:
    hand, page = grower.hand, grower.hand.page
    grower.phone.offline(False)
    grower.hears()
    grower.go(FILE)
    expect(page.locator("main .total")).to_have_text("241 alive")
    hand.tap("file.hand_over")
    hand.tap("hand.over")
    grower.phone.offline()
    for address in ("", "stock", f"papers/{ROOM}", f"count/{n.T1}", FILE):
        grower.go(address)
        expect(page.get_by_role("heading", level=1)).to_contain_text(
            hand.says("file.title", reference=law.CONSIGNMENT_BODY["name"])
        )
        expect(page.locator("nav.thumbs")).to_have_count(0)
    hand.reads("hand.locked")
    account = page.get_by_role("group", name=hand.says("ledger.title"))
    for fate, plants in (
        ("ledger.in", 318),
        ("fate.alive", 241),
        ("fate.died", 17),
        ("fate.culled", 5),
        ("fate.sampled", 5),
        ("fate.destroyed", 50),
    ):
        expect(account).to_contain_text(hand.says(fate, n=plants))
    # All pots share one clock, so the page stays one page.
    expect(page.get_by_text(says(hand, "file.earliest", on="2031-11-23"))).to_have_count(1)
    reads(hand, "week.tally", over=38, done=37, missing=1)
    unlooked = line_of(hand, "2031-09-22", "2031-09-28")
    expect(unlooked).to_contain_text(re.compile("north screen replaced, told under RP-3"))
    expect(unlooked).to_contain_text(hand.says("week.accepted", reference="AC-5"))
    assert seen.wrongs(page) == []


def test_only_a_grower_takes_it_back(grower: Worker) -> None:
    hand, page = grower.hand, grower.hand.page
    hand.tap("hand.take_back")
    grower.phone.figures(demo.W1.pin)
    hand.reads("hand.wrong")
    grower.phone.figures(demo.G.pin)
    expect(page.locator("nav.thumbs")).to_be_visible()
    assert grower.faults == []


def test_before_the_notice_no_pot_leaves_the_room(w1: Worker, desk: Desk) -> None:
    hand = w1.hand
    w1.at("10:00", THURSDAY)
    w1.phone.offline(False)
    w1.hears()
    opens(w1, f"move/{n.T1}")
    hand.tap_on_sheet(PLACES[n.SHADE_HOUSE]["name"])
    expect(hand.one("gate.happened")).to_be_visible()
    reads(hand, "reason.not_released", earliest="2031-11-23")
    answers(w1, "releasing", n.T1, "wait")
    assert desk.batch("T1")["place"] != n.SHADE_HOUSE
    assert w1.faults == []
