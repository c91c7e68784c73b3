"""The numbers of the feed: 1..N, in the order of commits, however many write at once."""

import os
import random
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

import orjson
import psycopg
import pytest
from django.db import DatabaseError, connection, transaction

from nursery.domain import chain
from nursery.services import log, nurseries, pull
from nursery.services.installs import Outbox
from nursery.services.pull import Cursor
from nursery.store import lines
from nursery.store.models import FeedRow, HeadRow
from nursery.store.scope import Scope, scope
from tests.phone import Writer
from tests.sync.crowd import dealt, meanwhile, together

pytestmark = pytest.mark.django_db(transaction=True)

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
LONG = os.environ.get("NURSERY_TEST_PROFILE") == "long"
WRITERS = 16
PUSHES = 60 if LONG else 8
ENTRIES = 20
NURSERY = "veshmere"


@pytest.fixture(autouse=True)
def nursery(sound_books: None) -> None:
    nurseries.begin(NURSERY, "Veshmere Terraces", "Etc/GMT-10")


def box(name: str) -> Outbox:
    return Outbox(install=f"i-{name}", device=f"d-{name}")


def notes(writer: Writer, count: int, about: str = "b-1") -> list[str]:
    return [
        writer.write("noted", [about], {"text": "x"}, NOW + timedelta(seconds=number))
        for number in range(count)
    ]


class Reader:
    """A phone that polls: it trusts that nothing at or below its cursor can still come."""

    def __init__(self) -> None:
        self.cursor = 0
        self.ids: list[str] = []

    def poll(self) -> bool:
        """Take what is there; return whether that was nothing."""
        with scope(NURSERY) as book:
            rows = [row for some in lines.page(book, self.cursor, 10**12, 5000) for row in some]
        self.ids += [ident for _, ident, _, _ in rows]
        self.cursor = rows[-1][0] if rows else self.cursor
        return not rows


Append = Callable[[Writer, Sequence[str]], None]


def chosen(writer: Writer, texts: Sequence[str]) -> None:
    log.receive(NURSERY, box(writer.name), texts, NOW)


def numbered_before_the_lock(writer: Writer, texts: Sequence[str]) -> None:
    _by_sequence(writer, texts, lock=True)


def without_a_lock(writer: Writer, texts: Sequence[str]) -> None:
    _by_sequence(writer, texts, lock=False)


def _by_sequence(writer: Writer, texts: Sequence[str], *, lock: bool) -> None:
    """The usual mistake: the number comes from a sequence, long before the commit."""
    work = random.Random(writer.name).random() * 0.02
    with scope(NURSERY) as book, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SELECT nextval('mutant') FROM generate_series(1, %s)", [len(texts)])
        numbers = [number for (number,) in cursor.fetchall()]
        time.sleep(work)  # whatever else a request does
        if lock:
            book.lock_head()
        lines.write(
            book,
            [
                lines.Line(
                    seq=seq, type=FeedRow.ENTRY, what="noted", ident=orjson.loads(text)["id"],
                    rev=0, text=text, hash=chain.text_hash(text), link="", received_at=NOW,
                )
                for seq, text in zip(numbers, texts, strict=True)
            ],
        )  # fmt: skip


def lost(append: Append) -> int:
    """Let sixteen write and one read; return how many entries the reader never saw."""
    writers = [Writer(f"w{number}", number=number) for number in range(WRITERS)]
    texts = [notes(writer, PUSHES * ENTRIES, f"b-{writer.name}") for writer in writers]

    def write(writer: Writer, some: list[str]) -> Callable[[], None]:
        def act() -> None:
            for push in dealt(some, ENTRIES):
                append(writer, push)

        return act

    reader = Reader()
    with meanwhile(reader.poll):
        together(*(write(writer, some) for writer, some in zip(writers, texts, strict=True)))
    assert len(reader.ids) == len(set(reader.ids)), "an entry was read twice"
    return WRITERS * PUSHES * ENTRIES - len(reader.ids)


