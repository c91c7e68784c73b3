"""Day 9 of the story: 214 plants come into the ground, one tap a hole."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo, words
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.planting import (
    FRIDAY,
    LABELS,
    at,
    carries,
    hit,
    holes_of,
    left,
    others_plant,
    plants,
    sends,
    tells,
    turns_to,
    types_label,
    undo,
)
from tests.journeys.sheets import bodies, opens
from tests.journeys.workers import Worker, at_the_desk, person, there
from tests.phone import Writer

BEGAN = there(FRIDAY, "05:20")
TR3, TR4, TR5 = n.TERRACES
GROWER = Writer("growers", author=demo.G.id, number=72)
PEN = Writer("other-crew", author=demo.W2.id, number=71)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("day-nine"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


@pytest.fixture(scope="module")
def w2(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W2, BEGAN)


def test_214_plants_and_8_spares_go_out_through_the_gate_of_each_batch(
    w1: Worker, desk: Desk
) -> None:
    w1.hears()
    opens(w1, f"scan-out/{TR3}")
    for batch in (n.T1, n.T5):
        gate = w1.hand.page.locator(f'main [data-gate="{batch}"]')
        expect(gate).to_have_attribute("data-answer", "yes")
        expect(gate).to_contain_text("RN-204")
    carries(w1, TR3, "out", {}, 72)
    carries(w1, TR4, "out", {}, 72)
    carries(w1, TR5, "out", {}, 70)
    # What the block wants is out: the spares are typed, of another batch by its tag.
    carries(w1, TR3, "out", {n.T1: 4, n.T5: 2, n.T2: 2}, 8)
    w1.is_sent()
    out = {batch: sum(one["plants"] for one in bodies(desk, batch, "carried")) for batch in n.POTS}
    assert out == {n.T1: 47, n.T2: 52, n.T3: 45, n.T5: 43, n.T6: 27, n.MIXED: 8}


def test_two_of_t3_break_on_the_way(w1: Worker, desk: Desk) -> None:
    carries(w1, TR4, "broken", {n.T3: 2}, 2)
    w1.is_sent()
    assert bodies(desk, n.T3, "lost")[-1] == {
        "count": 2,
        "fate": "culled",
        "cause": "broken_in_transit",
        "carried": True,
    }
    assert desk.batch("T3")["ledger"]["culled"] == 2


def test_a_row_is_planted_hole_by_hole_and_a_tag_changes_the_batch(w1: Worker, desk: Desk) -> None:
    hand = w1.hand
    opens(w1, f"plant/{TR4}/2")
    left(w1, 43)
    plants(w1, 13, 14)
    left(w1, 41)
    # Two of T3 are broken: spares of T1 stand for them, and the row says what was meant.
    turns_to(w1, "T1")
    left(w1, 47)
    hand.reads("plant.meant", label="T3")
    plants(w1, 15, 16)
    hand.reads("plant.meant", label="T2")
    turns_to(w1, "T2")
    left(w1, 52)
    plants(w1, 17, 18)
    left(w1, 50)
    undo(w1).click()
    left(w1, 51)
    plants(w1, *range(18, 25))
    left(w1, 44)
    expect(hand.one("plant.next_row", n=3)).to_be_visible()
    sends(w1)
    told = [body["positions"] for body in holes_of(desk, n.T2)]
    assert told == [[str(hole)] for hole in range(17, 25)]
    assert desk.batch("T2")["ledger"]["planted"] == 8


def test_quick_taps_are_a_record_each(w1: Worker, desk: Desk) -> None:
    opens(w1, f"plant/{TR4}/3")
    plants(w1, 25)
    left(w1, 43)
    w1.hand.page.evaluate(
        """() => {
          for (let tap = 0; tap < 5; tap += 1)
            document.querySelector("main button[data-position]").click();
        }"""
    )
    expect(hit(w1)).to_have_attribute("data-position", "31")
    left(w1, 38)
    sends(w1)
    told = [body["positions"] for body in holes_of(desk, n.T2)[8:]]
    assert told == [[str(hole)] for hole in range(25, 31)]


def test_what_was_booked_for_another_terrace_is_taken_as_planted(w1: Worker, desk: Desk) -> None:
    opens(w1, f"plant/{TR4}/3")
    turns_to(w1, "T3")
    w1.hand.reads("plant.meant", label="T2")
    plants(w1, 31, 32)
    # The line that says what is meant changes back by one tap.
    w1.hand.tap("plant.meant", label="T2")
    plants(w1, 33)
    others_plant(w1, PEN, TR4, (*range(1, 13), *range(34, 45), *range(46, 73)), "07:00")
    others_plant(w1, PEN, TR3, range(1, 73), "06:05")
    sends(w1)
    found = {body["positions"][0] for body in holes_of(desk, n.T3) if body["block"] == TR4}
    assert {"31", "32", "40"} < found


def test_a_phone_dies_and_another_asks_fourteen_positions_again(
    w1: Worker, w2: Worker, desk: Desk
) -> None:
    w2.at("11:00", FRIDAY)
    w2.phone.offline(False)
    w2.hears()
    opens(w2, f"plant/{TR5}/1")
    plants(w2, 1)
    sends(w2)
    w2.phone.offline()
    plants(w2, *range(2, 16))
    # It lies in the mud now: what it holds is with nobody.
    w1.at("11:20", FRIDAY)
    w1.phone.offline(False)
    w1.hears()
    w1.go(f"plant/{TR5}")
    asked = w1.hand.page.locator("main [data-asked]")
    expect(asked).to_have_attribute("data-asked", "14")
    w1.phone.offline()
    asked.locator('a[data-row="1"]').click()
    plants(w1, *range(2, 16))
    expect(asked).to_have_count(0)
    sends(w1)
    assert len(holes_of(desk, n.T3)) == 14 + 3 + 15


def test_a_phone_that_comes_back_to_life_tells_the_same_plants_once(w2: Worker, desk: Desk) -> None:
    before = desk.batch("T3")["ledger"]["planted"]
    w2.is_sent()
    assert len(holes_of(desk, n.T3)) == 14 + 3 + 15 + 14
    assert desk.batch("T3")["ledger"]["planted"] == before


def test_rain_stops_the_last_row_before_its_first_hole(w1: Worker, w2: Worker) -> None:
    others_plant(w1, PEN, TR5, range(16, 61), "11:40")
    w1.at("14:10", FRIDAY)
    w1.phone.offline(False)
    w1.hears()
    w1.go(f"plant/{TR5}")
    told = w1.hand.page.locator('main a[data-row="4"][data-open="0"]')
    expect(told).to_be_visible()
    row = w1.hand.page.locator('main a[data-row="5"]')
    expect(row).to_have_attribute("data-open", "10")
    # A row that nobody began is no row that somebody forgot to tell.
    expect(w1.hand.page.locator("main [data-asked]")).to_have_count(0)
    w1.at("15:20", FRIDAY)
    opens(w1, f"plant/{TR5}/5")
    left(w1, 10)
    plants(w1, *range(61, 71))
    left(w1, 0)
    expect(w1.hand.one("plant.all_rows")).to_be_visible()
    sends(w1)


def test_a_hole_that_nobody_told_of_is_lit_before_the_crew_leaves(w1: Worker) -> None:
    w1.go(f"plant/{TR4}")
    asked = w1.hand.page.locator("main [data-asked]")
    expect(asked).to_have_attribute("data-asked", "1")
    asked.locator('a[data-row="4"]').click()
    plants(w1, 45)
    opens(w1, f"plant/{TR4}")
    expect(w1.hand.page.locator("main a[data-row]").first).to_be_visible()
    expect(asked).to_have_count(0)
    sends(w1)


def test_six_spares_come_back_and_the_account_is_whole(w1: Worker, desk: Desk) -> None:
    w1.at("16:20", FRIDAY)
    opens(w1, f"plant/{TR3}")
    out = w1.hand.page.locator("main [data-out]")
    expect(out).to_have_count(3)
    assert {
        one.get_attribute("data-batch"): one.get_attribute("data-out") for one in out.all()
    } == {
        n.T1: "2",
        n.T2: "2",
        n.T5: "2",
    }
    carries(w1, TR3, "back", {}, 6)
    expect(out).to_have_count(0)
    w1.is_sent()
    found = {label: desk.get(f"batches/{pot}") for pot, label in LABELS.items()}
    planted = {label: batch["ledger"]["planted"] for label, batch in found.items()}
    assert planted == {"T1": 45, "T2": 50, "T3": 43, "T5": 41, "T6": 27, "U": 8}
    assert sum(planted.values()) == 214
    reserve = {label: batch["alive"] for label, batch in found.items() if batch["alive"]}
    assert reserve == {"T1": 3, "T2": 2, "T5": 2, "T6": 6}
    # 241 that grew on, of 243 in pots: five died, nine were culled with the two that broke.
    ledgers = [batch["ledger"] for batch in found.values()]
    assert [batch["difference"] for batch in ledgers] == [0] * len(ledgers)


def test_a_label_that_nobody_knows_is_told_in_words_and_the_batch_stays(w1: Worker) -> None:
    opens(w1, f"plant/{TR5}/5")
    w1.hand.tap("plant.another")
    w1.hand.tap("button.scan_label")
    types_label(w1, "T9")
    w1.hand.reads("scan.nowhere", label="T9")
    w1.hand.tap("pad.again")
    w1.hand.page.keyboard.press("Escape")
    w1.hand.page.keyboard.press("Escape")
    expect(w1.hand.page.get_by_role("dialog")).to_have_count(0)
    expect(w1.hand.page.locator("main .now")).to_contain_text(LABELS[n.T6])


def test_a_plant_of_a_held_batch_is_told_of_with_its_reason_and_kept(
    w1: Worker, desk: Desk
) -> None:
    hand = w1.hand
    # One hole was told wrongly and is told anew, when the batch is on hold.
    hand.page.locator('main [data-hole="70"]').click()
    hand.page.locator("main").get_by_role("link", name=hand.says("button.fix")).click()
    hand.tap_named(hand.says("fix.mis_tap"))
    hand.tap("fix.cancel")
    w1.is_sent()
    order = {"act": "hold", "reference": "EM-91"}
    tells(w1, GROWER.write("ordered", [n.T6], order, at("16:30")))
    w1.hears()
    w1.go(f"plant/{TR5}/5")
    alert = hand.page.locator("main .shut")
    expect(alert).to_contain_text("EM-91")
    expect(hit(w1)).to_have_count(0)
    hand.tap("gate.happened")
    w1.phone.offline()
    plants(w1, 70)
    sends(w1)
    assert desk.batch("T6")["ledger"]["planted"] == 27


def test_a_hole_that_two_phones_filled_apart_needs_a_look(
    browser: Browser, office: Office, w1: Worker
) -> None:
    body = {"block": TR4, "row": "6", "positions": ["72"]}
    tells(w1, PEN.write("planted", [n.T2, f"{TR4}.6"], body, at("16:31")))
    page = at_the_desk(browser, office)
    page.goto(f"{office.url}/#/looks")
    twice = words.say(
        "en", "doubt.planted_twice", {"position": "72", "before": "T5", "batch": "T2"}
    )
    expect(page.get_by_text(twice)).to_be_visible()
    row = words.say("en", "name.row", {"place": "Terrace 4", "n": "6"})
    expect(page.get_by_text(row, exact=True)).to_be_visible()
    page.context.close()
