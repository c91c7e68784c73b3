"""Day 6 of the story: the night a storm tore the north screen, and what the authority orders."""

import re
from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import PLACES
from nursery.services import demo
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.rounds import at_the_round, finds_nothing
from tests.journeys.seen import wrongs
from tests.journeys.sheets import chooses, keeps, last, opens, photographs, saves, ticks, types
from tests.journeys.storm import (
    CLOCKS,
    FILE,
    NEW_PLANTS_ON,
    POTS,
    ROOM,
    WEDNESDAY,
    asked_for,
    book,
    clocks,
    held,
    picks,
    says,
    told_of_the_hold,
)
from tests.journeys.workers import Worker, at_the_desk, goes_in, goes_out, there

TUESDAY = date(2031, 8, 12)
BEGAN = there(TUESDAY, "16:30")
LOOKS_ON = (WEDNESDAY, date(2031, 8, 27), date(2031, 9, 10))
LAMPS_OFF_MS = (7 * 60 + 35) * 60_000
OPEN_FOR_MS = (13 * 60 + 25) * 60_000


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("day-six"), 5, BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


def person(browser: Browser, office: Office, who: demo.Somebody) -> Iterator[Worker]:
    found = Worker(browser, office, who, BEGAN)
    yield found
    found.phone.context.close()


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.G)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1)


@pytest.mark.usefixtures("grower")
def test_the_screens_are_seen_whole_on_the_evening_before(w1: Worker) -> None:
    opens(w1, f"room/{ROOM}/read")
    types(w1, "room.readings", "reading.air_c", "21")
    saves(w1, "button.save")


def test_a_tear_is_written_and_mended_where_there_is_no_signal(w1: Worker) -> None:
    hand = w1.hand
    w1.phone.offline()
    w1.at("05:38", WEDNESDAY)
    goes_in(w1)
    w1.at("05:40", WEDNESDAY)
    opens(w1, f"room/{ROOM}/torn")
    chooses(w1, "torn.what", hand.says("torn.screen"))
    chooses(w1, "torn.size", hand.says("line.cm", n=35))
    seen = hand.page.get_by_role("group", name=hand.says("torn.last_good")).get_by_role("button")
    expect(seen.first).to_contain_text("16:30")
    seen.first.click()
    photographs(w1, "shows.screen")
    keeps(w1, "torn.save")
    w1.at("05:55", WEDNESDAY)
    opens(w1, f"room/{ROOM}/mend")
    hand.page.clock.fast_forward(30_000)
    chooses(w1, "mend.how", hand.says("mended.tape"))
    hand.tap("mend.save")
    shown = hand.page.locator("main")
    expect(shown).to_contain_text(says(hand, "mend.was_open", ms=OPEN_FOR_MS))


def test_a_tray_is_moved_away_from_the_screen(w1: Worker) -> None:
    hand = w1.hand
    w1.at("06:15", WEDNESDAY)
    opens(w1, f"move/{n.T6}")
    hand.tap_on_sheet(PLACES[n.BENCHES[1]]["name"])
    keeps(w1, "move.save", n=1)
    w1.at("06:45", WEDNESDAY)
    goes_out(w1)


def test_it_is_another_kind_of_incident_than_a_find(w1: Worker, office: Office, desk: Desk) -> None:
    before = desk.get(FILE)
    office.open(there(WEDNESDAY, "06:50"))
    w1.at("06:50", WEDNESDAY)
    w1.is_sent()
    after = desk.get(FILE)
    assert [one["kind"] for one in after["incidents"]] == ["find", "breach"]
    breach = after["incidents"][-1]
    assert (breach["exposed"], breach["ring"], breach["open"]) == ([], [], True)
    assert (breach["breach"]["size_cm"], breach["breach"]["minutes"]) == (35, 13 * 60 + 25)
    assert after["samples"] == before["samples"]
    assert clocks(desk) == CLOCKS
    assert desk.batch("T6")["place"] == n.BENCHES[1]


