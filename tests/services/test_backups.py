"""Backups are tried before they count; a broken one is found and said; a restore heals itself."""

import json
import zipfile
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection

from nursery.domain import chain
from nursery.domain.entry import write_instant
from nursery.services import backups, clock, engines, health, restore, verify
from nursery.services.backups import BackupBroken
from nursery.services.counts import Counts
from nursery.store import append_only, lines
from nursery.store.lines import Line
from nursery.store.models import BackupRow, FeedRow, HeadRow, NurseryRow
from nursery.store.scope import scope

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def folder(tmp_path: Path, settings: object) -> Iterator[Path]:
    settings.BACKUPS = tmp_path / "backups"  # type: ignore[attr-defined]
    return settings.BACKUPS  # type: ignore[attr-defined,no-any-return]


@pytest.fixture
def book() -> str:
    row = NurseryRow.objects.create(ident="n-1", name="One", zone="UTC")
    HeadRow.objects.create(nursery=row, epoch="e-1", chain=chain.START)
    write(3)
    return row.ident


def write(times: int) -> None:
    """Append lines to the feed as the log does, each resting on the one before."""
    for _ in range(times):
        with scope("n-1", write=True) as opened:
            head = opened.lock_head()
            seq, ident = head.last_seq + 1, f"e-{head.last_seq + 1}"
            now = clock.now()
            text = json.dumps({"id": ident, "kind": "noted", "occurred_at": write_instant(now)})
            digest = chain.text_hash(text)
            head.chain = chain.link(head.chain, seq, ident, digest)
            head.last_seq = seq
            head.save()
            line = Line(seq, "entry", "noted", ident, 0, text, digest, head.chain, now, now)
            lines.write(opened, [line])


def test_a_backup_is_tried_and_then_the_phones_may_forget(book: str, folder: Path) -> None:
    made = backups.make()
    assert made.file.parent == folder
    assert made.heads == {book: 3}
    row = BackupRow.objects.get()
    assert row.tested_at is not None
    assert (row.file, row.fault, row.heads) == (str(made.file), "", {book: 3})
    assert HeadRow.objects.get().durable_seq == 3
    assert health.backup_age().good
    assert [file.name for file in folder.iterdir()] == [made.file.name]


def test_what_is_written_after_the_backup_is_not_called_safe(book: str, folder: Path) -> None:
    backups.make()
    write(2)
    assert HeadRow.objects.get().durable_seq == 3


def test_an_older_backup_never_lowers_what_the_phones_may_forget(book: str, folder: Path) -> None:
    HeadRow.objects.update(durable_seq=3)
    counted = {book: 2}
    backups._keep_row(folder / "x", clock.now(), Counts({}, counted))
    assert HeadRow.objects.get().durable_seq == 3


def test_a_book_with_a_broken_chain_is_not_called_backed_up(book: str, folder: Path) -> None:
    HeadRow.objects.update(chain="f" * 64)
    with pytest.raises(BackupBroken, match="the head says line 3"):
        backups.make()
    row = BackupRow.objects.get()
    assert row.tested_at is None
    assert "the head says line 3" in row.fault
    assert HeadRow.objects.get().durable_seq == 0
    assert [file.suffix for file in folder.iterdir()] == [".broken"]


def cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-2000])


