"""What days 6 and 7 are tried against: other notices, a bag forgotten, plants put in unasked.

The story is told once up to the morning of the notice; each test goes on from there by itself.
"""

from collections.abc import Iterable, Iterator
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.later_weeks import AFTER_DAY_5, BEFORE_RELEASE
from nursery.ops.demo.play import Teller
from nursery.services.demo import W1, G
from tests.story.reading import (
    Reading,
    add,
    going_on,
    may,
    read,
    record,
    said,
    there,
    told_until,
)

pytestmark = pytest.mark.django_db

MORNING = there("2031-11-24T08:00")
TYPED = there("2031-11-24T08:20")
AFTER = there("2031-11-24T08:25")


@pytest.fixture(scope="module")
def up_to_the_notice(django_db_setup: None, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, MORNING) as teller:
        yield teller


@pytest.fixture
def teller(up_to_the_notice: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, up_to_the_notice) as teller:
        # What the story itself goes on with is left untold.
        teller._waiting.clear()
        yield teller


def notice(
    teller: Teller,
    plants: dict[str, int],
    count: int,
    at: Any = TYPED,
    about: Iterable[str] = n.POTS,
) -> Reading:
    shares = [{"id": batch, "count": some} for batch, some in plants.items()]
    body = {"notice": "RN-204", "count": count, "plants": shares, "photo": "photo-rn-204"}
    add(teller, n.OFFICE_PHONE, G.id, at, record("released", about, **body))
    return read(teller, AFTER)


def codes(reading: Reading) -> set[str]:
    return {doubt["code"] for item in reading.needs["doubts"] for doubt in item["doubts"]}


def test_a_notice_typed_with_243_is_flagged_with_the_difference(teller: Teller) -> None:
    after = notice(teller, AFTER_DAY_5, 243)
    found = after.doubts("released_differs")
    by_tray = {(d["params"]["said"], d["params"]["alive"]) for d in found}
    assert {(51, 50), (48, 47), (243, 241)} == by_tray
    assert {d["params"]["difference"] for d in found} == {1, 2}
    assert {after.stock[pot]["alive"] for pot in (n.T1, n.T3)} == {50, 47}
    assert said(after.gate(n.T1, "moving")) == ("yes", "released")


def test_a_total_alone_of_243_names_the_two_that_do_not_live(teller: Teller) -> None:
    after = notice(teller, {}, 243)
    found = [d["params"] for d in after.doubts("released_differs")]
    about = {"notice": "RN-204", "said": 243, "alive": 241, "difference": 2}
    assert found == [about] * len(n.POTS)


def test_only_living_plants_leave_whatever_the_notice_says(teller: Teller) -> None:
    notice(teller, AFTER_DAY_5, 243)
    sent = record("sent", n.T1, receiver="n-2", plants=[{"id": n.T1, "count": 51}])
    add(teller, n.OFFICE_PHONE, G.id, AFTER, sent)
    after = read(teller, there("2031-11-24T08:30"))
    assert {"below_zero", "gone_over_release"} <= codes(after)
    assert after.ledger()["in"] == 318


def test_a_notice_below_the_ledger_lets_that_many_leave_and_the_room_is_not_all_out(
    teller: Teller,
) -> None:
    fewer = BEFORE_RELEASE | {n.T6: 31}
    after = notice(teller, fewer, 231)
    stays = after.gate(n.T6, "moving")
    assert said(stays) == ("no", "more_than_released")
    assert (stays["params"]["said"], stays["params"]["left"]) == (31, 31)
    new = {"id": "b-t6b", "label": "T6B", "count": 31, "place": n.BENCHES[1]}
    parts = {"parents": [{"id": n.T6, "left": 10}], "children": [new]}
    add(teller, n.ROOM_PHONE, W1.id, AFTER, record("split", (n.T6, "b-t6b"), **parts))
    for batch in ("b-t6b", *(pot for pot in n.POTS if pot != n.T6)):
        moved = record("moved", batch, to=n.SHADE_HOUSE)
        add(teller, n.ROOM_PHONE, W1.id, there("2031-11-24T08:40"), moved)
    later = read(teller, there("2031-11-24T08:50"))
    assert said(later.gate(n.T6, "moving")) == ("no", "more_than_released")
    assert later.room()["all_out"]["plants"] == [n.T6]
    assert said(later.room()["accepting"]) == ("no", "room_has_plants")
    assert later.room()["accepting"]["params"]["alive"] == 10
    assert later.ledger()["alive"] == 241


def test_on_28_november_the_seven_days_would_have_lapsed(teller: Teller) -> None:
    in_time = may(teller, "releasing", n.T1, "2031-11-27")
    too_late = may(teller, "releasing", n.T1, "2031-11-28")
    assert in_time["answer"] == "yes"
    assert said(too_late) == ("no", "inspection_too_old")
    assert (too_late["params"]["days"], too_late["params"]["limit"]) == (8, 7)


def test_a_notice_dated_before_the_inspection_is_kept_and_blocks(teller: Teller) -> None:
    after = notice(teller, BEFORE_RELEASE, 241, there("2031-11-19T09:00"))
    found = after.doubts("released_unmet")
    assert len(found) == len(n.POTS)
    assert {d["params"]["numbers"][0] for d in found} == {"2"}
    assert {d["weight"] for d in found} == {"blocking"}
    assert after.gate(n.T1, "moving")["answer"] == "wait"
    assert codes(after) == {"released_unmet", "released_early"}


def test_the_room_is_not_emptied_while_the_bag_is_in_it(teller: Teller) -> None:
    notice(teller, BEFORE_RELEASE, 241)
    for pot in n.POTS:
        add(teller, n.ROOM_PHONE, W1.id, AFTER, record("moved", pot, to=n.SHADE_HOUSE))
    before = read(teller, there("2031-11-24T08:30")).room()
    assert said(before["emptying"]) == ("no", "bag_in_room")
    assert before["emptying"]["params"]["n"] == 12
    emptied = record("emptied", n.QUARANTINE)
    add(teller, n.ROOM_PHONE, W1.id, there("2031-11-24T08:35"), emptied)
    after = read(teller, there("2031-11-24T08:40"))
    assert "emptied_too_soon" in codes(after)
    assert said(after.room()["accepting"]) == ("no", "bag_in_room")


def test_a_new_consignment_put_into_the_room_without_asking_stops_every_release(
    teller: Teller,
) -> None:
    new = {"id": "b-ban", "label": "BAN", "place": n.BENCHES[0], "stage": "quarantine"}
    body = {"consignment": "con-9", "batches": [new], "place": n.QUARANTINE}
    add(teller, n.ROOM_PHONE, W1.id, MORNING, record("received", "b-ban", **body))
    after = read(teller, AFTER)
    about = {
        item["subject"]
        for item in after.needs["doubts"]
        for doubt in item["doubts"]
        if doubt["code"] == "put_in_unasked"
    }
    assert about == {"b-ban", *n.POTS}
    gate = may(teller, "releasing", n.T1)
    # Nobody can say how long the newcomer's conditions run, and what was put in is asked about.
    assert said(gate) == ("cannot_tell", "group_unknown")
    assert "doubt_open" in {part["reason"] for part in gate["parts"]}
    assert said(may(teller, "accepting", n.QUARANTINE)) == ("no", "room_has_plants")
