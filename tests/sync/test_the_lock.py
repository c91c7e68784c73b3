"""Requirement 35: one short lock for each push, and states that no second push can spoil."""

import os
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import orjson
import pytest
from django.db import connection

from nursery.services import ahead, log, marks, nurseries, refold, rows
from nursery.services.installs import Outbox
from nursery.store import lines
from nursery.store.scope import scope
from tests.phone import Writer
from tests.sync.crowd import together

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
ROUNDS = {"dev": 200, "ci": 1000, "long": 1000}[os.environ.get("NURSERY_TEST_PROFILE", "dev")]
ROUNDS_OF_A_BATCH = 20
NURSERY = "veshmere"


def box(name: str) -> Outbox:
    return Outbox(install=f"i-{name}", device=f"d-{name}")


def stored_is_folded(batch: str) -> bool:
    with scope(NURSERY) as book:
        entries = lines.of_subjects(book, [batch])[batch]
        state = refold.state_of(batch, entries, refold.growers(book), place=False)
        kept = book.subjects.get(ident=batch)
    return kept.state == orjson.dumps(state.as_json()).decode()


def spoilt(rounds: int) -> int:
    """Push twice on one batch at once, again and again; return how often stored was not folded."""
    nurseries.begin(NURSERY, "Veshmere Terraces", "Etc/GMT-10")
    step = threading.Barrier(3, timeout=60)
    found: list[str] = []

    def pushing(writer: Writer) -> Callable[[], None]:
        def act() -> None:
            for number in range(rounds):
                batch, at = batch_of(number), NOW + timedelta(seconds=number)
                text = writer.write("lost", [batch], {"count": 1, "fate": "died"}, at)
                step.wait()
                log.receive(NURSERY, box(writer.name), [text], NOW)
                step.wait()

        return act

    def looking() -> None:
        for number in range(rounds):
            step.wait()
            step.wait()
            if not stored_is_folded(batch_of(number)):
                found.append(batch_of(number))

    together(pushing(Writer("a", number=1)), pushing(Writer("b", number=2)), looking)
    return len(found)


def batch_of(number: int) -> str:
    return f"b-{number // ROUNDS_OF_A_BATCH}"


@pytest.mark.django_db(transaction=True)
def test_requirement_35_two_pushes_on_one_batch_at_once_leave_stored_as_folded() -> None:
    assert spoilt(ROUNDS) == 0
    with scope(NURSERY) as book:
        assert book.entries.count() == 2 * ROUNDS


@pytest.mark.django_db(transaction=True)
def test_requirement_35_a_fold_of_what_was_read_before_the_lock_is_found(
    broken_book: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same two pushes: did a fold pass over what came meanwhile, it would be seen."""
    monkeypatch.setattr(ahead.Ahead, "_overtaken", lambda *_: set())
    assert spoilt(60) > 0


@pytest.mark.django_db(transaction=True)
def test_requirement_35_a_push_takes_one_lock_in_one_transaction(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    nurseries.begin(NURSERY, "Veshmere Terraces", "Etc/GMT-10")
    writer = Writer("a")
    texts = [
        writer.write("noted", [f"b-{number % 20}"], {"text": "x"}, NOW) for number in range(200)
    ]
    asked: list[str] = []
    commits: list[int] = []

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        asked.append(sql)
        return execute(sql, params, many, context)

    commit = connection.commit

    def commit_and_note() -> None:
        commits.append(len(asked))
        commit()

    monkeypatch.setattr(connection, "commit", commit_and_note)
    with connection.execute_wrapper(note):
        log.receive(NURSERY, box("a"), texts, NOW)
    locks = [number for number, sql in enumerate(asked) if _takes_the_head(sql)]
    assert len(locks) == 1
    assert len(commits) == 1
    # Two hundred entries on twenty batches; what is asked under the lock does not grow with them.
    assert commits[0] - locks[0] < 16


def _takes_the_head(sql: str) -> bool:
    """The last reading of the head; on SQLite the lock is the transaction itself."""
    if connection.vendor == "postgresql":
        return "FOR UPDATE" in sql
    return sql.startswith("UPDATE head ")


def describe_the_place() -> None:
    rows.put(NURSERY, rows.Row("place", "b-0", None, {"name": "Room 1", "kind": "room"}), NOW)


def release_what_waits() -> None:
    marks.release_due(NURSERY, NOW + timedelta(days=3))


@pytest.mark.django_db
@pytest.mark.parametrize("act", [describe_the_place, release_what_waits])
def test_what_is_written_while_a_push_waits_for_the_lock_is_not_passed_over(
    monkeypatch: pytest.MonkeyPatch, act: Callable[[], None]
) -> None:
    """A row and a mark change what an older entry means: the push must read again."""
    nurseries.begin(NURSERY, "Veshmere Terraces", "Etc/GMT-10")
    writer = Writer("a")
    waiting = writer.write("noted", ["b-0"], {"text": "x"}, NOW + timedelta(days=2))
    log.receive(NURSERY, box("a"), [waiting], NOW)
    read = ahead.fold

    def read_and_wait(*args: Any) -> Any:
        taken = read(*args)
        act()
        return taken

    monkeypatch.setattr(ahead, "fold", read_and_wait)
    log.receive(NURSERY, box("a"), [writer.write("noted", ["b-0"], {"text": "y"}, NOW)], NOW)
    assert refold.differences(NURSERY) == []
