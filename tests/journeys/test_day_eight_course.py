"""Day 8 of the story to its end: heat, one step back, then step by step to the open sky."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from nursery.ops.demo import law
from nursery.ops.demo import names as n
from nursery.ops.demo.day_8 import GRADES
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.phones import DESK
from tests.journeys.sheets import bodies, chips, keeps, opens, saves, saves_as_it_is, types
from tests.journeys.workers import Worker, at_the_desk, person, there

# The afternoon before the step from 50 to 30 % shade; what follows is written on the phones.
WEDNESDAY = date(2032, 2, 11)
BEGAN = there(WEDNESDAY, "16:00")
HOT = [date(2032, 2, day) for day in (12, 13, 14)]
THURSDAY, TO_50, TO_30 = HOT[0], date(2032, 2, 18), date(2032, 2, 24)
WILT_DAY, MORNINGS = date(2032, 2, 28), date(2032, 3, 1)
OPEN_SKY, TUESDAY = date(2032, 3, 7), date(2032, 3, 9)
CLOTH = f"toughen/{n.SHADE_HOUSE}"
LABELS = "T1, T2, T3, T5, T6, U"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("day-eight-course"), BEGAN) as office:
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


def says(worker: Worker, on: date, key: str, /, **params: object) -> str:
    """Return a sentence as it is read on a day: days of another year have their year."""
    return words.say(worker.hand.language, key, params, House(zone=demo.ZONE, today=on))


def comes(worker: Worker, office: Office, day: date, hour: str) -> None:
    """Let it be an hour of a later day, at the office and on the phone that hears of it."""
    office.open(there(day, hour))
    worker.phone.offline(False)
    worker.at(hour, day)
    worker.hears()


def advised(worker: Worker, doing: str, shade: int) -> None:
    """Read under how much shade plants stand, and in one word what to do with them."""
    page, says = worker.hand.page, worker.hand.says
    expect(page.locator(".now .big b")).to_have_text(says("toughen.shade", n=shade))
    expect(page.locator(".advice .word")).to_have_text(says(f"toughen.doing.{doing}"))


def asked(worker: Worker) -> Locator:
    return worker.hand.page.get_by_role("list", name=worker.hand.says("round.toughening"))


def is_asked(worker: Worker, *checks: str) -> None:
    """Read on the round what the step wants looked at, of every tray; nothing else."""
    opens(worker, "round")
    page, title = worker.hand.page, worker.hand.says("round.title")
    expect(page.locator("main h1").first).to_contain_text(title)
    expect(asked(worker).get_by_role("link")).to_have_count(len(checks))
    for check in checks:
        line = asked(worker).get_by_role("link").filter(has_text=worker.hand.says(check))
        expect(line).to_contain_text(LABELS)


def counts(worker: Worker, what: str, many: int = 0) -> None:
    """Count on a sample by taps, fives first; on the usual number of plants."""
    hand = worker.hand
    hand.tap(what)
    tally = chips(worker, what)
    for amount, times in ((5, many // 5), (1, many % 5)):
        name = hand.says("tally.more", n=amount, of=hand.says(what))
        for _ in range(times):
            tally.get_by_role("button", name=name, exact=True).click()


def stepped(desk: Desk) -> list[dict[str, Any]]:
    """Return the last step of each tray: all were written together."""
    return [bodies(desk, pot, "stepped")[-1] for pot in n.POTS]


def are(desk: Desk, way: str, shade: int, **more: object) -> None:
    told = {"step": way, "shade_percent": shade, "program": n.TOUGHENING, **more}
    assert stepped(desk) == [told] * len(n.POTS)


def test_the_grower_types_37_degrees_for_three_days(grower: Worker, desk: Desk) -> None:
    opens(grower, f"planting/{law.CONSIGNMENT}/sky")
    hand = grower.hand
    board = hand.page.get_by_role("group", name=hand.says("planting.sky"), exact=True)
    pad = hand.page.get_by_role("group", name=hand.says("keys.figures"))
    for day in HOT:
        cell = says(grower, WEDNESDAY, "planting.sky_high", on=day.isoformat())
        board.get_by_role("button", name=re.compile(rf"^{re.escape(cell)}")).click()
        for figure in "37":
            pad.get_by_role("button", name=figure, exact=True).click()
    keeps(grower, "planting.save", n=3)
    grower.is_sent()
    entries = [line["entry"] for line in desk.get(f"places/{n.SITE}")["timeline"]]
    [told] = [
        [(one["on"], one["high_c"]) for one in entry["body"]["days"]]
        for entry in entries
        if entry["kind"] == "forecast" and entry["body"]["days"][0]["on"] == THURSDAY.isoformat()
    ]
    assert told == [(day.isoformat(), 37) for day in HOT]


def test_the_worker_reads_that_the_step_is_frozen_and_why(w1: Worker, office: Office) -> None:
    comes(w1, office, THURSDAY, "07:20")
    opens(w1, CLOTH)
    advised(w1, "freeze", 50)
    w1.hand.reads("reason.toughening_heat", high=37, n=3, most=35)


def test_14_of_60_scorched_go_back_to_70_whatever_is_forecast(w1: Worker, desk: Desk) -> None:
    is_asked(w1, "check.toughen_scorch")
    opens(w1, CLOTH)
    counts(w1, "toughen.scorched", 14)
    advised(w1, "back", 50)
    w1.hand.reads("reason.toughening_scorched", n=14, of=60, percent=23, most=5)
    saves(w1, "toughen.save.back", n=70)
    are(desk, "back", 70, scorched=14, of=60)


@pytest.mark.parametrize(
    ("day", "before", "shade", "scorched"),
    [(TO_50, 70, 50, 1), (TO_30, 50, 30, 0)],
    ids=["70 to 50", "50 to 30"],
)
def test_a_step_on_is_advised_once_leaves_are_counted(
    w1: Worker, office: Office, desk: Desk, day: date, before: int, shade: int, scorched: int
) -> None:
    comes(w1, office, day, "07:20")
    is_asked(w1, "check.toughen_scorch")
    asked(w1).get_by_role("link").click()
    advised(w1, "stay", before)
    reason = says(w1, day, "reason.toughening_unchecked", n=1, checks=["scorch"])
    expect(w1.hand.page.locator(".advice .why")).to_contain_text([reason])
    counts(w1, "toughen.scorched", scorched)
    advised(w1, "forward", before)
    expect(w1.hand.page.locator(".advice .why")).to_have_count(0)
    saves(w1, "toughen.save.forward", n=shade)
    are(desk, "forward", shade, scorched=scorched, of=60)


def test_under_30_percent_the_round_asks_for_the_wilt_test_and_for_roots(
    w1: Worker, office: Office, desk: Desk
) -> None:
    comes(w1, office, WILT_DAY, "14:00")
    is_asked(w1, "check.toughen_wilt", "check.toughen_roots")
    line = asked(w1).get_by_role("link")
    line.filter(has_text=w1.hand.says("check.toughen_wilt")).click()
    counts(w1, "toughen.wilted")
    advised(w1, "stay", 30)
    saves(w1, "toughen.save.stay", n=30)
    is_asked(w1, "check.toughen_roots")
    line.click()
    for key, figures in (("none", "3"), ("few", "2")):
        types(w1, "roots.classes", f"roots.{key}", figures)
    saves_as_it_is(w1, "roots.save", n=5)
    is_asked(w1)
    for pot in n.POTS:
        assert bodies(desk, pot, "wilted") == [{"wilted": 0, "of": 20}]
        roots = bodies(desk, pot, "plugged")[-1]
        assert {key: roots.get(key) for key in ("none", "few")} == {"none": 3, "few": 2}


def test_mornings_of_open_sky_come_next(w1: Worker, office: Office, desk: Desk) -> None:
    comes(w1, office, MORNINGS, "07:20")
    is_asked(w1)
    opens(w1, CLOTH)
    advised(w1, "forward", 30)
    bar = [w1.hand.says("toughen.save.forward", n=30), w1.hand.says("line.sun_hours", n=5)]
    expect(w1.hand.page.get_by_role("button", name=", ".join(bar), exact=True)).to_be_enabled()
    saves(w1, "toughen.save.forward", n=30)
    are(desk, "forward", 30, sun_hours=5)


def test_on_7_march_no_shade_is_left(w1: Worker, office: Office, desk: Desk) -> None:
    comes(w1, office, OPEN_SKY, "07:20")
    is_asked(w1, "check.toughen_scorch")
    opens(w1, CLOTH)
    expect(w1.hand.page.locator(".now .big")).to_contain_text(w1.hand.says("line.sun_hours", n=5))
    counts(w1, "toughen.scorched", 1)
    advised(w1, "forward", 30)
    saves(w1, "toughen.save.forward", n=0)
    are(desk, "forward", 0, scorched=1, of=60)


def test_on_9_march_two_of_60_are_scorched_and_nothing_is_left_to_do(
    w1: Worker, office: Office, desk: Desk
) -> None:
    comes(w1, office, TUESDAY, "07:00")
    is_asked(w1, "check.toughen_scorch")
    opens(w1, CLOTH)
    counts(w1, "toughen.scorched", 2)
    advised(w1, "done", 0)
    expect(w1.hand.page.locator(".advice .why")).to_have_count(0)
    saves(w1, "toughen.save.stay", n=0)
    are(desk, "stay", 0, scorched=2, of=60)
    w1.hears()
    is_asked(w1)
    opens(w1, CLOTH)
    advised(w1, "done", 0)
    assert desk.get("needs-a-look")["doubts"] == []


def test_one_more_wilted_and_each_tray_is_graded(w1: Worker, office: Office, desk: Desk) -> None:
    hand = w1.hand
    comes(w1, office, TUESDAY, "13:05")
    opens(w1, f"lose/{n.T6}")
    w1.add(hand.says("fate.died", n=0))
    saves(w1, "lose.save", label="T6", lost=hand.says("fate.died", n=1))
    for tray, grades in GRADES.items():
        opens(w1, f"grade/{tray}/{n.SHADE_HOUSE}")
        for grade, plants in zip("abc", grades, strict=True):
            if plants:
                types(w1, "grade.grades", f"grade.{grade}", str(plants))
        before = hand.page.url
        hand.tap_named(hand.says("grade.save"))
        expect(hand.page).not_to_have_url(before)
    w1.is_sent()
    assert desk.get("needs-a-look")["doubts"] == []


def laths(page: Page) -> list[int]:
    """Return how much shade the laths of the bed line give, in percent, as they follow."""
    drawn = page.locator("main svg.bed path.filled")
    expect(drawn).to_have_count(1)
    path = str(drawn.get_attribute("d"))
    starts = [float(x) for x in re.findall(r"M([\d.]+) ", path)]
    wide = [float(x) for x in re.findall(r"h([\d.]+)v", path)]
    room = starts[1] - starts[0]
    shades = [round(100 * one / room) for one in wide]
    return [
        shade for shade, before in zip(shades, [None, *shades], strict=False) if shade != before
    ]


def test_the_bed_line_and_the_grades_are_read_at_the_office(
    browser: Browser, office: Office, tmp_path: Path
) -> None:
    page = at_the_desk(browser, office)
    said = House(zone=demo.ZONE, today=TUESDAY)
    for tray, grades in GRADES.items():
        page.goto(f"/#/batch/{tray}")
        label = tray.removeprefix("b-").upper()
        expect(page.locator("main h1")).to_have_text(
            words.say("en", "batch.title", {"label": label})
        )
        part = {"what": words.say("en", "bed.toughen"), "start": "2032-01-26", "end": "2032-03-09"}
        bed = page.get_by_role("img", name=words.say("en", "bed.part", part, said))
        expect(bed).to_be_visible()
        assert laths(page) == [70, 50, 70, 50, 30], label
        record = page.locator("main li").filter(has_text=words.say("en", "kind.graded"))
        for grade, plants in zip("abc", grades, strict=True):
            expect(record).to_contain_text(f"{words.say('en', f'grade.{grade}')}: {plants}")
        seen.picture(page, tmp_path, f"batch-{label}")
        assert seen.wrongs(page) == [], label
    page.context.close()


def test_a_joined_screen_as_wide_says_how_many_of_each_grade_live(
    w1: Worker, tmp_path: Path
) -> None:
    page = w1.hand.page
    page.set_viewport_size({"width": DESK[0], "height": DESK[1]})
    w1.hears()
    for tray, (a, b, _) in GRADES.items():
        w1.go(f"batch/{tray}")
        told = {"at": there(TUESDAY, "13:05").isoformat(), "a": a, "b": b, "c": 0}
        expect(page.get_by_text(says(w1, TUESDAY, "growth.graded", **told))).to_be_visible()
        assert laths(page) == [70, 50, 70, 50, 30], tray
        seen.picture(page, tmp_path, tray)
        assert seen.wrongs(page) == [], tray
