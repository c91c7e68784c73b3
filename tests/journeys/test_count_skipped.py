"""A survival count that nobody will make is skipped with its reason, where there is no signal."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import chooses, keeps, opens
from tests.journeys.workers import Worker, at_the_desk, person, there

MONDAY = date(2032, 9, 13)
BEGAN = there(MONDAY, "06:50")
TR3 = n.TERRACES[0]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """On the morning of the count of six months, before anybody counted."""
    with office_at(tmp_path_factory.mktemp("skipped"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def turn(office: Office) -> Any:
    [block] = Desk(office.url).get(f"blocks/{TR3}/standing")["blocks"]
    return block["turn"]


def test_a_count_that_is_due_is_skipped_without_signal(
    w1: Worker, office: Office, tmp_path: Path
) -> None:
    """Rule F-30."""
    assert turn(office)["due"]
    opens(w1, f"survey/{TR3}")
    w1.hand.tap("survey.skip")
    w1.hand.reads("survey.skip_asks")
    expect(w1.hand.one("survey.skip_save")).to_be_disabled()
    chooses(w1, "survey.skip_why", w1.hand.says("survey.skip_wet"))
    seen.picture(w1.hand.page, tmp_path, "skip")
    assert seen.wrongs(w1.hand.page) == []
    keeps(w1, "survey.skip_save")
    skipped = w1.hand.says("survey.skipped", n=6, on="2032-09-12")
    expect(w1.hand.page.locator("main")).to_contain_text(skipped)
    expect(w1.hand.page.locator("main")).to_contain_text(w1.hand.says("survey.skip_wet"))
    expect(w1.hand.one("survey.skip")).to_have_count(0)
    seen.picture(w1.hand.page, tmp_path, "skipped")
    assert seen.wrongs(w1.hand.page) == []
    opens(w1, "")
    line = w1.hand.page.get_by_role("link").filter(has_text=w1.hand.says("survey.title"))
    expect(line.locator(".fig")).to_have_text("2")


def test_the_office_reads_why(w1: Worker, browser: Browser, office: Office) -> None:
    w1.is_sent()
    assert turn(office) == {
        "months": 6,
        "on": "2032-09-12",
        "due": False,
        "skipped": w1.hand.says("survey.skip_wet"),
    }
    page = at_the_desk(browser, office)
    page.goto(f"/#/standing/{TR3}")
    expect(page.locator("main")).to_contain_text(w1.hand.says("survey.skip_wet"))
    page.context.close()


def test_one_that_is_skipped_offers_no_second_reason(w1: Worker) -> None:
    opens(w1, f"survey/{TR3}/skip")
    w1.hand.reads("survey.skip_none")
    expect(w1.hand.one("survey.skip_save")).to_be_disabled()
