"""The line before the one writer: in the order of asking, and no thread in its own way."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from datetime import UTC, datetime
from functools import partial
from time import sleep

import pytest
from django.db import IntegrityError, connection, transaction

from nursery.store import turns
from nursery.store.models import JobRow
from nursery.store.turns import Line, writing
from tests.product import wait_until

LONG = 60.0
NOW = datetime(2031, 3, 1, 8, 0, tzinfo=UTC)


def _waits(line: Line, many: int) -> bool:
    return len(line._waiting) == many


def test_the_turn_is_handed_on_in_the_order_of_asking() -> None:
    line, came = Line(), list[int]()

    def one(number: int) -> None:
        assert line.enter(LONG)
        came.append(number)
        line.leave()

    assert line.enter(0)
    with ThreadPoolExecutor(8) as pool:
        for number in range(8):
            pool.submit(one, number)
            wait_until(partial(_waits, line, number + 1))
        line.leave()
    assert came == [*range(8)]
    assert line.enter(0)


def test_nobody_is_let_in_beside_another() -> None:
    line, inside, most = Line(), [0], [0]

    def many() -> None:
        for _ in range(50):
            assert line.enter(LONG)
            inside[0] += 1
            most[0] = max(most[0], inside[0])
            sleep(0)
            inside[0] -= 1
            line.leave()

    with ThreadPoolExecutor(8) as pool:
        done = [pool.submit(many) for _ in range(8)]
    assert [one.result() for one in done] == [None] * 8
    assert most == [1]


def test_who_waits_no_longer_leaves_the_line_and_the_next_gets_the_turn() -> None:
    line = Line()
    assert line.enter(0)
    assert not line.enter(0.01)
    assert _waits(line, 0)
    with ThreadPoolExecutor(1) as pool:
        later: Future[bool] = pool.submit(line.enter, LONG)
        wait_until(partial(_waits, line, 1))
        line.leave()
        assert later.result(LONG)


def _write(key: str) -> None:
    with writing():
        JobRow.objects.create(kind="none", key=key, due_at=NOW, made_at=NOW)


def _written() -> set[str]:
    return {*JobRow.objects.filter(kind="none").values_list("key", flat=True)}


def _within_another() -> None:
    with writing():
        _write("inner")


def _within_another_and_fails() -> None:
    with writing():
        _write("lost")
        _write("lost")


def _right_after_the_commit() -> None:
    with writing():
        transaction.on_commit(lambda: _write("inner"))


def _in_a_plain_transaction() -> None:
    with transaction.atomic():
        _write("inner")


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    "write", [_within_another, _right_after_the_commit, _in_a_plain_transaction]
)
def test_a_thread_never_waits_for_itself(
    write: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turns, "PATIENCE_S", LONG)
    with ThreadPoolExecutor(1) as pool:
        pool.submit(_apart, write).result(LONG / 2)
    assert _written() == {"inner"}


def _apart(write: Callable[[], None]) -> None:
    try:
        write()
    finally:
        connection.close()


@pytest.mark.django_db(transaction=True)
def test_a_write_that_fails_hands_the_turn_on() -> None:
    with pytest.raises(IntegrityError):
        _within_another_and_fails()
    with ThreadPoolExecutor(1) as pool:
        pool.submit(_apart, lambda: _write("next")).result(LONG / 2)
    assert _written() == {"next"}


@pytest.mark.django_db(transaction=True)
def test_who_waited_too_long_asks_the_database_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    line = Line()
    monkeypatch.setattr(turns, "_writers", line)
    monkeypatch.setattr(turns, "PATIENCE_S", 0.01)
    assert line.enter(0)
    _write("out of turn")
    assert _written() == {"out of turn"}
