"""The server sees loss: holes in an install's numbers, and phones silent with records on board."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.phone import Phone
from tests.sync.doors import Office, enrol, open_nursery

pytestmark = pytest.mark.django_db

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)


@pytest.fixture
def phone(shifted_clock: Callable[[Any], None], sound_books: None) -> Phone:
    shifted_clock(NOW)
    open_nursery()
    return enrol("a", NOW)


def write(phone: Phone, count: int) -> list[str]:
    return [
        phone.write("lost", ["b-1"], {"count": 1, "fate": "died"}, NOW + timedelta(seconds=number))
        for number in range(count)
    ]


def alarms() -> list[dict[str, Any]]:
    phones: list[dict[str, Any]] = Office().sign_in().needs_a_look()["phones"]
    return phones


def of(install: str, code: str) -> list[dict[str, Any]]:
    return [alarm for alarm in alarms() if (alarm["install"], alarm["code"]) == (install, code)]


@pytest.mark.parametrize(
    ("gone", "named"),
    {
        "one in the middle": ([42], [[42, 42]]),
        "the very first": ([1], [[1, 1]]),
        "the very last": ([60], [[60, 60]]),
        "a run, and the last": ([7, 8, 9, 60], [[7, 9], [60, 60]]),
        "all of them": ([*range(1, 61)], [[1, 60]]),
    }.values(),
)
def test_requirement_9_a_number_that_never_comes_is_named_after_one_sync(
    phone: Phone, gone: list[int], named: list[list[int]]
) -> None:
    ids = write(phone, 60)
    for number in gone:
        del phone.queue[ids[number - 1]]
    phone.push()
    assert phone.holes == named
    [alarm] = of("i-a", "records_missing")
    assert alarm["numbers"] == named


def test_requirement_9_what_is_still_on_board_is_no_loss(phone: Phone) -> None:
    write(phone, 60)
    phone.push(most=10)
    assert phone.holes == []
    phone.push_all(most=25)
    assert phone.holes == []
    assert alarms() == []


def test_requirement_9_a_number_that_comes_after_all_closes_the_hole(phone: Phone) -> None:
    ids = write(phone, 60)
    late = {ident: phone.queue.pop(ident) for ident in (ids[41], ids[59])}
    phone.push()
    assert phone.holes == [[42, 42], [60, 60]]
    phone.queue |= late
    phone.push()
    assert phone.holes == []
    assert alarms() == []


def test_requirement_10_a_phone_silent_for_two_days_with_records_on_board_is_named(
    phone: Phone, shifted_clock: Callable[[Any], None]
) -> None:
    write(phone, 17)
    phone.push(most=1)
    shifted_clock(NOW + timedelta(hours=47))
    assert of("i-a", "silent") == []
    shifted_clock(NOW + timedelta(hours=48, seconds=1))
    [alarm] = of("i-a", "silent")
    assert alarm["unsent"] >= 16


def test_requirement_10_a_phone_with_nothing_on_board_may_be_silent(
    phone: Phone, shifted_clock: Callable[[Any], None]
) -> None:
    write(phone, 3)
    phone.push()
    phone.push()
    shifted_clock(NOW + timedelta(days=9))
    assert alarms() == []


def test_requirement_10_a_phone_that_joins_anew_with_records_on_board_is_named(
    phone: Phone,
) -> None:
    """The browser's data were cleared: the same phone comes back as a new install."""
    write(phone, 17)
    phone.push(most=5)
    assert of("i-a", "joined_anew") == []
    enrol("a2", NOW, number=2, device_name="phone a")
    [alarm] = of("i-a", "joined_anew")
    assert alarm["unsent"] >= 12


def test_requirement_20_an_exported_outbox_that_the_grower_hands_in_gives_the_same_entries(
    phone: Phone,
) -> None:
    """As large as nine days without signal, and of a phone that is shut out by then."""
    ids = write(phone, 450)
    office = Office().sign_in()
    [device] = office.ask("get", "devices")["items"]
    office.ask("delete", f"devices/{device['id']}")
    answer = office.ask("post", "sync/rescue", phone.envelope(list(phone.queue.values())))
    assert [result["id"] for result in answer["results"]] == ids
    assert {result["status"] for result in answer["results"]} == {"stored"}
    again = office.ask("post", "sync/rescue", phone.envelope(list(phone.queue.values())))
    assert {result["status"] for result in again["results"]} == {"known"}
    reader = enrol("b", NOW, number=2)
    assert reader.holds() == set(ids)
    assert alarms() == []
