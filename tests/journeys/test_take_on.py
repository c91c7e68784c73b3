"""Taking on what stands here already, and a nursery with two crops and no permit."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.own import ANA, own_nursery
from tests.journeys.phones import DESK, Phone, phone_of
from tests.journeys.test_shell import sign_in
from tests.steps import ROOT

TRAYS = 12
ALIVE = [48 + i % 7 for i in range(TRAYS)]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("office"), 0) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, demo.W2, "Bench phone")
    yield found
    assert found.faults == []
    found.context.close()


def first_tray(hand: Hand, bench: str, alive: int) -> None:
    """Name the bench, and say once what grows there."""
    hand.type("takeon.bench_name", bench)
    hand.tap("takeon.here", name=bench)
    hand.tap_named("Citrus")
    hand.tap("figure", figure=72)
    hand.tap("takeon.free")
    hand.pad(str(alive))
    hand.tap("takeon.save", label="T1", n=alive)
    expect(hand.page.get_by_role("status").filter(has_text=str(alive)).first).to_be_visible()


def next_tray(hand: Hand, label: str, alive: int) -> None:
    hand.pad(str(alive))
    hand.tap("takeon.save", label=label, n=alive)
    expect(hand.one("takeon.count")).to_be_visible()


def test_twelve_trays_go_quickly_without_signal(phone: Phone, desk: Desk) -> None:
    hand = Hand(phone.page)
    phone.offline()
    phone.go("take-on")
    first_tray(hand, "Bench 4", ALIVE[0])
    assert (hand.taps, hand.typed, hand.figures) == (5, 1, 2)
    for i in range(1, TRAYS):
        if i == TRAYS // 2:
            phone.page.reload()  # the page was killed meanwhile
            expect(hand.one("takeon.count")).to_be_visible()
        next_tray(hand, f"T{i + 1}", ALIVE[i])
    # One tap and the figures of its count for each further tray.
    assert (hand.taps, hand.figures) == (5 + (TRAYS - 1), 2 * TRAYS)
    phone.offline(False)
    phone.is_sent()
    stock = {one["label"]: one for one in desk.get("batches")["items"] if one["crop"] == "citrus"}
    assert [stock[f"T{i + 1}"]["alive"] for i in range(TRAYS)] == ALIVE
    assert {stock[f"T{i + 1}"]["place"] for i in range(TRAYS)} == {"Bench_4"}
    assert {stock[f"T{i + 1}"]["cells"] for i in range(TRAYS)} == {72}
    assert all(one["outlook"]["clock"] is None for one in stock.values())


def test_a_bench_that_a_phone_named_is_described_at_the_office(
    browser: Browser, office: Office, desk: Desk
) -> None:
    """After the trays: nothing waits on the phone for it, and nothing is lost."""
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": DESK[0], "height": DESK[1]}
    )
    grower = Hand(context.new_page())
    sign_in(grower.page)
    grower.page.goto("/#/rooms")
    grower.page.get_by_role("link", name="named on a phone; 12 batches stand there").click()
    expect(grower.page.get_by_label("Name").first).to_have_value("Bench 4")
    grower.tap("place_kind.bench")
    parents = grower.page.get_by_role("group", name=grower.says("rooms.lies_in"))
    parents.get_by_role("button", name="Shade house").click()
    grower.tap("button.save")
    expect(grower.page.get_by_role("heading", name="Rooms")).to_be_visible()
    expect(grower.page.get_by_text("named on a phone")).to_have_count(0)
    assert desk.get("rows/place/Bench_4")["body"]["parent"] == "shade-house"
    assert desk.batch("T3")["place_name"] == "Bench 4"
    assert grower.faults == []
    context.close()


def test_stock_under_a_permit_keeps_the_day_of_its_paper(phone: Phone, desk: Desk) -> None:
    hand = Hand(phone.page)
    phone.offline()
    phone.go("take-on")
    hand.tap_named("Bench 1")
    hand.tap("takeon.other_letters")
    hand.type("takeon.letters", "kq")
    hand.tap_named("Papaya")
    hand.tap("takeon.under")
    permits = phone.page.get_by_role("group", name=hand.says("takeon.permit"))
    permits.get_by_role("button", name=hand.says("takeon.other_permit")).click()
    hand.type("takeon.permit_name", "QX 7")
    hand.tap("date.month.2")
    pads = phone.page.get_by_role("group", name=hand.says("takeon.since"))
    pads.get_by_role("button", name="3", exact=True).click()
    expect(pads.get_by_role("status")).to_contain_text("MON 3 FEB")
    phone.page.get_by_role("button", name="9", exact=True).last.click()
    hand.tap("takeon.save", label="KQ1", n=9)
    expect(phone.page.get_by_role("status").filter(has_text="KQ1")).to_be_visible()
    phone.offline(False)
    phone.is_sent()
    batch = desk.batch("KQ1")
    taken = desk.records(batch["id"], "taken_on")[0]["body"]
    assert (taken["clock_started_on"], taken["permit"]) == ("2031-02-03", "QX_7")
    assert batch["outlook"]["clock"]["started_on"] == "2031-02-03"
    assert batch["stage"] == "quarantine"


# A nursery without conditions

FORBIDDEN = {"en": "quarantine", "es": "cuarentena"}


@pytest.fixture
def free(tmp_path: Path) -> Iterator[Desk]:
    """A nursery with two crops, begun without conditions: its grower at the desk."""
    with own_nursery(tmp_path, conditions=False) as desk:
        yield furnished(desk)


def furnished(desk: Desk) -> Desk:
    for ident, name in (("papaya", "Papaya"), ("passion-fruit", "Passion fruit")):
        desk.ask("PUT", f"rows/crop/{ident}", {"body": {"name": name}})
    return desk


def sheets() -> list[str]:
    listed = (ROOT / "frontend/src/screens/sheets.ts").read_text()
    return re.findall(r'^  "?([a-z-]+)"?: \{ load', listed, re.MULTILINE)


def says_nothing_of_it(page: Page, language: str, where: str) -> None:
    page.wait_for_timeout(200)
    assert FORBIDDEN[language] not in page.locator("body").inner_text().lower(), where


def unpack(hand: Hand, phone: Phone) -> None:
    """An arrival from its boxes to its count, each step read."""
    phone.go("arrive")
    hand.tap("arrive.unknown")
    hand.tap("seal.none")
    says_nothing_of_it(phone.page, "en", "boxes")
    hand.tap("arrive.next")
    hand.pad("60")
    says_nothing_of_it(phone.page, "en", "paper")
    hand.tap("arrive.next")
    hand.tap_named("Shade 1")
    hand.tap_named("Papaya")
    says_nothing_of_it(phone.page, "en", "where")
    hand.tap("arrive.next")
    hand.tap_named("72")
    says_nothing_of_it(phone.page, "en", "trays")
    hand.tap("arrive.save_trays", n=1)
    hand.page.get_by_role("link", name=hand.says("arrive.count_next", label="T2")).click()
    hand.pad("14")
    hand.tap("count.save", label="T2", n=58)
    hand.reads("arrive.short", certificate=60, counted=58, n=2)
    expect(hand.page.get_by_text(hand.says("arrive.officer"))).to_have_count(0)
    says_nothing_of_it(phone.page, "en", "the whole")


def walked(phone: Phone, about: dict[str, list[str]], language: str) -> None:
    for name in ["", *sheets()]:
        for more in about.get(name, [""]):
            phone.go(f"{name}/{more}")
            says_nothing_of_it(phone.page, language, f"{name}/{more}")
            assert phone.faults == [], f"{name}/{more}"


def about(batch: str) -> dict[str, list[str]]:
    """Return what each sheet is opened about, where it wants to know."""
    acts = ("read", "bath", "clean", "water", "torn", "mend")
    of_batch = ("batch", "count", "lose", "move", "split", "look", "suspect", "photo", "acts")
    return {
        **{name: [batch] for name in of_batch},
        "room": ["", "shade-1", *(f"shade-1/{act}" for act in acts)],
        "rooms": ["", "shade-1", "shade-1/edit", "new"],
        "access": ["", "shade-1"],
        "may": [f"moving/{batch}", f"sending/{batch}", "entering/shade-1"],
        "round": ["", "shade-1"],
    }


def test_a_nursery_without_a_permit_never_reads_of_any(browser: Browser, free: Desk) -> None:
    phone = phone_of(browser, free, ANA, "Ana's phone")
    hand = Hand(phone.page)
    phone.go("take-on")
    hand.tap_named("Bench 1")
    says_nothing_of_it(phone.page, "en", "take-on")
    hand.tap_named("Passion fruit")
    expect(hand.one("takeon.under")).to_have_count(0)
    hand.pad("41")
    hand.tap("takeon.save", label="T1", n=41)
    hand.tap("takeon.next_bench")
    phone.is_sent()
    batch = free.batch("T1")
    assert (batch["outlook"]["clock"], batch["stage"]) == (None, "growing_on")
    unpack(hand, phone)
    phone.is_sent()
    second = free.batch("T2")
    assert (second["outlook"]["clock"], second["stage"]) == (None, "growing_on")
    for language, name in (("en", "English"), ("es", "Español")):
        phone.go("")
        seen.settings(phone.page, language=name, light="day")
        walked(phone, about(batch["id"]), language)
    assert phone.faults == []


NARROW, WIDE = (320, 700), DESK
STEPS = ("arrive/x/open", "arrive/x/trays", "arrive/x/second", "take-on", "inside")


@pytest.mark.parametrize(("language", "size"), [("Español", NARROW), ("English", WIDE)])
def test_every_step_is_open_to_everybody(
    phone: Phone, language: str, size: tuple[int, int], tmp_path: Path
) -> None:
    page = phone.page
    phone.go("")
    seen.settings(page, language=language, light="night" if language == "Español" else "day")
    page.set_viewport_size({"width": size[0], "height": size[1]})
    rooms = [f"room/q-room/{act}" for act in ("", "read", "bath", "clean", "water", "torn", "mend")]
    wrong: dict[str, Any] = {}
    for sheet in (*STEPS, *rooms, "access/q-room"):
        phone.go(sheet)
        expect(page.locator("main h1").first).to_be_visible()
        page.wait_for_timeout(200)
        seen.picture(page, tmp_path, sheet.replace("/", "-"))
        if found := seen.wrongs(page):
            wrong[sheet] = found
    assert wrong == {}
