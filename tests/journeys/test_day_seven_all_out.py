"""Day 7 of the story, 24 November on: the notice, the officer's bag, and the room that rests."""

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import PLACES
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import (
    answers,
    chips,
    chooses,
    last,
    opens,
    photographs,
    saves,
    ticks,
    types,
)
from tests.journeys.storm import picks
from tests.journeys.workers import (
    Worker,
    at_the_desk,
    goes_in,
    goes_out,
    living,
    person,
    somebody_goes_in,
    there,
)

MONDAY, TUESDAY, WEDNESDAY = date(2031, 11, 24), date(2031, 11, 25), date(2031, 11, 26)
BEGAN = there(MONDAY, "08:00")
ROOM = n.QUARANTINE
POTS = {n.T1: 50, n.T2: 52, n.T3: 47, n.T5: 43, n.T6: 41, n.MIXED: 8}
IN_THE_BAG = {"died": 7, "culled": 5}
TOO_SOON, ACCEPTS_FROM = date(2031, 12, 2), date(2031, 12, 3)
HOURS_EMPTY = 7 * 24


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("all-out"), BEGAN) as office:
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
    """Return a sentence with days and hours as the nursery's own clocks show them."""
    return words.say(hand.language, key, params, House(demo.ZONE, today=MONDAY))


def reads(hand: Hand, key: str, **params: Any) -> None:
    expect(hand.page.locator("main")).to_contain_text(says(hand, key, **params))


def opens_the_day(worker: Worker, office: Office, day: date, hour: str) -> None:
    """Let it be this hour at the office and on the phone, which hears what others wrote."""
    office.open(there(day, hour))
    worker.at(hour, day)
    worker.phone.offline(False)
    worker.hears()


def test_the_notice_can_be_asked_for_and_a_pot_still_stays(grower: Worker, w1: Worker) -> None:
    answers(grower, "releasing", n.T1, "yes")
    reads(grower.hand, "reason.release_due")
    answers(w1, "moving", n.T1, "no")
    reads(w1.hand, "reason.not_released", earliest="2031-11-23")


def test_a_notice_of_243_is_asked_about_with_the_difference_named(grower: Worker) -> None:
    hand = grower.hand
    opens(grower, f"papers/{ROOM}/release")
    hand.type("release.notice", "RN-204")
    photographs(grower, "shows.paper")
    ticks(grower, "release.as_alive")
    for label, figures in (("T1", "51"), ("T3", "48")):
        each = chips(grower, "release.each")
        each.get_by_role("button", name=re.compile(rf"\b{label}\b")).click()
        hand.pad(figures)
    hand.reads("release.differs", said=243, alive=241)
    hand.reads("release.batch_differs", label="T1", said=51, alive=50)
    hand.reads("release.batch_differs", label="T3", said=48, alive=47)
    hand.tap_named(hand.says("release.save", notice="RN-204"))
    expect(hand.page.get_by_role("alert").last).to_contain_text(hand.says("release.ask"))
    assert seen.wrongs(hand.page) == []


def test_the_paper_says_241_and_so_does_the_count(
    grower: Worker, office: Office, desk: Desk
) -> None:
    hand = grower.hand
    office.open(there(MONDAY, "08:30"))
    grower.at("08:30", MONDAY)
    opens(grower, f"papers/{ROOM}/release")
    ticks(grower, "release.as_alive")
    expect(hand.page.get_by_text(hand.says("release.ask"))).to_have_count(0)
    saves(grower, "release.save", notice="RN-204")
    told = last(desk, n.T1, "released")
    assert (told["notice"], told["count"], told["shown_earliest"]) == ("RN-204", 241, "2031-11-23")
    assert {one["id"]: one["count"] for one in told["plants"]} == POTS
    assert told["photo"]
    released = [desk.batch(label)["released"] for label in ("T1", "T2", "T3", "T5", "T6", "U")]
    assert {(one["notice"], one["count"]) for one in released} == {("RN-204", 241)}


def test_the_room_is_not_empty_while_plants_stand_in_it(w1: Worker) -> None:
    w1.at("08:40", MONDAY)
    w1.phone.offline(False)
    w1.hears()
    opens(w1, f"room/{ROOM}/empty")
    expect(w1.hand.one("gate.happened")).to_be_visible()
    w1.hand.reads("reason.plants_inside", labels=["T1", "T2", "T3", "T5", "T6", "U"])


def test_241_go_to_the_shade_house(w1: Worker, office: Office, desk: Desk) -> None:
    hand = w1.hand
    office.open(there(MONDAY, "09:00"))
    w1.at("09:00", MONDAY)
    goes_in(w1)
    for label in ("T1", "T2", "T3", "T5", "T6", "U"):
        opens(w1, f"move/{desk.batch(label)['id']}")
        hand.tap_on_sheet(PLACES[n.SHADE_HOUSE]["name"])
        reads(hand, "reason.released", notice="RN-204")
        saves(w1, "move.save", n=1)
    assert {desk.batch(label)["place"] for label in ("T1", "T2", "T3", "T5", "T6", "U")} == {
        n.SHADE_HOUSE
    }
    assert desk.alive("T1", "T2", "T3", "T5", "T6", "U") == [*POTS.values()]


def test_the_bag_still_keeps_the_room_from_being_empty(w1: Worker) -> None:
    opens(w1, f"room/{ROOM}/empty")
    expect(w1.hand.one("gate.happened")).to_be_visible()
    w1.hand.reads("reason.bag_inside", n=sum(IN_THE_BAG.values()))
    assert seen.wrongs(w1.hand.page) == []


