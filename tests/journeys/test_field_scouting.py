"""Looking plants over in the field without signal, and what the office says of it."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from nursery.domain.kinds.field import seat
from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import WAITING, chooses, keeps, opens
from tests.journeys.workers import Worker, person, there

MONDAY = date(2032, 9, 13)
BEGAN = there(MONDAY, "06:50")
TR5 = n.TERRACES[2]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("scouting"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def today(desk: Desk) -> Any:
    """What the office tells of the looks and finds of this day."""
    return desk.get(f"blocks/{TR5}/scouting?since={MONDAY}")


def looked_at(worker: Worker) -> Locator:
    """How many plants were looked at, in the head of the sheet."""
    return worker.hand.page.locator("main [data-plants] b")


def adds(worker: Worker, plants: int, times: int = 1) -> None:
    for _ in range(times):
        worker.hand.tap("tally.more", n=plants, of=worker.hand.says("scouting.plants"))


def answers(worker: Worker, key: str) -> None:
    worker.hand.tap_on_sheet(worker.hand.says(key))


def is_drawn_well(worker: Worker, pictures: Path, name: str) -> None:
    seen.picture(worker.hand.page, pictures, name)
    assert seen.wrongs(worker.hand.page) == []


def test_a_way_leads_there_from_the_first_sheet_and_from_the_block(
    w1: Worker, tmp_path: Path
) -> None:
    opens(w1, "")
    w1.hand.tap("scouting.title")
    w1.hand.is_at("scouting.title")
    is_drawn_well(w1, tmp_path, "scout-blocks")
    opens(w1, f"block/{TR5}")
    w1.hand.tap("scouting.title")
    expect(w1.hand.page.locator("main li")).to_have_count(5)
    is_drawn_well(w1, tmp_path, "scout-rows")


def test_nothing_found_is_not_saved_before_it_is_said_of_how_many_plants(w1: Worker) -> None:
    opens(w1, f"scout/{TR5}/1")
    answers(w1, "look.answer_nothing")
    w1.hand.reads("scouting.how_many")
    expect(w1.hand.page).to_have_url(f"{w1.hand.page.url.split('#')[0]}#/scout/{TR5}/1")


def test_what_was_counted_stands_after_the_page_was_killed_and_is_sent_once(
    w1: Worker, desk: Desk
) -> None:
    adds(w1, 10)
    adds(w1, 1, 2)
    expect(looked_at(w1)).to_have_text("12")
    w1.reloads()
    opens(w1, f"scout/{TR5}/1")
    expect(looked_at(w1)).to_have_text("12")
    keeps(w1, "look.answer_nothing")
    assert today(desk)["looks"] == []
    w1.hand.reads("look.nothing")
    w1.is_sent()
    [look] = today(desk)["looks"]
    assert (look["row"], look["answer"], look["plants"], look["of"]) == (1, "nothing", 12, 15)
    assert today(desk)["finds"] == []


def test_a_mistap_is_taken_back(w1: Worker, desk: Desk) -> None:
    opens(w1, f"scout/{TR5}/2")
    adds(w1, 1, 3)
    keeps(w1, "look.answer_nothing")
    w1.hand.page.locator("nav.thumbs").get_by_role("button").nth(1).click()
    w1.is_sent()
    assert [one["row"] for one in today(desk)["looks"]] == [1]


def test_a_find_tells_its_positions_and_is_about_the_batches_there(
    w1: Worker, desk: Desk, tmp_path: Path
) -> None:
    opens(w1, f"scout/{TR5}/3")
    w1.hand.tap("scouting.all", n=15)
    answers(w1, "look.answer_found")
    for position in ("33", "38"):
        chooses(w1, "scouting.positions", position)
    chooses(w1, "look.pest", "Mealybug")
    chooses(w1, "look.part", w1.hand.says("part.stem"))
    w1.photograph("shows.underside")
    is_drawn_well(w1, tmp_path, "scout-found")
    keeps(w1, "scouting.save_found", n=2)
    w1.is_sent()
    found = today(desk)
    assert [(one["row"], one["answer"], one["plants"]) for one in found["looks"]] == [
        (3, "found", 15),
        (1, "nothing", 12),
    ]
    [find] = found["finds"]
    assert (find["row"], find["positions"], find["plants"]) == (3, ["33", "38"], 2)
    assert (find["pest"], find["part"], find["suspicion"]) == (n.MEALYBUG, "stem", False)
    assert found["seen"] == 12 + 15
    # Position 33 was planted with T5, 38 with the mixed pots: the find is in the book of both.
    for batch in (n.T5, n.MIXED):
        [record] = [one for one in desk.records(batch, "found") if one["id"] == find["entry"]]
        assert record["about"] == [seat(TR5, "3"), n.T5, n.MIXED]


def test_a_row_that_nobody_looked_at_has_its_reason_and_no_plants(w1: Worker, desk: Desk) -> None:
    opens(w1, f"scout/{TR5}/4")
    answers(w1, "look.answer_not_looked")
    chooses(w1, "look.why", w1.hand.says("unlooked.wet"))
    keeps(w1, "scouting.save_not_looked")
    w1.is_sent()
    look = today(desk)["looks"][0]
    assert (look["row"], look["answer"], look["why"]) == (4, "not_looked", "wet")
    assert look["plants"] is None
    assert today(desk)["seen"] == 12 + 15


def test_what_nobody_knows_begins_a_hold_that_keeps_its_positions(
    w1: Worker, desk: Desk, tmp_path: Path
) -> None:
    opens(w1, f"scout/{TR5}/5")
    adds(w1, 1, 4)
    answers(w1, "look.answer_found")
    chooses(w1, "scouting.positions", "65")
    answers(w1, "look.suspect")
    w1.hand.page.locator("main [aria-current=step]").wait_for()
    expect(w1.hand.page.locator("header .where")).to_contain_text(WAITING, use_inner_text=True)
    is_drawn_well(w1, tmp_path, "scout-suspect")
    w1.is_sent()
    find = today(desk)["finds"][0]
    assert (find["row"], find["positions"], find["suspicion"]) == (5, ["65"], True)


def test_in_a_long_row_positions_are_typed_and_one_not_taken_in_is_kept_too(
    w1: Worker, desk: Desk, tmp_path: Path
) -> None:
    place = {"name": "Long terrace", "kind": "terrace", "parent": n.FIELD}
    layout = {"crop": n.FINGER_LIME, "rows": [{"number": 1, "first": 1, "holes": 60}]}
    for kind, body in (("place", place), ("layout", layout)):
        desk.ask("PUT", f"rows/{kind}/long-terrace", {"rev": 0, "body": body})
    w1.hears()
    opens(w1, "scout/long-terrace/1")
    adds(w1, 10, 2)
    answers(w1, "look.answer_found")
    w1.hand.tap_on_sheet(w1.hand.says("scouting.position"))
    w1.phone.figures("17")
    w1.hand.tap("scouting.add", at="17")
    w1.phone.figures("77")
    w1.hand.reads("scouting.not_here", at="77", first=1, last=60)
    expect(w1.hand.one("scouting.save_found", n=1)).to_be_disabled()
    for _ in "77":
        w1.hand.tap("keys.back")
    w1.phone.figures("9")
    is_drawn_well(w1, tmp_path, "scout-long")
    keeps(w1, "scouting.save_found", n=1)
    w1.is_sent()
    [find] = desk.get("blocks/long-terrace/scouting")["finds"]
    assert (find["positions"], find["plants"]) == (["9", "17"], 2)


def test_the_traps_of_the_terrace_tell_a_zero_a_catch_and_a_fortnight_nobody_knows(
    desk: Desk,
) -> None:
    found = desk.get(f"blocks/{TR5}/traps")
    empty, caught = found["traps"]
    assert (empty["trap"], empty["state"], empty["caught"]) == (n.FIELD_TRAPS[0], "zero", {})
    # It was changed when it was too wet to read: what it caught since counts over that time alone.
    assert (caught["state"], caught["days"], caught["caught"]) == ("caught", 14, {n.BLACKFLY: 3})
    assert caught["index"][n.BLACKFLY] == pytest.approx(3 / 14)
    [pest] = found["pests"]
    assert (pest["level"], pest["reached"]) == (0.5, False)
    assert {empty["known"], caught["known"]} == {True}


def test_nothing_went_wrong_on_the_page(w1: Worker) -> None:
    assert w1.faults == []
