"""Counting and losing plants, moving and dividing batches, and putting records right, on phones
without signal."""

import re
from collections.abc import Iterator
from datetime import datetime

import pytest
from playwright.sync_api import Browser, Locator, expect

from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import Phone, phone_of
from tests.product import wait_until

# Monday 24 March 2031, 07:40 in the nursery: the round begins.
MORNING = datetime.fromisoformat("2031-03-23T21:40:00+00:00")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("counting"), 1, MORNING) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def first(browser: Browser, desk: Desk) -> Iterator[Phone]:
    yield from kept(phone_of(browser, desk, demo.W2, "Phone of W2"))


@pytest.fixture(scope="module")
def second(browser: Browser, desk: Desk) -> Iterator[Phone]:
    yield from kept(phone_of(browser, desk, demo.G, "Phone of G"))


def kept(phone: Phone) -> Iterator[Phone]:
    yield phone
    assert phone.faults == []
    phone.context.close()


QUEUED = """() => new Promise((done) => {
  const asked = indexedDB.open('outbox');
  asked.onsuccess = () => {
    const index = asked.result.transaction('entries').objectStore('entries').index('state');
    const range = IDBKeyRange.bound(['queued', -Infinity], ['queued', Infinity]);
    index.count(range).onsuccess = ({ target }) => {
      asked.result.close();
      done(target.result === 0);
    };
  };
})"""


# How many records this phone has ever written.
KEPT = """() => new Promise((done) => {
  const asked = indexedDB.open('outbox');
  asked.onsuccess = () => {
    asked.result.transaction('own').objectStore('own').get('own').onsuccess = ({ target }) => {
      asked.result.close();
      done(target.result.n);
    };
  };
})"""


def is_sent(phone: Phone) -> None:
    """Wait until the outbox on the disk holds nothing that waits."""
    phone.page.evaluate("dispatchEvent(new Event('online'))")
    wait_until(lambda: bool(phone.page.evaluate(QUEUED)), why="records wait")


def hears(phone: Phone) -> None:
    """Send, and fetch what others wrote."""
    is_sent(phone)
    with phone.page.expect_response("**/sync/outlook**"):
        phone.page.evaluate("dispatchEvent(new Event('online'))")
    phone.page.wait_for_timeout(300)


def link(phone: Phone, name: str | re.Pattern[str]) -> None:
    phone.taps += 1
    phone.page.get_by_role("link", name=name).first.click()


def tray_on_the_round(phone: Phone, label: str) -> None:
    phone.go("round/q-room")
    phone.taps = 0
    row = phone.page.get_by_role("link").filter(
        has=phone.page.get_by_role("img", name=f"tray {label}")
    )
    phone.taps += 1
    row.first.click()


def head(phone: Phone) -> Locator:
    return phone.page.locator("main div.head:has(svg.tag)")


def saves(phone: Phone, says: str) -> None:
    """Tap what saves, and wait until it is on the disk and can be undone."""
    before = phone.page.evaluate(KEPT)
    phone.tap(says)
    wait_until(lambda: phone.page.evaluate(KEPT) > before, why=says)
    # The sheet goes back by itself, which no browser tells of; a person is slower.
    phone.page.wait_for_timeout(300)


def is_alive(phone: Phone, batch: str, plants: int) -> None:
    phone.go(f"batch/{batch}")
    expect(head(phone)).to_contain_text(str(plants))


def open_doubts(desk: Desk, batch: str) -> list[str]:
    found = desk.get(f"batches/{batch}")
    ahead = found["outlook"]["doubts"]
    return [
        one["code"]
        for one in (*found["doubts"], *ahead)
        # Notes are of the clock, which the tests moved, and of taps faster than a person's.
        if one["settled_by"] is None and one["weight"] == "blocking"
    ]


def test_a_tray_is_counted_by_three_taps_and_its_figures(first: Phone, desk: Desk) -> None:
    tray_on_the_round(first, "T1")
    link(first, "Count")
    first.figures("1")
    saves(first, "Save T1: 53")
    expect(first.page.get_by_role("button", name="Undo: T1: 53 counted")).to_be_visible()
    assert first.taps == 3
    is_sent(first)
    [*_, count] = desk.records("b-t1", "counted")
    assert count["body"] | {"saw": ""} == {
        "method": "cells_less_gaps", "alive": 53, "cells": 54, "gaps": 1, "saw": "",
    }  # fmt: skip
    # What stood on the screen: the count of the arrival.
    assert count["body"]["saw"] == desk.records("b-t1", "counted")[0]["id"]


