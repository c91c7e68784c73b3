"""Seed that comes up, grafts and what takes, feed and leachate: kept without signal, then sent."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import bodies, chips, last, opens, saves, saves_as_it_is, ticks, types
from tests.journeys.workers import Worker, person, there

SUNDAY = date(2031, 5, 4)
BEGAN = there(SUNDAY, "18:00")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("raising"), 3, BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def test_a_total_that_runs_back_is_asked_about_and_one_that_grows_is_kept(
    w1: Worker, desk: Desk
) -> None:
    opens(w1, f"emerged/{n.SEEDBED}")
    w1.hand.reads("raise.last_total", n=97)
    types(w1, "raise.emerged", "raise.emerged_total", "90")
    w1.hand.tap_named(w1.hand.says("raise.save"))
    odd = w1.hand.says("raise.odd_back", n=90, last=97)
    expect(w1.hand.page.get_by_role("alert")).to_contain_text(odd)
    for _ in "90":
        w1.hand.tap_named(w1.hand.says("keys.back"))
    w1.hand.pad("104")
    types(w1, "raise.emerged", "raise.emerged_beside", "3")
    saves(w1, "raise.save")
    assert bodies(desk, n.SEEDBED, "emerged")[-1] == {"total": 104, "abnormal": 3}


def test_grafts_are_told_by_hand_and_thickness(w1: Worker, desk: Desk) -> None:
    opens(w1, f"graft/{n.OPEN_CITRUS}")
    w1.hand.reads("caution.blade")
    types(w1, "raise.figures", "raise.plants", "20")
    types(w1, "raise.figures", "raise.rootstock", "7")
    saves_as_it_is(w1, "raise.graft_save")
    body = last(desk, n.OPEN_CITRUS, "worked")
    assert (body["plants"], body["rootstock_mm"], body["operator"]) == (20, 7, demo.W1.id)


def test_weeks_later_what_holds_and_what_does_not_are_counted(w1: Worker, desk: Desk) -> None:
    opens(w1, f"graft/{n.OPEN_CITRUS}")
    w1.hand.page.get_by_role("link", name=w1.hand.says("kind.took")).or_(
        w1.hand.page.locator("main a[href*='#/took/']")
    ).first.click()
    w1.hand.reads("raise.grafted", n=20)
    types(w1, "kind.took", "raise.took", "17")
    types(w1, "kind.took", "raise.failed", "3")
    ticks(w1, "raise.cull_failed", n=3)
    alive = desk.get(f"batches/{n.OPEN_CITRUS}")["alive"]
    saves(w1, "raise.save")
    took = last(desk, n.OPEN_CITRUS, "took")
    assert (took["took"], took["failed"]) == (17, 3)
    assert took["graft"] == desk.records(n.OPEN_CITRUS, "worked")[-1]["id"]
    assert desk.get(f"batches/{n.OPEN_CITRUS}")["alive"] == alive - 3


def test_leachate_out_of_the_usual_is_said_with_what_is_usual(w1: Worker, desk: Desk) -> None:
    opens(w1, f"feed/{n.OPEN_CITRUS}")
    chips(w1, "raise.what").get_by_role("button", name=w1.hand.says("raise.leachate")).click()
    types(w1, "raise.leachate", "raise.ec", "2.4")
    types(w1, "raise.leachate", "raise.ph", "6.1")
    types(w1, "raise.leachate", "raise.pots", "5")
    w1.hand.reads("raise.unusual_ec", least=0.5, most=1.5)
    saves(w1, "raise.save")
    body = last(desk, n.OPEN_CITRUS, "read")
    assert body["pots"] == 5
    assert [(one["what"], one["value"]) for one in body["readings"]] == [
        ("ec_ms_cm", 2.4), ("ph", 6.1),
    ]  # fmt: skip


def test_feed_is_told_with_its_product(w1: Worker, desk: Desk) -> None:
    opens(w1, f"feed/{n.OPEN_CITRUS}")
    w1.hand.reads("raise.feed_caution")
    w1.hand.type("raise.product", "Calcium nitrate")
    types(w1, "raise.feed", "raise.litres", "20")
    saves(w1, "raise.save")
    assert bodies(desk, n.OPEN_CITRUS, "fed")[-1] == {"product": "Calcium nitrate", "litres": 20}
