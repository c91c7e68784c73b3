"""A worker asks the gate about a day to come: the office answers, as its book stands."""

from collections.abc import Iterator
from datetime import date
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.workers import Worker

EVENING = demo.EVENINGS[3]
COMING = date(2031, 6, 8)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("may_day"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    found = Worker(browser, office, demo.W1, EVENING)
    yield found
    found.phone.context.close()


def asks(worker: Worker, sheet: str, day: date) -> None:
    hand = worker.hand
    worker.go(sheet)
    hand.tap("may.other_day")
    pad = hand.page.get_by_role("group", name=hand.says("may.which_day"), exact=True)
    for name in (str(day.year), hand.says(f"date.month.{day.month}"), *str(day.day)):
        pad.get_by_role("button", name=name, exact=True).click()
    hand.tap("may.ask_day", on=day.isoformat())


@pytest.mark.parametrize(
    ("act", "subject", "answer", "why"),
    [("moving", n.T1, "no", "EM-77"), ("potting", n.OPEN_CITRUS, "yes", None)],
)
def test_the_office_answers_for_another_day(
    w1: Worker, office: Office, act: str, subject: str, answer: str, why: str | None
) -> None:
    query = urlencode({"act": act, "subject": subject, "on": COMING.isoformat()})
    told = Desk(office.url).get(f"may?{query}")
    assert told["answer"] == answer
    w1.phone.offline(False)
    asks(w1, f"may/{act}/{subject}", COMING)
    w1.hand.reads("may.on", on=COMING.isoformat(), answer=answer)
    said = w1.hand.page.locator(f".told[data-answer={answer}]")
    expect(said).to_contain_text(w1.hand.says("may.day_as_of"))
    expect(said).to_contain_text(why or w1.hand.says(f"reason.{told['reason']}", **told["params"]))
    assert seen.wrongs(w1.hand.page) == []


def test_without_signal_nothing_is_made_up(w1: Worker) -> None:
    w1.phone.offline()
    asks(w1, f"may/moving/{n.OPEN_CITRUS}", COMING)
    w1.hand.reads("may.day_offline")
    expect(w1.hand.page.locator(".told")).to_have_count(0)
    assert seen.wrongs(w1.hand.page) == []


def test_of_a_door_no_other_day_is_asked(w1: Worker) -> None:
    w1.go(f"may/entering/{n.QUARANTINE}")
    expect(w1.hand.page.locator("main .word")).to_be_visible()
    expect(w1.hand.one("may.other_day")).to_have_count(0)
    assert w1.hand.faults == []
