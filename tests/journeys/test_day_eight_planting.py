"""Day 8 of the story: go, wait or no-go, typed and signed in the field where no signal comes."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, expect

from nursery.ops.demo import law
from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.phones import DESK, PHONE
from tests.journeys.sheets import answers, bodies, opens
from tests.journeys.workers import Worker, at_the_desk, person, there

TUESDAY, FRIDAY = date(2032, 3, 9), date(2032, 3, 12)
# All plants are graded, all pits are dug; nobody has signed anything yet.
BEGAN = there(TUESDAY, "15:00")
SHEET = f"planting/{law.CONSIGNMENT}"
TR3, TR4, TR5 = n.TERRACES
SHELTER = f"nurse_row:{TR5}"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("planting-day"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.G, BEGAN)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def check(worker: Worker, key: str) -> Locator:
    return worker.hand.page.locator(f'main [data-check="{key}"]')


def is_judged(worker: Worker, *not_green: str, **blocks: str) -> None:
    """Read which checks are not green, and the word that stands at each terrace."""
    page = worker.hand.page
    lines = page.locator('main [data-check]:not([data-colour="go"])')
    expect(lines).to_have_count(len(not_green))
    assert {one.get_attribute("data-check") for one in lines.all()} == set(not_green)
    for block, colour in blocks.items():
        shown = page.locator(f'main [data-block="{block.replace("_", "-")}"]')
        expect(shown).to_have_attribute("data-answer", colour)
        expect(shown).to_contain_text(worker.hand.says(f"planting.colour.{colour}"))


def types(worker: Worker, board: str, cell: str, figures: str) -> None:
    """Tap a figure of a board by its names, and write it anew on the pad."""
    hand = worker.hand
    hand.taps += 1
    group = hand.page.get_by_role("group", name=board, exact=True)
    group.get_by_role("button", name=re.compile(rf"^{re.escape(cell)}")).click()
    pad = hand.page.get_by_role("group", name=hand.says("keys.figures"))
    for figure in figures:
        hand.figures += 1
        pad.get_by_role("button", name=figure, exact=True).click()


def saves(worker: Worker, figures: int) -> None:
    """Save without signal: the day stands there again, judged anew."""
    hand = worker.hand
    hand.tap_named(hand.says("planting.save", n=figures))
    expect(hand.page.locator("main [data-block]")).to_have_count(3)


def signs(worker: Worker, key: str, name: str, reason: str | None = None) -> None:
    """Go against one check, with the reason at hand or one that is typed."""
    hand = worker.hand
    line = check(worker, key)
    line.get_by_role("button", name=hand.says("planting.anyway_for", check=name)).click()
    bar = line.get_by_role("button", name=hand.says("planting.sign", check=name))
    expect(bar).to_be_disabled()
    usual = hand.says(f"planting.because.{key.partition(':')[0]}")
    if reason is None:
        line.get_by_role("button", name=usual, exact=True).click()
    else:
        line.get_by_label(hand.says("lift.own")).fill(reason)
    bar.click()
    expect(line.locator(".signed")).to_contain_text(reason or usual)


def test_may_i_plant_leads_to_the_checks_of_the_day(grower: Worker) -> None:
    grower.hears()
    answers(grower, "planting", n.T1, "yes")
    grower.hand.tap("planting.from_gate")
    expect(grower.hand.page).to_have_url(re.compile(f"#/{SHEET}$"))
    grower.go("")
    grower.hand.page.locator("main").get_by_role("link", name="Planting day").click()
    is_judged(grower, "dry_spell", SHELTER, "pots_full", terrace_3="wait")


def test_without_signal_a_probe_that_finds_it_dry_stops_the_day_at_once(grower: Worker) -> None:
    opens(grower, f"{SHEET}/field")
    types(grower, "Terrace 4", "Wet down to", "9")
    saves(grower, 1)
    three = ("dry_spell", SHELTER, "pots_full")
    is_judged(grower, *three, "soil", terrace_3="no", terrace_4="no", terrace_5="no")
    expect(check(grower, "soil")).to_contain_text("wet to 9 cm, 20 cm wanted")


def test_a_forecast_by_hand_counts_at_once(grower: Worker) -> None:
    opens(grower, f"{SHEET}/sky")
    types(grower, "Forecast by hand", "FRI 12 MAR: highest", "36")
    types(grower, "Forecast by hand", "FRI 12 MAR: wind", "39")
    saves(grower, 2)
    three = ("dry_spell", SHELTER, "pots_full")
    is_judged(grower, *three, "soil", "heat", "wind", terrace_3="no")
    expect(check(grower, "wind")).to_contain_text("up to 39 km/h in three days, below 30 km/h")


def test_a_low_that_was_typed_stays_when_the_day_is_typed_again(grower: Worker) -> None:
    opens(grower, f"{SHEET}/sky")
    types(grower, "Forecast by hand", "FRI 12 MAR: lowest", "12")
    saves(grower, 1)
    opens(grower, f"{SHEET}/sky")
    types(grower, "Forecast by hand", "FRI 12 MAR: wind", "38")
    saves(grower, 1)
    opens(grower, f"{SHEET}/sky")
    low = grower.hand.page.get_by_role("button", name=re.compile("^FRI 12 MAR: lowest"))
    expect(low).to_contain_text("12 °C")


def test_frost_is_typed_with_its_minus(grower: Worker) -> None:
    opens(grower, f"{SHEET}/sky")
    types(grower, "Forecast by hand", "FRI 12 MAR: lowest", "3")
    pad = grower.hand.page.get_by_role("group", name=grower.hand.says("keys.figures"))
    below = pad.get_by_role("button", name=grower.hand.says("keys.below"))
    low = grower.hand.page.get_by_role("button", name=re.compile("^FRI 12 MAR: lowest"))
    for shown in ("-3 °C", "3 °C", "-3 °C"):
        below.click()
        expect(low).to_contain_text(shown)
    saves(grower, 1)
    opens(grower, f"{SHEET}/sky")
    expect(low).to_contain_text("-3 °C")
    types(grower, "Forecast by hand", "FRI 12 MAR: lowest", "12")
    saves(grower, 1)


def test_figures_as_they_are_leave_three_checks_that_are_named(grower: Worker) -> None:
    opens(grower, f"{SHEET}/field")
    for terrace, pits, shelter in (("Terrace 3", 72, 95), ("Terrace 4", 72, 90)):
        types(grower, terrace, "Wet down to", "22")
        types(grower, terrace, "Pits dug", str(pits))
        types(grower, terrace, "Shelter row", str(shelter))
    types(grower, "Terrace 5", "Shelter row", "40")
    types(grower, "All blocks", "Risk of a dry spell", "35")
    saves(grower, 8)
    opens(grower, f"{SHEET}/sky")
    types(grower, "Forecast by hand", "FRI 12 MAR: highest", "31")
    types(grower, "Forecast by hand", "FRI 12 MAR: rain", "3")
    types(grower, "Forecast by hand", "FRI 12 MAR: wind", "18")
    saves(grower, 3)
    grower.hand.reads("planting.not_green", n=3)
    is_judged(
        grower, "dry_spell", SHELTER, "pots_full",
        terrace_3="wait", terrace_4="wait", terrace_5="wait",
    )  # fmt: skip
    expect(check(grower, "dry_spell")).to_contain_text("35 %, below 30 % wanted")
    expect(check(grower, SHELTER)).to_contain_text("40 cm high, 80 cm wanted")
    expect(check(grower, "pots_full")).to_contain_text("full for 6 weeks")
    expect(check(grower, "toughened")).to_contain_text("Hardened?")


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_sheet_is_open_to_everybody(
    grower: Worker, size: tuple[int, int], tmp_path: Path
) -> None:
    page = grower.hand.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    seen.picture(page, tmp_path, "planting")
    assert seen.wrongs(page) == []
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_what_is_typed_for_the_day_is_open_to_everybody(
    grower: Worker, size: tuple[int, int], tmp_path: Path
) -> None:
    page = grower.hand.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for form in ("field", "sky", "day"):
        grower.go(f"{SHEET}/{form}")
        page.locator("main h1").first.wait_for()
        seen.picture(page, tmp_path, f"planting-{form}")
        assert seen.wrongs(page) == [], form
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    grower.go(SHEET)


def test_each_signature_opens_its_own_check_of_its_own_block(grower: Worker) -> None:
    signs(grower, "dry_spell", "Risk of a dry spell")
    signs(grower, "pots_full", "Full pots", "root balls were looked at")
    is_judged(
        grower, "dry_spell", SHELTER, "pots_full",
        terrace_3="go", terrace_4="go", terrace_5="wait",
    )  # fmt: skip
    signs(grower, SHELTER, "Shelter row, Terrace 5", "shade mats on terrace 5")
    is_judged(grower, "dry_spell", SHELTER, "pots_full", terrace_3="go", terrace_5="go")


def test_eight_spares_are_signed_once_and_the_decision_is_written_down(grower: Worker) -> None:
    hand = grower.hand
    types(grower, "Spares", "How many at most", "8")
    hand.tap_named(hand.says("planting.spares_sign"))
    hand.reads("planting.waiting", n=15, spares=8)
    hand.tap("planting.decide")
    hand.reads("planting.decided")


def test_the_office_says_the_same_once_it_has_heard_it(grower: Worker, desk: Desk) -> None:
    grower.is_sent()
    grower.hears()
    is_judged(grower, "dry_spell", SHELTER, "pots_full", terrace_3="go", terrace_5="go")
    [told] = desk.get("planting")["items"]
    sky = {"high_c": 31, "low_c": 12, "rain_mm": 3, "wind_kmh": 18}
    assert told["ahead"]["sky"][FRIDAY.isoformat()] == sky
    signed = [one for one in bodies(desk, n.T1, "signed") if one["act"] == "planting"]
    assert [one.get("checks") for one in signed] == [
        ["dry_spell"],
        ["pots_full"],
        [SHELTER],
        None,
        [f"go:{TR3}", f"go:{TR4}", f"go:{TR5}"],
    ]
    assert {one["on"] for one in signed} == {FRIDAY.isoformat()}
    assert [one.get("plants") for one in signed] == [None, None, None, 8, None]
    assert all(one["reason"] for one in signed)
    assert desk.get("needs-a-look")["doubts"] == []


def test_the_computer_of_the_office_shows_the_same_day(
    browser: Browser, office: Office, desk: Desk, tmp_path: Path
) -> None:
    [told] = desk.get("planting")["items"]
    assert told["verdicts"] == dict.fromkeys(n.TERRACES, "go")
    page = at_the_desk(browser, office)
    page.set_viewport_size({"width": DESK[0], "height": DESK[1]})
    page.goto(f"/#/season/{law.CONSIGNMENT}")
    page.get_by_role("link", name="All checks of the planting day").click()
    expect(page.locator('main [data-answer="go"]')).to_have_count(3)
    expect(page.locator('main [data-check]:not([data-colour="go"])')).to_have_count(3)
    expect(page.locator("main .signed")).to_have_count(3)
    expect(page.get_by_text("shade mats on terrace 5")).to_be_visible()
    seen.picture(page, tmp_path, "planting-desk")
    assert seen.wrongs(page) == []


def test_who_is_no_grower_may_read_it_and_sign_nothing(w1: Worker) -> None:
    w1.hears()
    opens(w1, SHEET)
    expect(w1.hand.one("planting.decide")).to_have_count(0)
    expect(w1.hand.page.locator("main [data-block]")).to_have_count(3)
