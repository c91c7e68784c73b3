"""What the third day is tried against: a mis-tap, a withdrawal, a tray moved all the same.

The story is told once up to the moment after the find; each test goes on from there by itself.
"""

from collections.abc import Iterator
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from nursery.services.demo import W1, W2, G
from tests.story.reading import add, going_on, read, record, there, told_until

pytestmark = pytest.mark.django_db

FOUND = there("2031-05-04T07:46")
LATER = there("2031-05-04T07:50")


@pytest.fixture(scope="module")
def up_to_the_find(django_db_setup: None, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, FOUND) as teller:
        yield teller


@pytest.fixture
def teller(up_to_the_find: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, up_to_the_find) as teller:
        yield teller


@pytest.mark.parametrize(
    ("who", "reason", "lifted"),
    [(W1.id, "wrong button", False), (G.id, "", False), (G.id, "soot from the burner", True)],
)
def test_a_mis_tap_is_lifted_by_the_grower_alone_and_with_a_reason(
    teller: Teller, who: str, reason: str, lifted: bool
) -> None:
    body = {"doubt": f"suspicion:{teller.told['black bodies']}", "reason": reason}
    add(teller, n.OFFICE_PHONE, who, FOUND, record("settled", n.T4, **body))
    after = read(teller, LATER, [n.T4])
    [incident] = after.outlook["incidents"]
    assert incident["open"] is not lifted
    assert after.gate(n.T1, "sending")["reason"].startswith("held") is not lifted
    assert {line["entry"]["kind"] for line in after.timelines[n.T4]} >= {"found", "settled"}
    assert bool(after.doubts("not_the_growers")) is not lifted


def test_a_withdrawal_by_the_finder_does_not_lift_the_hold(teller: Teller) -> None:
    find = teller.told["black bodies"]
    withdrawn = record("withdrawn", n.T4, saw=find)
    add(teller, n.SECOND_PHONE, W2.id, FOUND, withdrawn, corrects=find)
    after = read(teller, LATER)
    [incident] = after.outlook["incidents"]
    assert incident["open"]
    assert after.gate(n.T1, "moving")["reason"].startswith("held")


def test_moving_a_held_tray_all_the_same_is_kept_and_doubted(teller: Teller) -> None:
    teller.tell(there("2031-05-04T12:00"))
    add(teller, n.ROOM_PHONE, W1.id, there("2031-05-04T12:00"), record("moved", n.T2, to="office"))
    after = read(teller, there("2031-05-04T12:10"))
    assert after.stock[n.T2]["place"] == "office"
    [doubt] = after.doubts("against_hold")
    assert doubt["weight"] == "blocking"
    assert after.gate(n.T2, "moving")["answer"] == "no"


def test_a_tray_that_is_brought_in_after_the_find_is_held_as_well(teller: Teller) -> None:
    teller.tell(there("2031-05-04T12:00"))
    moved = record("moved", n.SEEDBED, to=n.BENCHES[0])
    add(teller, n.ROOM_PHONE, W1.id, there("2031-05-04T12:00"), moved)
    after = read(teller, there("2031-05-04T12:10"))
    assert after.gate(n.SEEDBED, "sending")["reason"].startswith("held")
    assert after.forecast(n.OPEN_CITRUS)["held"] == []


def test_looking_over_the_open_citrus_answers_the_second_ring(teller: Teller) -> None:
    look = record("looked", n.OPEN_CITRUS, answer="nothing", plants=64, minutes=40)
    teller.tell(there("2031-05-04T12:00"))
    add(teller, n.OFFICE_PHONE, G.id, there("2031-05-04T12:00"), look)
    after = read(teller, there("2031-05-04T12:10"))
    assert after.checks("look_elsewhere") == []


def test_a_negative_result_ends_the_suspicion(teller: Teller) -> None:
    teller.tell(there("2031-05-04T18:00"))
    at = there("2031-05-06T10:00")
    teller.tell(at)
    result = record("resulted", n.T4, sample="S-03", verdict="negative", photo="photo-lr-448")
    add(teller, n.OFFICE_PHONE, G.id, at, result)
    after = read(teller, there("2031-05-06T10:10"))
    assert after.doubts("suspicion") == []
    # The authority's hold is lifted by the authority alone.
    assert {hold["reference"] for hold in after.forecast(n.T1)["held"]} >= {"EM-77"}
    assert after.gate(n.T1, "moving")["answer"] == "no"