def test_the_bag_is_burned_before_the_officer(grower: Worker, office: Office, desk: Desk) -> None:
    opens_the_day(grower, office, MONDAY, "09:30")
    goes_in(grower)
    somebody_goes_in(grower, demo.P.name, "Plant Health Service")
    opens(grower, f"bag/{ROOM}/gone")
    types(grower, "arrive.weight", "arrive.weight", "0.7")
    chooses(grower, "arrive.method", grower.hand.says("method.burned"))
    chooses(grower, "arrive.witness", demo.P.name)
    saves(grower, "bag.save_gone", n=sum(IN_THE_BAG.values()))
    gone = last(desk, n.T1, "disposed")
    assert (gone["method"], gone["kg"], gone["witness"]) == ("burned", 0.7, demo.P.name)
    assert sum(one["count"] for one in gone["plants"]) == sum(IN_THE_BAG.values())
    bags = [batch["bag"] for batch in desk.get("batches?closed=true")["items"]]
    assert sum(plants for bag in bags for plants in bag.values()) == 0


def test_then_the_room_is_empty(w1: Worker, office: Office, desk: Desk) -> None:
    opens_the_day(w1, office, MONDAY, "11:30")
    opens(w1, f"room/{ROOM}/empty")
    saves(w1, "room.save_emptied")
    told = all_out(desk)
    assert (told["plants"], told["in_bag"]) == ([], 0)
    goes_out(w1)


def all_out(desk: Desk) -> dict[str, Any]:
    """Return what the office says of the emptying of the room."""
    found: dict[str, Any] = desk.get(f"places/{ROOM}")["outlook"]["all_out"]
    return found


def test_new_plants_are_not_planned_for_a_room_that_is_not_clean(grower: Worker) -> None:
    hand = grower.hand
    grower.at("11:40", MONDAY)
    grower.phone.offline(False)
    grower.hears()
    opens(grower, f"treat/{ROOM}/plan")
    chooses(grower, "plan.what", hand.says("act.arrival"))
    hand.reads("reason.not_empty_and_clean")
    expect(hand.one("plan.save_blank")).to_be_disabled()


def cleans(worker: Worker, product: str, rate: str = "", minutes: int = 0) -> None:
    hand = worker.hand
    opens(worker, f"room/{ROOM}/clean")
    chooses(worker, "bath.product", hand.says("bath.other"))
    hand.type("bath.other_name", product)
    if rate:
        hand.type("room.clean_rate", rate)
        chooses(worker, "bath.contact", hand.says("span.minutes", n=minutes))
    saves(worker, "button.save")


def test_it_is_washed_and_disinfected_and_lies_empty_for_seven_days(
    w1: Worker, office: Office, desk: Desk
) -> None:
    opens_the_day(w1, office, TUESDAY, "07:30")
    cleans(w1, "soap")
    opens_the_day(w1, office, WEDNESDAY, "10:00")
    cleans(w1, "peracid", "2", 30)
    opens(w1, f"room/{ROOM}/ready")
    expect(w1.hand.one("gate.happened")).to_be_visible()
    w1.hand.reads("reason.room_rests", hours=HOURS_EMPTY)
    reads(w1.hand, "block.day", on=ACCEPTS_FROM.isoformat())
    assert seen.wrongs(w1.hand.page) == []
    assert all_out(desk)["accepts_from"].startswith(ACCEPTS_FROM.isoformat())


def test_new_plants_are_booked_from_the_third_of_december_on(
    grower: Worker, desk: Desk, office: Office
) -> None:
    hand = grower.hand
    opens_the_day(grower, office, WEDNESDAY, "10:30")
    opens(grower, f"treat/{ROOM}/plan")
    chooses(grower, "plan.what", hand.says("act.arrival"))
    hand.tap_named(hand.says("when.other"))
    picks(hand, "plan.on", TOO_SOON)
    hand.reads("reason.room_rests", hours=HOURS_EMPTY)
    assert seen.wrongs(hand.page) == []
    hand.tap_named(says(hand, "plan.then", on=ACCEPTS_FROM.isoformat()))
    saves(grower, "plan.save", on=ACCEPTS_FROM.isoformat())
    bookings = desk.get(f"places/{ROOM}")["record"]["bookings"]
    assert ("arrival", ACCEPTS_FROM.isoformat()) in {(one["act"], one["on"]) for one in bookings}
    assert ("arrival", TOO_SOON.isoformat()) not in {(one["act"], one["on"]) for one in bookings}


def test_on_that_day_it_is_looked_through_and_takes_plants(
    w1: Worker, office: Office, desk: Desk
) -> None:
    opens_the_day(w1, office, ACCEPTS_FROM, "10:05")
    opens(w1, f"room/{ROOM}/ready")
    saves(w1, "room.save_readied")
    told = desk.get(f"may?act=accepting&subject={ROOM}")
    assert told["answer"] == "yes", told
    assert w1.faults == []


def test_the_desk_reads_241_in_the_shade_house(
    browser: Browser, grower: Worker, office: Office
) -> None:
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto("/#/stock")
    expect(living(page)).to_have_text("241", timeout=60_000)
    page.goto(f"/#/rooms/{ROOM}")
    expect(page.get_by_role("heading", level=1)).to_have_text(PLACES[ROOM]["name"])
    assert seen.wrongs(page) == []
    assert hand.faults == []
    assert grower.faults == []
    page.context.close()
