"""Day 3 of the story, a Sunday: something that nobody knows is held at once, by phones alone."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import EMERGENCY_CARD, PLACES
from nursery.services import demo
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.rounds import at_the_round
from tests.journeys.workers import Worker, at_the_desk, goes_in, goes_out, somebody_goes_in, there

SATURDAY, SUNDAY = date(2031, 5, 3), date(2031, 5, 4)
BEGAN = there(SATURDAY, "09:00")
TRAYS = dict(zip(("T1", "T2", "T3", "T4", "T5", "T6"), n.TRAYS, strict=True))
SHUT = ("moving", "moving_inside", "potting", "sending")
# The hold is newer than what the office told the phone before.
HELD_HERE = "Held, as this phone worked it out."
SERVICE = "Plant Health Service"


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    with office_on(tmp_path / "office", 2, BEGAN) as office:
        yield office


def waters_the_citrus(w2: Worker) -> None:
    """On Saturday W2 works among the trees outside."""
    hand = w2.hand
    w2.go(f"room/{n.CITRUS_BLOCK}/water")
    for _ in range(3):
        hand.tap("tally.more", n=30, of=hand.says("room.minutes"))
    hand.tap("tally.more", n=5, of=hand.says("room.minutes"))
    hand.tap("button.save")
    expect(hand.one("button.save")).to_be_hidden()
    w2.is_sent()


def holds(worker: Worker) -> None:
    """The block of the hold stands on the sheet, and names each of the six trays."""
    text = worker.hand.says("block.stays", labels=" ".join(TRAYS))
    block = worker.hand.page.locator("main .block").filter(has_text=text)
    expect(block.first).to_be_visible(timeout=60_000)


def sees_black_bodies(w2: Worker) -> str:
    """The second tap from the round starts the hold; return the find."""
    hand = w2.hand
    w2.at("07:10", SUNDAY)
    goes_in(w2)
    w2.at("07:20", SUNDAY)
    at_the_round(w2)
    before = hand.taps
    w2.opens("T4")
    hand.tap("look.suspect")
    assert hand.taps - before == 2, "a suspicion is held by the second tap"
    holds(w2)
    expect(hand.page.get_by_text(hand.says("block.here")).first).to_be_visible()
    find = hand.page.url.rsplit("/", 1)[1]
    w2.reloads()
    w2.go(f"suspect/{n.T4}/{find}")
    holds(w2)
    return find


def looks_closer(w2: Worker) -> None:
    """Bag it, three guided photos, T4-17 under the leaf, nine on a leaf; vents, clothes, phone."""
    hand = w2.hand
    hand.tap_named(hand.says("suspect.done_bag"))
    for shot in ("whole_plant", "underside", "scale"):
        w2.photograph(f"shows.{shot}")
    expect(hand.page.locator("main .shots")).to_have_text("3")
    hand.tap_named(hand.says("suspect.done_photos"))
    hand.page.get_by_role("button", name=hand.says("part.leaf_underside")).click()
    hand.pad("17")
    hand.tap_named(hand.says("suspect.done_where"))
    w2.add(hand.says("suspect.per_leaf"), 9)
    hand.tap_named(hand.says("suspect.done_many"))
    for step in ("vents", "finish", "clothes", "wipe"):
        hand.tap_named(hand.says(f"suspect.done_{step}"))


def tells_the_authority(w2: Worker) -> None:
    """A number that is answered on a Sunday stands there; who was told is written down."""
    hand, page = w2.hand, w2.hand.page
    assert SUNDAY.isoweekday() == 7
    card = {call["what"]: call["number"] for call in EMERGENCY_CARD["calls"]}
    number = page.get_by_role("link").filter(has_text=card["plant_health"])
    expect(number).to_have_attribute("href", f"tel:{card['plant_health'].replace(' ', '')}")
    hand.tap_named(hand.says("card.plant_health"))
    hand.tap_named(hand.says("told.phone"))
    hand.pad("EM-77")
    hand.tap_named(hand.says("suspect.save_told", who=hand.says("card.plant_health")))
    hand.reads("suspect.all_done")


def forbids(worker: Worker, act: str, label: str, why: re.Pattern[str]) -> None:
    """The gate says no, and says in words why and what would open it."""
    hand = worker.hand
    worker.go(f"may/{act}/{TRAYS[label]}")
    main = hand.page.locator("main")
    expect(main.locator("h1")).to_have_text(hand.says(f"may.{act}", label=label))
    expect(main.locator("[data-answer]")).to_have_attribute("data-answer", "no")
    expect(main).to_contain_text(why)
    expect(main).to_contain_text(hand.says("may.opens"))


def allows(worker: Worker, act: str, subject: str) -> None:
    worker.go(f"may/{act}/{subject}")
    answer = worker.hand.page.locator("main [data-answer]")
    expect(answer).to_have_attribute("data-answer", "yes")


def names_the_citrus(worker: Worker, find: str) -> None:
    """Where W2 worked the day before is named, to be looked over, and is not held."""
    hand = worker.hand
    worker.go(f"suspect/{n.T4}/{find}")
    hand.reads("suspect.ring", names=[demo.W2.name], place=PLACES[n.CITRUS_BLOCK]["name"])
    worker.go(f"batch/{n.OPEN_CITRUS}")
    expect(hand.page.get_by_role("img", name=re.compile("OC1$")).first).to_be_visible()
    expect(hand.page.locator("main .block")).to_have_count(0)
    allows(worker, "moving_inside", n.OPEN_CITRUS)


def hears_of_it(w1: Worker, office: Office, find: str) -> None:
    """W1's phone knew nothing; once it has synced it holds, and without signal after that."""
    w1.at("08:05", SUNDAY)
    allows(w1, "moving_inside", n.T1)
    office.open(there(SUNDAY, "08:10"))
    w1.at("08:10", SUNDAY)
    w1.is_sent()
    w1.hears()
    w1.go(f"round/{n.QUARANTINE}")
    holds(w1)
    expect(w1.hand.page.get_by_text(w1.hand.says("block.here"))).to_have_count(0)
    w1.phone.offline()
    w1.reloads()
    names_the_citrus(w1, find)
    held = re.compile(
        r"Hallazgo en Quarantine room\. Retenido desde .* hasta que decida la autoridad"
    )
    for label in TRAYS:
        for act in SHUT:
            forbids(w1, act, label, held)