def flipped(file: Path) -> None:
    content = bytearray(file.read_bytes())
    content[len(content) // 2] ^= 0xFF
    file.write_bytes(content)


def empty(file: Path) -> None:
    file.write_bytes(b"")


def no_archive(file: Path) -> None:
    file.write_text("nothing")


def other_counts(file: Path) -> None:
    rewrite(file, rows={"feed": 99})


def no_counts(file: Path) -> None:
    rewrite(file, rows=None)


def other_head(file: Path) -> None:
    rewrite(file, heads={"n-1": 99})


def other_bytes(file: Path) -> None:
    rewrite(file, sha256="0" * 64)


def newer_format(file: Path) -> None:
    rewrite(file, format=2)


def no_list(file: Path) -> None:
    """The manifest is JSON, and not what a manifest is."""
    parts = taken_apart(file)
    put_together(file, {**parts, "manifest.json": b"[]"})


def no_json(file: Path) -> None:
    parts = taken_apart(file)
    put_together(file, {**parts, "manifest.json": b"{"})


def no_manifest(file: Path) -> None:
    parts = taken_apart(file)
    put_together(file, {name: part for name, part in parts.items() if name != "manifest.json"})


def no_book(file: Path) -> None:
    put_together(file, {"manifest.json": taken_apart(file)["manifest.json"]})


def of_another_database(file: Path) -> None:
    parts = taken_apart(file)
    manifest = json.loads(parts["manifest.json"])
    renamed = {"manifest.json": json.dumps(manifest | {"book": "book.other"}).encode()}
    put_together(file, {**renamed, "book.other": parts[manifest["book"]]})


def rewrite(file: Path, **changes: object) -> None:
    parts = taken_apart(file)
    manifest = json.loads(parts["manifest.json"]) | changes
    put_together(file, {**parts, "manifest.json": json.dumps(manifest).encode()})


def taken_apart(file: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(file) as pack:
        return {name: pack.read(name) for name in pack.namelist()}


def put_together(file: Path, parts: dict[str, bytes]) -> None:
    with zipfile.ZipFile(file, "w") as pack:
        for name, part in parts.items():
            pack.writestr(name, part)


# How a backup is spoilt, and what is said of it.
BREAKS = {
    cut_short: "it cannot be read",
    flipped: "it cannot be read|its bytes are not those",
    empty: "it cannot be read (File is not a zip file)",
    no_archive: "it cannot be read (File is not a zip file)",
    other_counts: "its rows are",
    no_counts: "its manifest does not say its rows",
    other_head: "its heads are",
    other_bytes: "its bytes are not those that were written",
    newer_format: "its format is 2, not 1",
    no_list: "it cannot be read",
    no_json: "it cannot be read",
    no_manifest: "it cannot be read",
    no_book: "it cannot be read",
    of_another_database: "it is of another kind of database",
}


@pytest.mark.parametrize(("spoil", "why"), BREAKS.items(), ids=[spoil.__name__ for spoil in BREAKS])
def test_a_spoilt_backup_is_found_and_replaces_nothing(
    spoil: Callable[[Path], None], why: str, book: str, folder: Path
) -> None:
    file = untried(folder)
    write(1)
    spoil(file)
    spoilt = file.read_bytes()
    with pytest.raises(BackupBroken) as told:
        restore.restore(file, lambda _text: None)
    assert any(words in told.value.why for words in why.split("|")), told.value.why
    assert str(file) in str(told.value)
    assert file.read_bytes() == spoilt
    assert [one.name for one in folder.iterdir()] == [file.name]
    assert FeedRow.objects.count() == 4
    assert HeadRow.objects.get().epoch == "e-1"


def untried(folder: Path) -> Path:
    """Make a backup without its trial."""
    folder.mkdir()
    backups._pack(folder / "nursery-1.zip", clock.unshifted())
    return folder / "nursery-1.zip"


def of_a_newer_version() -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES"
            " ('store', '9999_newer', CURRENT_TIMESTAMP)"
        )


def a_byte_flipped() -> None:
    with connection.cursor() as cursor:
        append_only.remove(connection)
        cursor.execute("UPDATE feed SET text = replace(text, 'e-2', 'e-7') WHERE seq = 2")
        append_only.install(connection)


def a_line_taken_out() -> None:
    with connection.cursor() as cursor:
        append_only.remove(connection)
        cursor.execute("DELETE FROM feed WHERE seq = 2")
        append_only.install(connection)


WITHIN = {
    of_a_newer_version: "written by a newer version: it has store.9999_newer",
    a_byte_flipped: "line 2: its text is not the one that was stored",
    a_line_taken_out: "line 2 is missing, line 3 follows",
}


@pytest.mark.parametrize(("bend", "why"), WITHIN.items(), ids=[bend.__name__ for bend in WITHIN])
def test_a_whole_archive_with_another_book_in_it_is_found(
    bend: Callable[[], None], why: str, book: str, folder: Path
) -> None:
    """As where somebody changed the rows and packed them again: the trial opens the book."""
    bend()
    file = untried(folder)
    with connection.cursor() as cursor:  # the tables of a test are emptied afterwards, but for this
        cursor.execute("DELETE FROM django_migrations WHERE name = '9999_newer'")
    with pytest.raises(BackupBroken, match=why):
        backups.check(file)


def test_a_restored_book_is_as_it_was_in_a_new_epoch(book: str, folder: Path) -> None:
    file = backups.make().file
    write(2)
    done = restore.restore(file, lambda _text: None)
    assert done.heads == {book: 3}
    head = HeadRow.objects.get()
    assert (head.last_seq, FeedRow.objects.count()) == (3, 3)
    assert head.epoch != "e-1"
    assert verify.chain(book) == []
    assert done.kept is not None
    assert backups.check(done.kept)["heads"] == {book: 5}


def test_a_book_that_is_open_elsewhere_is_not_replaced(
    book: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = backups.make().file
    engine = engines.in_force()
    monkeypatch.setattr(type(engine), "others", lambda _self: 2)
    with pytest.raises(restore.BookOpen, match="2 other sessions"):
        restore.restore(file, lambda _text: None)


def test_an_older_backup_than_the_newest_is_pointed_out(book: str, folder: Path) -> None:
    file = backups.make().file
    assert restore.newer_than(file) == []
    later = clock.unshifted() + timedelta(days=1)
    for name, tested_at in {"tried.zip": later, "broken.zip": None}.items():
        BackupRow.objects.create(file=f"/x/{name}", made_at=later, tested_at=tested_at)
    assert restore.newer_than(file) == ["tried.zip"]


def test_the_latest_and_the_first_of_each_month_are_kept(tmp_path: Path) -> None:
    names = [
        f"nursery-{year}{month:02}{day:02}T020000.zip"
        for year in (2031, 2032)
        for month in range(1, 13)
        for day in (1, 2, 3)
    ]
    for name in names:
        (tmp_path / name).touch()
    backups._thin_out(tmp_path)
    kept = sorted(file.name for file in tmp_path.iterdir())
    firsts = {name for name in names if name[14:16] == "01"}
    assert set(kept) == firsts | set(names[-backups.KEPT_LATEST :])