def test_a_loss_is_written_by_four_taps(first: Phone, desk: Desk) -> None:
    tray_on_the_round(first, "T6")
    link(first, "Loss")
    first.tap("1 more")
    # Which tray and how many stand in large, above the bar that saves it.
    large = first.page.locator(".large")
    expect(large.get_by_role("img", name="tray T6")).to_be_visible()
    expect(large).to_contain_text("1 dead")
    saves(first, "Save T6: 1 dead")
    assert first.taps == 4
    expect(first.page.get_by_role("button", name="Undo: T6: 1 dead")).to_be_visible()
    is_sent(first)
    [*_, loss] = desk.records("b-t6", "lost")
    # The permit says that the dead are kept.
    assert (loss["body"]["count"], loss["body"]["fate"], loss["body"]["kept"]) == (1, "died", True)
    assert desk.alive("T6") == [43]


def test_what_was_saved_without_signal_is_there_after_a_reload(first: Phone, desk: Desk) -> None:
    first.offline()
    first.go("lose/b-t2")
    first.tap("1 more")
    first.tap("stem rot")
    saves(first, "Save T2: 1 dead")
    is_alive(first, "b-t2", 52)
    first.page.reload()
    expect(head(first)).to_contain_text("52")
    expect(first.page.locator("main")).to_contain_text("1 dead: stem rot, kept for the officer")
    # A form outlives the page as well.
    first.go("count/b-t2")
    first.tap("full count")
    first.figures("5")
    first.page.reload()
    expect(first.page.locator(".sum")).to_contain_text("5")
    first.tap("Take the last figure back")
    first.tap("cells less gaps")
    first.offline(False)
    is_sent(first)
    assert desk.alive("T2") == [52]


def test_a_figure_that_cannot_be_is_asked_about_and_never_refused(first: Phone, desk: Desk) -> None:
    page = first.page
    first.go("count/b-t4")
    first.figures("60")
    first.tap("Save T4")
    expect(page.get_by_role("alert")).to_contain_text("60 gaps, 54 cells")
    first.tap("Count again")
    first.tap("full count")
    first.figures("58")
    first.tap("Save T4: 58")
    expect(page.get_by_role("alert")).to_contain_text("58 counted, 54 cells")
    assert len(desk.records("b-t4", "counted")) == 1
    # The same place on the screen now says another thing: two hasty taps save nothing.
    first.tap("Count again")
    first.figures("54")
    saves(first, "Save T4: 54")
    first.go("lose/b-t4")
    first.tap("10 more")
    first.tap("Save T4: 10 dead")
    expect(page.locator(".acts")).to_contain_text("10 of 54 in T4, 19 %")
    saves(first, "Yes: 10 dead in T4")
    is_alive(first, "b-t4", 44)
    saves(first, "Undo: T4: 10 dead")
    is_alive(first, "b-t4", 54)
    is_sent(first)
    assert [len(desk.records("b-t4", kind)) for kind in ("counted", "withdrawn")] == [2, 1]


def test_two_people_who_counted_one_tray_apart_both_see_the_difference(
    first: Phone, second: Phone, desk: Desk
) -> None:
    for phone, gaps, alive in ((first, "2", 52), (second, "1", 53)):
        phone.offline()
        phone.go("count/b-t3")
        phone.figures(gaps)
        saves(phone, f"Save T3: {alive}")
        is_alive(phone, "b-t3", alive)
    for phone in (first, second):
        phone.offline(False)
        is_sent(phone)
    for phone in (first, second):
        hears(phone)
    assert [entry["body"]["alive"] for entry in desk.records("b-t3", "counted")][1:] == [52, 53]
    for phone in (first, second):
        phone.go("batch/b-t3")
        expect(phone.page.get_by_text("Counted twice by people apart: 52 and 53.")).to_be_visible()
        expect(head(phone)).to_contain_text("53")
    assert "disagreement" in open_doubts(desk, "b-t3")


def test_a_recount_settles_it_without_signal_already(
    first: Phone, second: Phone, desk: Desk
) -> None:
    # One was behind the drip line. Whoever recounts has one of the counts on screen.
    second.offline()
    second.go("count/b-t3")
    second.figures("1")
    saves(second, "Save T3: 53")
    second.go("batch/b-t3")
    expect(second.page.get_by_text("Counted twice by people apart")).to_have_count(0)
    second.offline(False)
    is_sent(second)
    assert open_doubts(desk, "b-t3") == []
    hears(first)
    first.go("batch/b-t3")
    expect(first.page.get_by_text("Counted twice by people apart")).to_have_count(0)
    assert desk.alive("T3") == [53]


