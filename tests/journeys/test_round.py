"""The weekly round on a phone without signal: trays, traps, and something that nobody knows."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import PHONE, Phone, phone_of

# Monday 31 March, 07:00 in the nursery: a week begins, and nothing of it has been looked over yet.
MORNING = datetime(2031, 3, 30, 21, tzinfo=UTC)
ROUND_TARGET = 72
TRAYS = ["T1", "T2", "T3", "T4", "T5", "T6"]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("round"), 2, MORNING) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def the_phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, demo.W2)
    yield found
    found.context.close()


@pytest.fixture
def phone(the_phone: Phone) -> Iterator[Phone]:
    yield the_phone
    the_phone.offline(off=False)
    assert the_phone.faults == []


@pytest.fixture
def watched(browser: Browser, desk: Desk) -> Iterator[Phone]:
    """Give a phone of its own, whose clock the test moves."""
    found = phone_of(browser, desk, demo.W2, "Phone with a clock")
    found.page.clock.install()
    yield found
    assert found.faults == []
    found.context.close()


def rows(phone: Phone) -> list[str]:
    """Return the trays of the round in their order."""
    trays = phone.page.locator("main li a svg[role=img]")
    return [str(tray.get_attribute("aria-label")).split()[-1] for tray in trays.all()]


def row(phone: Phone, tray: str) -> Locator:
    """Return the line of a tray on the round."""
    page = phone.page
    return page.get_by_role("listitem").filter(has=page.get_by_role("img", name=f"tray {tray}"))


def at_the_round(phone: Phone, room: str = n.QUARANTINE) -> None:
    phone.go(f"round/{room}")
    expect(phone.page.locator("main h1")).to_contain_text("Round")
    phone.taps = 0


def answers_nothing(phone: Phone) -> None:
    """Tap the answer on the sheet; the Undo below may name a look that found nothing as well."""
    phone.taps += 1
    phone.page.locator("main").get_by_role("button", name="Nothing found").click()


def due_now(desk: Desk) -> set[tuple[str, str]]:
    """Return what is still due this Monday, by kind and subject."""
    items = desk.get("due?until=2031-03-31T13:00:00Z")["items"]
    return {(one["kind"], one["subject"]) for one in items}


def looks(desk: Desk, batch: str) -> list[dict[str, Any]]:
    return [one["body"] for one in desk.records(batch, "looked")]


def test_a_clean_tray_is_two_taps_and_keeps_its_minutes(watched: Phone, desk: Desk) -> None:
    phone, page = watched, watched.page
    at_the_round(phone)
    assert rows(phone)[:6] == TRAYS
    phone.offline()
    phone.tap("Look over T1", role="link")
    expect(page.get_by_role("button", name="Nothing found")).to_be_visible()
    page.clock.fast_forward("04:00")
    page.reload()  # the page was killed meanwhile
    expect(page.get_by_role("button", name="Nothing found")).to_be_visible()
    page.clock.fast_forward("05:00")
    answers_nothing(phone)
    expect(row(phone, "T1")).to_contain_text("looked, nothing found")
    assert phone.taps == 2
    expect(row(phone, "T1")).to_contain_text("9 min")
    expect(page.locator("main h1")).to_contain_text(re.compile(r"53\s*of 305"))

    phone.offline(off=False)
    phone.is_sent()
    last = looks(desk, n.T1)[-1]
    assert (last["answer"], last["plants"], last["minutes"]) == ("nothing", 53, 9)
    assert (last["checklist"], last["version"]) == ("weekly", 2)
    assert [item["plants"] for item in last["items"]] == [53, 4, 2, 53]
    due = {subject for kind, subject in due_now(desk) if kind == "look_over"}
    assert n.T1 not in due
    assert n.T3 in due


def test_a_look_under_the_floor_is_called_quick_and_counts(phone: Phone, desk: Desk) -> None:
    at_the_round(phone)
    row(phone, "T2").get_by_role("link").click()
    answers_nothing(phone)
    expect(row(phone, "T2")).to_contain_text("quick")
    phone.is_sent()
    assert looks(desk, n.T2)[-1]["answer"] == "nothing"


def test_undo_opens_the_tray_again_and_stays_in_the_book(phone: Phone, desk: Desk) -> None:
    page = phone.page
    at_the_round(phone)
    row(phone, "T6").get_by_role("link").click()
    answers_nothing(phone)
    expect(row(phone, "T6")).to_contain_text("nothing found")
    page.get_by_role("button", name="Undo").click()
    expect(row(phone, "T6")).not_to_contain_text("nothing found")
    phone.is_sent()
    assert len(desk.records(n.T6, "withdrawn")) == 1


def test_a_find_with_dead_plants_is_one_act_and_no_typing(phone: Phone, desk: Desk) -> None:
    page = phone.page
    at_the_round(phone)
    phone.offline()
    row(phone, "T5").get_by_role("link").click()
    page.get_by_role("button", name=re.compile("^Found")).click()
    page.get_by_role("button", name="10 more: dead today").click()
    page.get_by_role("button", name="Save T5: found, 10 dead").click()
    expect(page.get_by_role("alert")).to_contain_text("10 dead")
    expect(page.get_by_text("10 of 48 in T5, 21 %")).to_be_visible()
    for _ in range(8):
        page.get_by_role("button", name="1 fewer: dead today").click()
    page.get_by_role("button", name="stem rot").click()
    page.get_by_role("button", name="stem", exact=True).click()
    expect(page.get_by_role("switch", name="Officer's bag")).to_be_checked()
    page.get_by_role("button", name="Save T5: found, 2 dead").click()
    expect(row(phone, "T5")).to_contain_text("looked, found")
    expect(row(phone, "T5")).to_contain_text("46")

    phone.offline(off=False)
    phone.is_sent()
    found = desk.records(n.T5, "found")[-1]["body"]
    assert found == {"suspicion": False, "symptom": "stem_rot", "part": "stem"}
    lost = desk.records(n.T5, "lost")[-1]["body"]
    assert (lost["count"], lost["cause"], lost["kept"]) == (2, "stem_rot", True)
    assert desk.alive("T5") == [46]


def test_not_looked_is_a_blank_with_its_reason(phone: Phone, desk: Desk) -> None:
    page = phone.page
    at_the_round(phone)
    row(phone, "T3").get_by_role("link").click()
    page.get_by_role("button", name=re.compile("^Not looked")).click()
    page.get_by_role("button", name="too dark").click()
    page.get_by_role("button", name="Save T3: not looked").click()
    expect(row(phone, "T3")).to_contain_text("too dark")
    phone.is_sent()
    last = looks(desk, n.T3)[-1]
    assert (last["answer"], last["why"]) == ("not_looked", "dark")
    assert "plants" not in last
    assert "minutes" not in last


def trap(phone: Phone, name: str) -> Locator:
    return phone.page.get_by_role("listitem").filter(has_text=name)


def test_an_empty_trap_is_two_taps_and_a_true_zero(phone: Phone, desk: Desk) -> None:
    phone.go("traps")
    expect(phone.page.get_by_role("link", name="Read Trap A")).to_be_visible()
    phone.offline()
    phone.taps = 0
    phone.tap("Read Trap A", role="link")
    phone.tap("Read, nothing caught")
    expect(trap(phone, "Trap A")).to_contain_text("nothing caught")
    assert phone.taps == 2
    expect(trap(phone, "Trap A").locator(".fig")).to_have_text("0")
    phone.offline(off=False)
    phone.is_sent()
    assert ("trap", n.TRAP_A) not in due_now(desk)


def test_a_wet_trap_is_never_zero_and_is_changed_the_next_day(phone: Phone, desk: Desk) -> None:
    page = phone.page
    phone.go(f"trap/{n.TRAP_B}")
    page.get_by_role("button", name=re.compile("^Cannot read it")).click()
    save = page.get_by_role("button", name="Save Trap B: not readable")
    expect(save).to_be_disabled()
    page.get_by_role("button", name="wet", exact=True).click()
    save.click()
    expect(trap(phone, "Trap B")).to_contain_text("not readable, wet")
    expect(trap(phone, "Trap B").locator(".fig")).to_have_text("")
    phone.is_sent()
    assert {("replace_trap", n.TRAP_B), ("trap", n.TRAP_B)} <= due_now(desk)


def test_what_a_trap_caught_is_tapped_kind_by_kind(phone: Phone, desk: Desk) -> None:
    page = phone.page
    phone.go(f"trap/{n.TRAP_DOOR}")
    page.get_by_role("button", name=re.compile("^Caught something")).click()
    for _ in range(3):
        page.get_by_role("button", name="1 more: Thrips").click()
    page.get_by_role("button", name="Save Door trap: 3 caught").click()
    expect(trap(phone, "Door trap").locator(".fig")).to_have_text("3")
    phone.is_sent()
    (line,) = desk.get(f"places/{n.TRAP_DOOR}")["timeline"][-1:]
    assert line["entry"]["body"]["catches"] == [{"pest": n.THRIPS, "count": 3}]


NOTHING_MOVES = "T1 T2 T3 T4 T5 T6: nothing moves."


def suspect(phone: Phone, desk: Desk) -> None:
    """See something on T4 that nobody knows, without signal, with the grower inside."""
    desk.ask("POST", "records", {"kind": "entered", "about": [n.QUARANTINE], "body": {}})
    phone.is_sent()
    phone.go(f"access/{n.QUARANTINE}")
    expect(phone.page.get_by_text(re.compile(r"since \d\d:\d\d"))).to_be_visible(timeout=60_000)
    at_the_round(phone)
    phone.offline()
    phone.taps += 1
    row(phone, "T4").get_by_role("link").click()
    phone.tap("I see something I do not know")
    expect(phone.page.get_by_text(NOTHING_MOVES)).to_be_visible()


def do_the_steps(phone: Phone) -> None:
    page = phone.page
    page.get_by_role("button", name="Covered").click()
    page.get_by_role("button", name="Photos done").click()
    page.get_by_role("button", name="under the leaf").click()
    phone.figures("17")
    page.get_by_role("button", name="That is where").click()
    page.get_by_role("button", name="10 more: on one leaf").click()
    page.get_by_role("button", name="1 fewer: on one leaf").click()
    page.reload()  # nothing that was tapped is lost
    page.get_by_role("button", name="Counted").click()
    expect(page.locator("main h1")).to_contain_text("plant 17, under the leaf")
    for step in ("All are closed", "The round is stopped", "Changed", "Wiped"):
        page.get_by_role("button", name=step).click()
    expect(page.get_by_role("link", name="0550 118")).to_have_attribute("href", "tel:0550118")
    page.get_by_role("button", name="Plant health, duty officer").click()
    page.get_by_role("button", name="by phone").click()
    phone.figures("EM-77")
    page.get_by_role("button", name="Told: Plant health, duty officer").click()
    expect(page.get_by_text("The hold stays until")).to_be_visible()


def is_held_here(phone: Phone) -> None:
    """Without signal the phone says no, and puts what is suspect last."""
    page = phone.page
    phone.go(f"may/moving_inside/{n.T1}")
    expect(page.locator("main h1")).to_contain_text("May I move T1 inside its room?")
    expect(page.get_by_text("No", exact=True)).to_be_visible()
    expect(page.get_by_text("Held, as this phone worked it out.")).to_be_visible()
    expect(page.get_by_role("link", name="It has already happened")).to_be_visible()
    at_the_round(phone)
    assert rows(phone)[:6] == ["T1", "T2", "T3", "T5", "T6", "T4"]
    phone.go(f"lift/{n.T4}")
    expect(page.get_by_text("Only the grower lifts a hold")).to_be_visible()


def is_in_the_book(desk: Desk) -> None:
    found = desk.records(n.T4, "found")
    assert found[-1]["corrects"] == found[0]["id"]
    assert found[-1]["occurred_at"] == found[0]["occurred_at"]
    assert not found[-1]["by_hand"]
    body = found[-1]["body"]
    assert (body["tag"], body["per_leaf"], body["part"]) == ("T4-17", 9, "leaf_underside")
    told = desk.records(n.T4, "told")[-1]
    assert (told["body"]["reference"], len(told["about"])) == ("EM-77", 6)
    for tray in TRAYS:
        held = desk.batch(tray)["outlook"]["held"]
        assert [one["reference"] for one in held] == [found[0]["id"]], tray


def is_lifted_by_the_grower(phone: Phone, desk: Desk) -> None:
    page = phone.page
    phone.is_written_by(demo.G)
    phone.go(f"lift/{n.T4}")
    lift = page.get_by_role("button", name="Lift the hold")
    expect(lift).to_be_disabled()
    page.get_by_role("button", name="a drop of water").click()
    lift.click()
    phone.is_sent()
    at_the_round(phone)
    expect(page.get_by_text("nothing moves.")).to_have_count(0, timeout=60_000)
    told = desk.batch("T4")
    assert (told["outlook"]["held"], told["finds"]) == ([], [])


def test_the_second_tap_starts_the_hold_and_only_the_grower_lifts_it(
    phone: Phone, desk: Desk
) -> None:
    page, hold = phone.page, phone.page.get_by_text(NOTHING_MOVES)
    suspect(phone, desk)
    assert phone.taps == 2
    expect(hold).to_contain_text("Worked out on this phone. Inside: Ilsa Vorren.")
    suspicion = page.url
    do_the_steps(phone)
    is_held_here(phone)
    phone.offline(off=False)
    phone.is_sent()
    is_in_the_book(desk)
    page.evaluate("url => { location.href = url }", suspicion)
    expect(hold).to_contain_text("A find in T4.", timeout=60_000)
    is_lifted_by_the_grower(phone, desk)


TREATED = {
    "product": "soap",
    "started_at": "2031-03-30T20:30:00.000Z",
    "ended_at": "2031-03-30T20:50:00.000Z",
    "reentry_until": "2031-03-30T21:59:00.000Z",
}


def answers(phone: Phone, answer: str, why: str = "") -> None:
    said = phone.page.get_by_text(answer, exact=True)
    expect(said).to_be_visible(timeout=60_000)
    expect(phone.page.locator("main")).to_contain_text(why)


def test_a_gate_has_four_answers(watched: Phone, desk: Desk) -> None:
    phone, page = watched, watched.page
    phone.go(f"may/entering/{n.QUARANTINE}")
    answers(phone, "Yes", "Nothing forbids going in.")
    phone.go(f"may/moving/{n.T1}")
    answers(phone, "No", "Not released. Earliest release SAT 30 AUG.")
    desk.ask("POST", "records", {"kind": "treated", "about": [n.SHADE_HOUSE], "body": TREATED})
    phone.is_sent()
    phone.go(f"may/entering/{n.SHADE_HOUSE}")
    answers(phone, "Wait", "Never shut: going out, rescue")
    expect(page.locator("main .hour")).to_have_text("07:59")
    phone.go(f"may/leaving/{n.SHADE_HOUSE}")
    answers(phone, "Yes")

    phone.offline()
    page.clock.fast_forward("26:00:00")
    phone.is_written_by(demo.W2)
    phone.go(f"may/entering/{n.QUARANTINE}")
    answers(phone, "Cannot tell", "the office, last heard MON 31 MAR")
    answers(phone, "Cannot tell", "Read the sign on the door. No sign: wait outside.")
    phone.go(f"may/leaving/{n.QUARANTINE}")
    answers(phone, "Yes")


def test_the_emergency_card_wants_neither_signal_nor_pin(phone: Phone) -> None:
    page = phone.page
    phone.offline()
    page.evaluate("localStorage.clear()")
    phone.go("emergency")
    page.reload()
    numbers = page.get_by_role("main").get_by_role("listitem").get_by_role("link")
    expect(numbers.first).to_have_attribute("href", "tel:05503")
    expect(page.get_by_text("Leave first.").first).to_be_visible()
    assert numbers.count() == 5


# What the sheets look like once something is tapped on them; the others are looked at as they open.
STATES = {
    "room": (f"round/{n.QUARANTINE}", ""),
    "found": (f"look/{n.T1}", ".answer >> nth=1"),
    "items": (f"look/{n.T1}", "main summary"),
    "not looked": (f"look/{n.T3}", ".answer >> nth=2"),
    "caught": (f"trap/{n.TRAP_A}", ".answer >> nth=1"),
    "not readable": (f"trap/{n.TRAP_B}", ".answer >> nth=2"),
    "traps": ("traps", ""),
    "no": (f"may/moving/{n.T1}", ""),
    "yes": (f"may/leaving/{n.QUARANTINE}", ""),
    "suspicion": (f"suspect/{n.OPEN_CITRUS}", ""),
    "lift": (f"lift/{n.OPEN_CITRUS}", ""),
}
LOOKS = {
    "by day": ("English", "day", PHONE),
    "de noche": ("Español", "night", (320, 640)),
}
# Of the round itself: what a wet glove must hit.
SHORT = """(least) => [...document.querySelectorAll('main a, main button, main summary')]
  .filter((one) => one.checkVisibility())
  .map((one) => [one.textContent.trim(), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < least - 0.5).map(([text, box]) => `${text}: ${box.height}`)"""


@pytest.fixture(scope="module")
def eyes(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, demo.G, "Eyes")
    yield found
    found.context.close()


@pytest.mark.parametrize("look", LOOKS, ids=LOOKS.keys())
def test_what_is_tapped_open_on_a_round_is_open_to_everybody(
    eyes: Phone, look: str, tmp_path: Path
) -> None:
    language, light, size = LOOKS[look]
    page, wrong = eyes.page, {}
    seen.settings(page, language=language, light=light)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for name, (sheet, opens) in STATES.items():
        eyes.go(sheet)
        expect(page.locator("main h1").first).to_be_visible()
        if opens:
            page.locator(opens).click()
        seen.picture(page, tmp_path, f"{name}-{look}")
        found = seen.wrongs(page)
        if name in ("room", "traps"):
            found += page.evaluate(SHORT, ROUND_TARGET)
        if found:
            wrong[name] = found
    assert wrong == {}
    assert eyes.faults == []
