"""The outline of a block is walked with a phone, or its corners are tapped on a plane."""

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from nursery.domain.field.ground import Plane
from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys.hands import Hand
from tests.journeys.offices import Office, office_on
from tests.journeys.phones import DESK
from tests.journeys.test_block import figure, kept, opens
from tests.journeys.test_shell import sign_in
from tests.journeys.workers import Worker

# The demo's site lies at this latitude.
STAKE = (-70.2, -17.2)
TR4 = n.TERRACES[1]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("outline"), 9) as office:
        yield office


@pytest.fixture
def hand(browser: Browser, office: Office) -> Iterator[Hand]:
    width, height = DESK
    context = browser.new_context(
        base_url=office.url, viewport={"width": width, "height": height}, locale="en-GB"
    )
    hand = Hand(context.new_page())
    sign_in(hand.page)
    yield hand
    assert hand.faults == []
    context.close()


def stands(worker: Worker, east: float, north: float, off: float = 4) -> None:
    """Let the phone be so many metres from the stake."""
    lon, lat = Plane(STAKE).degrees((east, north))
    where = {"longitude": lon, "latitude": lat, "accuracy": off}
    worker.phone.context.set_geolocation(where)  # type: ignore[arg-type]


def corners(page: Page) -> list[tuple[float, float]]:
    """Return the corners that the sheet lists, in metres."""
    found = page.locator("[data-corner]").all()
    return [
        (float(one.get_attribute("data-x") or "x"), float(one.get_attribute("data-y") or "x"))
        for one in found
    ]


@pytest.fixture
def afield(browser: Browser, office: Office) -> Iterator[Worker]:
    """Somebody at a corner of TR4, without signal; nobody allowed the position yet."""
    worker = Worker(browser, office, demo.W1, demo.EVENINGS[9])
    worker.hears()
    worker.phone.offline()
    worker.go(f"block/{TR4}/outline")
    yield worker
    assert worker.faults == []
    worker.phone.context.close()


def walks(worker: Worker) -> None:
    """Take three corners well, and one of 25 m all the same."""
    hand = worker.hand
    worker.phone.context.grant_permissions(["geolocation"])
    for number, (east, north) in enumerate(((0, 0), (60, 0), (60, 40)), start=1):
        stands(worker, east, north)
        hand.tap("block.corner_take")
        expect(hand.page.locator(f"[data-corner='{number}']")).to_be_visible()
    stands(worker, 3, 44, off=25)
    hand.tap("block.corner_take")
    expect(hand.page.locator("main")).to_contain_text(hand.says("block.corner_nearing", n=25))
    assert len(corners(hand.page)) == 3
    hand.tap("block.corner_anyway")


def test_an_outline_is_walked_without_signal_and_outlives_a_flat_battery(
    afield: Worker, tmp_path: Path
) -> None:
    hand, poor = afield.hand, afield.hand.says("block.corner_poor", n=25)
    hand.tap("block.corner_take")
    expect(hand.page.locator("main")).to_contain_text(hand.says("block.corner_denied"))
    walks(afield)
    expect(hand.page.locator("main")).to_contain_text(poor)
    afield.opens_anew()
    afield.go(f"block/{TR4}/outline")
    page = hand.page
    expect(page.locator("[data-corner='4']")).to_contain_text("25")
    assert corners(page) == [(0, 0), (60, 0), (60, 40), (3, 44)]
    stands(afield, 0, 40)
    page.locator("[data-corner='4'] button").first.click()
    hand.tap("block.corner_again")
    expect(page.locator("[data-corner='4']")).to_have_attribute("data-x", "0")
    expect(page.locator("[data-figure=area]")).to_contain_text(re.compile("2.?400"))
    expect(page.locator("main")).not_to_contain_text(poor)
    with page.expect_download() as got:
        hand.tap("block.outline_file")
    assert got.value.suggested_filename == "TR4.geojson"
    got.value.save_as(tmp_path / "tr4")
    [ring] = json.loads((tmp_path / "tr4").read_text())["coordinates"]
    assert ring[0] == ring[4] == list(STAKE)


def taps(page: Page, east: float, north: float) -> None:
    """Tap the plane so many metres from its middle."""
    plane = page.locator("main svg[data-wide]")
    box = plane.bounding_box()
    assert box is not None
    metre = box["width"] / float(plane.get_attribute("data-wide") or "x")
    x, y = box["width"] / 2 + east * metre, box["height"] / 2 - north * metre
    plane.click(position={"x": x, "y": y})


def chooses(page: Page, number: int) -> Locator:
    corner = page.locator(f"[data-corner='{number}'] button").first
    corner.click()
    return corner


def looks(hand: Hand, told: str) -> None:
    """Lay rows in the outline, and read what the office says."""
    hand.tap("block.outline_use")
    hand.page.get_by_label(hand.says("block.f_in_row")).fill("4")
    hand.page.get_by_label(hand.says("block.f_between")).fill("2")
    hand.tap("block.look")
    expect(hand.page.locator("main")).to_contain_text(told)


def test_corners_are_tapped_at_the_desk_and_a_crossing_outline_loses_nothing(
    hand: Hand, office: Office
) -> None:
    page = opens(hand, f"{TR4}/outline", "Terrace 4")
    before = kept(office, TR4)
    for east, north in ((-30, -20), (30, 20)):
        taps(page, east, north)
    hand.tap("block.outline_use")
    expect(page.locator("main")).to_contain_text(hand.says("block.outline_few"))
    for east, north in ((30, -20), (-30, 20)):
        taps(page, east, north)
    expect(page.locator("main")).to_contain_text(hand.says("block.outline_crosses"))
    hand.tap("block.outline_use")
    expect(page.locator("main")).to_contain_text(hand.says("block.outline_no_place"))
    where = page.get_by_label(hand.says("block.outline_at"))
    where.fill("-17.2 -70.2")
    looks(hand, "longitude and latitude stand the wrong way round")
    hand.tap("block.outline")
    where.fill("-70.2 -17.2")
    looks(hand, hand.says("problem.ground_crosses"))
    page.reload()
    hand.tap("block.outline")
    assert len(corners(page)) == 4
    assert kept(office, TR4) == before


def test_a_corner_is_moved_by_a_tap_by_keys_and_by_buttons(hand: Hand, office: Office) -> None:
    page = opens(hand, f"{TR4}/outline", "Terrace 4")
    for east, north in ((-30, -20), (30, 20), (30, -20), (-30, 20)):
        taps(page, east, north)
    chooses(page, 2)
    taps(page, 30, -20)
    third = chooses(page, 3)
    hand.tap_named("10")
    for _ in range(4):
        third.press("ArrowUp")
    expect(page.locator("main")).not_to_contain_text(hand.says("block.outline_crosses"))
    hand.tap("block.corner_more")
    hand.tap("block.corner_west")
    assert len(corners(page)) == 5
    hand.tap("block.corner_remove", n=4)
    hand.tap("block.corner_back", n=4)
    assert len(corners(page)) == 5
    chooses(page, 4)
    hand.tap("block.corner_remove", n=4)
    page.get_by_label(hand.says("block.outline_at")).fill("-70.2 -17.2")
    looks(hand, hand.says("block.preview"))
    # Four sides around 60 x 40 m less the corner beside the third: rows 2 m apart, plants 4 m.
    assert 250 < int(figure(page, "positions")) < 340
