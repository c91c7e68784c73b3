"""After the trace of day 10 all 99 positions show as held, on every sheet of the field."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import opens
from tests.journeys.workers import Worker, at_the_desk

TR3, TR4, TR5 = n.TERRACES
EVENING = demo.EVENINGS[10]
ORDER = "Q-20"
NEW = "terrace-6"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("held"), 10) as office:
        desk = Desk(office.url)
        body = {"name": "Terrace 6", "kind": "terrace", "short": "TR6", "parent": n.FIELD}
        desk.ask("PUT", f"rows/place/{NEW}", {"body": body})
        rows = {"rows": [{"number": 1, "first": 1, "holes": 12}], "crop": n.FINGER_LIME}
        meant = [{"batch": n.T1, "first": 1, "last": 12}]
        desk.ask("PUT", f"rows/layout/{NEW}", {"body": {**rows, "meant": meant}})
        yield office


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    worker = Worker(browser, office, demo.W1, EVENING)
    worker.hears()
    yield worker
    assert worker.faults == []
    worker.phone.context.close()


@pytest.fixture(scope="module")
def reference(office: Office) -> str:
    [order] = [
        one["body"]["reference"]
        for one in Desk(office.url).records(n.MIXED, "ordered")
        if one["body"]["act"] == "hold" and n.T2 in one["about"] and n.T5 in one["about"]
    ][-1:]
    return str(order)


def framed(page: Page) -> int:
    """Return how many positions the map says are held; 0 where it has no such key."""
    key = page.locator("figcaption [data-held]")
    expect(page.locator("figure svg")).to_be_visible()
    return int(str(key.get_attribute("data-held"))) if key.count() else 0


def holes(page: Page) -> Locator:
    return page.locator("main button[data-held]:not(.line)")


def shot(page: Page, folder: Path, name: str) -> None:
    seen.picture(page, folder, name)
    assert seen.wrongs(page) == []


def test_all_99_are_held_on_the_maps_of_the_phone(w1: Worker, tmp_path: Path) -> None:
    """Rule F-40: those that are gone as well."""
    page, sums = w1.hand.page, []
    for block in n.TERRACES:
        opens(w1, f"block/{block}")
        sums.append(framed(page))
        shot(page, tmp_path, f"map-{block}")
    assert sum(sums) == 99


def test_all_99_are_held_on_the_maps_at_the_desk(
    browser: Browser, office: Office, reference: str, tmp_path: Path
) -> None:
    page, sums = at_the_desk(browser, office), []
    hand = Hand(page)
    for block in n.TERRACES:
        page.goto(f"/#/block/{block}")
        expect(page.locator("main h1")).to_be_visible()
        expect(page.locator("ul[data-lines]")).to_be_visible()
        sums.append(framed(page))
        expect(page.locator("main button.line[data-held]").first).to_contain_text(reference)
        shot(page, tmp_path, f"desk-{block}")
    assert sum(sums) == 99
    page.emulate_media(media="print")
    seen.picture(page, tmp_path, "printed")
    expect(page.locator("figcaption [data-held]")).to_be_visible()
    expect(page.locator("thead").first).to_contain_text(hand.says("held.column"))
    page.context.close()


def test_a_held_position_of_the_list_says_why_and_what_is_forbidden(
    w1: Worker, reference: str, tmp_path: Path
) -> None:
    hand, page = w1.hand, w1.hand.page
    opens(w1, f"block/{TR4}")
    line = page.locator("ul[data-lines] button[data-held]").first
    line.scroll_into_view_if_needed()
    expect(line).to_contain_text(hand.says("held.key"))
    expect(line).to_contain_text(reference)
    shot(page, tmp_path, "list")
    line.click()
    cover = page.get_by_role("dialog")
    for key in ("held.no_cutting", "held.no_lifting", "held.no_sending", "held.goes_on_what"):
        expect(cover).to_contain_text(hand.says(key))
    expect(cover).not_to_contain_text(hand.says("held.no_planting"))
    expect(cover).to_contain_text(hand.says("reason.when_lifted", reference=reference))
    seen.picture(page, tmp_path, "why")
    assert seen.wrongs(page) == []
    cover.get_by_role("button", name=hand.says("button.back")).click()
    expect(cover).to_have_count(0)


def test_all_99_are_held_hole_by_hole_where_one_counts_and_plants(w1: Worker) -> None:
    page = w1.hand.page
    sums: dict[str, int] = {"survey": 0, "plant": 0}
    for block in n.TERRACES:
        for row in range(1, 7):
            opens(w1, f"survey/{block}/{row}")
            if not page.locator("main ol button").count():
                continue
            sums["survey"] += holes(page).count()
            opens(w1, f"plant/{block}/{row}")
            # Only the holes in sight are drawn: the line below tells of all of the row.
            if (line := page.locator("main button.line[data-held]")).count():
                sums["plant"] += int(re.findall(r"\d+", line.inner_text())[0])
    assert sums == {"survey": 99, "plant": 99}


def test_a_hole_that_is_tapped_says_by_what_it_is_held(
    w1: Worker, reference: str, tmp_path: Path
) -> None:
    hand, page = w1.hand, w1.hand.page
    opens(w1, f"survey/{TR4}/2")
    holes(page).first.click()
    line = page.locator("main button.line[data-held]")
    expect(line).to_contain_text(reference)
    expect(holes(page).first).to_have_attribute("aria-label", re.compile(re.escape(reference)))
    shot(page, tmp_path, "survey-row")
    opens(w1, f"plant/{TR4}/2")
    holes(page).first.click()
    expect(line).to_contain_text(reference)
    shot(page, tmp_path, "plant-row")
    line.click()
    expect(page.get_by_role("dialog")).to_contain_text(hand.says("held.no_lifting"))
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)


def taken(office: Office, batch: str, kind: str) -> list[Any]:
    return [one["body"] for one in Desk(office.url).records(batch, kind)]


def test_held_ground_takes_no_plant_until_somebody_says_that_it_has(
    w1: Worker, office: Office, tmp_path: Path
) -> None:
    """Rule F-29."""
    hand, page, desk = w1.hand, w1.hand.page, Desk(office.url)
    order = {"act": "hold", "reference": ORDER}
    for block in (NEW, TR5):
        desk.ask("POST", "records", {"kind": "ordered", "about": [block], "body": order})
    w1.phone.offline(False)
    w1.hears()
    opens(w1, f"plant/{NEW}/1")
    shut = page.locator("main .shut")
    expect(shut).to_contain_text(hand.says("gate.no"))
    expect(shut).to_contain_text(ORDER)
    expect(shut).to_contain_text("Terrace 6")
    expect(page.locator("main button[data-position]")).to_have_count(0)
    expect(holes(page).first).to_be_visible()
    shot(page, tmp_path, "plant-shut")
    hand.tap("gate.happened")
    page.locator("main button[data-position='1']").click()
    expect(page.locator("main button[data-position='2']")).to_be_visible()
    w1.is_sent()
    assert {"block": NEW, "row": "1", "positions": ["1"]} in taken(office, n.T1, "planted")


def test_a_gap_in_held_ground_is_filled_only_where_that_has_happened(
    w1: Worker, office: Office, tmp_path: Path
) -> None:
    """Rule F-29."""
    hand, page = w1.hand, w1.hand.page
    opens(w1, f"fill/{TR5}")
    gaps = page.locator("main button.hole")
    expect(gaps.first).to_contain_text(ORDER)
    # Of the reserve only held plants are left: their own gate opens first.
    page.get_by_role("group", name=hand.says("fill.with")).get_by_role("button").first.click()
    hand.tap("gate.happened")
    before = gaps.count()
    shot(page, tmp_path, "fill")
    gaps.first.click()
    shut = page.locator("main .shut")
    expect(shut).to_contain_text(ORDER)
    shot(page, tmp_path, "fill-shut")
    hand.tap("button.back")
    expect(gaps).to_have_count(before)
    gaps.first.click()
    hand.tap("gate.happened")
    expect(gaps).to_have_count(before - 1)
    w1.is_sent()


def test_a_night_phone_in_the_other_language_draws_it_too(w1: Worker, tmp_path: Path) -> None:
    page = w1.hand.page
    seen.settings(page, language="Español", light="night")
    page.set_viewport_size({"width": 320, "height": 700})
    for name in (f"plant/{TR4}/2", f"survey/{TR4}/2", f"block/{TR4}", f"fill/{TR5}"):
        w1.go(name)
        expect(page.locator("main [data-held]").first).to_be_attached()
        page.wait_for_timeout(300)
        shot(page, tmp_path, "es-" + name.replace("/", "-"))
