"""Where backups go: the folder that a person chose on this computer, or the one beside the book.

The choice is about this computer and not about the book, so it stands in the data folder and does
not come back with a restored book. The chosen folder bears a mark: where the mark is missing, the
disk is away, and what is written there would land on the disk below it.
"""

import json
import os
import secrets
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.models import Sum

from nursery.services import nurseries
from nursery.services.errors import (
    BackupPlaceAnothers,
    BackupPlaceFixed,
    BackupPlaceFull,
    BackupPlaceInside,
    BackupPlaceMissing,
    BackupPlaceNotWritable,
    BackupPlaceRelative,
)
from nursery.store.scope import scope

MARK = "lathhouse-backups.json"
CHOICE = "backup_place.json"
OWN_FOLDER = "lathhouse-backups"
# Unpacked and packed copy lie side by side while a backup is made.
TIMES_THE_BOOK = 3
LEAST_FREE_BYTES = 100_000_000
LONGEST = 200


@dataclass(frozen=True, slots=True)
class Place:
    """A folder for backups. `away` is a chosen one whose disk is not there now."""

    folder: Path
    chosen: bool
    away: bool


def current() -> Place:
    """Return the place in force."""
    choice = _choice()
    if choice is None:
        return Place(settings.BACKUPS, chosen=False, away=False)
    folder, mark = choice
    return Place(folder, chosen=True, away=_mark_in(folder) != mark)


def for_next() -> Path:
    """Return the folder of the next backup: while the chosen one is away, the one by the book."""
    place = current()
    return settings.BACKUPS if place.away else place.folder


def is_fixed() -> bool:
    """Whether the operator decides: on a server, or where the environment names the folder."""
    return bool(settings.PRODUCTION or settings.BACKUPS != settings.DATA / "backups")


def is_on_the_books_disk(folder: Path) -> bool:
    try:
        return folder.stat().st_dev == settings.DATA.stat().st_dev
    except OSError:
        return False


def free_bytes(folder: Path) -> int | None:
    """Return the room on the disk of a folder, None where it is away."""
    try:
        return shutil.disk_usage(folder).free
    except OSError:
        return None


def choose(written: str) -> Place:
    """Put the next backups into a folder, and return the place. Empty: beside the book again.

    A folder is made where only its last part is missing.

    Raises:
        BackupPlaceFixed: the operator decides where.
        BackupPlaceRelative: it does not say where it starts, or is too long to be kept.
        BackupPlaceInside: it lies in the data folder, and would be lost with it.
        BackupPlaceMissing: there is no such folder, or something else of that name.
        BackupPlaceAnothers: another book keeps its backups there.
        BackupPlaceFull: too little room.
        BackupPlaceNotWritable: nothing can be written there.
    """
    if is_fixed():
        raise BackupPlaceFixed(value=str(settings.BACKUPS))
    if not written.strip():
        (settings.DATA / CHOICE).unlink(missing_ok=True)
        return current()
    folder = _folder(written.strip())
    before = _choice()
    mark = before[1] if before is not None else secrets.token_hex(8)
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        theirs = _mark_in(folder)
        if theirs not in (None, mark):
            raise BackupPlaceAnothers(value=str(folder))
        with tempfile.TemporaryFile(dir=folder):
            _ask_for_room(folder)
        _write(folder / MARK, {"mark": mark})
    except OSError:
        raise BackupPlaceNotWritable(value=str(folder)) from None
    _write(settings.DATA / CHOICE, {"folder": str(folder), "mark": mark})
    return current()


def _folder(written: str) -> Path:
    try:
        path = Path(written).expanduser()
        if not path.is_absolute() or len(written) > LONGEST:
            raise BackupPlaceRelative(value=written[:80])
        folder = path.resolve()
        if len(str(folder)) > LONGEST:
            raise BackupPlaceRelative(value=str(folder)[:80])
        there = folder.is_dir() or (not folder.exists() and folder.parent.is_dir())
    except (RuntimeError, ValueError, OSError):  # no such home, a NUL, a ring of links
        raise BackupPlaceMissing(value=written[:80]) from None
    if folder.is_relative_to(settings.DATA.resolve()):
        raise BackupPlaceInside(value=str(folder))
    if not there:
        raise BackupPlaceMissing(value=str(folder))
    return folder


def _ask_for_room(folder: Path) -> None:
    needed = LEAST_FREE_BYTES + TIMES_THE_BOOK * _book_bytes() + _photo_bytes()
    free = shutil.disk_usage(folder).free
    if free < needed:
        raise BackupPlaceFull(value=str(folder), free=free // 10**6, needed=needed // 10**6)


def _book_bytes() -> int:
    if connection.vendor == "sqlite":
        return Path(str(connection.settings_dict["NAME"])).stat().st_size
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_database_size(current_database())")
        return int(cursor.fetchone()[0])


def _photo_bytes() -> int:
    """Return the size of all photos, which lie once beside all backups."""
    found = 0
    for nursery in nurseries.every():
        with scope(nursery) as book:
            found += int(book.photos.aggregate(whole=Sum("bytes"))["whole"] or 0)
    return found


def disks() -> Iterator[Path]:
    """Yield a folder on each mounted disk that this user may write to, and that the book is not on.

    Where a system puts the disks that a person plugs in: common practice, no source.
    """
    roots = (Path("/media"), Path("/run/media"), Path("/mnt"), Path("/Volumes"))
    below = [one for root in roots for depth in ("*", "*/*") for one in root.glob(depth)]
    for disk in sorted(below):
        if disk.is_mount() and os.access(disk, os.W_OK) and not is_on_the_books_disk(disk):
            yield disk / OWN_FOLDER


def _choice() -> tuple[Path, str] | None:
    if is_fixed():
        return None
    try:
        kept = json.loads((settings.DATA / CHOICE).read_text())
        return Path(kept["folder"]), str(kept["mark"])
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _mark_in(folder: Path) -> str | None:
    try:
        return str(json.loads((folder / MARK).read_text())["mark"])
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _write(file: Path, content: dict[str, str]) -> None:
    draft = file.with_suffix(".draft")
    draft.write_text(json.dumps(content))
    draft.replace(file)
