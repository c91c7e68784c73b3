"""Day 2 of the story: the weekly round without signal, and two people who count one tray apart."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import PLACES
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.rounds import at_the_round, counts, finds_nothing, opens_tray, reads
from tests.journeys.workers import Worker, at_the_desk, goes_in, goes_out, living, there

MONDAY, TUESDAY = date(2031, 3, 24), date(2031, 3, 25)
MORNING, LATE_MORNING = there(MONDAY, "07:00"), there(MONDAY, "11:30")
TRAYS = ("T1", "T2", "T3", "T4", "T5", "T6")
ALIVE_AT_DAWN = {"T1": 53, "T2": 53, "T3": 53, "T4": 54, "T5": 50, "T6": 44}
CLEAN = {"T1": 12, "T2": 11, "T3": 11, "T4": 12, "T6": 9}
# 20 plants under the lens and 8 at the edge: one less than the checklist's 4 and 2 in four trays.
FEWER = ("under_leaves", "edge_plants")


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    with office_on(tmp_path / "office", 1, MORNING) as office:
        yield office


def finds_two_dead(worker: Worker) -> None:
    """Two of T5 are dead of stem rot, and go into the officer's bag."""
    hand = worker.hand
    opens_tray(worker, "T5", 13, FEWER, "stem_base")
    hand.tap_named(hand.says("look.answer_found_more"))
    worker.add(hand.says("look.dead"), 2)
    hand.tap_named(hand.says("symptom.stem_rot"))
    hand.page.get_by_role("button", name=hand.says("part.stem"), exact=True).click()
    bag = hand.page.get_by_role("switch", name=hand.says("batch.bag"))
    expect(bag).to_be_checked()
    hand.tap("look.save_dead", label="T5", n=2)
    expect(worker.line("T5")).to_contain_text(hand.says("look.found"))


def looks_over(w1: Worker) -> None:
    """The trays in their order, with a flat battery between them; one tray is counted as well."""
    at_the_round(w1)
    taps = {label: finds_nothing(w1, label, CLEAN[label]) for label in ("T1", "T2")}
    assert taps == {"T1": 2, "T2": 2}, "a clean tray by two taps"
    w1.reloads()
    at_the_round(w1)
    for label in ("T1", "T2"):
        expect(w1.line(label)).to_contain_text(w1.hand.says("look.nothing"))
    finds_nothing(w1, "T3", CLEAN["T3"], FEWER)
    assert counts(w1, "T3", 2, 52) == 3, "a count by three taps, and its figures"
    at_the_round(w1)
    finds_nothing(w1, "T4", CLEAN["T4"], FEWER)
    finds_two_dead(w1)
    finds_nothing(w1, "T6", CLEAN["T6"], FEWER)


def is_wet(worker: Worker) -> None:
    hand, name = worker.hand, PLACES[n.TRAP_VENT_2]["name"]
    worker.opens(name)
    hand.tap_named(hand.says("answer.not_readable"))
    hand.page.get_by_role("button", name=hand.says("unreadable.wet"), exact=True).click()
    hand.tap("traps.save_unreadable", name=name)
    is_no_zero(worker)


def is_no_zero(worker: Worker) -> None:
    """The wet trap bears no figure, and says why."""
    line = worker.line(PLACES[n.TRAP_VENT_2]["name"])
    expect(line).to_contain_text(worker.hand.says("unreadable.wet"))
    expect(line.locator(".fig")).to_have_text("")


def reads_traps(worker: Worker) -> None:
    worker.go("traps")
    reads(worker, n.TRAP_A, n.THRIPS, 3)
    reads(worker, n.TRAP_B, n.THRIPS, 1)
    reads(worker, n.TRAP_DOOR)
    reads(worker, n.TRAP_VENT_1, n.GNATS, 11)
    is_wet(worker)


def measures(worker: Worker) -> None:
    """Conductivity and acidity of the drain water of five pots."""
    hand = worker.hand
    worker.go(f"room/{n.QUARANTINE}")
    hand.tap("room.readings")
    for what, figures in (("ec_ms_cm", "0.9"), ("ph", "6.1")):
        hand.tap_named(hand.says(f"reading.{what}"))
        hand.pad(figures)
    expect(hand.page.locator("main .line").filter(has_text=hand.says("room.pots"))).to_contain_text(
        "5"
    )
    hand.page.get_by_role("button", name=hand.says("button.save")).click()
    expect(hand.page.locator("main")).to_contain_text(hand.says("line.reading.ph", n=6.1))


