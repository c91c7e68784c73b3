"""What the first day is tried against: phones set wrong, people who forget, answers that get lost.

The story is told once up to that evening; each test goes on from there by itself.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from nursery.services.demo import W1, W2
from tests.story.reading import add, going_on, read, record, there, told_until

pytestmark = pytest.mark.django_db

EVENING = there("2031-03-03T18:00")


@pytest.fixture(scope="module")
def first_day(django_db_setup: None, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, EVENING) as teller:
        yield teller


@pytest.fixture
def teller(first_day: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, first_day) as teller:
        yield teller


def test_a_phone_set_to_2029_is_noted_and_its_records_count(teller: Teller) -> None:
    wrong = there("2029-06-01T08:00")
    act = record("looked", n.T1, answer="nothing", plants=53)
    skew = round((wrong - EVENING) / timedelta(milliseconds=1))
    ident = add(teller, n.SECOND_PHONE, W2.id, wrong, act, skew_ms=skew)
    after = read(teller, EVENING, [n.T1])
    assert sent(teller, n.SECOND_PHONE, ident)["status"] == "stored"
    [doubt] = after.doubts("clock_off")
    assert (doubt["entries"], doubt["weight"]) == ([ident], "note")
    assert after.alive() == [53, 53, 53, 54, 50, 44]
    assert ident in {line["entry"]["id"] for line in after.timelines[n.T1]}


def test_a_phone_set_to_2041_is_set_aside_for_a_person_to_look_at(teller: Teller) -> None:
    ahead = there("2041-03-03T08:00")
    act = record("lost", n.T1, count=53, fate="died", kept=True)
    ident = add(teller, n.SECOND_PHONE, W2.id, ahead, act)
    after = read(teller, EVENING)
    assert sent(teller, n.SECOND_PHONE, ident)["status"] == "set_aside"
    assert [item["id"] for item in after.needs["set_aside"]] == [ident]
    assert after.stock[n.T1]["alive"] == 53


def test_a_forgotten_pin_stops_no_record_and_the_grower_is_asked_who_it_was(teller: Teller) -> None:
    act = record("lost", n.T2, count=1, fate="died", cause="wilt", kept=True)
    ident = add(teller, n.ROOM_PHONE, W1.id, EVENING, act, confirmed=False)
    after = read(teller, EVENING)
    assert after.stock[n.T2]["alive"] == 52
    [doubt] = after.doubts("unconfirmed")
    assert (doubt["entries"], doubt["params"], doubt["weight"]) == (
    [ident], {"author": W1.id}, "note",
    )  # fmt: skip


def test_wrong_tile_that_was_me_keeps_both_names(teller: Teller) -> None:
    act = record("lost", n.T2, count=1, fate="died", cause="wilt", kept=True)
    ident = add(teller, n.ROOM_PHONE, W2.id, EVENING, act)
    mended = record("lost", n.T2, count=1, fate="died", cause="wilt", kept=True, saw=ident)
    later = EVENING + timedelta(minutes=1)
    add(teller, n.ROOM_PHONE, W1.id, later, mended, corrects=ident)
    after = read(teller, later, [n.T2])
    assert after.stock[n.T2]["alive"] == 52
    assert after.needs["doubts"] == []
    authors = [
        line["entry"]["author"]
        for line in after.timelines[n.T2]
        if ident in (line["entry"]["id"], line["entry"]["corrects"])
    ]
    assert authors == [W2.id, W1.id]


def test_a_label_may_be_used_again_once_its_batch_is_gone(teller: Teller) -> None:
    new = {"id": "b-new", "label": "T6", "place": n.SHADE_HOUSE, "stage": "growing_on"}
    taken = record("taken_on", "b-new", batch=new, alive=12, method="full")
    add(teller, n.OFFICE_PHONE, W1.id, EVENING, taken)
    while_it_lives = read(teller, EVENING + timedelta(minutes=1))
    gone = record("lost", n.T6, count=44, fate="culled", cause="rot")
    add(teller, n.OFFICE_PHONE, W1.id, EVENING + timedelta(minutes=2), gone)
    once_gone = read(teller, EVENING + timedelta(minutes=3))
    assert {d["params"]["label"] for d in while_it_lives.doubts("label_twice")} == {"T6"}
    assert once_gone.doubts("label_twice") == []


def test_an_answer_that_got_lost_makes_no_second_death(teller: Teller) -> None:
    phone = teller.phones[n.ROOM_PHONE]
    two_dead = record("lost", n.T5, count=2, fate="died", cause="stem rot", kept=True)
    phone.write(replace(two_dead, by=W1.id), EVENING, {})
    kept = list(phone.outbox)
    phone.sync(EVENING)
    phone.outbox = kept
    phone.sync(EVENING)
    after = read(teller, EVENING)
    assert [result["status"] for result in phone.results[-2:]] == ["stored", "known"]
    assert after.stock[n.T5]["alive"] == 48


def sent(teller: Teller, phone: str, ident: str) -> Any:
    """Return what became of one record that a phone sent."""
    return next(r for r in teller.phones[phone].results if r["id"] == ident)
