"""People and phones: the grower lets in, gives PINs, says whose a record was, and shuts out."""

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand, sent
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE, Phone, phone_of
from tests.phone import Writer
from tests.steps import ROOT

NOW = demo.EVENINGS[1]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("people"), 1) as office:
        yield office


@pytest.fixture
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture
def grower(browser: Browser, office: Office) -> Iterator[Hand]:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": DESK[0], "height": DESK[1]}
    )
    hand = Hand(context.new_page())
    hand.page.goto("/")
    hand.page.get_by_label("Your e-mail address").fill(demo.G.email)
    hand.page.get_by_label("Password").fill(demo.G.password)
    hand.page.get_by_role("button", name="Sign in").click()
    hand.is_at("stock.title")
    yield hand
    assert hand.faults == []
    context.close()


def opened(hand: Hand, sheet: str, title: str) -> None:
    hand.page.goto(f"/#/{sheet}")
    hand.is_at(title)


def person_called(desk: Desk, name: str) -> dict[str, Any]:
    """Return somebody's row by name: an id says nothing of whose it is."""
    found = [row for row in desk.get("rows/person")["items"] if row["body"]["name"] == name]
    assert len(found) == 1, name
    assert not set(re.findall("[a-z]+", name.lower())) & set(found[0]["id"].split("-"))
    return dict(found[0])


def refreshed(phone: Phone) -> None:
    """Let a phone hear from the office."""
    with phone.page.expect_response("**/sync/outlook**"):
        phone.page.evaluate("dispatchEvent(new Event('online'))")
    phone.page.wait_for_timeout(500)


def test_a_phone_joins_by_the_code_that_the_grower_shows(
    browser: Browser, office: Office, grower: Hand
) -> None:
    opened(grower, "people", "people.title")
    grower.tap("people.invite")
    grower.is_at("invite.title")
    grower.type("invite.other_name", "Blue phone")
    grower.tap("invite.show")
    grower.reads("invite.waiting", name="Blue phone")
    grower.page.get_by_text(grower.says("invite.by_hand")).click()
    link = grower.page.locator("a.link").get_attribute("href") or ""
    context = browser.new_context(base_url=office.url, locale="en-GB")
    page = context.new_page()
    page.goto(link)
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("button", name=demo.W1.name)).to_be_visible()
    grower.reads("invite.joined", name="Blue phone")
    assert grower.taps == 2
    grower.tap("invite.done")
    expect(grower.page.get_by_role("link", name="Blue phone")).to_be_visible()
    page.goto(link)
    expect(page.locator("main")).to_contain_text("keeps the book of Veshmere Terraces already")
    other = browser.new_context(base_url=office.url, locale="en-GB").new_page()
    other.goto(link)
    other.get_by_role("button", name="Join").click()
    expect(other.get_by_role("alert")).to_be_visible()


def test_a_new_person_writes_with_the_pin_that_the_grower_gave(
    browser: Browser, desk: Desk, grower: Hand
) -> None:
    phone = phone_of(browser, desk, demo.W2, "Pin phone")
    opened(grower, "people", "people.title")
    grower.tap("people.new")
    grower.type("people.name", "Ola Brun")
    expect(grower.page.get_by_role("button", name="triangle")).to_be_visible()
    grower.tap("people.save", name="Ola Brun")
    grower.reads("pin.choose", name="Ola Brun")
    grower.pad(demo.W2.pin)
    grower.reads("pin.shared", name=demo.W2.name)
    for _ in range(4):
        grower.page.get_by_role("button", name=grower.says("keys.back")).click()
    grower.pad("4711")
    grower.tap("pin.save", name="Ola Brun")
    grower.reads("pin.saved", name="Ola Brun")
    row = person_called(desk, "Ola Brun")["body"]
    assert "4711" not in json.dumps(row)
    assert len(row["pin_hash"]) == 64
    refreshed(phone)
    phone.go("who")
    phone.page.get_by_role("button", name="Ola Brun").click()
    phone.figures("4710")
    expect(phone.page.get_by_role("alert")).to_be_visible()
    phone.figures("4711")
    expect(phone.page.locator("header")).to_contain_text("Ola Brun")
    assert phone.faults == []
    phone.context.close()


