"""A block is laid out at the desk, looked at on its map, and read on a phone without signal."""

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.domain.test_laid_out import BOW_TIE, SQUARE
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK
from tests.journeys.planting import tells
from tests.journeys.sheets import photographs
from tests.journeys.test_shell import sign_in
from tests.journeys.workers import Worker
from tests.phone import Writer

TR3, TR4, _ = n.TERRACES
GROWER = Writer("growers", author=demo.G.id, number=72)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """On the evening of the planting day."""
    with office_on(tmp_path_factory.mktemp("block"), 9) as office:
        Desk(office.url).ask(
            "PUT",
            "rows/place/terrace-6",
            {"body": {"name": "Terrace 6", "kind": "terrace", "short": "TR6"}},
        )
        yield office


@pytest.fixture
def hand(browser: Browser, office: Office) -> Iterator[Hand]:
    width, height = DESK
    context = browser.new_context(
        base_url=office.url, viewport={"width": width, "height": height}, locale="en-GB"
    )
    page = context.new_page()
    hand = Hand(page)
    sign_in(page)
    yield hand
    assert hand.faults == []
    context.close()


def here(polygon: dict[str, Any]) -> str:
    """Return a polygon at the latitude of the demo's site, as text."""
    rings = [[[lon, lat - 35.7] for lon, lat in ring] for ring in polygon["coordinates"]]
    return json.dumps({"type": "Polygon", "coordinates": rings})


def opens(hand: Hand, path: str, title: str) -> Page:
    hand.page.goto(f"/#/block/{path}")
    expect(hand.page.locator("main h1")).to_contain_text(title)
    return hand.page


def figure(page: Page, name: str) -> str:
    text: str = page.locator(f"[data-figure={name}] .fig").inner_text()
    return re.sub(r"\D", "", text)


def kept(office: Office, block: str) -> Any:
    rows = Desk(office.url).get("rows/layout")["items"]
    return next((row["body"] for row in rows if row["id"] == block), None)


def test_rows_that_are_typed_become_a_map_a_list_and_two_files(hand: Hand, office: Office) -> None:
    page = opens(hand, "terrace-6/draw", "Terrace 6")
    page.get_by_label(hand.says("block.f_rows")).fill("4 x 13")
    page.get_by_label(hand.says("block.f_in_row")).fill("4")
    page.get_by_label(hand.says("block.f_between")).fill("2")
    page.get_by_label(hand.says("block.f_every")).fill("2")
    page.get_by_label(hand.says("block.f_species")).fill("gliricidia")
    hand.tap("block.look")
    assert (figure(page, "positions"), figure(page, "hectare")) == ("52", "1250")
    assert kept(office, "terrace-6") is None
    hand.tap("block.take")
    page.wait_for_url("**/#/block/terrace-6")
    expect(page.locator("figure svg")).to_have_attribute("data-rows", "6")
    assert len(kept(office, "terrace-6")["rows"]) == 6
    expect(page.locator("[data-position='52']")).to_have_count(0)
    page.locator("ul[data-lines]").evaluate("list => scrollTo(0, 1e6)")
    expect(page.locator("[data-position='52']")).to_be_visible()
    for key, name in (("block.csv", "terrace-6.csv"), ("block.geojson", "terrace-6.geojson")):
        with page.expect_download() as got:
            hand.tap(key)
        assert got.value.suggested_filename == name


def test_an_outline_that_crosses_itself_is_told_in_words_and_saves_nothing(
    hand: Hand, office: Office
) -> None:
    page = opens(hand, "terrace-6/draw", "Terrace 6")
    before = kept(office, "terrace-6")
    hand.tap("block.way_ground")
    page.get_by_label(hand.says("block.f_in_row")).fill("4")
    page.get_by_label(hand.says("block.f_between")).fill("2")
    outline = page.get_by_label(hand.says("block.f_outline"))
    outline.fill("not ground")
    hand.tap("block.look")
    expect(page.locator("main")).to_contain_text(hand.says("block.wrong_json"))
    outline.fill(here(BOW_TIE))
    hand.tap("block.look")
    expect(page.locator("main")).to_contain_text(hand.says("problem.ground_crosses"))
    assert kept(office, "terrace-6") == before
    outline.fill(json.dumps(SQUARE))
    hand.tap("block.look")
    expect(page.locator("main [role=alert]")).to_contain_text("-17.2".replace("-", "\u2212"))
    outline.fill(here(SQUARE))
    hand.tap("block.look")
    expect(page.locator("figure svg")).to_be_visible()
    assert 400 < int(figure(page, "positions")) < 500


def test_a_phone_without_signal_lists_who_is_meant_and_who_stands_there(
    browser: Browser, office: Office
) -> None:
    worker = Worker(browser, office, demo.W1, demo.EVENINGS[9])
    worker.hears()
    worker.phone.offline()
    worker.go(f"block/{TR4}")
    page = worker.hand.page
    expect(page.locator("[data-alive='72']")).to_be_visible()
    expect(page.locator("figure svg")).to_have_attribute("data-rows", re.compile("[67]"))
    page.locator("[data-position='1']").scroll_into_view_if_needed()
    expect(page.locator("[data-position='1']")).to_contain_text(re.compile(r"T\d"))
    assert worker.faults == []


