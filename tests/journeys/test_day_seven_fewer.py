"""Day 7 of the story, tried against another notice: it lets fewer leave than live."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import PLACES
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import chips, last, opens, photographs, saves, saves_as_it_is, ticks
from tests.journeys.workers import Worker, goes_in, person, there

MONDAY = date(2031, 11, 24)
BEGAN = there(MONDAY, "08:00")
ROOM = n.QUARANTINE
LABELS = ("T1", "T2", "T3", "T5", "T6", "U")
# One plant of T6 is not on the paper.
ALIVE, ON_PAPER, T6_ALIVE, T6_ON_PAPER = 241, 240, 41, 40


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("fewer"), BEGAN) as office:
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


def goes_to_the_shade_house(worker: Worker, batch: str) -> None:
    opens(worker, f"move/{batch}")
    worker.hand.tap_on_sheet(PLACES[n.SHADE_HOUSE]["name"])


def test_a_notice_of_240_is_asked_about_and_kept_as_the_paper_has_it(
    grower: Worker, office: Office, desk: Desk
) -> None:
    hand = grower.hand
    office.open(there(MONDAY, "08:30"))
    grower.at("08:30", MONDAY)
    opens(grower, f"papers/{ROOM}/release")
    hand.type("release.notice", "RN-204")
    photographs(grower, "shows.paper")
    ticks(grower, "release.as_alive")
    chips(grower, "release.each").get_by_role("button", name="T6").click()
    hand.pad(str(T6_ON_PAPER))
    hand.reads("release.differs", said=ON_PAPER, alive=ALIVE)
    hand.reads("release.batch_differs", label="T6", said=T6_ON_PAPER, alive=T6_ALIVE)
    saves_as_it_is(grower, "release.save", notice="RN-204")
    assert last(desk, n.T6, "released")["count"] == ON_PAPER
    doubts = [doubt for item in desk.get("needs-a-look")["doubts"] for doubt in item["doubts"]]
    differing = [one["params"] for one in doubts if one["code"] == "released_differs"]
    assert {(one["said"], one["alive"], one["difference"]) for one in differing} == {
        (T6_ON_PAPER, T6_ALIVE, T6_ON_PAPER - T6_ALIVE),
        (ON_PAPER, ALIVE, ON_PAPER - ALIVE),
    }


def test_the_41_of_t6_do_not_leave_together(w1: Worker, office: Office) -> None:
    office.open(there(MONDAY, "09:00"))
    w1.at("09:00", MONDAY)
    w1.phone.offline(False)
    w1.hears()
    goes_in(w1)
    goes_to_the_shade_house(w1, n.T6)
    left = {"notice": "RN-204", "said": T6_ON_PAPER, "left": T6_ON_PAPER}
    w1.hand.reads("reason.more_than_released", **left)
    expect(w1.hand.one("gate.happened")).to_be_visible()


def test_forty_of_them_are_split_off_and_leave_with_the_others(w1: Worker, desk: Desk) -> None:
    hand = w1.hand
    opens(w1, f"split/{n.T6}")
    hand.pad(str(T6_ON_PAPER))
    hand.reads("divide.fits", before=T6_ALIVE, after=T6_ALIVE)
    saves(w1, "split.save", n=2)
    [new] = [
        one
        for one in desk.get("batches")["items"]
        if n.T6 in (one["parents"] or ()) and one["alive"]
    ]
    assert (new["alive"], desk.alive("T6")) == (T6_ON_PAPER, [T6_ALIVE - T6_ON_PAPER])
    w1.hears()
    leaving = [desk.batch(label)["id"] for label in LABELS if label != "T6"] + [new["id"]]
    for batch in leaving:
        goes_to_the_shade_house(w1, batch)
        saves(w1, "move.save", n=1)
    gone = [one for one in desk.get("batches")["items"] if one["id"] in leaving]
    assert {one["place"] for one in gone} == {n.SHADE_HOUSE}
    assert sum(one["alive"] for one in gone) == ON_PAPER


def test_the_one_that_stays_keeps_the_room_from_being_all_out(w1: Worker, desk: Desk) -> None:
    hand = w1.hand
    w1.hears()
    # The place that was chosen for it before it was refused stands there still.
    opens(w1, f"move/{n.T6}")
    hand.reads("reason.more_than_released", notice="RN-204", said=T6_ON_PAPER, left=0)
    opens(w1, f"room/{ROOM}/empty")
    hand.reads("reason.plants_inside", labels=["T6"])
    expect(hand.one("gate.happened")).to_be_visible()
    told = desk.get(f"places/{ROOM}")["outlook"]["all_out"]
    assert told["plants"] == [n.T6]
    may = desk.get(f"may?act=accepting&subject={ROOM}")
    assert (may["answer"], may["reason"]) == ("no", "room_has_plants")
    [group] = desk.get("consignments")["items"]
    assert (group["ledger"]["alive"], group["ledger"]["difference"]) == (ALIVE, 0)
    assert w1.faults == []
