"""The grower of an own nursery types what records name, and the worker's phone offers it."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.journeys import seen
from tests.journeys.hands import Hand, sent
from tests.journeys.offices import Desk
from tests.journeys.own import ANA, SAMI, ZONE, own_nursery
from tests.journeys.phones import DESK, PHONE, Phone, phone_of
from tests.journeys.test_people import refreshed
from tests.journeys.test_permits import on_day, row_of
from tests.journeys.test_shell import sign_in
from tests.phone import Writer


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with own_nursery(tmp_path_factory.mktemp("own"), conditions=True) as desk:
        yield desk


@pytest.fixture(scope="module")
def grower(browser: Browser, desk: Desk) -> Iterator[Hand]:
    width, height = DESK
    context = browser.new_context(
        base_url=desk.url, locale="en-GB", viewport={"width": width, "height": height}
    )
    found = Hand(context.new_page())
    sign_in(found.page, ANA)
    yield found
    assert found.faults == []
    context.close()


@pytest.fixture(scope="module")
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, SAMI, "Bench phone")
    yield found
    assert found.faults == []
    found.context.close()


@pytest.fixture(scope="module")
def tray(desk: Desk, phone: Phone) -> str:
    """A tray of papaya on the bench; the crop has no row yet."""
    new = {"id": "b-1", "label": "K1", "crop": "papaya", "place": "bench-1"}
    body = {"batch": new, "alive": 120, "method": "full"}
    text = Writer("own", author=SAMI.id).write("taken_on", ["b-1"], body, datetime.now(UTC))
    assert sent(phone.context, desk.url, "i-own", text) == ["stored"]
    return "b-1"


def listed(grower: Hand, kind: str) -> None:
    """Open the list of one kind of rows from the office's own nav."""
    grower.page.get_by_role("link", name=grower.says("nav.rows")).click()
    grower.page.locator("main").get_by_role("link", name=grower.says(f"rows.{kind}")).click()
    grower.is_at(f"rows.{kind}")


def narrow_and_wide(page: Page) -> None:
    """Nothing is cut off or hard to hit, at the desk and on a phone."""
    for width, height in (PHONE, DESK):
        page.set_viewport_size({"width": width, "height": height})
        assert seen.wrongs(page) == []


def offered(phone: Phone, tray: str, pest: str) -> Locator:
    """Return a pest among those that may be found on a tray, in the worker's language."""
    hand = Hand(phone.page, SAMI.language)
    phone.go("")
    refreshed(phone)
    phone.go(f"look/{tray}")
    hand.tap_named(hand.says("look.answer_found_more"))
    pests = phone.page.get_by_role("group", name=hand.says("look.pest"))
    return pests.get_by_role("button", name=pest, exact=True)


def test_a_pest_is_typed_at_the_desk(grower: Hand, desk: Desk) -> None:
    page = grower.page
    listed(grower, "pest")
    grower.reads("rows.none")
    grower.tap("rows.pest_new")
    grower.tap("button.save")
    expect(page.locator("[data-field=name]")).to_have_text(grower.says("permits.is_missing"))
    grower.type("rows.name", "Papaya mealybug")
    grower.type("rows.in_es", "Cochinilla de la papaya")
    grower.type("rows.code", "co")
    grower.tap("button.save")
    wrong = page.locator("[data-field=code]")
    expect(wrong).to_have_text(grower.says("rows.odd_code", value="co"))
    narrow_and_wide(page)
    assert desk.get("rows/pest")["items"] == []
    grower.type("rows.code", "pacoma")
    grower.tap("button.save")
    expect(row_of(page, "Papaya mealybug")).to_contain_text("PACOMA")
    narrow_and_wide(page)
    (row,) = desk.get("rows/pest")["items"]
    assert row["body"]["called"] == [{"language": "es", "text": "Cochinilla de la papaya"}]


def test_the_worker_s_phone_offers_it_in_the_worker_s_language(phone: Phone, tray: str) -> None:
    expect(offered(phone, tray, "Cochinilla de la papaya")).to_be_visible()


def test_one_that_is_over_is_offered_no_more_and_keeps_its_name(
    grower: Hand, phone: Phone, desk: Desk, tray: str
) -> None:
    """Rule R-9."""
    page = grower.page
    before = datetime.now(ZoneInfo(ZONE)).date() - timedelta(days=2)
    listed(grower, "pest")
    row_of(page, "Papaya mealybug").get_by_role("link").click()
    on_day(grower, "rows.until", before)
    grower.tap("button.save")
    grower.reads("rows.ends_first")
    page.locator("summary", has_text=grower.says("rows.since")).click()
    grower.tap("permits.take_day_out")
    grower.tap("button.save")
    expect(row_of(page, "Papaya mealybug")).to_contain_text(grower.says("rows.over", on=before))
    assert desk.get("rows/pest")["items"][0]["body"]["until"] == before.isoformat()
    expect(offered(phone, tray, "Cochinilla de la papaya")).to_have_count(0)