def test_who_counts_after_another_is_told_that_both_stand(
    first: Phone, second: Phone, desk: Desk
) -> None:
    hears(second)
    second.go("count/b-t1")
    second.figures("3")
    saves(second, "Save T1: 51")
    said = second.page.get_by_role("alert")
    expect(said).to_contain_text(f"{demo.W2.name} counted 53")
    expect(said).to_contain_text("you 51. Both stand.")
    second.tap("Count again")
    second.figures("1")
    saves(second, "Save T1: 53")
    is_alive(second, "b-t1", 53)
    is_sent(second)
    assert open_doubts(desk, "b-t1") == []
    hears(first)


def test_undo_takes_back_every_record_of_one_act(first: Phone, desk: Desk) -> None:
    before = desk.alive("T6")[0]
    first.go("lose/b-t6/sampled")
    first.tap("1 more")
    # The book knows S-01 from the arrival.
    expect(first.page.get_by_text("Sample S-02")).to_be_visible()
    saves(first, "Save T6: 1 sampled")
    is_alive(first, "b-t6", before - 1)
    saves(first, "Undo: T6: 1 sampled")
    is_alive(first, "b-t6", before)
    is_sent(first)
    gone = {entry["corrects"] for entry in desk.records("b-t6", "withdrawn")}
    [*_, sampled] = desk.records("b-t6", "sampled")
    [*_, lost] = desk.records("b-t6", "lost")
    assert sampled["body"] == {"sample": "S-02", "plants": 1, "whole": True}
    assert gone == {sampled["id"], lost["id"]}
    assert desk.alive("T6") == [before]


def fixing(phone: Phone, says: str) -> str:
    """Open the sheet that puts a record of today right; return its address."""
    phone.go("mine")
    row = phone.page.get_by_role("listitem").filter(has_text=says)
    row.get_by_role("link", name="Wrong, fix").click()
    expect(phone.page.get_by_role("heading", name="Wrong, fix")).to_be_visible()
    return phone.page.url.split("#/")[1]


def test_a_record_is_put_right_by_who_wrote_it(first: Phone, desk: Desk) -> None:
    first.go("lose/b-t5")
    first.tap("1 more")
    first.tap("1 more")
    saves(first, "Save T5: 2 dead")
    is_alive(first, "b-t5", 48)
    fixing(first, "2 dead")
    first.tap("counted wrong")
    first.tap("Write it right")
    first.tap("1 more")
    saves(first, "Save T5: 3 dead")
    is_alive(first, "b-t5", 47)
    line = first.page.get_by_role("listitem").filter(has_text="3 dead")
    expect(line.locator(".struck")).to_contain_text("2 dead")
    expect(line).to_contain_text(f"corrected by {demo.W2.name}")
    expect(line).to_contain_text("counted wrong")
    is_sent(first)
    original, correction = desk.records("b-t5", "lost")[-2:]
    assert correction["corrects"] == correction["body"]["saw"] == original["id"]
    assert correction["occurred_at"] == original["occurred_at"]
    assert desk.alive("T5") == [47]


def test_undoing_a_correction_lets_stand_what_it_corrected(first: Phone, desk: Desk) -> None:
    saves(first, "Undo: T5, loss corrected")
    is_alive(first, "b-t5", 48)
    is_sent(first)
    assert (desk.alive("T5"), open_doubts(desk, "b-t5")) == ([48], [])


def test_the_grower_puts_right_what_another_wrote_and_a_worker_does_not(
    first: Phone, second: Phone
) -> None:
    address = fixing(first, "2 dead")
    hears(second)
    second.go(address)
    expect(second.page.get_by_text("Cancel this record")).to_be_visible()
    first.is_written_by(demo.W1)
    first.go(address)
    expect(first.page.locator("main")).to_contain_text(demo.W2.name)
    expect(first.page.locator("main .chips")).to_have_count(0)
    first.is_written_by(demo.W2)


def test_a_cancelled_record_can_count_again(first: Phone, desk: Desk) -> None:
    fixing(first, "1 dead: stem rot")
    first.tap("did not happen")
    saves(first, "Cancel this record")
    is_alive(first, "b-t2", 53)
    fixing(first, "1 dead: stem rot")
    first.tap("another reason")
    saves(first, "It counts again")
    is_alive(first, "b-t2", 52)
    is_sent(first)
    assert (desk.alive("T2"), open_doubts(desk, "b-t2")) == ([52], [])


