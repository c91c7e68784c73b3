"""Day 5 of the story: potting on inside quarantine, and eight pots without a label."""

import re
from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import (
    answers,
    bodies,
    chooses,
    last,
    opens,
    photographs,
    saves,
    turns,
    types,
)
from tests.journeys.workers import Worker, at_the_desk, goes_in, living, person, there

TUESDAY, WEDNESDAY = date(2031, 7, 29), date(2031, 7, 30)
BEGAN = there(TUESDAY, "15:00")
LABEL = {tray: tray.removeprefix("b-").upper() for tray in n.TRAYS}
# Of each tray: what goes into pots, what is culled for a J-root, what lay dead.
POTS = {
    n.T1: (51, 2, 0),
    n.T2: (52, 0, 1),
    n.T3: (53, 0, 0),
    n.T5: (46, 0, 2),
    n.T6: (41, 3, 0),
}


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("day-five"), 4.5, BEGAN) as office:
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


@pytest.fixture(scope="module")
def w2(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W2, BEGAN)


def test_potting_waits_for_permission_p_31_and_pruning_still_does(grower: Worker) -> None:
    hand = grower.hand
    answers(grower, "potting", n.T1, "no")
    hand.reads("reason.consent_missing")
    opens(grower, f"papers/{n.QUARANTINE}/accept")
    hand.tap("accept.potting")
    hand.type("paper.reference", "P-31")
    photographs(grower, "shows.paper")
    saves(grower, "accept.save", reference="P-31")
    grower.hears()
    answers(grower, "potting", n.T1, "yes")
    answers(grower, "pruning", n.T1, "no")
    hand.reads("reason.consent_missing")


def pots(w1: Worker, batch: str) -> None:
    """One sheet a tray: what goes into pots, what is culled, what is dead; in = out + all that."""
    hand = w1.hand
    out, culled, dead = POTS[batch]
    opens(w1, f"pot/{batch}")
    for key, figure in (("culled", culled), ("dead", dead), ("out", out)):
        if figure or key == "out":
            types(w1, "pot.figures", f"pot.{key}", str(figure))
    hand.reads("pot.sum", n=out + culled + dead, out=out, culled=culled, dead=dead)
    chooses(w1, "pot.container", n.POT)
    hand.type("pot.litres", "2.5")
    saves(w1, "pot.save", label=LABEL[batch], n=out)


def test_251_become_243_in_pots_and_every_plant_has_its_fate(
    w1: Worker, office: Office, desk: Desk
) -> None:
    office.open(there(WEDNESDAY, "07:00"))
    w1.at("07:00", WEDNESDAY)
    w1.phone.offline(False)
    w1.hears()
    goes_in(w1)
    for batch in POTS:
        pots(w1, batch)
    assert desk.alive("T1", "T2", "T3", "T5", "T6") == [51, 52, 53, 46, 41]
    [group] = desk.get("consignments")["items"]
    ledger = {way: plants for way, plants in group["ledger"].items() if plants}
    assert ledger == {
        "in": 318,
        "alive": 243,
        "died": 15,
        "culled": 5,
        "sampled": 5,
        "destroyed": 50,
    }
    assert last(desk, n.T1, "potted")["container"] == n.POT


def test_thirty_root_balls_are_classed_with_a_photo(w1: Worker, desk: Desk) -> None:
    opens(w1, f"roots/{n.T1}")
    turns(w1, "treat.which", "T2", "T3", "T5", "T6")
    for key, figures in (("none", "21"), ("few", "6"), ("many", "3")):
        types(w1, "roots.classes", f"roots.{key}", figures)
    photographs(w1, "shows.roots")
    saves(w1, "roots.save", n=30)
    [seen] = bodies(desk, n.T6, "plugged")
    assert (seen["none"], seen["few"], seen["many"]) == (21, 6, 3)
    assert desk.records(n.T1, "photographed")[-1]["body"]["shows"] == "roots"


def test_eight_pots_without_label_are_a_batch_of_either_tray(w2: Worker, desk: Desk) -> None:
    hand = w2.hand
    w2.at("10:40", WEDNESDAY)
    w2.phone.offline(False)
    w2.hears()
    opens(w2, f"lost-label/{n.T3}")
    turns(w2, "mixed.which", "T5")
    hand.tap("mixed.these", n=2)
    for name, figures in (("U", "8"), ("T3", "48"), ("T5", "43")):
        hand.page.get_by_role("button", name=re.compile(f"^{name}, ")).click()
        hand.pad(figures)
    hand.reads("divide.fits", before=99, after=99)
    saves(w2, "mixed.save", label="U", n=8)
    assert desk.alive("T3", "T5", "U") == [48, 43, 8]
    mixed = desk.batch("U")
    assert (mixed["one_of_parents"], {*mixed["parents"]}) == (True, {n.T3, n.T5})


def test_they_may_stay_and_are_no_source_of_scions(w2: Worker, desk: Desk) -> None:
    mixed = desk.batch("U")["id"]
    w2.phone.offline(False)
    w2.hears()
    answers(w2, "moving_inside", mixed, "yes")
    answers(w2, "taking", mixed, "no")


def test_over_the_group_of_the_three_nothing_is_missing(desk: Desk) -> None:
    ledgers = [desk.get(f"batches/{desk.batch(one)['id']}")["ledger"] for one in ("T3", "T5", "U")]
    total = {way: sum(ledger[way] for ledger in ledgers) for way in ledgers[0]}
    assert (total["in"], total["alive"], total["mixed"], total["difference"]) == (108, 99, 0, 0)


def test_the_grower_reads_the_account_the_benches_and_the_pots_at_the_desk(
    browser: Browser, office: Office, desk: Desk
) -> None:
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto("/#/stock")
    expect(living(page)).to_have_text("243", timeout=60_000)
    page.goto("/#/consignments")
    told = words.say(
        "en", "reason.pots_full_before", {"n": 5, "first": "2032-03-01"}, House(today=WEDNESDAY)
    )
    assert all(way in told for way in ("bigger pot", "later potting", "pull plugs"))
    expect(page.locator("main")).to_contain_text(told)
    page.goto(f"/#/rooms/{n.QUARANTINE}")
    hand.reads("rooms.benches_taken", taken=13.5, m2=15)
    assert hand.faults == []
    page.context.close()
