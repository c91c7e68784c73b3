"""Day 1 of the story on two phones without signal: what came is counted, the paper is told apart.

The goods come before the office has typed their papers. Two people count apart, four hours without
signal; at noon the office matches what came with what it typed.
"""

import re
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.ops.demo import law
from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import phone_of
from tests.journeys.workers import Worker, at_the_desk, goes_in, living, somebody_goes_in

MORNING = datetime.fromisoformat("2031-03-02T20:48:00+00:00")
NOON = datetime.fromisoformat("2031-03-03T01:36:00+00:00")
FIRST_COUNT = {"T1": 0, "T2": 0, "T3": 0, "T4": 0, "T5": 0, "T6": 6}


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    with office_on(tmp_path / "office", 0, MORNING) as office:
        yield office


def foot_bath(worker: Worker) -> None:
    hand = worker.hand
    worker.go(f"room/{n.QUARANTINE}/bath")
    hand.reads("caution.disinfectant")
    hand.tap("bath.copper")
    hand.tap("line.percent", n=1)
    hand.tap("button.save")
    expect(hand.one("button.save")).to_be_hidden()


def unpack(worker: Worker) -> str:
    """Open the boxes and label the trays; return the number for the other phone."""
    hand = worker.hand
    worker.go("arrive")
    hand.tap("arrive.unknown")
    hand.tap("seal.unbroken")
    for _ in range(5):
        hand.tap("tally.more", n=1, of=hand.says("arrive.boxes"))
    worker.photograph("shows.box")
    hand.tap("arrive.next")
    hand.pad("324")
    hand.tap("arrive.next")
    hand.tap_named("Quarantine room")
    hand.tap_named("Finger-lime")
    hand.tap("arrive.next")
    for _ in range(5):
        hand.tap("tally.more", n=1, of=hand.says("arrive.how_many"))
    hand.tap_named("54")
    hand.tap("arrive.save_trays", n=6)
    number = hand.page.locator("main .line").filter(has_text=hand.says("arrive.their_number"))
    return number.locator("b").inner_text()


def count(worker: Worker, label: str, gaps: int) -> int:
    """Count a tray by its gaps; return how many taps it took, figures counted apart."""
    hand = worker.hand
    before = hand.taps
    hand.page.get_by_role("link", name=hand.says("arrive.count_next", label=label)).click()
    hand.taps += 1
    hand.pad(str(gaps))
    hand.tap("count.save", label=label, n=54 - gaps)
    expect(hand.page.get_by_text(hand.says("arrive.then"))).to_be_visible()
    return hand.taps - before


def recount_elsewhere(worker: Worker, number: str) -> None:
    """A second person counts T6 on a phone that has not heard of the trays."""
    hand = worker.hand
    worker.go("arrive")
    hand.tap("arrive.elsewhere")
    hand.pad(number)
    hand.tap("arrive.go_on")
    hand.pad("6")
    hand.tap("arrive.count_next", label="T6")
    hand.pad("48")
    hand.tap("arrive.second_says", label="T6", n=48)


def morning(w1: Worker, w2: Worker) -> str:
    """From the anteroom to the second count, each by themselves; return the arrival's number."""
    w1.at("06:50")
    assert goes_in(w1) == 2
    somebody_goes_in(w1, demo.G.name)
    w1.at("06:54")
    foot_bath(w1)
    w1.at("07:30")
    number = unpack(w1)
    w1.at("08:10")
    w1.go(f"arrive/arrival_2031-03-03_{number}")
    taps = {label: count(w1, label, gaps) for label, gaps in FIRST_COUNT.items()}
    assert set(taps.values()) == {2}, "two taps a tray, and its figures"
    said = w1.hand.says("reason.short", certificate=324, counted=318, n=6)
    expect(w1.phone.page.get_by_text(said)).to_be_visible()
    w2.at("08:38")
    assert goes_in(w2) == 2
    w2.at("08:40")
    recount_elsewhere(w2, number)
    return number


