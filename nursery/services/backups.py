"""Backups: a copy is called one only after it was restored into an empty place and looked through.

A backup is one zip: the database at one moment, and `manifest.json` with what it held then; photos
lie beside it (`backup_photos`). The number up to which phones may forget (`durable_seq`) rises only
after the trial, and so does what they hear of their photos.
"""

import hashlib
import json
import os
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from time import monotonic
from typing import Any

from django.conf import settings
from django.db import connection, transaction

from nursery.services import backup_photos, backup_place, clock, disk, engines
from nursery.services.backup_photos import Held
from nursery.services.counts import Counts
from nursery.services.engines import Place
from nursery.store.models import BackupRow, HeadRow
from nursery.store.scope import scope

MANIFEST = "manifest.json"
FORMAT = 1
KEPT_LATEST = 14
KEPT_MONTHS = 36
TRIAL_SECONDS = 900


class BackupBroken(Exception):
    """A file that cannot bring the book back."""

    def __init__(self, file: Path, why: str) -> None:
        told = why.rstrip(".")
        super().__init__(
            f"The backup {file} cannot bring the book back: {told}. Keep the file, take another."
        )
        self.why = why


@dataclass(frozen=True, slots=True)
class Backup:
    """A tried backup, with the seconds of making it and those of bringing it back."""

    file: Path
    made_at: datetime
    heads: dict[str, int]
    rows: int
    bytes: int
    seconds: float
    trial_seconds: float
    photos: int = 0
    photos_lacking: int = 0


@dataclass(frozen=True, slots=True)
class Tried:
    """What a trial that ended well saw: size, seconds, and the photos beside the backup."""

    bytes: int
    seconds: float
    held: Held


def make(folder: Path | None = None) -> Backup:
    """Make a backup, try it, and only then count it.

    Raises:
        BackupBroken: the trial failed; the file is kept beside the good ones, marked as broken.
    """
    place = folder or backup_place.for_next()
    place.mkdir(mode=0o700, parents=True, exist_ok=True)
    made_at, begun = clock.unshifted(), monotonic()
    file = place / f"nursery-{made_at:%Y%m%dT%H%M%S%f}.zip"
    draft = file.with_suffix(".untried")
    counted = _pack(draft, made_at)
    seconds, begun = monotonic() - begun, monotonic()
    try:
        check(draft)
    except BackupBroken as error:
        _rename(draft, file.with_suffix(".broken"))
        _keep_row(file.with_suffix(".broken"), made_at, counted, fault=error.why)
        raise
    _rename(draft, file)
    held = backup_photos.bring(place)
    size, trial = file.stat().st_size, monotonic() - begun
    _keep_row(file, made_at, counted, tried=Tried(size, trial, held))
    _thin_out(place)
    rows = sum(counted.rows.values())
    return Backup(
        file, made_at, counted.heads, rows, size, seconds, trial, held.count, held.lacking
    )


def _pack(file: Path, made_at: datetime) -> Counts:
    engine = engines.in_force()
    with tempfile.TemporaryDirectory(dir=file.parent, prefix=".making-") as name:
        dump = Path(name) / f"book.{engine.suffix}"
        counted = engine.dump(dump)
        manifest = {
            "format": FORMAT,
            "made_at": made_at.isoformat(),
            "book": dump.name,
            "sha256": _sha256(dump),
            "rows": counted.rows,
            "heads": counted.heads,
        }
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as pack:
            pack.writestr(MANIFEST, json.dumps(manifest, indent=1))
            pack.write(dump, dump.name)
    _flush(file)
    return counted


def check(file: Path) -> dict[str, Any]:
    """Bring a backup up in an empty place and look it through; return its manifest.

    Raises:
        BackupBroken: it cannot be read, does not open, or does not hold what it held when made.
    """
    with unpacked(file) as (manifest, dump):
        try:
            with engines.in_force().tried(dump) as place:
                said = _prove(file, place)
        except (engines.ProgramFailed, OSError) as error:
            raise BackupBroken(file, str(error)) from error
        if said["faults"]:
            raise BackupBroken(file, "; ".join(said["faults"][:5]))
        for what in ("heads",) if said["changed"] else ("heads", "rows"):
            if not isinstance(manifest.get(what), dict):
                raise BackupBroken(file, f"its manifest does not say its {what}")
            if said[what] != manifest[what]:
                raise BackupBroken(file, f"its {what} are {said[what]}, not {manifest[what]}")
    return manifest


