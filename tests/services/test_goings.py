"""What a fold that was kept between pushes gives is what the whole book gives, whatever came."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

import pytest
from django.db import transaction

from nursery.services import goings, log, marks, nurseries, refold, rows
from nursery.services.installs import Outbox
from nursery.store import lines, many, others
from nursery.store.models import FeedRow, HeadRow, SubjectRow
from nursery.store.scope import scope
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
BOX = Outbox(install="i-a", device="d-a")

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def nursery() -> Iterator[str]:
    goings.SHELF.clear()
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    yield "veshmere"
    assert refold.differences("veshmere") == []


def push(*texts: str, now: datetime = NOW) -> None:
    log.receive("veshmere", BOX, texts, now)


def lost(phone: Writer, count: int = 1, *, minutes: int | None = None, **more: Any) -> str:
    at = NOW + timedelta(minutes=phone.n if minutes is None else minutes)
    return phone.write(
        "lost", ["b-1"], {"fate": "died", "count": count, "cause": "dry"}, at, **more
    )


def begun(phone: Writer) -> None:
    batch = {"id": "b-1", "label": "T1", "stated": 54}
    body = {"consignment": "c-1", "batches": [batch]}
    counted = {"method": "full", "alive": 54, "saw": None}
    push(
        phone.write("received", ["b-1"], body, NOW),
        phone.write("counted", ["b-1"], counted, NOW + timedelta(seconds=30)),
    )


@pytest.fixture
def whole_reads(monkeypatch: pytest.MonkeyPatch) -> list[set[str]]:
    """The subjects whose whole past was read, time by time."""
    asked: list[set[str]] = []
    of_subjects = lines.of_subjects

    def noted(book: Any, subjects: Any, *, after: int = 0) -> Any:
        some = set(subjects)
        if some and after == 0:
            asked.append(some)
        return of_subjects(book, some, after=after)

    monkeypatch.setattr(lines, "of_subjects", noted)
    return asked


def alive() -> int | None:
    return SubjectRow.objects.get(ident="b-1").alive


def test_the_past_is_read_once(whole_reads: list[set[str]]) -> None:
    phone = Writer("a")
    begun(phone)
    whole_reads.clear()
    for _ in range(5):
        push(lost(phone))
    assert whole_reads == []
    assert alive() == 49


@pytest.mark.parametrize("late", [-30, 5])
def test_what_happened_before_is_folded_in_its_place(late: int) -> None:
    phone = Writer("a")
    begun(phone)
    push(lost(phone, 2, minutes=10))
    push(lost(phone, 3, minutes=late))
    assert alive() == (52 if late < 0 else 49)


def test_a_correction_reaches_back() -> None:
    phone = Writer("a")
    begun(phone)
    wrong = lost(phone, 20)
    push(wrong)
    assert alive() == 34
    ident = wrong[8:44]
    push(lost(phone, 2, corrects=ident, saw=ident))
    assert alive() == 52


def test_what_another_process_wrote_meanwhile_is_in_it(whole_reads: list[set[str]]) -> None:
    phone = Writer("a")
    begun(phone)
    ours, theirs = goings.SHELF, goings._Shelf()
    goings.SHELF = theirs
    push(lost(phone, 5))
    goings.SHELF = ours
    whole_reads.clear()
    push(lost(phone))
    assert (alive(), whole_reads) == (48, [])
    goings.SHELF = theirs
    push(lost(phone))
    assert (alive(), whole_reads) == (47, [])
    goings.SHELF = ours


def test_what_was_set_aside_counts_from_its_release_on() -> None:
    phone = Writer("a")
    begun(phone)
    later = lost(phone, 4, minutes=60 * 48)
    push(later)
    push(lost(phone))
    assert alive() == 53
    marks.release("veshmere", later[8:44], "asked", NOW)
    push(lost(phone))
    assert alive() == 48


def test_a_restored_book_begins_anew() -> None:
    """A restore takes lines back and gives the book another epoch."""
    phone = Writer("a")
    begun(phone)
    push(lost(phone, 5))
    kept = dict(goings.SHELF._kept)
    HeadRow.objects.update(epoch="another")
    SubjectRow.objects.update(alive=1)
    push(lost(phone))
    assert alive() == 48
    assert goings.SHELF._kept.keys() == kept.keys()


def test_a_book_with_another_past_begins_anew(whole_reads: list[set[str]]) -> None:
    """Though its epoch and its numbers are the same, as of a disk that was set back."""
    phone = Writer("a")
    begun(phone)
    ((key, ident),) = goings.SHELF._kept
    kept = goings.SHELF.take(key, ident)
    assert kept is not None
    goings.SHELF.put(key, ident, replace(kept, link="0" * 64))
    whole_reads.clear()
    push(lost(phone))
    assert whole_reads == [{"b-1"}]


def test_a_push_that_fails_leaves_no_fold_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    phone = Writer("a")
    begun(phone)

    def fails(*_: Any) -> None:
        raise RuntimeError

    with monkeypatch.context() as broken:
        broken.setattr(refold, "put", fails)
        push(lost(phone, 7))
    assert alive() == 54
    assert not goings.SHELF._kept
    push(lost(phone))
    assert alive() == 53


def test_those_used_longest_ago_go_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(goings, "MOST", 5)
    phone = Writer("a")
    for ident in ("b-1", "b-2", "b-3"):
        for minute in range(2):
            at = NOW + timedelta(minutes=minute)
            push(phone.write("noted", [ident], {"text": "dry"}, at))
    assert [ident for _, ident in goings.SHELF._kept] == ["b-2", "b-3"]


def described() -> None:
    """A row may make a place of what was folded as a batch."""
    rows.put("veshmere", rows.Row("place", "room-1", None, {"name": "R", "kind": "room"}), NOW)


def acts(phone: Writer, random: Random, told: list[str]) -> dict[str, Callable[[], None]]:
    def one_of(texts: list[str]) -> str:
        return random.choice(texts)[8:44]

    return {
        "round": lambda: push(*(lost(phone) for _ in range(random.randint(1, 6)))),
        "late": lambda: push(lost(phone, minutes=random.randint(1, phone.n))),
        "again": lambda: push(random.choice(told), lost(phone)),
        "corrects": lambda: push(lost(phone, 2, corrects=one_of(told))),
        "aside": lambda: push(lost(phone, minutes=60 * 48), lost(phone)),
        "place": lambda: push(
            phone.write("watered", ["room-1", "b-1"], {}, NOW + timedelta(minutes=phone.n))
        ),
        "elsewhere": goings.SHELF.clear,
        "described": described,
    }


@pytest.mark.parametrize("seed", range(6))
def test_any_course_of_pushes_folds_to_what_the_book_says(seed: int) -> None:
    random, phone = Random(seed), Writer("a")
    begun(phone)
    for _ in range(30):
        course = acts(phone, random, phone.written)
        course[random.choice(sorted(course))]()
        assert refold.differences("veshmere") == []


OTHERS = sorted(
    {one for name, one in vars(FeedRow).items() if name.isupper() and type(one) is str}
    - {FeedRow.ENTRY}
)


def test_the_other_types_of_lines_are_these() -> None:
    assert OTHERS == ["gone", "mark", "ref"]


@pytest.mark.parametrize("other", OTHERS)
@pytest.mark.parametrize("looked", [1, 5, 1000])
@pytest.mark.parametrize("seq", [1, 4, 7])
def test_a_line_that_is_no_entry_is_found_wherever_it_stands(
    monkeypatch: pytest.MonkeyPatch, other: str, looked: int, seq: int
) -> None:
    monkeypatch.setattr(others, "_LOOKED_THROUGH", looked)
    with scope("veshmere", write=True) as book:
        start = book.head.last_seq
        told = [FeedRow.ENTRY] * 7
        told[seq - 1] = other
        lines.write(book, [line_of(start + n, one) for n, one in enumerate(told, 1)])
        found = [others.more_than_entries(book, start + n) for n in range(8)]
        assert found == [n < seq for n in range(8)]
        transaction.set_rollback(True)


def line_of(seq: int, kind: str) -> lines.Line:
    return lines.Line(seq, kind, "noted", f"x-{seq}", 0, "{}", "", "", NOW)


@pytest.mark.parametrize("some", [[], ["a"], ["b-1"], ["a", "b-1", "ü'\"\\"]], ids=str)
def test_what_is_among_some_names_is_found_by_one_parameter(some: list[str]) -> None:
    begun(Writer("a"))
    with scope("veshmere") as book:
        found = book.subjects.filter(many.among("ident", some))
        assert [row.ident for row in found] == [one for one in some if one == "b-1"]
