"""A grower types a product's row at the desk; a phone without signal treats with it."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE
from tests.journeys.sheets import chips, chooses, is_killed, last, opens, saves, saves_as_it_is
from tests.journeys.sheets import types as types_on
from tests.journeys.workers import Worker, at_the_desk

EVENING = demo.EVENINGS[3]
ROOM = n.QUARANTINE
NAME = "Orrin white oil"
ACTIVE = "paraffin oil; soap"
WARNS = "Harms bees: none in bloom."


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("products"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def w2(browser: Browser, office: Office) -> Iterator[Worker]:
    found = Worker(browser, office, demo.W2, EVENING)
    yield found
    found.phone.context.close()


@pytest.fixture
def grower(browser: Browser, office: Office) -> Iterator[Hand]:
    page = at_the_desk(browser, office)
    yield Hand(page)
    page.context.close()


def line_of(page: Page, text: str) -> Locator:
    return page.get_by_role("listitem").filter(has_text=text)


def row(desk: Desk, name: str) -> dict[str, Any]:
    found = [one for one in desk.get("rows/product")["items"] if one["body"]["name"] == name]
    assert len(found) == 1, found
    return dict(found[0])


def writes_anew(worker: Worker, key: str, figures: str, before: int) -> None:
    """Take back so many keys of a figure that stands on the board, and write another."""
    types_on(worker, "treat.amount", f"treat.{key}", "")
    for _ in range(before):
        worker.hand.tap("keys.back")
    worker.hand.pad(figures)


def goes_in(worker: Worker, figures: dict[str, str]) -> None:
    for key, typed in figures.items():
        types_on(worker, "treat.clock", f"treat.{key}", typed)


def test_what_cannot_be_is_said_by_its_field_and_nothing_typed_is_lost(grower: Hand) -> None:
    page = grower.page
    page.get_by_role("link", name=grower.says("nav.rows"), exact=True).click()
    page.get_by_role("link").filter(has_text=grower.says("rows.product_what")).click()
    grower.is_at("nav.products")
    expect(line_of(page, "Oil and soap")).to_contain_text(grower.says("products.row_hours", n=12))
    grower.reads("products.what")
    assert seen.wrongs(page) == []

    grower.tap("products.new")
    grower.type("treat.active", ACTIVE)
    grower.type("products.hours", "half a day")
    grower.reads("products.no_figure", value="half a day")
    grower.type("products.mix", "1.200")
    grower.reads("products.two_ways", value="1.200")
    grower.tap("button.save")
    grower.reads("products.no_name")
    assert seen.wrongs(page) == []
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert seen.wrongs(page) == []
    page.set_viewport_size({"width": DESK[0], "height": DESK[1]})

    page.reload()
    expect(page.get_by_label(grower.says("treat.active"))).to_have_value(ACTIVE)
    assert grower.faults == []


def test_a_row_is_typed_from_a_label(grower: Hand, desk: Desk) -> None:
    page = grower.page
    page.goto("/#/products/new")
    grower.type("treat.active", ACTIVE)
    grower.type("bath.other_name", "oil  and SOAP")
    grower.reads("products.twice", value="oil  and SOAP")
    for key, text in (
        ("bath.other_name", NAME),
        ("treat.registration", "OR-1182"),
        ("products.hours", "999999"),
        ("products.days", "10"),
        ("products.mix", "200"),
        ("products.cautions", WARNS),
    ):
        grower.type(key, text)
    grower.type("products.rate", "1.5", unit="mL")
    grower.reads("products.on_one", mix=200, n=0.3, unit="mL")
    grower.tap("button.save")
    expect(page.locator("[data-field=reentry_hours]")).to_have_text(
        grower.says("permits.cannot_be", value="999999")
    )
    assert [one["id"] for one in desk.get("rows/product")["items"]] == [n.OIL_SOAP]

    grower.type("products.hours", "12")
    page.get_by_role("switch", name=grower.says("products.licensed")).click()
    grower.tap("button.save")
    told = line_of(page, NAME)
    for says in (ACTIVE, "OR-1182", "200 mL/m², 1.5 mL/L", WARNS):
        expect(told).to_contain_text(says)
    assert row(desk, NAME)["body"] == {
        "name": NAME,
        "active": ACTIVE,
        "registration": "OR-1182",
        "reentry_hours": 12,
        "interval_days": 10,
        "litres_per_m2": 0.2,
        "per_litre": 1.5,
        "unit": "mL",
        "licensed": True,
        "cautions": WARNS,
    }
    assert grower.faults == []


def test_a_phone_without_signal_offers_it_with_its_figures(w2: Worker) -> None:
    hand = w2.hand
    w2.hears()
    opens(w2, f"treat/{ROOM}")
    hand.reads("caution.spray")
    chooses(w2, "treat.product", NAME)
    hand.reads("treat.row_warns", text=WARNS)
    expect(hand.page.get_by_label(hand.says("treat.active"))).to_have_value(ACTIVE)
    expect(hand.page.get_by_label(hand.says("treat.registration"))).to_have_value("OR-1182")
    hand.reads("treat.litres", n=3)
    hand.reads("treat.of_product", n=4.5, unit="mL")
    assert seen.wrongs(hand.page) == []


def test_fewer_hours_than_the_row_wants_are_flagged_and_another_is_typed_by_hand(
    w2: Worker,
) -> None:
    hand = w2.hand
    short = hand.says("treat.row_hours", n=12)
    expect(hand.page.get_by_text(short)).to_have_count(0)
    writes_anew(w2, "hours", "4", before=2)
    expect(hand.page.get_by_text(short)).to_be_visible()
    chooses(w2, "treat.product", hand.says("bath.other"))
    hand.type("bath.other_name", "Bark soap")
    expect(hand.page.get_by_text(short)).to_have_count(0)
    hand.type("bath.other_name", f"{NAME} light")
    expect(hand.page.get_by_label(hand.says("bath.other_name"))).to_have_value(f"{NAME} light")


def test_its_record_has_the_figures(w2: Worker, desk: Desk) -> None:
    hand = w2.hand
    chooses(w2, "treat.product", NAME)
    chooses(w2, "treat.operator", demo.W2.name)
    hand.type("treat.batch_number", "L-77")
    hand.type("treat.licence", "AP-204")
    chooses(w2, "treat.told", demo.W1.name)
    goes_in(w2, {"sign": "1620", "start": "1630", "end": "1650"})
    is_killed(w2, f"treat/{ROOM}")
    expect(chips(w2, "treat.product").get_by_role("button", name=NAME)).to_have_attribute(
        "aria-pressed", "true"
    )
    expect(hand.page.locator("main .out")).to_contain_text("04:50")
    hand.reads("treat.may", names=[demo.G.name], on="2031-05-04")
    hand.reads("reason.licence_none", name=demo.W2.name)
    assert seen.wrongs(hand.page) == []
    saves(w2, "gate.happened")
    done = last(desk, n.T1, "treated")
    assert (done["product"], done["active"], done["registration"]) == (NAME, ACTIVE, "OR-1182")
    assert (done["rate"], done["litres"], done["area_m2"]) == ("1.5 mL/L, 200 mL/m²", 3, 15)
    assert done["reentry_until"] == "2031-05-04T18:50:00.000Z"
    place = desk.get(f"places/{ROOM}")
    odd = [one["code"] for one in (place["outlook"] or {"doubts": []})["doubts"]]
    assert not {"mix_differs", "reentry_short", "product_too_soon"} & set(odd), odd
    asked = next(one for one in desk.get("needs-a-look")["doubts"] if one["subject"] == ROOM)
    found = {one["code"]: one["params"] for one in asked["doubts"]}
    assert found["operator_unlicensed"] == {"name": demo.W2.name, "on": "2031-05-04"}


def test_the_same_product_too_soon_and_for_too_short_is_asked_about_and_kept(
    w2: Worker, desk: Desk
) -> None:
    hand = w2.hand
    opens(w2, f"treat/{ROOM}")
    chooses(w2, "treat.product", NAME)
    soon = hand.says("treat.row_again", days=0, needed=10, on="2031-05-14")
    expect(hand.page.get_by_text(soon)).to_be_visible()
    writes_anew(w2, "hours", "4", before=2)
    goes_in(w2, {"start": "1700", "end": "1710"})
    assert seen.wrongs(hand.page) == []
    saves_as_it_is(w2, "treat.save")
    assert last(desk, n.T1, "treated")["reentry_until"] == "2031-05-04T11:10:00.000Z"
    told = next(one for one in desk.get("needs-a-look")["doubts"] if one["subject"] == ROOM)
    found = {one["code"]: one["params"] for one in told["doubts"]}
    assert found["product_too_soon"] == {"days": 0, "needed": 10}
    assert found["reentry_short"] == {"until": "2031-05-04T19:10:00.000Z"}


def test_a_row_that_is_changed_is_what_the_phone_offers_next(
    grower: Hand, w2: Worker, desk: Desk
) -> None:
    page = grower.page
    page.goto("/#/products")
    line_of(page, NAME).get_by_role("link").click()
    grower.type("products.mix", "100")
    grower.type("products.cautions", "")
    grower.tap("button.save")
    expect(line_of(page, NAME)).to_contain_text("100 mL/m²")
    changed = row(desk, NAME)
    assert (changed["rev"], changed["body"]["litres_per_m2"]) == (2, 0.1)
    assert "cautions" not in changed["body"]

    w2.phone.offline(False)
    w2.hears()
    opens(w2, f"treat/{ROOM}")
    chooses(w2, "treat.product", NAME)
    w2.hand.reads("treat.litres", n=1.5)
    expect(w2.hand.page.get_by_text(re.compile(re.escape(WARNS)))).to_have_count(0)


def test_a_row_is_taken_out_of_the_list_and_what_was_written_stays(
    grower: Hand, desk: Desk
) -> None:
    page = grower.page
    page.goto(f"/#/products/{row(desk, NAME)['id']}")
    grower.tap("products.take_out")
    grower.reads("products.taken_out")
    grower.tap("products.take_out_sure")
    grower.is_at("nav.products")
    expect(line_of(page, NAME)).to_have_count(0)
    assert [one["id"] for one in desk.get("rows/product")["items"]] == [n.OIL_SOAP]
    assert last(desk, n.T1, "treated")["product"] == NAME
    assert grower.faults == []
