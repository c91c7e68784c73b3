"""Day 9 of the story: 214 plants come into the ground, one tap a hole."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import bodies, keeps, opens
from tests.journeys.workers import Worker, person, there

FRIDAY = date(2032, 3, 12)
BEGAN = there(FRIDAY, "05:20")
TR3, TR4, TR5 = n.TERRACES


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


def plants(worker: Worker, *positions: int) -> None:
    """Tap the vast button once for each of these holes, as they come."""
    hit = worker.hand.page.locator("main button[data-position]")
    for position in positions:
        expect(hit).to_have_attribute("data-position", str(position))
        worker.hand.taps += 1
        hit.click()


def left(worker: Worker, plants: int) -> None:
    """Read how many of the present batch are out and in no hole yet."""
    expect(worker.hand.page.locator("main [data-left]")).to_have_attribute("data-left", str(plants))


def test_the_plants_of_terrace_four_go_out_through_their_gate(w1: Worker, desk: Desk) -> None:
    w1.hears()
    opens(w1, f"scan-out/{TR4}")
    for batch in (n.T3, n.T2, n.T5):
        gate = w1.hand.page.locator(f'main [data-gate="{batch}"]')
        expect(gate).to_have_attribute("data-answer", "yes")
    keeps(w1, "plant.out_save", n=72)
    w1.is_sent()
    assert bodies(desk, n.T2, "carried") == [{"way": "out", "plants": 50, "block": TR4}]


def test_a_row_is_planted_hole_by_hole_without_signal(w1: Worker, desk: Desk) -> None:
    opens(w1, f"plant/{TR4}/2")
    left(w1, 16)
    plants(w1, *range(13, 17))
    left(w1, 12)
    w1.hand.tap("plant.another")
    w1.hand.page.get_by_role("dialog").get_by_role("button", name="T2").click()
    left(w1, 50)
    plants(w1, 17, 18)
    w1.hand.page.locator("nav.thumbs button").nth(1).click()
    plants(w1, *range(18, 25))
    left(w1, 42)
    expect(w1.hand.one("plant.next_row", n=3)).to_be_visible()
    w1.is_sent()
    told = bodies(desk, n.T2, "planted")
    assert [body["positions"] for body in told] == [[str(n)] for n in (17, 18, *range(18, 25))]
    assert {(body["block"], body["row"]) for body in told} == {(TR4, "2")}