def test_a_crop_that_a_phone_named_is_described_with_its_pots(
    grower: Hand, desk: Desk, phone: Phone, tray: str
) -> None:
    page = grower.page
    listed(grower, "crop")
    page.get_by_role("link", name=re.compile(grower.says("rows.undescribed"))).click()
    grower.type("rows.name", "Papaya")
    grower.type("rows.in_es", "Papayo")
    grower.tap("rows.pot_add")
    grower.type("rows.pot_container", "2 L bag")
    grower.type("rows.pot_per_m2", "0")
    grower.type("rows.pot_days", "90")
    grower.type("rows.pot_source", "Our records of 2025")
    grower.tap("button.save")
    wrong = page.locator("[data-field=pot-0-per_m2]")
    expect(wrong).to_have_text(grower.says("rows.odd_per_m2", value="0"))
    narrow_and_wide(page)
    grower.type("rows.pot_per_m2", "25")
    grower.tap("button.save")
    expect(row_of(page, "Papaya")).to_contain_text(grower.says("rows.pot_stand", n=25))
    expect(page.get_by_text(grower.says("rows.undescribed"))).to_have_count(0)
    narrow_and_wide(page)
    body = desk.get("rows/crop/papaya")["body"]
    pot = {"container": "2 L bag", "source": "Our records of 2025", "full_days": 90, "per_m2": 25}
    assert body["pots"] == [pot]


def test_from_it_follow_bench_space_and_the_day_of_full_pots(
    grower: Hand, desk: Desk, phone: Phone, tray: str
) -> None:
    hand = Hand(phone.page, SAMI.language)
    phone.go("")
    refreshed(phone)
    phone.go(f"pot/{tray}")
    hand.tap_named("2 L bag")
    hand.tap("pot.save", label="K1", n=120)
    expect(phone.page).not_to_have_url(re.compile(r"#/pot/"))
    phone.is_sent()
    full = datetime.now(ZoneInfo(ZONE)).date() + timedelta(days=90)
    ahead = {one["code"]: one["params"] for one in desk.batch("K1")["outlook"]["season"]}
    assert ahead["pots_full"] == {"on": full.isoformat(), "container": "2 L bag"}
    grower.page.goto("/#/rooms/shade-1")
    grower.page.reload()
    grower.reads("rooms.benches_taken", taken=4.8, m2=20)


def test_a_checklist_is_typed_line_by_line(grower: Hand, desk: Desk) -> None:
    page = grower.page
    listed(grower, "checklist")
    grower.tap("rows.checklist_new")
    grower.type("rows.name", "Weekly look-over")
    grower.tap("button.save")
    expect(page.locator("[data-field=items]")).to_have_text(grower.says("rows.no_lines"))
    grower.type("rows.line_es", "Hojas por arriba")
    grower.type("rows.line_plants", "0")
    grower.tap("button.save")
    wrong = page.locator("[data-field=line-0-plants]")
    expect(wrong).to_have_text(grower.says("rows.odd_plants", value="0"))
    narrow_and_wide(page)
    grower.type("rows.line_plants", "4")
    grower.tap("rows.line_add")
    page.get_by_label(grower.says("rows.line_en")).last.fill("Foot of the stem")
    grower.tap("button.save")
    expect(row_of(page, "Weekly look-over")).to_contain_text(grower.says("rows.version", n=1))
    narrow_and_wide(page)
    (row,) = desk.get("rows/checklist")["items"]
    assert [one.get("plants") for one in row["body"]["items"]] == [4, None]


def test_the_phone_goes_through_it_in_words_that_somebody_wrote(
    desk: Desk, phone: Phone, tray: str
) -> None:
    (row,) = desk.get("rows/checklist")["items"]
    hand = Hand(phone.page, SAMI.language)
    phone.go("")
    refreshed(phone)
    phone.go(f"look/{tray}")
    phone.page.locator("main summary").first.click()
    for said in ("Hojas por arriba", "Foot of the stem"):
        expect(phone.page.get_by_role("button", name=said)).to_be_visible()
    hand.tap_on_sheet(hand.says("look.answer_nothing"))
    expect(phone.page).not_to_have_url(re.compile(r"#/look/"))
    phone.is_sent()
    body = desk.records(tray, "looked")[-1]["body"]
    assert (body["checklist"], body["version"]) == (row["id"], 1)
    assert [one["plants"] for one in body["items"]] == [4, 120]


def test_another_line_is_another_version(grower: Hand, desk: Desk) -> None:
    listed(grower, "checklist")
    row_of(grower.page, "Weekly look-over").get_by_role("link").click()
    grower.tap("rows.line_out", n=2)
    grower.tap("button.save")
    expect(row_of(grower.page, "Weekly look-over")).to_contain_text(
        grower.says("rows.version", n=2)
    )
    (row,) = desk.get("rows/checklist")["items"]
    assert [len(row["body"]["items"]), row["body"]["version"]] == [1, 2]


def test_seed_is_typed_with_its_number_by_weight_as_an_estimate(grower: Hand, desk: Desk) -> None:
    listed(grower, "seed_lot")
    grower.tap("rows.seed_lot_new")
    grower.type("rows.name", "Papaya, own fruit")
    grower.type("rows.seed_grams", "0")
    grower.tap("button.save")
    wrong = grower.page.locator("[data-field=grams]")
    expect(wrong).to_have_text(grower.says("rows.odd_figure", value="0"))
    grower.type("rows.seed_grams", "12.5")
    grower.type("rows.seed_per_kg", "60000")
    grower.reads("sow.estimate", n=750)
    narrow_and_wide(grower.page)
    grower.tap("button.save")
    shown = row_of(grower.page, "Papaya, own fruit")
    expect(shown).to_contain_text(grower.says("sow.estimate", n=750))
    (row,) = desk.get("rows/seed_lot")["items"]
    assert (row["body"]["grams"], row["body"]["seeds_per_kg"]) == (12.5, 60000)