def dead_and_sampled(w1: Worker, arrival: str) -> None:
    w1.at("09:20")
    w1.go(f"arrive/{arrival}/dead")
    w1.add("T5", 4)
    w1.add("T6", 3)
    w1.hand.tap("arrive.save_dead", n=7, each="T5: 4 y T6: 3")
    expect(w1.figure()).to_have_text("318")
    w1.at("09:45")
    somebody_goes_in(w1, demo.P.name, "Plant Health Service")
    w1.at("09:50")
    w1.go(f"arrive/{arrival}/officer")
    w1.hand.tap_named(demo.P.name)
    for label in ("T1", "T2", "T3", "T6"):
        w1.add(label, 1)
    w1.hand.pad("1")
    w1.hand.tap("arrive.save_taken", n=4)
    expect(w1.figure()).to_have_text("318")


def burned_and_told(w1: Worker, arrival: str) -> None:
    w1.at("11:30")
    w1.go(f"arrive/{arrival}/packing")
    w1.hand.pad("14.2")
    w1.hand.tap("method.burned")
    w1.hand.reads("caution.fire")
    w1.hand.tap_named(w1.hand.says("arrive.dead_with_it", n=7))
    w1.hand.tap_named(demo.P.name)
    w1.hand.tap("button.save")
    expect(w1.figure()).to_have_text("318")
    w1.go(f"arrive/{arrival}/tell")
    expect(w1.phone.page.get_by_text("faltan 6, 7 muertas")).to_be_visible()


def test_318_come_in_whatever_the_paper_says(browser: Browser, office: Office) -> None:
    w1 = Worker(browser, office, demo.W1, MORNING)
    w2 = Worker(browser, office, demo.W2, MORNING)
    for worker in (w1, w2):
        worker.phone.offline()
    arrival = f"arrival_2031-03-03_{morning(w1, w2)}"
    w1.phone.page.reload()
    w1.phone.is_written_by(demo.W1)
    w1.go(f"arrive/{arrival}")
    expect(w1.figure()).to_have_text("318")
    dead_and_sampled(w1, arrival)
    burned_and_told(w1, arrival)
    assert (w1.faults, w2.faults) == ([], [])

    office.open(NOON)
    for worker in (w1, w2):
        worker.at("11:36")
        worker.phone.offline(False)
        worker.phone.is_sent()
    desk = Desk(office.url)
    came = only(desk, arrival)
    assert (came["counted"], came["stated"], came["notices"]) == (318, None, [])
    desk.ask("PUT", f"rows/permit/{law.PERMIT}", {"body": law.PERMIT_BODY})
    desk.ask("PUT", f"rows/consignment/{law.CONSIGNMENT}", {"body": awaited()})
    match(browser, office, desk.batch("T1")["id"])
    reads_five_traps(w2)
    expected_of_the_first_evening(desk, arrival)


def awaited() -> dict[str, Any]:
    return {name: value for name, value in law.CONSIGNMENT_BODY.items() if name != "arrived_on"}


def only(desk: Desk, consignment: str) -> dict[str, Any]:
    found = [one for one in desk.get("consignments")["items"] if one["id"] == consignment]
    assert len(found) == 1
    return dict(found[0])


def reads_the_first_evening(page: Page, tray: str) -> None:
    """What the grower reads of the arrival: the stock, the day of release and what it wants."""
    page.goto("/#/")
    page.reload()
    expect(living(page)).to_have_text("307")
    page.goto(f"/#/batch/{tray}")
    account = page.get_by_role("group", name="plant account")
    expect(account).to_contain_text(re.compile(r"54 in\s*=\s*53 alive\s*\+\s*1 sampled"))
    expect(page.locator("main")).to_contain_text("SAT 30 AUG")
    expect(page.locator("main")).to_contain_text("Official inspection 1 is missing.")


def reads_five_traps(worker: Worker) -> None:
    """The phone lists the traps that the permit asks for, each still to be read."""
    worker.hears()
    worker.go("traps")
    todo = worker.hand.page.locator("main li").filter(has_text=worker.hand.says("traps.read_it"))
    expect(todo).to_have_count(5)


def match(browser: Browser, office: Office, tray: str) -> None:
    """The grower says at the office which of the typed goods these are."""
    grower = Hand(at_the_desk(browser, office))
    grower.page.goto("/#/looks")
    grower.page.get_by_role("link", name="which goods?").click()
    expect(grower.page.get_by_text("read on the paper when it was unpacked: 324")).to_be_visible()
    grower.tap_named("Finger-lime, March 2031")
    grower.tap("match.save")
    expect(grower.page.get_by_role("heading", name="Needs a look")).to_be_visible()
    expect(grower.page.get_by_text("Certificate 324, counted 318: 6 short.")).to_be_visible()
    reads_the_first_evening(grower.page, tray)
    assert grower.faults == []
    grower.page.context.close()