@contextmanager
def unpacked(file: Path) -> Iterator[tuple[dict[str, Any], Path]]:
    """Give the manifest and the dump of a backup whose bytes are those that were written."""
    with tempfile.TemporaryDirectory(prefix="nursery-backup-") as name:
        manifest, dump = _unpack(file, Path(name))
        yield manifest, dump


def _unpack(file: Path, folder: Path) -> tuple[dict[str, Any], Path]:
    try:
        with zipfile.ZipFile(file) as pack:
            manifest: dict[str, Any] = json.loads(pack.read(MANIFEST))
            if not isinstance(manifest, dict):
                raise BackupBroken(file, "it cannot be read (its manifest is no manifest)")
            dump = Path(pack.extract(str(manifest["book"]), folder))
    except (OSError, zipfile.BadZipFile, zipfile.LargeZipFile, KeyError, ValueError) as error:
        raise BackupBroken(file, f"it cannot be read ({error})") from error
    if manifest.get("format") != FORMAT:
        raise BackupBroken(file, f"its format is {manifest.get('format')}, not {FORMAT}")
    if _sha256(dump) != manifest["sha256"]:
        raise BackupBroken(file, "its bytes are not those that were written")
    engine = engines.in_force()
    if dump.suffix != f".{engine.suffix}":
        raise BackupBroken(file, "it is of another kind of database than the one in force")
    return manifest, dump


def _prove(file: Path, place: Place) -> dict[str, Any]:
    """Have a process of its own open the book there: the program itself is part of the trial."""
    ours = {key: value for key, value in os.environ.items() if not key.startswith("NURSERY_")}
    done = subprocess.run(
        [sys.executable, "-m", "config", "prove"],
        env=ours | dict(place),
        cwd=settings.BASE,
        capture_output=True,
        text=True,
        check=False,
        timeout=TRIAL_SECONDS,
    )
    try:
        said: dict[str, Any] = json.loads(done.stdout)
    except ValueError:
        lines = done.stderr.strip().splitlines() or ["nothing was said"]
        raise BackupBroken(file, f"it does not open: {lines[-1][:300]}") from None
    return said


def keep_present(folder: Path) -> Path | None:
    """Pack the book as it stands, untried; None where there is no book yet."""
    if "head" not in connection.introspection.table_names():
        return None
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    file = folder / f"before-restore-{clock.unshifted():%Y%m%dT%H%M%S%f}.zip"
    _pack(file, clock.unshifted())
    return file


def _keep_row(
    file: Path,
    made_at: datetime,
    counted: Counts,
    *,
    tried: Tried | None = None,
    fault: str = "",
) -> None:
    """Remember the trial; after a good one the phones may forget what the backup holds."""
    with transaction.atomic():
        BackupRow.objects.create(
            file=str(file),
            made_at=made_at,
            tested_at=None if fault else clock.unshifted(),
            heads=counted.heads,
            bytes=tried.bytes if tried else 0,
            trial_seconds=tried.seconds if tried else None,
            fault=fault,
            photos=tried.held.count if tried else 0,
            photos_lacking=tried.held.lacking if tried else 0,
        )
        if tried is not None:
            backup_photos.call_safe(tried.held, clock.unshifted())
        for nursery, seq in counted.heads.items() if not fault else ():
            with scope(nursery, write=True) as book:
                HeadRow.objects.filter(pk=book.key, durable_seq__lt=seq).update(durable_seq=seq)


def _thin_out(folder: Path) -> None:
    """Keep the latest ones and the first of each month; the records of a release run for years."""
    files = sorted(folder.glob("nursery-*.zip"))
    first_of_month: dict[str, Path] = {}
    for file in files:
        first_of_month.setdefault(file.name[8:14], file)
    kept = {*files[-KEPT_LATEST:], *[*first_of_month.values()][-KEPT_MONTHS:]}
    for file in files:
        if file not in kept:
            file.unlink()


def _rename(draft: Path, file: Path) -> None:
    draft.replace(file)
    disk.flush_names(file.parent)


def _flush(file: Path) -> None:
    with file.open("rb") as written:
        os.fsync(written.fileno())


def _sha256(file: Path) -> str:
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()