def officer_takes_the_plant(w1: Worker) -> None:
    """The inspector comes; the whole plant T4-17 goes to the laboratory as S-03."""
    w1.at("09:25", SUNDAY)
    w1.hands_to(demo.G)
    hand = w1.hand
    goes_in(w1)
    somebody_goes_in(w1, demo.P.name, SERVICE)
    w1.at("09:44", SUNDAY)
    w1.go(f"lose/{n.T4}/sampled")
    w1.add(hand.says("fate.sampled", n=0))
    hand.tap("lose.other_number")
    hand.pad("3")
    hand.tap_named("Orrin plant laboratory")
    expect(hand.page.get_by_role("switch", name=hand.says("lose.for_find"))).to_be_checked()
    hand.reads("batch.sample", sample="S-03")
    hand.tap("lose.save", label="T4", lost=hand.says("fate.sampled", n=1))
    expect(hand.page.get_by_text(hand.says("batch.sample", sample="S-03"))).to_be_hidden()
    w1.at("10:05", SUNDAY)
    goes_out(w1)


def test_a_suspicion_is_held_at_once_and_everywhere_after(browser: Browser, office: Office) -> None:
    w1 = Worker(browser, office, demo.W1, BEGAN)
    w2 = Worker(browser, office, demo.W2, BEGAN)
    waters_the_citrus(w2)
    for worker in (w1, w2):
        worker.phone.offline()
    find = sees_black_bodies(w2)
    looks_closer(w2)
    for act in SHUT:
        forbids(w2, act, "T1", re.compile(HELD_HERE))
    w2.at("07:38", SUNDAY)
    goes_out(w2)

    office.open(there(SUNDAY, "07:52"))
    w2.at("07:52", SUNDAY)
    w2.is_sent()
    w2.go(f"suspect/{n.T4}/{find}")
    tells_the_authority(w2)
    w2.is_sent()
    w2.hears()
    names_the_citrus(w2, find)
    hears_of_it(w1, office, find)
    officer_takes_the_plant(w1)
    office.open(there(SUNDAY, "10:05"))
    w1.is_sent()
    expected_of_the_third_day(Desk(office.url), find)
    reads_at_the_desk(browser, office)
    is_lifted_by_the_grower_alone(w1, office)
    assert (w1.faults, w2.faults) == ([], [])


