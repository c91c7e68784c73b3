"""Day 8 of the story, 9 March 2032: six trays are graded, and their sums are what lives."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.day_8 import ALIVE, GRADES
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import is_killed, opens, types
from tests.journeys.workers import Worker, person, there

TUESDAY = date(2032, 3, 9)
BEGAN = there(TUESDAY, "12:30")
LABEL = {tray: tray.removeprefix("b-").upper() for tray in n.POTS}


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("grading"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def figures(worker: Worker, tray: str, a: int, b: int, c: int) -> None:
    opens(worker, f"grade/{tray}/{n.SHADE_HOUSE}")
    for grade, plants in (("a", a), ("b", b), ("c", c)):
        if plants:
            types(worker, "grade.grades", f"grade.{grade}", str(plants))


def saved(worker: Worker) -> None:
    before = worker.hand.page.url
    worker.hand.tap_named(worker.hand.says("grade.save"))
    expect(worker.hand.page).not_to_have_url(before)


def test_what_an_a_plant_is_stands_beside_the_figures(w1: Worker) -> None:
    opens(w1, f"grade/{n.T1}")
    for measure, least in (("height_cm", 45), ("collar_mm", 8), ("flushes", 2)):
        said = w1.hand.says(f"grade.least.{measure}", n=least)
        expect(w1.hand.page.locator("main")).to_contain_text(said)


def test_grades_that_do_not_add_up_are_asked_about(w1: Worker) -> None:
    figures(w1, n.T1, 43, 5, 3)
    w1.hand.tap_named(w1.hand.says("grade.save"))
    odd = w1.hand.says("grade.odd", n=51, alive=50)
    expect(w1.hand.page.get_by_role("alert")).to_contain_text(odd)
    is_killed(w1, f"grade/{n.T1}/{n.SHADE_HOUSE}")
    sums = w1.hand.says("grade.sum", a=43, b=5, c=3, n=51)
    expect(w1.hand.page.get_by_role("status").filter(has_text="51")).to_contain_text(sums)
    types(w1, "grade.grades", "grade.c", "")
    w1.hand.tap_named(w1.hand.says("keys.back"))
    w1.hand.pad("2")
    saved(w1)


def test_six_trays_are_graded_without_signal_and_all_together_are_236(w1: Worker) -> None:
    for tray, grades in GRADES.items():
        if tray != n.T1:
            figures(w1, tray, *grades)
            saved(w1)
    opens(w1, f"grade/{n.SHADE_HOUSE}")
    sums = w1.hand.says("grade.sum", a=214, b=15, c=7, n=236)
    expect(w1.hand.page.get_by_role("status").filter(has_text="236")).to_contain_text(sums)


def test_at_the_office_each_tray_has_its_grades_and_the_culled_have_left(
    w1: Worker, office: Office
) -> None:
    w1.is_sent()
    desk = Desk(office.url)
    for tray, (a, b, c) in GRADES.items():
        assert desk.records(tray, "graded")[-1]["body"] == {"a": a, "b": b, "c": c}
        assert desk.get(f"batches/{tray}")["alive"] == ALIVE[tray] - c
    assert desk.get("needs-a-look")["doubts"] == []


def test_the_batch_says_how_many_of_each_grade_still_live(w1: Worker) -> None:
    w1.go(f"batch/{n.T6}")
    a, b, _ = GRADES[n.T6]
    said = w1.hand.says("growth.graded", at="2032-03-09T03:00:00.000Z", a=a, b=b, c=0).split(";")[1]
    expect(w1.hand.page.locator("main")).to_contain_text(said)