@pytest.fixture
def at_shelter(browser: Browser, office: Office) -> Worker:
    """A phone at the shelter rows of TR4, whose plants are held."""
    call = {"reference": "CALL-1", "asked_by": "plant health", "reason": "suspect budwood"}
    Desk(office.url).ask("POST", "trace/hold", {"of": [f"batch:{n.T2}"], **call})
    worker = Worker(browser, office, demo.W1, demo.EVENINGS[9])
    worker.hears()
    worker.go(f"block/{TR4}/shelter")
    return worker


def typed(worker: Worker, key: str, text: str) -> None:
    worker.hand.page.get_by_label(worker.hand.says(key)).fill(text)


def tree_rows(office: Office) -> Any:
    [block] = Desk(office.url).get(f"blocks/{TR4}/standing")["blocks"]
    return block["shelter"]["rows"]


def test_felled_without_consent_is_kept_and_doubted_and_not_felled_again(
    at_shelter: Worker, office: Office
) -> None:
    """Rules F-16, F-17 and F-32."""
    hand, page = at_shelter.hand, at_shelter.hand.page
    page.get_by_role("group", name=hand.says("block.thin_rows")).get_by_role("button").click()
    expect(page.locator("main")).to_contain_text(hand.says("block.wrong_no_percent"))
    typed(at_shelter, "block.thin_percent", "0")
    wrong = hand.says("block.wrong_percent", value="0")
    expect(page.locator("main")).to_contain_text(wrong)
    expect(hand.one("gate.happened")).to_be_disabled()
    typed(at_shelter, "block.thin_percent", "20")
    expect(page.locator("main")).to_contain_text(hand.says("block.thin_held"))
    expect(page.locator("main")).to_contain_text(hand.says("block.thin_kept"))
    at_shelter.phone.offline()
    hand.tap("gate.happened")
    expect(page.locator("[data-trees=standing] .fig")).to_have_text("24")
    expect(page.locator("[data-trees=felled] .fig")).to_have_text("6")
    expect(page.locator("[data-thin='2']")).to_have_attribute("data-out", "9")
    at_shelter.phone.offline(off=False)
    at_shelter.hears()
    [row] = tree_rows(office)
    assert (row["planted"], row["standing"], row["felled"][0]["trees"]) == (30, 24, 6)
    doubts = Desk(office.url).get("needs-a-look")["doubts"]
    told = [doubt for one in doubts if one["subject"] == TR4 for doubt in one["doubts"]]
    assert "against_hold" in [doubt["code"] for doubt in told]
    assert at_shelter.faults == []


def test_shelter_on_a_held_block_is_thinned_with_consent(
    at_shelter: Worker, office: Office
) -> None:
    """Rules F-16 and F-17."""
    hand, page = at_shelter.hand, at_shelter.hand.page
    page.get_by_role("group", name=hand.says("block.thin_rows")).get_by_role("button").click()
    typed(at_shelter, "block.thin_percent", "60")
    much = hand.says("block.thin_much", percent=60, most=50)
    expect(page.locator("main")).to_contain_text(much)
    typed(at_shelter, "block.thin_consent", "PH-7")
    save = page.locator("main button", has_text=hand.says("button.save"))
    expect(save).to_be_enabled()
    for key, wrong, right in (("harmed", "31 999", "31"), ("died", "31", "S4")):
        typed(at_shelter, f"block.{key}", wrong)
        expect(save).to_be_disabled()
        typed(at_shelter, f"block.{key}", right)
    hand.tap("survey.cause_drought")
    hand.tap("button.save")
    expect(page.locator("[data-alive='72']")).to_be_visible()
    at_shelter.hears()
    told = Desk(office.url).get(f"blocks/{TR4}/positions.geojson")["features"]
    [harmed] = [one for one in told if one["properties"]["position"] == "31"]
    assert (harmed["properties"]["state"], harmed["properties"]["cause"]) == ("alive", "felling")
    [row] = tree_rows(office)
    assert row["causes"] == {"drought": 1}
    assert at_shelter.faults == []


def test_on_held_ground_the_consent_is_about_the_block_and_bears_its_photo(
    browser: Browser, office: Office
) -> None:
    """Rules F-16 and F-29: an order about the block, whose consent is typed with the felling."""
    w1 = Worker(browser, office, demo.W1, demo.EVENINGS[9])
    order = {"act": "hold", "reference": "EM-92"}
    tells(w1, GROWER.write("ordered", [TR3], order, demo.EVENINGS[9]))
    w1.hears()
    w1.go(f"block/{TR3}/shelter")
    page, hand = w1.hand.page, w1.hand
    page.get_by_role("group", name=hand.says("block.thin_rows")).get_by_role("button").click()
    typed(w1, "block.thin_percent", "20")
    expect(page.locator("main")).to_contain_text(hand.says("block.thin_held"))
    typed(w1, "block.thin_consent", "PH-8")
    photographs(w1, "shows.paper")
    hand.tap("button.save")
    expect(page.locator("[data-trees=standing] .fig")).to_have_text("24")
    w1.is_sent()
    desk = Desk(office.url)
    [consent] = [
        one["body"] for one in desk.records(n.T1, "accepted") if one["body"]["what"] == "thinning"
    ]
    assert (consent["reference"], bool(consent["photo"])) == ("PH-8", True)
    assert TR3 not in [one["subject"] for one in desk.get("needs-a-look")["doubts"]]
    w1.go(f"block/{TR3}/shelter")
    page.get_by_role("group", name=hand.says("block.thin_rows")).get_by_role("button").click()
    typed(w1, "block.thin_percent", "20")
    expect(hand.one("button.save")).to_be_enabled()
    assert w1.faults == []