def test_a_pin_that_was_reset_is_the_one_that_counts(
    browser: Browser, desk: Desk, grower: Hand
) -> None:
    phone = phone_of(browser, desk, demo.W2, "Reset phone")
    grower.page.goto(f"/#/people/person/{demo.W1.id}")
    grower.tap("people.other_pin")
    grower.pad("9300")
    grower.tap("pin.save", name=demo.W1.name)
    grower.reads("pin.saved", name=demo.W1.name)
    refreshed(phone)
    phone.go("who")
    phone.page.get_by_role("button", name=demo.W1.name).click()
    phone.figures(demo.W1.pin)
    expect(phone.page.get_by_role("alert")).to_be_visible()
    phone.figures("9300")
    expect(phone.page.locator("header")).to_contain_text(demo.W1.name)
    phone.context.close()


def test_who_left_has_no_tile_any_more_and_may_come_back(
    browser: Browser, desk: Desk, grower: Hand
) -> None:
    phone = phone_of(browser, desk, demo.G, "Leaving phone")
    grower.page.goto(f"/#/people/person/{demo.W2.id}")
    grower.tap("people.leaves", name=demo.W2.name)
    grower.is_at("people.title")
    grower.page.get_by_text(grower.says("people.gone"), exact=True).click()
    expect(grower.page.locator("details").get_by_text(demo.W2.name)).to_be_visible()
    refreshed(phone)
    phone.go("who")
    expect(phone.page.get_by_role("button", name=demo.G.name)).to_be_visible()
    expect(phone.page.get_by_role("button", name=demo.W2.name)).to_have_count(0)
    grower.page.goto(f"/#/people/person/{demo.W2.id}")
    grower.tap("people.back_again")
    grower.is_at("people.title")
    assert desk.get(f"rows/person/{demo.W2.id}")["body"]["until"] is None
    phone.context.close()


def written_without_pin(phone: Phone, office: Office, number: int) -> None:
    """Write looks on the first one's tile, without a PIN."""
    pen = Writer(f"forgetful-{number}", author=demo.W1.id, number=number)
    looked = {"answer": "nothing", "plants": 53, "minutes": 8}
    texts = [
        pen.write("looked", [f"b-t{n}"], looked, NOW - timedelta(minutes=90 - n), confirmed=False)
        for n in range(1, number + 1)
    ]
    assert sent(phone.context, office.url, "i-forgetful", *texts) == ["stored"] * number
    phone.context.close()


def test_the_grower_says_whose_the_records_without_a_pin_are(
    browser: Browser, office: Office, desk: Desk, grower: Hand
) -> None:
    written_without_pin(phone_of(browser, desk, demo.W2, "Forgetful phone"), office, 3)
    opened(grower, "people", "people.title")
    grower.page.get_by_text(grower.says("people.without_pin", n=3)).click()
    grower.is_at("whose.title")
    grower.page.get_by_role("checkbox").nth(2).check()
    grower.tap_named(demo.W2.name)
    expect(grower.page.get_by_role("checkbox")).to_have_count(2)
    grower.tap("whose.hers", name=demo.W1.name, n=2)
    grower.reads("whose.none")
    by = {batch: desk.get(f"batches/{batch}")["record"]["looks"] for batch in ("b-t1", "b-t3")}
    assert by["b-t1"][-1]["by"] == demo.W1.id
    assert by["b-t3"][-1]["by"] == demo.W2.id
    said = desk.records("b-t3", "settled")[-1]
    assert (said["author"], said["body"]["by"]) == (demo.G.id, demo.W2.id)


def test_a_phone_that_is_shut_out_says_so_and_hands_in_what_it_holds(
    browser: Browser, office: Office, desk: Desk, grower: Hand, tmp_path: Path
) -> None:
    phone = phone_of(browser, desk, demo.W2, "Lost phone")
    opened(grower, "people", "people.title")
    grower.page.get_by_role("link", name="Lost phone").click()
    grower.tap("shut.begin")
    grower.reads("shut.ask", name="Lost phone")
    grower.reads("shut.after")
    grower.tap("shut.do", name="Lost phone")
    expect(grower.one("people.rescue")).to_be_visible()
    phone.page.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.page.get_by_role("alert")).to_contain_text("shut this phone out")
    pen = Writer("lost", author=demo.W2.id)
    text = pen.write("noted", ["b-t1"], {"text": "held on a lost phone"}, NOW)
    parcel = {"epoch": "gone", "install": "i-lost", "entries": [text, "{"]}
    file = tmp_path / "phone.json"
    file.write_text(json.dumps(parcel))
    grower.tap("people.rescue")
    (tmp_path / "other.json").write_text("[]")
    grower.page.set_input_files("input[type=file]", tmp_path / "other.json")
    grower.reads("rescue.no_parcel")
    grower.page.set_input_files("input[type=file]", file)
    grower.tap("rescue.do", n=2)
    grower.reads("rescue.stored", n=1)
    grower.reads("rescue.kept_raw", n=1)
    assert [entry["id"] for entry in desk.records("b-t1", "noted")][-1:] == [json.loads(text)["id"]]
    phone.context.close()


