"""The database refuses to change the feed, and the verifier finds what was changed all the same."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction

from nursery.domain import chain
from nursery.services import feed, marks, refold, rows, verify
from nursery.services.feed import Draft
from nursery.store import append_only
from nursery.store.models import FeedRow, HeadRow, NurseryRow, RefRow
from nursery.store.scope import scope
from tests.phone import Phone, Writer
from tests.sync.real import Real

pytestmark = pytest.mark.django_db

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)


@pytest.fixture
def nursery(server: Real) -> str:
    """A book with a line of every type: 6 entries, rows, a row that is gone, a mark."""
    phone = Phone(Writer("a"), server)
    phone.snapshot()
    for number in range(5):
        phone.write("noted", ["b-1"], {"text": "x"}, NOW + timedelta(seconds=number))
    phone.write("noted", ["b-1"], {"text": "y"}, NOW + timedelta(days=2))
    phone.push()
    for name in ("One", "Two"):
        row = rows.Row("place", "room-1", None, {"name": name, "kind": "room"})
        rows.put(server.ident, row, NOW)
    rows.put(server.ident, rows.Row("place", "room-2", None, {"name": "x", "kind": "room"}), NOW)
    rows.remove(server.ident, "place", "room-2", NOW)
    marks.release_due(server.ident, NOW + timedelta(days=1))
    assert verify.chain(server.ident) == []
    return server.ident


LINES = {
    "an entry": 2,
    "a row": 7,
    "a row's last words": 9,
    "what took a row out": 10,
    "a mark": 11,
}


@pytest.mark.parametrize("seq", LINES.values(), ids=LINES.keys())
@pytest.mark.parametrize("column", append_only.KEPT)
def test_no_column_of_the_feed_can_be_updated(nursery: str, seq: int, column: str) -> None:
    line = FeedRow.objects.get(nursery__ident=nursery, seq=seq)
    for change in ({column: other(line, column)}, {column: other(line, column), "text": ""}):
        with pytest.raises(DatabaseError, match=append_only.REFUSAL), transaction.atomic():
            FeedRow.objects.filter(pk=line.pk).update(**change)


def test_no_text_of_the_feed_can_be_changed_into_another(nursery: str) -> None:
    line = FeedRow.objects.get(nursery__ident=nursery, seq=2)
    with pytest.raises(DatabaseError, match=append_only.REFUSAL), transaction.atomic():
        FeedRow.objects.filter(pk=line.pk).update(text=line.text + " ")


def test_no_line_of_the_feed_can_be_deleted(nursery: str) -> None:
    lines = FeedRow.objects.filter(nursery__ident=nursery)
    for some in (lines, lines.filter(seq=2)):
        with pytest.raises(DatabaseError, match=append_only.REFUSAL), transaction.atomic():
            some.delete()


def test_a_note_can_be_erased_and_the_chain_stays_valid(nursery: str) -> None:
    """The one who erases says so in a later line of the feed."""
    line = FeedRow.objects.get(nursery__ident=nursery, seq=2)
    with scope(nursery, write=True) as book:
        FeedRow.objects.filter(pk=line.pk).update(text="")
        draft = Draft(FeedRow.MARK, marks.ERASED, line.ident, 0, '{"why":"asked"}')
        feed.add(book, book.lock_head(), draft, NOW)
    refold.everything(nursery)
    assert verify.chain(nursery) == []


def test_a_note_that_is_blank_although_nobody_erased_it_is_found(
    broken_book: None, nursery: str
) -> None:
    FeedRow.objects.filter(nursery__ident=nursery, seq=2).update(text="")
    said = "line 2: its text is gone, and no line says that it was erased"
    assert verify.chain(nursery) == [said]


@pytest.mark.parametrize("seq", [7, 9, 11], ids=["a place", "its last words", "a mark"])
def test_what_holds_no_words_of_a_persons_cannot_be_blanked(nursery: str, seq: int) -> None:
    with pytest.raises(DatabaseError, match=append_only.REFUSAL), transaction.atomic():
        FeedRow.objects.filter(nursery__ident=nursery, seq=seq).update(text="")


@contextmanager
def unguarded() -> Iterator[None]:
    """What somebody can do who owns the database."""
    append_only.remove(connection)
    try:
        yield
    finally:
        append_only.install(connection)


def other(line: FeedRow, column: str) -> Any:
    value = getattr(line, column)
    if column == "nursery_id":
        return NurseryRow.objects.get(ident=Real(NOW).ident).pk
    if column == "type":
        return {"entry": "mark", "mark": "gone"}.get(value, "entry")
    if isinstance(value, bool):
        return not value
    if isinstance(value, datetime):
        return value + timedelta(seconds=1)
    if isinstance(value, int):
        return value + 100
    if value is None:
        return {"occurred_at": NOW, "n": 7}.get(column, "other")
    return f"{value[:-1]}{'0' if value[-1:] != '0' else '1'}"


@pytest.mark.parametrize("seq", LINES.values(), ids=LINES.keys())
@pytest.mark.parametrize("column", [*(c for c in append_only.KEPT if c != "received_at"), "text"])
def test_requirement_39_a_change_of_any_column_is_found(
    broken_book: None, nursery: str, seq: int, column: str
) -> None:
    """All but the moment of reception, which the links do not cover."""
    line = FeedRow.objects.get(nursery__ident=nursery, seq=seq)
    with unguarded():
        FeedRow.objects.filter(pk=line.pk).update(**{column: other(line, column)})
    faults = verify.chain(nursery)
    assert faults
    if column in ("text", "hash"):
        assert f"line {seq}:" in faults[0]


def drop(nursery: str) -> None:
    FeedRow.objects.filter(nursery__ident=nursery, seq=3).delete()


def drop_the_last(nursery: str) -> None:
    FeedRow.objects.filter(nursery__ident=nursery, seq=11).delete()


def swap(nursery: str) -> None:
    pair = FeedRow.objects.filter(nursery__ident=nursery, seq__in=(3, 4)).order_by("seq")
    one, two = pair
    FeedRow.objects.filter(pk=one.pk).update(seq=1000)
    FeedRow.objects.filter(pk=two.pk).update(seq=3)
    FeedRow.objects.filter(pk=one.pk).update(seq=4)


def replace(nursery: str) -> None:
    """With a text of its own hash, as somebody would who knows of the hash alone."""
    line = FeedRow.objects.get(nursery__ident=nursery, seq=3)
    text = line.text.replace('"x"', '"z"')
    FeedRow.objects.filter(pk=line.pk).update(text=text, hash=chain.text_hash(text))


def turn_back_the_head(nursery: str) -> None:
    HeadRow.objects.filter(nursery__ident=nursery).update(last_seq=10)


def turn_back_a_row(nursery: str) -> None:
    RefRow.objects.filter(nursery__ident=nursery, ident="room-1").update(rev=1, seq=7)


TAMPERING = {
    drop: "line 3 is missing",
    drop_the_last: "the head says line 11",
    swap: "line 3: its link",
    replace: "line 3: its link",
    turn_back_the_head: "the head says line 10",
    turn_back_a_row: "the rows of reference data",
}


@pytest.mark.parametrize(("tamper", "found"), TAMPERING.items())
def test_requirement_39_a_removal_a_swap_and_a_replacement_are_found_at_the_first_bad_number(
    broken_book: None, nursery: str, tamper: Callable[[str], None], found: str
) -> None:
    with unguarded():
        tamper(nursery)
    assert verify.chain(nursery)[0].startswith(found)
