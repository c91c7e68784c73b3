"""The empty room after day 7: it cannot be booked before 3 December, and accepts once checked."""

from collections.abc import Iterator
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from nursery.services.demo import W1, G
from tests.story.reading import add, going_on, may, read, record, said, there, told_until

pytestmark = pytest.mark.django_db

CLEANED = there("2031-11-26T18:00")


@pytest.fixture(scope="module")
def cleaned(django_db_setup: None, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, CLEANED) as teller:
        yield teller


@pytest.fixture
def teller(cleaned: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, cleaned) as teller:
        yield teller


@pytest.mark.parametrize(("on", "doubted"), [("2031-12-02", True), ("2031-12-03", False)])
def test_it_cannot_be_booked_before_3_december(teller: Teller, on: str, doubted: bool) -> None:
    answer = may(teller, "accepting", n.QUARANTINE, on)
    assert said(answer) == ("wait", "stays_empty" if doubted else "not_checked")
    booked = record("booked", n.QUARANTINE, act="arrival", on=on)
    add(teller, n.OFFICE_PHONE, G.id, CLEANED, booked)
    after = read(teller, there("2031-11-26T18:10"))
    codes = {d["code"] for item in after.needs["doubts"] for d in item["doubts"]}
    assert ("booked_too_soon" in codes) is doubted


def test_empty_for_seven_times_24_hours_and_checked_it_accepts(teller: Teller) -> None:
    early = there("2031-12-03T09:59")
    teller.tell(early)
    assert said(may(teller, "accepting", n.QUARANTINE)) == ("wait", "stays_empty")
    open_at = there("2031-12-03T10:00")
    teller.tell(open_at)
    assert said(may(teller, "accepting", n.QUARANTINE)) == ("wait", "not_checked")
    add(teller, n.ROOM_PHONE, W1.id, open_at, record("readied", n.QUARANTINE))
    assert said(may(teller, "accepting", n.QUARANTINE)) == ("yes", "free_to_accept")


def test_a_plant_brought_back_in_begins_it_anew(teller: Teller) -> None:
    add(teller, n.ROOM_PHONE, W1.id, CLEANED, record("moved", n.T1, to=n.BENCHES[0]))
    assert said(may(teller, "accepting", n.QUARANTINE, "2031-12-20")) == ("no", "room_has_plants")