def morning(w1: Worker, w2: Worker) -> None:
    """From the anteroom and back to it, each by themselves, nobody with signal."""
    w1.at("07:05")
    assert goes_in(w1) == 2
    w1.at("07:10")
    looks_over(w1)
    w1.at("08:27")
    reads_traps(w1)
    w1.at("08:40")
    measures(w1)
    w1.at("08:50")
    goes_out(w1)
    w2.at("07:55")
    goes_in(w2)
    w2.at("08:00")
    assert counts(w2, "T3", 1, 53) == 3
    w2.at("08:20")
    goes_out(w2)


def test_305_are_alive_and_nobody_died_twice(browser: Browser, office: Office) -> None:
    w1 = Worker(browser, office, demo.W1, MORNING)
    w2 = Worker(browser, office, demo.W2, MORNING)
    for worker in (w1, w2):
        worker.phone.offline()
    morning(w1, w2)
    office.open(LATE_MORNING)
    for worker in (w1, w2):
        worker.at("11:30")
        worker.is_sent()
    desk = Desk(office.url)
    grower = at_the_desk(browser, office)
    differ_by_one(grower)
    for worker in (w1, w2):
        worker.hears()
        worker.go(f"batch/{n.T3}")
        worker.hand.reads("doubt.disagreement", first=52, second=53)
    recounts(w1, office)
    expected_at_the_desk(grower)
    expected_of_the_second_evening(desk)
    is_changed_the_next_day(w1, office, desk)
    assert (w1.faults, w2.faults) == ([], [])


def differ_by_one(page: Page) -> None:
    """The grower sees both counts beside each other, each with its person."""
    page.goto("/#/looks")
    said = page.get_by_role("listitem").filter(has_text="Counted twice by people apart: 52 and 53.")
    expect(said).to_contain_text("T3")
    counted = said.locator(".two p")
    expect(counted).to_have_count(2)
    expect(counted.filter(has_text=demo.W1.name).locator("b")).to_have_text("52")
    expect(counted.filter(has_text=demo.W2.name).locator("b")).to_have_text("53")


def recounts(w1: Worker, office: Office) -> None:
    """The grower goes in with the room's phone: one was behind the drip line."""
    w1.at("11:50")
    w1.hands_to(demo.G)
    goes_in(w1)
    w1.at("11:56")
    counts(w1, "T3", 1, 53)
    w1.at("12:02")
    goes_out(w1)
    office.open(there(MONDAY, "12:20"))
    w1.at("12:20")
    w1.is_sent()
    w1.go("stock")
    page = w1.hand.page
    expect(living(page)).to_have_text("305")


def expected_at_the_desk(page: Page) -> None:
    page.goto("/#/")
    page.reload()
    expect(living(page)).to_have_text("305")
    page.goto("/#/looks")
    expect(page.get_by_role("heading", name="Needs a look")).to_be_visible()
    expect(page.get_by_text("Counted twice by people apart")).to_have_count(0)
    page.goto(f"/#/batch/{n.T5}")
    account = page.get_by_role("group", name="plant account")
    expect(account).to_contain_text(re.compile(r"54 in\s*=\s*48 alive\s*\+\s*6 dead"))
    page.goto(f"/#/batch/{n.T3}")
    expect(account).to_contain_text(re.compile(r"54 in\s*=\s*53 alive\s*\+\s*1 sampled"))
    page.goto(f"/#/batch/{n.T2}")
    looked = page.get_by_role("listitem").filter(has_text="looked, nothing found")
    expect(looked).to_contain_text(demo.W1.name)
    expect(looked).to_contain_text("11 min")
    expect(looked.locator("time")).to_have_text(re.compile(r"07:[23]\d"))


