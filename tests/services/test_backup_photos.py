"""Photos lie beside the backups, each read through; only then may phones let theirs go."""

from pathlib import Path
from typing import Any

import pytest

from nursery.services import backup_photos, backups, clock, kept_photos, nurseries, photos, restore
from nursery.store.models import BackupRow, JobRow, PhotoRow
from nursery.store.scope import scope
from tests.services.hostile_images import photograph

pytestmark = pytest.mark.django_db(transaction=True)

NURSERY = "n-1"


@pytest.fixture
def folder(tmp_path: Path, settings: Any) -> Path:
    settings.BACKUPS, settings.PHOTOS = tmp_path / "backups", tmp_path / "photos"
    nurseries.begin(NURSERY, "One", "UTC")
    place: Path = settings.BACKUPS
    return place


def came(side: int) -> str:
    """A photo comes to the office, and is drawn; its hash."""
    digest = kept_photos.keep(NURSERY, photograph((side, side)))
    with scope(NURSERY, write=True) as book:
        photos.came(book, digest, 1, clock.now())
    photos.draw(NURSERY, digest)
    return digest


def beside(folder: Path) -> set[str]:
    return {file.name for file in (folder / "photos" / NURSERY).iterdir()}


def test_a_tested_backup_holds_them_and_the_phones_hear_of_it(folder: Path) -> None:
    first, second = came(40), came(50)
    assert photos.safe(NURSERY, [first, second]) == []
    made = backups.make()
    assert (made.photos, made.photos_lacking) == (2, 0)
    assert beside(folder) == {first, second}
    assert (folder / "photos" / NURSERY / first).read_bytes() == kept_photos.read(NURSERY, first)
    assert (folder / "photos" / NURSERY).stat().st_mode & 0o077 == 0
    assert photos.safe(NURSERY, [first, second]) == sorted((first, second))
    third = came(60)
    assert photos.safe(NURSERY, [third]) == []
    row = BackupRow.objects.get()
    assert (row.photos, row.photos_lacking) == (2, 0)


def test_the_next_backup_brings_only_what_is_new(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    came(40)
    backups.make()
    asked: list[str] = []
    read = kept_photos.read

    def counted(nursery: str, digest: str | None) -> bytes | None:
        asked.append(str(digest))
        return read(nursery, digest)

    second = came(50)
    monkeypatch.setattr(kept_photos, "read", counted)
    assert backups.make().photos == 2
    assert asked == [second]


def test_one_that_is_bent_there_is_found_and_brought_again(folder: Path) -> None:
    digest = came(40)
    backups.make()
    there = folder / "photos" / NURSERY / digest
    there.write_bytes(b"bent")
    assert backups.make().photos == 1
    assert there.read_bytes() == kept_photos.read(NURSERY, digest)


def test_one_that_cannot_be_brought_is_not_called_safe(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = came(40)
    backups.make()
    assert photos.safe(NURSERY, [digest]) == [digest]
    (folder / "photos" / NURSERY / digest).unlink()

    def full(_file: Path, _content: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup_photos, "_write", full)
    made = backups.make()
    assert (made.photos, made.photos_lacking) == (0, 1)
    assert photos.safe(NURSERY, [digest]) == []
    assert BackupRow.objects.latest("pk").tested_at is not None


def test_a_backup_that_does_not_hold_calls_nothing_safe(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = came(40)

    def broken(file: Path) -> None:
        raise backups.BackupBroken(file, "it is bent")

    monkeypatch.setattr(backups, "check", broken)
    with pytest.raises(backups.BackupBroken):
        backups.make()
    assert photos.safe(NURSERY, [digest]) == []


def test_without_photos_no_folder_is_made(folder: Path) -> None:
    assert backups.make().photos == 0
    assert not (folder / "photos").exists()


def test_a_restore_brings_them_back_and_has_them_drawn_again(folder: Path) -> None:
    first = came(40)
    file = backups.make().file
    second = came(50)
    backups.make()
    for one in Path(kept_photos.part(NURSERY, "x")).parent.rglob("*"):
        if one.is_file():
            one.unlink()
    said: list[str] = []
    restore.restore(file, said.append)
    assert f"2 photos were brought back from {folder / 'photos'}." in said
    # The second came after this backup; it is on no phone any more, and back all the same.
    assert set(kept_photos.every(NURSERY)) == {first, second}
    assert set(PhotoRow.objects.values_list("sha256", flat=True)) == {first, second}
    waiting = JobRow.objects.filter(kind=photos.KIND, state=JobRow.NEW)
    assert {row.params["sha256"] for row in waiting} >= {first, second}


def test_a_restore_says_which_are_nowhere_and_lets_phones_send_them(folder: Path) -> None:
    digest = came(40)
    file = backups.make().file
    (folder / "photos" / NURSERY / digest).write_bytes(b"bent")
    kept = Path(kept_photos.part(NURSERY, digest)).with_suffix("")
    kept.unlink()
    said: list[str] = []
    restore.restore(file, said.append)
    assert any("1 are neither here nor there" in line for line in said)
    assert not PhotoRow.objects.exists()


def test_a_photo_that_was_bent_or_lost_beside_a_backup_is_told_and_hinders_nothing(
    folder: Path,
) -> None:
    bent, gone = came(40), came(50)
    file = backups.make().file
    beside_it = folder / "photos" / NURSERY
    (beside_it / bent).write_bytes(b"nothing")
    (beside_it / gone).unlink()
    for digest in (bent, gone):
        kept_photos.forget(NURSERY, digest)
    said: list[str] = []
    restore.restore(file, said.append)
    assert any("2 are neither here nor there; phones that have them" in one for one in said)
    assert (beside_it / bent).read_bytes() == b"nothing"
    assert photos.safe(NURSERY, [bent, gone]) == []
