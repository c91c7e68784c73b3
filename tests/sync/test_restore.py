"""Requirement 7: a backup older than the last answers is healed by what phones still hold."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from nursery.services import backups, restore
from nursery.store.scope import scope
from tests.phone import Answered, Phone
from tests.sync.doors import NURSERY, enrol, open_nursery

pytestmark = pytest.mark.django_db(transaction=True)

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)


@pytest.fixture
def phones(
    shifted_clock: Callable[[Any], None], settings: Any, tmp_path: Path, sound_books: None
) -> list[Phone]:
    settings.BACKUPS = tmp_path / "backups"
    shifted_clock(NOW)
    open_nursery()
    return [enrol(name, NOW, number) for number, name in enumerate("abc", 1)]


def lose(phone: Phone, count: int) -> None:
    for number in range(count):
        at = NOW + timedelta(seconds=number)
        phone.write("lost", [f"b-{number % 9}"], {"count": 1, "fate": "died"}, at)


def sync(phones: list[Phone]) -> None:
    for phone in phones:
        phone.push_all()
    for phone in phones:
        phone.pull_all()


def in_the_book() -> list[str]:
    with scope(NURSERY) as book:
        return list(book.entries.order_by("seq").values_list("ident", flat=True))


def test_requirement_7_five_hundred_entries_come_back_after_an_older_backup_was_restored(
    phones: list[Phone],
) -> None:
    for phone in phones:
        lose(phone, 20)
    sync(phones)
    backup = backups.make()
    for phone, count in zip(phones, (200, 200, 100), strict=True):
        lose(phone, count)
    sync(phones)
    lose(phones[0], 7)  # and some that were never sent
    before = {*in_the_book()} | {*phones[0].queue}
    assert len(before) == 567

    restore.restore(backup.file, lambda _: None)
    assert len(in_the_book()) == 60
    old, server = phones[0].epoch, phones[0].server
    assert turned_away(lambda: server.pull(f"{old}:0", 10)) != old
    assert turned_away(lambda: server.push(phones[0].envelope([]))) != old
    sync(phones)  # in this round each meets the new epoch, in the next it sends again
    sync(phones)

    book = in_the_book()
    assert {*book} == before
    assert len(book) == len(before)
    for phone in phones:
        assert phone.holds() == before
        assert phone.cursor == len(book)
        assert phone.holes == []


def turned_away(ask: Callable[[], object]) -> str:
    """Return the epoch that a call is told instead of an answer."""
    with pytest.raises(Answered) as refused:
        ask()
    assert (refused.value.status, refused.value.code) == (409, "epoch_changed")
    return str(refused.value.body["params"]["epoch"])


def test_requirement_7_what_a_tested_backup_holds_phones_may_forget(phones: list[Phone]) -> None:
    """And nothing else: of what came after it they keep every text."""
    lose(phones[0], 30)
    sync(phones)
    assert len(phones[0].kept) == 30
    backup = backups.make()
    lose(phones[0], 5)
    sync(phones)
    assert len(phones[0].kept) == 5
    restore.restore(backup.file, lambda _: None)
    sync(phones)
    sync(phones)
    assert len(in_the_book()) == 35


def lacking_after(phones: list[Phone]) -> set[str]:
    """Restore a backup under phones that were ahead of it, write on, and return what is lacking.

    What is written on brings the restored book to where it was: the numbers are taken again, by
    other entries.
    """
    for phone in phones:
        lose(phone, 10)
    sync(phones)
    backup = backups.make()
    for phone in phones:
        lose(phone, 5)
    sync(phones)
    restore.restore(backup.file, lambda _: None)
    lose(phones[0], 15)
    for _ in range(3):
        sync(phones)
    book = {*in_the_book()}
    return {ident for phone in phones for ident in phone.results.keys() | phone.holds()} - book


@pytest.fixture
def untried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the trials of backups out: they are looked at elsewhere, and take a second each."""
    monkeypatch.setattr(backups, "check", lambda _file: {})


def test_requirement_7_a_restore_leaves_nothing_lacking(untried: None, phones: list[Phone]) -> None:
    assert lacking_after(phones) == set()


def test_requirement_7_a_restore_that_keeps_its_epoch_is_found(
    untried: None, phones: list[Phone], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same course: were the epoch forgotten, nobody would offer again what is lacking."""
    monkeypatch.setattr(restore, "_begin_epoch", lambda: None)
    assert len(lacking_after(phones)) == 15