def day_of(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return what was written on this Monday."""
    return [one for one in entries if one["occurred_at"] > "2031-03-23T20"]


def expected_of_the_second_evening(desk: Desk) -> None:
    [came] = [one for one in desk.get("consignments")["items"] if one["id"] == "con-1"]
    ledger = came["ledger"]
    assert (ledger["in"], ledger["alive"], ledger["died"], ledger["sampled"]) == (318, 305, 9, 4)
    assert ledger["difference"] == 0
    assert desk.alive(*TRAYS) == [53, 53, 53, 54, 48, 44]
    assert desk.get("needs-a-look")["doubts"] == []
    looks = {label: day_of(desk.records(desk.batch(label)["id"], "looked")) for label in TRAYS}
    assert {label: len(found) for label, found in looks.items()} == dict.fromkeys(TRAYS, 1)
    for label, minutes in CLEAN.items():
        [look] = looks[label]
        body = look["body"]
        assert (look["author"], body["answer"], body["minutes"]) == (demo.W1.id, "nothing", minutes)
        assert "2031-03-23T21:10" <= look["occurred_at"] <= "2031-03-23T22:26"
        assert body["plants"] == ALIVE_AT_DAWN[label]
    seen = {
        name: sum(
            one["plants"]
            for [look] in looks.values()
            for one in look["body"]["items"]
            if one["item"] == name
        )
        for name in ("under_leaves", "edge_plants")
    }
    assert seen == {"under_leaves": 20, "edge_plants": 8}
    [dead] = day_of(desk.records(n.T5, "lost"))
    assert (dead["body"]["count"], dead["body"]["cause"], dead["body"]["kept"]) == (
        2, "stem_rot", True,
    )  # fmt: skip
    [read] = in_place(desk, n.QUARANTINE, "read")
    assert read["body"] == {
        "readings": [{"what": "ec_ms_cm", "value": 0.9}, {"what": "ph", "value": 6.1}],
        "pots": 5,
    }
    caught_this_morning(desk)


def in_place(desk: Desk, place: str, kind: str) -> list[dict[str, Any]]:
    lines = desk.get(f"places/{place}")["timeline"]
    return [line["entry"] for line in lines if line["entry"]["kind"] == kind]


def caught_this_morning(desk: Desk) -> None:
    """Four traps were read, one of them a true zero; of the wet one there is no figure at all."""
    bodies = {trap: in_place(desk, trap, "trapped")[-1]["body"] for trap in n.TRAPS}
    assert {trap: bodies[trap]["catches"] for trap in n.TRAPS[:4]} == {
        n.TRAP_A: [{"pest": n.THRIPS, "count": 3}],
        n.TRAP_B: [{"pest": n.THRIPS, "count": 1}],
        n.TRAP_DOOR: [],
        n.TRAP_VENT_1: [{"pest": n.GNATS, "count": 11}],
    }
    wet = bodies[n.TRAP_VENT_2]
    assert (wet["answer"], wet["why"], wet.get("catches", [])) == ("not_readable", "wet", [])
    kept = next(one for one in desk.get("places")["items"] if one["id"] == n.TRAP_VENT_2)
    assert (kept["trap"]["answer"], kept["trap"]["catches"]) == ("not_readable", None)


def changes(desk: Desk) -> list[tuple[str, str]]:
    return [(one["subject"], one["due_by"]) for one in desk.checks("replace_trap")]


def is_changed_the_next_day(w1: Worker, office: Office, desk: Desk) -> None:
    """The wet trap is a task of Tuesday, until it is changed."""
    assert changes(desk) == [(n.TRAP_VENT_2, "2031-03-25T13:59:59.999Z")]
    w1.hears()
    w1.phone.offline()
    w1.at("07:00", TUESDAY)
    w1.hands_to(demo.W1)
    w1.go("traps")
    hand, name = w1.hand, PLACES[n.TRAP_VENT_2]["name"]
    expect(w1.line(name)).to_contain_text(hand.says("traps.change"))
    hand.tap("traps.go_change", name=name)
    hand.page.get_by_role("switch", name=hand.says("traps.replaced")).click()
    hand.tap_named(hand.says("answer.not_readable"))
    hand.page.get_by_role("button", name=hand.says("unreadable.wet"), exact=True).click()
    hand.tap("traps.save_unreadable", name=name)
    expect(w1.line(name)).not_to_contain_text(hand.says("traps.change"))
    is_no_zero(w1)
    office.open(there(TUESDAY, "07:10"))
    w1.at("07:10", TUESDAY)
    w1.is_sent()
    assert changes(Desk(office.url)) == []