def expected_of_the_first_evening(desk: Desk, arrival: str) -> None:
    came = only(desk, arrival)
    ledger = came["ledger"]
    assert (came["counted"], came["stated"]) == (318, 324)
    assert [(one["code"], one["params"]["n"]) for one in came["notices"]] == [("short", 6)]
    assert (ledger["in"], ledger["alive"], ledger["died"], ledger["sampled"]) == (318, 307, 7, 4)
    assert ledger["difference"] == 0
    trays = ("T1", "T2", "T3", "T4", "T5", "T6")
    assert desk.alive(*trays) == [53, 53, 53, 54, 50, 44]
    first = desk.batch("T1")
    assert first["outlook"]["clock"]["started_on"] == "2031-03-03"
    assert first["outlook"]["clock"]["earliest"] == "2031-08-30"
    assert first["began_at"][:16] == "2031-03-02T21:30"
    sixth = desk.records(desk.batch("T6")["id"], "counted")
    assert [(one["author"], one["body"]["alive"], one["body"]["saw"]) for one in sixth] == [
        (demo.W1.id, 48, None),
        (demo.W2.id, 48, None),
    ]
    assert desk.get("needs-a-look")["doubts"] == []
    checks_of_the_first_evening(desk)
    assert [one["id"] for one in desk.get("rows/consignment")["items"]] == [arrival]
    boxes = [one["body"].get("boxes") for one in desk.records(first["id"], "received")]
    assert boxes == [6]
    assert len(desk.records(first["id"], "photographed")) == 1
    bath = desk.get("places/q-anteroom")["timeline"]
    assert [line["entry"]["body"] for line in bath] == [{"product": "copper", "percent": 1}]


def checks_of_the_first_evening(desk: Desk) -> None:
    """Each of five traps is to be read, and each tray inspected while it grows."""
    assert {check["subject"] for check in desk.checks("trap")} == set(n.TRAPS)
    inspections = desk.checks("inspection", 60)
    asked = {(one["params"]["number"], one["params"]["active_growth"]) for one in inspections}
    assert asked == {(1, True)}
    trays = ("T1", "T2", "T3", "T4", "T5", "T6")
    assert {one["subject"] for one in inspections} == {desk.batch(one)["id"] for one in trays}
    assert {one["opens_at"] for one in inspections} == {"2031-03-02T14:00:00.000Z"}


def test_nobody_goes_in_where_the_door_is_shut_and_it_may_have_happened(
    browser: Browser, tmp_path: Path
) -> None:
    with office_on(tmp_path / "office", 3) as office:
        phone = phone_of(browser, Desk(office.url), demo.W2, "Room phone 3")
        hand = Hand(phone.page)
        phone.offline()
        phone.go(f"access/{n.QUARANTINE}")
        expect(phone.page.get_by_role("alert").filter(has_text="EM-77").first).to_be_visible()
        expect(hand.one("access.go_in")).to_be_hidden()
        hand.tap("gate.happened")
        hand.tap("access.go_in")
        expect(hand.one("access.go_out")).to_be_visible()
        hand.tap("access.go_out")
        expect(phone.page.get_by_text(hand.says("access.nobody"))).to_be_visible()
        assert phone.faults == []


def test_whoever_is_inside_in_the_evening_is_asked_about(browser: Browser, office: Office) -> None:
    worker = Worker(browser, office, demo.W2, MORNING)
    worker.phone.offline()
    worker.at("08:00")
    goes_in(worker)
    worker.go("")
    expect(worker.phone.page.get_by_role("link", name="Still inside?")).to_be_hidden()
    worker.at("18:00")
    worker.phone.page.reload()
    worker.phone.page.get_by_role("link", name="Still inside?").click()
    expect(worker.phone.page.get_by_text("Still inside?").last).to_be_visible()
    worker.phone.page.get_by_role("button", name=f"{demo.W2.name} went out").click()
    expect(worker.phone.page.get_by_text("Nobody is inside anywhere.")).to_be_visible()
