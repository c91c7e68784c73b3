"""Tagged plants are measured without signal, and the same ones are asked for again."""

import re
from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser

from nursery.ops.demo import names as n
from nursery.ops.demo.day_8 import ALIVE
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import bodies, is_killed, opens, saves
from tests.journeys.workers import Worker, person, there

TUESDAY = date(2032, 3, 9)
BEGAN = there(TUESDAY, "12:30")
TAGS = [str(i) for i in range(1, ALIVE[n.MIXED] + 1)]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("measuring"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def figure(worker: Worker, board: str, key: str, figures: str) -> None:
    name = re.compile(rf"^{re.escape(worker.hand.says(key))}")
    group = worker.hand.page.get_by_role("group", name=board, exact=True)
    group.get_by_role("button", name=name).click()
    worker.hand.pad(figures)


def measures(worker: Worker, tag: str, height: str, collar: str) -> None:
    worker.hand.reads("measure.plant", tag=tag)
    board = worker.hand.says("measure.plant", tag=tag)
    figure(worker, board, "season.measure.height_cm", height)
    figure(worker, board, "season.measure.collar_mm", collar)


def test_the_first_time_plants_get_tags_and_a_killed_page_loses_nothing(
    w1: Worker, desk: Desk
) -> None:
    hand = w1.hand
    opens(w1, f"measure/{n.MIXED}")
    hand.tap("measure.begin", n=len(TAGS))
    for tag in TAGS[:3]:
        measures(w1, tag, f"4{tag}.5", "8")
        hand.tap("measure.next")
    is_killed(w1, f"measure/{n.MIXED}")
    hand.reads("measure.plant", tag="4")
    hand.tap("measure.missing")
    for tag in TAGS[4:]:
        measures(w1, tag, f"4{tag}", "8.5")
        hand.tap("measure.next")
    hand.reads("measure.whole", n=7, of=8)
    saves(w1, "measure.save", n=7)
    [told] = bodies(desk, n.MIXED, "measured")
    assert [one["tag"] for one in told["plants"]] == TAGS
    assert told["plants"][0]["height_cm"] == 41.5
    assert told["plants"][3] == {"tag": "4"}


def test_the_same_plants_are_asked_for_again_and_a_smaller_one_is_asked_about(
    w1: Worker, desk: Desk
) -> None:
    hand = w1.hand
    w1.at("12:50", TUESDAY)
    opens(w1, f"measure/{n.MIXED}")
    hand.reads("measure.last", name=hand.says("season.measure.height_cm"), n=41.5)
    measures(w1, "1", "40", "8")
    hand.tap("measure.next")
    name = hand.says("season.measure.height_cm")
    hand.reads("measure.shrunk", tag="1", name=name, n=40, last=41.5)
    hand.tap("measure.was_cut")
    left = [tag for tag in TAGS[1:] if tag != "4"]  # that one was missing
    for tag in left:
        measures(w1, tag, "60", "9")
        hand.tap("measure.next")
    hand.tap("measure.another", tag="9")
    measures(w1, "9", "60", "9")
    hand.tap("measure.next")
    saves(w1, "measure.save", n=8)
    told = bodies(desk, n.MIXED, "measured")[-1]["plants"]
    assert [(one["tag"], one["height_cm"]) for one in told] == [
        ("1", 40),
        *((tag, 60) for tag in [*left, "9"]),
    ]
    assert bodies(desk, n.MIXED, "noted")[-1]["text"] == hand.says("measure.cut_note", tags=["1"])


def test_the_batch_shows_how_its_plants_grow_without_signal(w1: Worker) -> None:
    hand = w1.hand
    w1.phone.offline()
    w1.go(f"batch/{n.T1}")
    for measure in ("height_cm", "collar_mm"):
        hand.reads(f"growth.title.{measure}")
    hand.reads("season.least", n=45)
    hand.reads("season.least", n=8)