def test_eight_pots_without_label_keep_the_account_of_their_group(first: Phone, desk: Desk) -> None:
    page = first.page
    [t3, t5] = desk.alive("T3", "T5")
    before = account(desk)
    first.offline()
    first.go("lost-label/b-t3")
    first.tap("tray T5")
    first.tap("One of these 2")
    for name, figures in (("U", "8"), ("T3", str(t3 - 5)), ("T5", str(t5 - 3))):
        page.get_by_role("button", name=re.compile(f"^{name}, ")).click()
        first.figures(figures)
    expect(page.get_by_text(f"{t3 + t5} before, {t3 + t5} now: it fits.")).to_be_visible()
    saves(first, "Save U: 8 plants")
    first.go("stock")
    mixed = page.get_by_role("img", name="mixed batch U")
    expect(mixed.first).to_be_visible()
    first.offline(False)
    is_sent(first)
    assert desk.alive("T3", "T5", "U") == [t3 - 5, t5 - 3, 8]
    uncertain = desk.batch("U")
    assert (uncertain["one_of_parents"], uncertain["parents"]) == (True, ["b-t3", "b-t5"])
    assert account(desk) == before
    assert all(open_doubts(desk, one) == [] for one in ("b-t3", "b-t5", uncertain["id"]))


def account(desk: Desk) -> tuple[int, int]:
    """Return what lives of the consignment, and what nobody can account for."""
    [group] = desk.get("consignments")["items"]
    between = sum(group["ledger"][way] for way in ("split", "joined", "mixed"))
    return group["ledger"]["alive"], group["ledger"]["difference"] + between


def is_called_t9_once_t2_was_asked_about(first: Phone, batch: str) -> None:
    """A label that lives on another batch is asked about, and the page may be closed meanwhile."""
    first.go(f"relabel/{batch}")
    first.figures("2")
    first.page.reload()
    first.tap("Save new label")
    first.page.reload()
    expect(first.page.get_by_role("alert")).to_contain_text("T2 stands on another living batch")
    first.tap("Another label")
    first.figures("9")
    first.tap("Save new label")
    expect(first.page.get_by_role("button", name="Undo: T7 is now T9")).to_be_visible()


def test_a_split_a_new_label_and_a_join_keep_every_plant(first: Phone, desk: Desk) -> None:
    [t1, t2] = desk.alive("T1", "T2")
    first.go("split/b-t1")
    first.figures("20")
    expect(first.page.get_by_text(f"{t1} before, {t1} now: it fits.")).to_be_visible()
    saves(first, "Split into 2")
    expect(first.page.get_by_role("button", name="Undo: T1 split, T7 new")).to_be_visible()
    is_sent(first)
    assert desk.alive("T1", "T7") == [t1 - 20, 20]
    new = desk.batch("T7")["id"]
    is_called_t9_once_t2_was_asked_about(first, new)
    first.go("join-batches/b-t2")
    first.tap("tray T9")
    saves(first, "Join to T2")
    is_alive(first, "b-t2", t2 + 20)
    is_sent(first)
    assert desk.alive("T1", "T2") == [t1 - 20, t2 + 20]
    assert desk.get(f"batches/{new}")["closed"]
    assert desk.get(f"batches/{new}")["old_labels"] == ["T7"]


def test_a_gate_stops_an_act_and_never_a_fact(first: Phone, desk: Desk) -> None:
    page = first.page
    first.go("move/b-t4")
    page.get_by_role("button", name="Bench 3").click()
    expect(page.get_by_text("Allowed inside the room.")).to_be_visible()
    first.tap("Another place")
    page.get_by_role("button", name="Shade house").click()
    expect(page.get_by_text("Not released.")).to_be_visible()
    expect(page.get_by_role("button", name="Move it")).to_have_count(0)
    saves(first, "It has already happened")
    expect(page.get_by_role("button", name="Undo: T4: to Shade house")).to_be_visible()
    saves(first, "Undo: T4: to Shade house")
    is_sent(first)
    assert desk.batch("T4")["place"] == "q-bench-2"


def test_trays_of_one_consignment_move_in_one_act(first: Phone, desk: Desk) -> None:
    first.go("move/b-t5")
    first.tap("tray T6")
    first.page.get_by_role("button", name="Bench 1").click()
    saves(first, "Move 2 trays")
    expect(first.page.get_by_role("button", name="Undo: T5 and T6: to Bench 1")).to_be_visible()
    is_sent(first)
    assert [desk.batch(label)["place"] for label in ("T5", "T6")] == ["q-bench-1"] * 2
