"""Limits count exactly, however many knock at once."""

from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from typing import TypeVar

import pytest
from django.db import connections, transaction

from nursery.services import limits, log, nurseries, people
from nursery.services.errors import Later, Refused
from nursery.services.installs import Outbox
from nursery.services.limits import Limit
from nursery.store.models import LimitRow
from nursery.store.scope import scope
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
T = TypeVar("T")
FIVE = Limit("five", 5, timedelta(minutes=10), timedelta(minutes=1))


def is_let_in(_: int) -> bool:
    try:
        limits.take(FIVE, "d-1", NOW)
    except Later:
        return False
    finally:
        connections.close_all()
    return True


@pytest.mark.django_db(transaction=True)
def test_of_thirty_at_once_exactly_as_many_pass_as_may() -> None:
    with ThreadPoolExecutor(6) as crowd:
        assert sum(crowd.map(is_let_in, range(30))) == FIVE.most


def is_counted(_: int) -> bool:
    try:
        with limits.counted(FIVE, "d-1", NOW) as count, transaction.atomic():
            count()
    except Later:
        return False
    return True


def is_counted_in_a_thread(number: int) -> bool:
    try:
        return is_counted(number)
    finally:
        connections.close_all()


def fails() -> None:
    with limits.counted(FIVE, "d-1", NOW) as count, transaction.atomic():
        count()
        raise KeyError


@pytest.mark.django_db(transaction=True)
def test_counted_with_what_they_write_no_more_pass_than_were_under_way() -> None:
    with ThreadPoolExecutor(3) as crowd:
        passed = sum(crowd.map(is_counted_in_a_thread, range(30)))
    assert FIVE.most <= passed < FIVE.most + 3
    assert not is_counted(0)


@pytest.mark.django_db
def test_one_after_the_other_as_many_are_counted_with_what_they_write_as_may() -> None:
    assert [is_counted(n) for n in range(7)] == [True] * 5 + [False] * 2
    later = NOW + timedelta(minutes=1)
    with limits.counted(FIVE, "d-1", later) as count:
        count()
    assert LimitRow.objects.get().used == 1


@pytest.mark.django_db
def test_a_call_that_fails_is_counted_though_what_it_wrote_is_gone() -> None:
    for _ in range(5):
        with pytest.raises(KeyError):
            fails()
    assert not is_counted(0)


@pytest.mark.django_db
def test_who_waited_is_let_in_again_and_others_never_waited() -> None:
    for _ in range(5):
        limits.take(FIVE, "d-1", NOW)
    with pytest.raises(Later) as shut:
        limits.take(FIVE, "d-1", NOW)
    assert shut.value.params == {"until": "2031-03-03T02:01:00.000Z"}
    limits.take(FIVE, "d-2", NOW)
    limits.take(FIVE, "d-1", NOW + timedelta(minutes=1))


@pytest.mark.django_db
def test_only_failed_tries_count_and_the_last_allowed_shuts() -> None:
    for _ in range(9):
        assert limits.tried(FIVE, "x", NOW, lambda: "in") == "in"
    for _ in range(5):
        assert limits.tried(FIVE, "x", NOW, lambda: None) is None
    with pytest.raises(Later):
        limits.tried(FIVE, "x", NOW, lambda: "in")


@pytest.mark.django_db
def test_a_phone_back_after_a_week_is_never_made_to_wait() -> None:
    """Requirement 46: 5 000 records in 25 pushes and 300 photos in slices of 64 KB."""
    for _ in range(25):
        limits.take(limits.PUSH, "d-1", NOW)
    assert limits.UPLOAD.most > 300 * (1 + 400 // 64 + 1)


@pytest.mark.django_db
def test_whoever_was_counted_is_kept_as_a_hash_and_forgotten() -> None:
    limits.take(FIVE, "ana@veshmere.invalid", NOW)
    assert "ana" not in repr(list(LimitRow.objects.values()))
    assert limits.clear_old(NOW + timedelta(days=1)) == 0
    assert limits.clear_old(NOW + timedelta(days=3)) == 1


def together(ask: Callable[[int], T], times: int, threads: int = 8) -> list[T]:
    """Ask so often at once; each thread has a connection of its own."""

    def asked(n: int) -> T:
        try:
            return ask(n)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(threads) as crowd:
        return list(crowd.map(asked, range(times)))


@pytest.mark.django_db(transaction=True)
def test_of_a_crowd_of_wrong_tries_exactly_as_many_are_made_as_may() -> None:
    made: list[int] = []

    def wrong(n: int) -> str:
        try:
            limits.tried(FIVE, "ana", NOW, lambda: made.append(n))
        except Later:
            return "shut"
        return "tried"

    found = together(wrong, 40)
    assert (len(made), Counter(found)) == (5, Counter(tried=5, shut=35))
    with pytest.raises(Later):
        limits.tried(FIVE, "ana", NOW, lambda: "in")
    assert limits.tried(FIVE, "bo", NOW, lambda: "in") == "in"


@pytest.mark.django_db(transaction=True)
def test_rows_that_many_make_at_once_are_made_once_each() -> None:
    """Whoever comes second finds the row of whoever came first, and counts on it."""

    def take(n: int) -> bool:
        try:
            limits.take(FIVE, f"d-{n % 6}", NOW)
        except Later:
            return False
        return True

    assert sum(together(take, 48)) == 6 * FIVE.most
    assert LimitRow.objects.count() == 6


@pytest.mark.django_db(transaction=True)
def test_of_one_account_no_more_passwords_are_looked_at_than_may(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Eight a day for one account, from however many addresses they come."""
    looked: list[int] = []

    def looks(*_: str) -> bool:
        looked.append(1)
        return False

    monkeypatch.setattr(people, "check_password", looks)

    def signs_in(n: int) -> str:
        try:
            people.sign_in("ana@veshmere.invalid", "wrong", NOW, f"10.0.0.{n}")
        except Refused as refused:
            return type(refused).__name__
        return "in"

    found = together(signs_in, 24)
    assert len(looked) == limits.SIGN_IN.most
    assert "in" not in found


@pytest.mark.django_db(transaction=True)
def test_wrong_pins_are_told_once_and_what_was_written_meanwhile_is_all_kept() -> None:
    """A phone tells how often ever; pushes at once tell no more of it, and none is held back."""
    nurseries.begin("veshmere", "Veshmere", "Etc/GMT-10")
    phone = Writer("veshmere")
    body = {"readings": [{"what": "temp", "value": 21.0, "unit": "C"}]}
    texts = [phone.write("read", ["r-1"], body, NOW + timedelta(seconds=n)) for n in range(16)]
    outbox = Outbox(install="i-a", device="d-a", wrong_pins={"p-1": 5})
    told = together(lambda n: log.receive("veshmere", outbox, [texts[n]], NOW), len(texts))
    assert {one.outcomes[0].status for one in told} == {"stored"}
    with scope("veshmere") as book:
        assert list(book.accesses.values_list("did", "of")) == [("wrong_pin", "5")]