def test_it_holds_its_room_until_the_authority_decides(w1: Worker, desk: Desk) -> None:
    w1.hears()
    w1.go(f"may/moving_inside/{n.T1}")
    shown = w1.hand.page.locator("main")
    expect(shown.locator("[data-answer]")).to_have_attribute("data-answer", "no")
    expect(shown).to_contain_text(told_of_the_hold(w1.hand, desk))
    expect(shown).to_contain_text(w1.hand.says("reason.when_decided"))
    assert {one["by"] for pot in POTS for one in held(desk, pot)} == {"breach"}


def test_three_traps_more_hang_in_the_room(browser: Browser, office: Office, desk: Desk) -> None:
    page = at_the_desk(browser, office)
    hand = Hand(page)
    for number in range(1, 4):
        page.goto(f"/#/rooms/new/{ROOM}")
        hand.type("rooms.name", f"North trap {number}")
        hand.tap("place_kind.trap")
        hangs = page.get_by_role("group", name=hand.says("rooms.hangs"), exact=True)
        hangs.get_by_role("button", name=hand.says("place_kind.bench"), exact=True).click()
        hand.type("rooms.short", f"n-{number}")
        hand.tap("button.save")
        expect(page).to_have_url(re.compile("#/rooms$"))
    page.goto(f"/#/rooms/{ROOM}")
    hand.reads("rooms.traps", have=8, number=5)
    expect(page.get_by_role("alert")).to_contain_text(told_of_the_hold(hand, desk))
    assert hand.faults == []
    page.context.close()


def test_the_authority_is_told_at_ten_past_seven(
    grower: Worker, office: Office, desk: Desk
) -> None:
    hand = grower.hand
    office.open(there(WEDNESDAY, "07:10"))
    grower.at("07:10", WEDNESDAY)
    grower.phone.offline(False)
    grower.hears()
    opens(grower, f"room/{ROOM}")
    hand.tap("room.after_breach")
    chooses(grower, "told.whom", hand.says("card.plant_health"))
    hand.type("told.reference", "IN-12")
    chooses(grower, "told.how", hand.says("told.phone"))
    hand.reads("told.written")
    grower.is_sent()
    bodies = [one["body"] for one in desk.get(FILE)["notified"]]
    [told] = [body for body in bodies if body.get("reference") == "IN-12"]
    assert told["who"] == hand.says("card.plant_health")
    assert told["how"] == hand.says("told.phone")


def test_the_report_tells_people_weather_the_gap_and_what_was_done(
    grower: Worker, desk: Desk
) -> None:
    hand = grower.hand
    opens(grower, f"room/{ROOM}/mend")
    hand.tap("report.title")
    hand.type("told.reference", "IN-12")
    for one in (demo.W1, demo.G):
        chooses(grower, "report.people", one.name)
    hand.type("report.weather", "storm from the north, power and lamps off")
    types(grower, "report.gap", "report.from", "2210")
    types(grower, "report.gap", "report.until", "0545")
    expect(hand.page.locator("main")).to_contain_text(hand.says("line.span", ms=LAMPS_OFF_MS))
    hand.type("report.moved", "T6 to bench 2")
    grower.add(hand.says("report.traps"), 3)
    assert wrongs(hand.page) == []
    saves(grower, "report.save")
    report = desk.get(FILE)["incidents"][-1]["breach"]["report"]
    assert (report["reference"], report["extra_traps"]) == ("IN-12", 3)
    assert {*report["people"]} == {demo.W1.id, demo.G.id}
    assert report["gap_from"] == "2031-08-12T12:10:00.000Z"
    assert report["gap_minutes"] * 60_000 == LAMPS_OFF_MS
    assert (report["moved"], report["weather"][:5]) == ("T6 to bench 2", "storm")


def test_the_file_tells_how_long_the_room_was_open(browser: Browser, office: Office) -> None:
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto("/#/file/con-1/shared")
    hand.reads("mend.was_open", ms=OPEN_FOR_MS)
    page.goto("/#/file/con-1/screen")
    hand.reads("kind.described")
    hand.reads("mended.tape")
    hand.reads("line.extra_traps", n=3)
    assert hand.faults == []
    page.context.close()