def expected_of_the_third_day(desk: Desk, find: str) -> None:
    assert desk.alive(*TRAYS) == [53, 53, 53, 53, 48, 44]
    [came] = [one for one in desk.get("consignments")["items"] if one["id"] == "con-1"]
    ledger = came["ledger"]
    assert (ledger["in"], ledger["alive"], ledger["died"], ledger["sampled"]) == (318, 304, 9, 5)
    assert ledger["difference"] == 0
    [*_, found] = desk.records(n.T4, "found")
    body = found["body"]
    assert (body["tag"], body["part"], body["per_leaf"]) == ("T4-17", "leaf_underside", 9)
    assert (found["author"], len(body["photos"])) == (demo.W2.id, 3)
    assert desk.records(n.T4, "found")[0]["occurred_at"][:16] == "2031-05-03T21:20"
    [told] = desk.records(n.T4, "told")[-1:]
    assert (told["body"]["reference"], set(told["about"])) == ("EM-77", set(n.TRAYS))
    for label in TRAYS:
        outlook = desk.batch(label)["outlook"]
        assert [one["reference"] for one in outlook["held"]] == [find], label
    samples = {one["sample"]: one for one in desk.batch("T4")["outlook"]["samples"]}
    assert (samples["S-03"]["state"], samples["S-03"]["find"]) == ("in_transit", find)
    assert desk.batch("OC1")["outlook"]["held"] == []
    assert {one["subject"] for one in desk.checks("look_elsewhere")} == {n.CITRUS_BLOCK}


def reads_at_the_desk(browser: Browser, office: Office) -> None:
    page = at_the_desk(browser, office)
    page.goto(f"/#/batch/{n.T4}")
    account = page.get_by_role("group", name="plant account")
    expect(account).to_contain_text(re.compile(r"54 in\s*=\s*53 alive\s*\+\s*1 sampled"))
    sample = re.compile(r"Sample S-03.*Orrin plant laboratory.*on its way")
    expect(page.locator("main")).to_contain_text(sample)
    page.context.close()


def is_lifted_by_the_grower_alone(w1: Worker, office: Office) -> None:
    """W1 looks the citrus over and taps wrong: it is held until the grower says why not."""
    office.open(there(SUNDAY, "11:00"))
    w1.at("11:00", SUNDAY)
    w1.hands_to(demo.W1)
    hand: Hand = w1.hand
    w1.phone.offline()
    w1.go(f"look/{n.OPEN_CITRUS}")
    hand.tap("look.suspect")
    expect(hand.page.get_by_text(hand.says("block.here")).first).to_be_visible()
    w1.go(f"lift/{n.OPEN_CITRUS}")
    hand.reads("lift.only_grower")
    expect(hand.one("lift.save", label="OC1")).to_have_count(0)
    w1.hands_to(demo.G)
    w1.go(f"lift/{n.OPEN_CITRUS}")
    lift = hand.one("lift.save", label="OC1")
    expect(lift).to_be_disabled()
    hand.tap_named(hand.says("lift.reason_water"))
    lift.click()
    expect(lift).to_be_hidden()
    w1.is_sent()
    desk = Desk(office.url)
    assert (desk.batch("OC1")["outlook"]["held"], desk.batch("OC1")["finds"]) == ([], [])
    [settled] = desk.records(n.OPEN_CITRUS, "settled")
    assert (settled["author"], settled["body"]["reason"]) == (demo.G.id, "a drop of water")
    assert len(desk.batch("T4")["outlook"]["held"]) == 1, "the true find is held as before"