def is_shut_by_wrong_pins(phone: Phone, told: Hand) -> None:
    """Type five wrong PINs on the second one's tile: it is shut, through a reload as well."""
    phone.go("who")
    tile = phone.page.locator("main").get_by_role("button", name=demo.W2.name)
    tile.click()
    for _ in range(4):
        phone.figures("1111")
        told.reads("who.wrong")
        expect(phone.page.get_by_label(told.says("who.typed", n=0))).to_be_visible()
    phone.figures("1111")
    shut = told.says("who.shut", name=demo.W2.name, minutes=2)
    expect(phone.page.get_by_role("alert")).to_have_text(shut)
    expect(phone.page.get_by_role("button", name="1", exact=True)).to_have_count(0)
    phone.page.reload()
    phone.go("who")
    tile.click()
    expect(phone.page.get_by_role("alert")).to_contain_text(shut.split(":")[0])
    expect(phone.page.get_by_role("button", name="1", exact=True)).to_have_count(0)


def test_five_wrong_pins_shut_a_tile_and_nobody_is_kept_from_recording(
    browser: Browser, desk: Desk, grower: Hand
) -> None:
    phone = phone_of(browser, desk, demo.G, "Locked phone")
    told = Hand(phone.page)
    # Without a signal all five are heard of at once.
    phone.offline()
    is_shut_by_wrong_pins(phone, told)
    told.tap("who.forgotten", grower=demo.G.name)
    expect(phone.page.locator("header")).to_contain_text(demo.W2.name.split()[0])
    phone.go("note/b-t2")
    phone.page.get_by_role("textbox").fill("leaves curl at the lamp")
    told.tap("note.save")
    expect(phone.page).not_to_have_url(re.compile("#/note/"))
    phone.offline(False)
    phone.is_sent()
    note = desk.records("b-t2", "noted")[-1]
    assert (note["author"], note["confirmed"]) == (demo.W2.id, False)
    wrong = grower.says("access.wrong_pin", n=5, phone="Locked phone")
    opened(grower, "people/seen", "people.seen")
    grower.tap_named(demo.W2.name)
    expect(grower.page.get_by_text(wrong)).to_be_visible()
    grower.tap_named(demo.W1.name)
    expect(grower.page.get_by_text(wrong)).to_have_count(0)
    assert phone.faults == []
    phone.context.close()


def test_a_shut_tile_asks_again_by_itself(browser: Browser, desk: Desk) -> None:
    phone = phone_of(browser, desk, demo.G, "Patient phone")
    told = Hand(phone.page)
    phone.page.clock.install()
    phone.go("who")
    phone.page.locator("main").get_by_role("button", name=demo.W2.name).click()
    for _ in range(5):
        phone.figures("1111")
        phone.page.clock.run_for(500)
        phone.page.wait_for_timeout(300)
    told.reads("who.shut", name=demo.W2.name, minutes=2)
    phone.page.clock.run_for(70_000)
    told.reads("who.shut", name=demo.W2.name, minutes=1)
    phone.page.clock.run_for(60_000)
    told.reads("who.figures", name=demo.W2.name)
    phone.figures(demo.W2.pin)
    expect(phone.page.locator("header")).to_contain_text(demo.W2.name.split()[0])
    assert phone.faults == []
    phone.context.close()


def verified(office: Office) -> str:
    """Return what the product says of its own book."""
    words = [sys.executable, "-m", "config", "verify"]
    told = office.told(NOW)
    done = subprocess.run(words, cwd=ROOT, env=told, check=True, capture_output=True, text=True)
    return done.stdout


