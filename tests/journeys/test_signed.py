"""The grower signs against a rule of the nursery's own: for one act, one day, with a reason."""

from collections.abc import Iterator
from datetime import timedelta

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import PLACES
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import answers, opens, saves
from tests.journeys.workers import Worker, person

EVENING = demo.EVENINGS[3]
ROOM = n.SHADE_HOUSE
REST = {
    "term": {
        "id": "own-rest",
        "rule": "all_out",
        "says": {"empty_hours": 72},
        "since": "2030-01-01",
        "source": "House rules of Veshmere Terraces, 4",
    }
}


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("signed"), 3) as office:
        Desk(office.url).ask("PUT", "rows/due_rule/own-rest", {"body": REST})
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.G, EVENING)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, EVENING)


def test_a_room_waits_by_the_nurserys_own_rule(grower: Worker, w1: Worker) -> None:
    hand = grower.hand
    opens(grower, f"move/{n.SEEDBED}")
    hand.tap_on_sheet(PLACES[n.CITRUS_BLOCK]["name"])
    saves(grower, "move.save", n=1)
    grower.hears()
    answers(grower, "accepting", ROOM, "wait")
    w1.hears()
    answers(w1, "accepting", ROOM, "wait")
    expect(w1.hand.one("sign.save")).to_be_hidden()


def test_the_grower_signs_with_a_reason_and_the_room_opens_for_the_day(
    grower: Worker, w1: Worker, office: Office, desk: Desk
) -> None:
    hand = grower.hand
    expect(hand.one("sign.save")).to_be_disabled()
    grower.phone.offline()
    hand.type("sign.reason", "The carrier is at the gate")
    hand.tap("sign.save")
    hand.reads("sign.done")
    grower.is_sent()
    [signed] = desk.get(f"places/{ROOM}")["record"]["signatures"]
    assert (signed["act"], signed["reason"]) == ("accepting", "The carrier is at the gate")
    w1.hears()
    answers(w1, "accepting", ROOM, "yes")
    office.open(EVENING + timedelta(days=1))
    w1.hears()
    answers(w1, "accepting", ROOM, "wait")
    assert w1.faults == []
    assert grower.faults == []