def test_the_order_asks_for_three_look_overs_and_no_release_before_the_last(
    grower: Worker, office: Office, desk: Desk
) -> None:
    hand = grower.hand
    office.open(there(WEDNESDAY, "08:42"))
    grower.at("08:42", WEDNESDAY)
    opens(grower, f"papers/{ROOM}/order")
    hand.type("paper.reference", "BO-3")
    photographs(grower, "shows.paper")
    ticks(grower, "order.do_look")
    for on in LOOKS_ON:
        picks(hand, "order.look_on", on)
        hand.tap_named(says(hand, "order.add_look", on=on.isoformat()))
    ticks(grower, "order.do_not_before")
    picks(hand, "order.floor", LOOKS_ON[-1])
    saves(grower, "order.save", reference="BO-3")
    days = [on.isoformat() for on in LOOKS_ON]
    for pot in POTS:
        ordered = last(desk, desk.batch(pot)["id"], "ordered")
        assert (ordered["act"], ordered["reference"]) == ("look", "BO-3")
        assert (ordered["looks_on"], ordered["not_before"]) == (days, days[-1])
    assert [one for pot in POTS for one in held(desk, pot)] == []
    assert not desk.get(FILE)["incidents"][-1]["open"]
    assert clocks(desk) == CLOCKS


def test_the_release_stays_on_its_day_and_not_before_the_last_look_over(
    browser: Browser, office: Office
) -> None:
    page = at_the_desk(browser, office)
    hand, shown = Hand(page), page.locator("main")
    page.goto(f"/#/batch/{n.T1}")
    page.locator("summary").filter(has_text=hand.says("batch.why_then")).click()
    on = LOOKS_ON[-1].isoformat()
    expect(shown).to_contain_text(says(hand, "reason.not_before", reference="BO-3", on=on))
    expect(shown).to_contain_text(says(hand, "on_day", on="2031-11-23"))
    assert hand.faults == []
    page.context.close()


def test_all_243_are_looked_over_on_the_first_of_its_days(
    w1: Worker, office: Office, desk: Desk
) -> None:
    assert asked_for(desk) == {(pot, on) for pot in POTS for on in LOOKS_ON}
    office.open(there(WEDNESDAY, "09:10"))
    w1.at("09:10", WEDNESDAY)
    w1.phone.offline(False)
    w1.hears()
    w1.phone.offline()
    goes_in(w1)
    at_the_round(w1)
    for pot in POTS:
        finds_nothing(w1, pot, 6)
    goes_out(w1)
    w1.is_sent()
    looks = [last(desk, desk.batch(pot)["id"], "looked") for pot in POTS]
    assert sum(look["plants"] for look in looks) == 243
    assert {look["answer"] for look in looks} == {"nothing"}
    assert asked_for(desk) == {(pot, on) for pot in POTS for on in LOOKS_ON[1:]}


def test_what_if_400_plantlets_came_a_week_later(
    browser: Browser, office: Office, desk: Desk
) -> None:
    before = book(desk)
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto("/#/what-if")
    hand.type("whatif.plants", "400")
    hand.tap_on_sheet(PLACES[ROOM]["name"])
    hand.type("whatif.days", "180")
    page.locator("summary").filter(has_text=hand.says("whatif.on")).click()
    picks(hand, "whatif.on", NEW_PLANTS_ON)
    hand.tap("whatif.ask")
    shown = page.locator("main")
    expect(shown.locator(".answer")).to_contain_text(hand.says("gate.no"))
    place = PLACES[ROOM]["name"]
    for code, params in (
        ("one_group", {"place": place, "release": "2032-02-16", "n": 85}),
        ("benches_taken", {"place": place, "taken": 13.5, "of": 15}),
        ("order_until", {"reference": "BO-3", "on": "2031-09-10"}),
    ):
        expect(shown).to_contain_text(says(hand, f"reason.{code}", **params))
    written = {"n": before["lines"], "on": WEDNESDAY.isoformat()}
    expect(shown).to_contain_text(says(hand, "whatif.nothing_written", **written))
    assert book(desk) == before
    assert hand.faults == []
    page.context.close()