def somebody_left_a_note(desk: Desk, phone: Phone) -> None:
    """Let somebody without a PIN look a batch over and write a note, and the phone show both."""
    somebody = {"name": "Eda Lomm", "role": "worker", "language": "en", "since": "2031-03-01"}
    desk.ask("PUT", "rows/person/p-5e1f", {"rev": 0, "body": somebody})
    pen = Writer("leaver", author="p-5e1f", number=9)
    looked = {"answer": "nothing", "plants": 50, "minutes": 8}
    texts = [
        pen.write("looked", ["b-t5"], looked, NOW - timedelta(minutes=9)),
        pen.write("noted", ["b-t5"], {"text": "my knee hurts"}, NOW),
    ]
    assert sent(phone.context, desk.url, "i-leaver", *texts) == ["stored"] * 2
    refreshed(phone)
    phone.go("batch/b-t5")


def is_erased(grower: Hand, desk: Desk, label: str) -> None:
    """Erase Eda Lomm: a reason, a first tap that erases nobody, a second one."""
    grower.page.goto("/#/people/person/p-5e1f")
    grower.tap("people.erase", name="Eda Lomm")
    grower.reads("erase.stays", label=label)
    expect(grower.one("erase.begin")).to_be_disabled()
    grower.tap("erase.why_asked")
    grower.tap("erase.begin")
    grower.reads("erase.sure", name="Eda Lomm")
    assert desk.get("rows/person/p-5e1f")["body"]["name"] == "Eda Lomm"
    grower.tap("erase.not")
    grower.tap("erase.begin")
    grower.tap("erase.do")
    grower.is_at("people.title")


def test_who_asks_for_it_is_erased_with_a_second_tap_and_the_book_stays_whole(
    browser: Browser, office: Office, desk: Desk, grower: Hand
) -> None:
    phone = phone_of(browser, desk, demo.W2, "Reading phone")
    somebody_left_a_note(desk, phone)
    main = phone.page.locator("main")
    expect(main).to_contain_text("my knee hurts")
    expect(main).to_contain_text("Eda Lomm")
    label = desk.get("people/p-5e1f/erasure")["label"]
    is_erased(grower, desk, label)
    grower.page.get_by_text(grower.says("people.gone"), exact=True).click()
    expect(grower.page.locator("details").get_by_text(label)).to_be_visible()
    expect(grower.page.get_by_text("Eda Lomm")).to_have_count(0)
    refreshed(phone)
    expect(main).to_contain_text(label)
    expect(main).not_to_contain_text("Eda Lomm")
    expect(main).not_to_contain_text("my knee hurts")
    opened(grower, "people/seen", "people.seen")
    grower.reads("access.person_erased", what=label)
    assert verified(office) == f"{demo.NURSERY}: the chain holds.\n"
    assert "knee" not in json.dumps(desk.get("batches/b-t5"))
    assert phone.faults == []
    phone.context.close()


SHEETS = {
    "people": "people",
    "papers": "people/papers",
    "seen": "people/seen",
    "seen of one": f"people/seen/{demo.W1.id}",
    "erase": f"people/erase/{demo.W1.id}",
    "person": f"people/person/{demo.W1.id}",
    "new person": "people/person/new",
    "pin": f"people/pin/{demo.W1.id}",
    "invite": "people/invite",
    "whose": "people/whose",
    "rescue": "people/rescue",
    "backup": "backup",
    "steps": "begin",
    "card": "begin/card",
}


@pytest.mark.parametrize(
    ("language", "light", "size"),
    [("English", "day", DESK), ("Español", "night", PHONE), ("Español", "day", (320, 700))],
    ids=["a desk by day", "un teléfono de noche", "the narrowest phone"],
)
def test_every_sheet_is_open_to_everybody(
    browser: Browser,
    office: Office,
    grower: Hand,
    language: str,
    light: str,
    size: tuple[int, int],
    tmp_path: Path,
) -> None:
    page = grower.page
    if language == "English":
        written_without_pin(phone_of(browser, Desk(office.url), demo.W2, "Tile phone"), office, 2)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    seen.settings(page, language=language, light=light)
    wrong = {}
    for name, sheet in SHEETS.items():
        page.goto(f"/#/{sheet}")
        expect(page.locator("main h1")).to_be_visible()
        seen.rests(page)
        if found := seen.wrongs(page):
            wrong[name] = found
        seen.picture(page, tmp_path, name)
    assert wrong == {}
