"""Bringing a backup back in the place of the book.

The restored book begins a new epoch: every phone then offers again what it still holds, so that a
backup heals itself up to what no phone has any more.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection

from nursery.services import (
    backup_photos,
    backups,
    engines,
    feed_replay,
    nurseries,
    proof,
    schema,
)
from nursery.services.backup_photos import Held
from nursery.services.backups import BackupBroken
from nursery.store.models import BackupRow
from nursery.store.roles import whole_book
from nursery.store.scope import scope


class BookOpen(Exception):
    """The book is in use, so that it cannot be replaced."""

    def __init__(self, others: int) -> None:
        super().__init__(
            f"{others} other sessions have the book open. Stop web, worker and beat first."
        )


@dataclass(frozen=True, slots=True)
class Restored:
    """What was brought back, and where that which stood there is kept."""

    heads: dict[str, int]
    kept: Path | None


def newer_than(file: Path) -> list[str]:
    """Return the names of tried backups newer than this one, whose part phones may have dropped.

    Raises:
        BackupBroken: the file cannot be read.
    """
    if "backup" not in connection.introspection.table_names():
        return []
    with backups.unpacked(file) as (manifest, _):
        made_at = datetime.fromisoformat(manifest["made_at"])
    rows = BackupRow.objects.filter(made_at__gt=made_at).exclude(tested_at=None)
    return [Path(name).name for name in rows.order_by("made_at").values_list("file", flat=True)]


def restore(file: Path, say: Callable[[str], None], *, since: bool = True) -> Restored:
    """Put a backup in the place of the book and begin a new epoch, telling `say` each step.

    With `since` the lines are taken that were copied beside it after it was made.

    Raises:
        BackupBroken: the backup cannot be trusted; nothing was changed.
        BookOpen: another process has the book open; nothing was changed.
    """
    with whole_book():
        return _restored(file, say, since=since)


def _restored(file: Path, say: Callable[[str], None], *, since: bool) -> Restored:
    engine = engines.in_force()
    if others := engine.others():
        raise BookOpen(others)
    say("Trying the backup in an empty place.")
    backups.check(file)
    kept = backups.keep_present(settings.BACKUPS)
    if kept is not None:
        say(f"What is here now is kept in {kept}.")
    with backups.unpacked(file) as (_, dump):
        engine.replace(dump)
    schema.bring_up_to_date(settings.BACKUPS)
    if since:
        _take_what_came_since(file.parent, say)
    _begin_epoch()
    say("Looking the restored book through.")
    counted, faults = proof.of_this_book()
    if faults:
        raise BackupBroken(file, "; ".join(faults[:5]))
    photos = backup_photos.bring_back(file.parent)
    if photos.count or photos.lacking:
        say(_told(photos, file.parent))
    return Restored(counted.heads, kept)


def _take_what_came_since(place: Path, say: Callable[[str], None]) -> None:
    for taken in feed_replay.take_all(place):
        if taken.lines:
            say(f"{taken.nursery}: {taken.lines} lines were taken that were copied since.")
        for fault in taken.faults:
            say(f"{taken.nursery}: of what was copied since, {fault}. Phones send what they hold.")


def _told(photos: Held, place: Path) -> str:
    said = f"{photos.count} photos were brought back from {place / backup_photos.FOLDER}."
    if not photos.lacking:
        return said
    return f"{said} {photos.lacking} are neither here nor there; phones that have them send them."


def _begin_epoch() -> None:
    for nursery in nurseries.every():
        with scope(nursery, write=True) as book:
            head = book.lock_head()
            head.epoch = nurseries.new_epoch()
            head.save(update_fields=["epoch"])