def test_requirement_33_no_number_comes_late_under_sixteen_writers() -> None:
    assert lost(chosen) == 0
    with scope(NURSERY) as book:
        numbers = list(book.feed.order_by("seq").values_list("seq", flat=True))
        assert numbers == list(range(1, WRITERS * PUSHES * ENTRIES + 1))
        assert book.head.last_seq == len(numbers)


@pytest.mark.parametrize("mutant", [numbered_before_the_lock, without_a_lock])
def test_requirement_33_a_number_given_before_the_lock_is_found(
    on_postgres: None, broken_book: None, mutant: Append
) -> None:
    """The same writers and reader: were the numbers given so, entries would be lost in silence."""
    with connection.cursor() as cursor:
        cursor.execute("DROP SEQUENCE IF EXISTS mutant")
        cursor.execute("CREATE SEQUENCE mutant")
        cursor.execute("GRANT USAGE ON SEQUENCE mutant TO PUBLIC")
    try:
        assert lost(mutant) > 0
    finally:
        with connection.cursor() as cursor:
            cursor.execute("DROP SEQUENCE mutant")


def test_requirement_33_were_the_lock_forgotten_the_database_would_refuse_the_number(
    on_postgres: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A second wall: a push without the lock fails, and is sent again; it leaves no hole."""
    monkeypatch.setattr(Scope, "lock_head", lambda book: HeadRow.objects.get(pk=book.key))
    with pytest.raises(DatabaseError, match="feed_number_once"):
        lost(chosen)


def test_requirement_34_an_open_transaction_elsewhere_holds_back_no_pull(on_postgres: None) -> None:
    nurseries.begin("elsewhere", "Elsewhere", "UTC")
    writer = Writer("a")
    with psycopg.connect(**_address()) as other:
        other.execute("UPDATE nursery SET name = 'a long report' WHERE ident = 'elsewhere'")
        until = time.monotonic() + (60 if LONG else 2)
        slowest, seq = 0.0, 0
        while time.monotonic() < until:
            [outcome] = log.receive(NURSERY, box("a"), notes(writer, 1), NOW).outcomes
            begun = time.monotonic()
            at = Cursor(pull.epoch(NURSERY), seq)
            page = b"".join(pull.after(NURSERY, at, 100, NOW)).splitlines()
            slowest = max(slowest, time.monotonic() - begun)
            assert len(page) == 3, "what was committed is in the very next pull"
            seq = outcome.seq or 0
        held = other.execute("SELECT pg_snapshot_xmin(pg_current_snapshot())::text::bigint")
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_snapshot_xmin(pg_current_snapshot())::text::bigint")
            assert cursor.fetchone() == held.fetchone(), "the transaction was open all along"
    # Two busy cores may stretch one pull of a hundred; a reader that waits would take seconds.
    assert slowest < 1.0


def _address() -> dict[str, Any]:
    told = connection.settings_dict
    return {
        "dbname": told["NAME"], "user": told["USER"], "password": told["PASSWORD"],
        "host": told["HOST"], "port": told["PORT"],
    }  # fmt: skip


def test_requirement_2_eight_senders_of_the_same_entries_leave_each_once() -> None:
    texts = notes(Writer("a"), 60 * 5)
    senders, pushes = 8, dealt(texts, 5)

    def send(number: int) -> Callable[[], None]:
        order = random.Random(number)

        def act() -> None:
            for push in order.sample(pushes, len(pushes)):
                some = order.sample(push, len(push))
                answer = log.receive(NURSERY, box("a"), some, NOW)
                assert {outcome.status for outcome in answer.outcomes} <= {"stored", "known"}

        return act

    together(*(send(number) for number in range(senders)))
    with scope(NURSERY) as book:
        assert book.entries.count() == len(texts)
        assert book.head.last_seq == len(texts)
        [install] = book.installs.all()
        assert (install.n_max, install.n_missing) == (len(texts), [])
    again = log.receive(NURSERY, box("a"), texts, NOW)
    assert {outcome.status for outcome in again.outcomes} == {"known"}
