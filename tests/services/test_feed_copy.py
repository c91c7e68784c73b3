"""What came after a backup lies beside it within seconds, and a restore takes it from there."""

import stat
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import orjson
import pytest

from nursery.services import (
    backups,
    clock,
    erasure,
    feed_copy,
    health,
    log,
    marks,
    nurseries,
    refold,
    restore,
    rows,
    verify,
)
from nursery.services.installs import Outbox
from nursery.services.people import GROWER, Caller
from nursery.store.models import FeedRow, HeadRow, MembershipRow
from nursery.store.scope import scope
from tests.phone import Writer

pytestmark = pytest.mark.django_db(transaction=True)

NURSERY = "veshmere"
NOW = datetime.fromisoformat("2031-03-03T02:00:00Z")


@pytest.fixture
def folder(tmp_path: Path, settings: Any, shifted_clock: Callable[[datetime], None]) -> Path:
    settings.BACKUPS = tmp_path / "backups"
    shifted_clock(NOW)
    nurseries.begin(NURSERY, "Veshmere Terraces", "Etc/GMT-10")
    place: Path = settings.BACKUPS
    return place


@pytest.fixture
def untried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the trials of backups out: they are looked at elsewhere, and take a second each."""
    monkeypatch.setattr(backups, "check", lambda _file: {})


@pytest.fixture
def writer() -> Writer:
    return Writer("a", author="p-w1")


def lose(writer: Writer, count: int = 3, **more: Any) -> None:
    """Let a phone write and push some losses of some batches."""
    texts = [
        writer.write("lost", [f"b-{n % 4}"], {"count": 1, "fate": "died"}, NOW, **more)
        for n in range(count)
    ]
    log.receive(NURSERY, Outbox("i-a", "d-a", n_max=writer.n), texts, clock.now())


def files(folder: Path) -> list[Path]:
    return sorted((folder / "lines" / NURSERY).iterdir())


def numbers_in(file: Path) -> list[int]:
    _, *told = map(orjson.loads, file.read_bytes().splitlines())
    return [line["number"] for line in told]


def brought_back(file: Path, *, since: bool = True) -> list[str]:
    told: list[str] = []
    restore.restore(file, told.append, since=since)
    return [one for one in told if "copied since" in one]


def whole() -> dict[str, Any]:
    """Return all of the book that a line makes: lines, rows, states, numbers of installs."""
    columns = {
        "feed": ("seq", "text", "link", "received_at"),
        "refs": ("type", "ident", "rev", "text", "gone"),
        "subjects": ("ident", "type", "state"),
        "installs": ("ident", "n_max", "n_missing"),
    }
    with scope(NURSERY) as book:
        told: dict[str, Any] = {
            name: [*getattr(book, name).order_by(*some[:2]).values_list(*some)]
            for name, some in columns.items()
        }
        return {**told, "head": (book.head.last_seq, book.head.chain)}


def test_each_copy_appends_what_is_new_and_only_this_user_reads_it(
    folder: Path, writer: Writer
) -> None:
    lose(writer)
    assert feed_copy.oldest_waiting() is not None
    assert feed_copy.copy() == 3
    lose(writer, 2)
    assert feed_copy.copy() == 2
    assert feed_copy.copy() == 0
    assert feed_copy.oldest_waiting() is None
    [file] = files(folder)
    assert numbers_in(file) == [1, 2, 3, 4, 5]
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_with_each_backup_a_file_begins_and_goes_on_where_the_one_before_ended(
    untried: None, folder: Path, writer: Writer
) -> None:
    lose(writer)
    feed_copy.copy()
    lose(writer)
    backups.make()
    lose(writer)
    assert feed_copy.copy() == 6
    assert [numbers_in(file) for file in files(folder)] == [[1, 2, 3], [4, 5, 6, 7, 8, 9]]


def test_a_book_that_was_backed_up_before_any_copy_is_copied_from_there_on(
    untried: None, folder: Path, writer: Writer
) -> None:
    lose(writer)
    backups.make()
    lose(writer)
    assert feed_copy.copy() == 3
    assert [numbers_in(file) for file in files(folder)] == [[4, 5, 6]]


def test_as_many_files_are_kept_as_latest_backups(
    folder: Path, writer: Writer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(feed_copy, "KEPT_FILES", 2)
    monkeypatch.setattr(feed_copy, "_is_of_older_backup", lambda _: True)
    for _ in range(4):
        lose(writer, 1)
        feed_copy.copy()
    assert [numbers_in(file) for file in files(folder)] == [[3], [4]]
    assert feed_copy.KEPT_FILES <= backups.KEPT_LATEST


def test_what_a_power_cut_left_of_a_line_is_cut_off_before_the_next(
    folder: Path, writer: Writer
) -> None:
    lose(writer)
    feed_copy.copy()
    [file] = files(folder)
    file.write_bytes(file.read_bytes() + b'{"number":4,"type":"ent')
    lose(writer, 2)
    assert feed_copy.copy() == 2
    assert numbers_in(file) == [1, 2, 3, 4, 5]


def test_a_restore_takes_everything_that_was_copied_since(folder: Path, writer: Writer) -> None:
    """Entries, rows, a place that was described late, marks, numbers: all as it was, once."""
    rows.put(NURSERY, rows.Row("person", "p-w1", None, {"name": "Ana", "role": "worker"}), NOW)
    lose(writer)
    file = backups.make().file
    lose(writer, 5)
    note = writer.write("noted", ["b-9", "room-1"], {"text": "x"}, NOW)
    ahead = writer.write("noted", ["room-1"], {"text": "y"}, NOW + timedelta(days=3))
    writer.n += 2  # two that never came
    late = writer.write("lost", ["b-0"], {"count": 2, "fate": "died"}, NOW)
    log.receive(NURSERY, Outbox("i-a", "d-a"), [note, ahead, late], clock.now())
    other = Writer("b", number=2).write("lost", ["b-1"], {"count": 2, "fate": "died"}, NOW)
    log.receive(NURSERY, Outbox("i-b", "d-b"), [other], clock.now())
    rows.put(NURSERY, rows.Row("place", "room-1", None, {"name": "R", "kind": "room"}), NOW)
    rows.put(NURSERY, rows.Row("person", "p-w2", None, {"name": "Bo", "role": "grower"}), NOW)
    rows.remove(NURSERY, "person", "p-w2", NOW)
    marks.release(NURSERY, str(orjson.loads(ahead)["id"]), "day_came", clock.now())
    refold.stale(NURSERY)
    feed_copy.copy()
    before = whole()
    assert brought_back(file) == [f"{NURSERY}: 13 lines were taken that were copied since."]
    assert whole() == before
    assert verify.chain(NURSERY) == refold.differences(NURSERY) == []
    assert feed_copy.oldest_waiting() is None
    lose(writer)
    assert feed_copy.copy() == 3


def test_who_was_erased_since_is_not_brought_back(
    untried: None, folder: Path, writer: Writer
) -> None:
    """Their words stand in the copied lines; the line that erases them is copied as well."""
    rows.put(NURSERY, rows.Row("person", "p-w1", None, {"name": "Ana", "role": "worker"}), NOW)
    nurseries.add_account(
        NURSERY, nurseries.Newcomer("ana@x.example", "a long sentence", "Ana", GROWER, "p-w1")
    )
    file = backups.make().file
    words = writer.write("noted", ["b-1"], {"text": "curled"}, NOW)
    log.receive(NURSERY, Outbox("i-a", "d-a"), [words], clock.now())
    feed_copy.copy()
    asked = erasure.Asked(erasure.Why.ASKED, notes=True)
    erasure.erase(Caller(NURSERY, GROWER, "p-g", person="p-g"), "p-w1", asked, clock.now())
    feed_copy.copy()
    before = whole()
    brought_back(file)
    assert whole() == before
    assert verify.chain(NURSERY) == []
    assert not FeedRow.objects.filter(text__contains="Ana").exists()
    assert not FeedRow.objects.filter(text__contains="curled").exists()
    assert not MembershipRow.objects.exists()


def test_an_older_backup_is_brought_up_to_date_by_all_later_files(
    untried: None, folder: Path, writer: Writer
) -> None:
    lose(writer)
    oldest = backups.make().file
    for _ in range(3):
        lose(writer)
        feed_copy.copy()
        backups.make()
    before = whole()
    brought_back(oldest)
    assert whole() == before


def test_what_was_left_out_on_purpose_does_not_come_back_with_the_next_restore(
    untried: None, folder: Path, writer: Writer
) -> None:
    """After it the book went on by another branch, and that is the one that counts."""
    lose(writer)
    file = backups.make().file
    lose(writer, 4)
    feed_copy.copy()
    left_out = whole()
    assert brought_back(file, since=False) == []
    other = Writer("b", number=2)
    texts = [other.write("lost", ["b-1"], {"count": 1, "fate": "died"}, NOW) for _ in range(2)]
    log.receive(NURSERY, Outbox("i-b", "d-b"), texts, clock.now())
    feed_copy.copy()
    before = whole()
    assert before["head"][0] < left_out["head"][0]
    brought_back(file)
    assert whole() == before


def flipped(told: list[bytes]) -> list[bytes]:
    told[3] = told[3].replace(b'\\"count\\": 1', b'\\"count\\": 7')
    return told


def column_changed(told: list[bytes]) -> list[bytes]:
    told[3] = told[3].replace(b'"set_aside":false', b'"set_aside":true')
    return told


def line_missing(told: list[bytes]) -> list[bytes]:
    return [*told[:3], *told[4:]]


def no_json(told: list[bytes]) -> list[bytes]:
    return [*told[:3], b"nothing", *told[4:]]


def cut_short(told: list[bytes]) -> list[bytes]:
    return [*told[:3], told[3][:40]]


def newer(told: list[bytes]) -> list[bytes]:
    return [told[0].replace(b"lines 1", b"lines 2"), *told[1:]]


def no_first_line(told: list[bytes]) -> list[bytes]:
    return [b"", *told[1:]]


def empty(_told: list[bytes]) -> list[bytes]:
    return []


# How a file is spoilt, how many of its five lines are taken then, and what is said of it.
SPOILT = [
    (flipped, 2, "line 4 is not as it was written (its text)"),
    (column_changed, 0, "with them the book would not hold"),
    (line_missing, 2, "line 4 is not as it was written (its link)"),
    (no_json, 2, "line 4 is not as it was written"),
    (cut_short, 2, ""),
    (newer, 0, "its format is lines 2, not lines 1"),
    (no_first_line, 0, "its first line cannot be read"),
    (empty, 0, "its first line cannot be read"),
]


@pytest.mark.parametrize(
    ("spoil", "taken", "why"), SPOILT, ids=lambda one: getattr(one, "__name__", "")
)
def test_a_spoilt_copy_is_taken_up_to_where_it_holds_and_told(
    spoil: Any, taken: int, why: str, untried: None, folder: Path, writer: Writer
) -> None:
    lose(writer)
    file = backups.make().file
    lose(writer, 5)
    feed_copy.copy()
    [copied] = files(folder)
    told = spoil(copied.read_bytes().splitlines())
    end = b"" if spoil in (cut_short, empty) else b"\n"
    copied.write_bytes(b"\n".join(told) + end)
    heard = brought_back(file)
    assert HeadRow.objects.get().last_seq == 3 + taken
    assert verify.chain(NURSERY) == refold.differences(NURSERY) == []
    assert any(why in one for one in heard) if why else len(heard) == 1
    # From here on what is new is copied, wherever the old file ended.
    lose(writer)
    feed_copy.copy()
    before = whole()
    brought_back(file)
    assert whole() == before


def test_what_is_not_copied_for_a_minute_is_told(
    folder: Path, writer: Writer, shifted_clock: Callable[[datetime], None]
) -> None:
    """As where the disk is full: the book goes on, the doctor says it."""
    assert health.lines_age().good
    lose(writer)
    folder.mkdir()
    (folder / "lines").write_text("no folder can be here")
    assert feed_copy.copy() == 0
    assert health.lines_age().good
    shifted_clock(NOW + timedelta(minutes=2))
    found = health.lines_age()
    assert (found.code, found.good) == ("lines", False)
    (folder / "lines").unlink()
    feed_copy.copy()
    assert health.lines_age().good
