"""Whether there is a tested backup, from when, and what it would not bring back; make one now."""

from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db.models import Q

from nursery.domain.entry import write_instant
from nursery.services import backup_place, clock, health, jobs, signing
from nursery.services.backup_place import Place
from nursery.services.errors import BackupAtTheServer
from nursery.store import isolation
from nursery.store.models import BackupRow, JobRow
from nursery.store.scope import scope

KIND = "backup"


def report(nursery: str) -> dict[str, Any]:
    """Return how safe this nursery's book is. The times are the machine's own."""
    tried = BackupRow.objects.exclude(tested_at=None).order_by("-tested_at", "-pk").first()
    place = backup_place.current()
    return {
        "tested": None if tried is None else _tested(nursery, tried),
        "making": _making(),
        "place": _place(place),
        "disks": [] if backup_place.is_fixed() else [_disk(one) for one in backup_place.disks()],
        "may_choose": not backup_place.is_fixed(),
        "may_make": not settings.PRODUCTION,
        "key": _key(nursery),
        "trouble": [*_troubles(tried, place)],
    }


def _key(nursery: str) -> dict[str, Any] | None:
    """Return what signs this nursery's release files: in no backup, so its file is named."""
    known = signing.fingerprints(nursery)
    return {"fingerprint": known[0], "file": _key_file()} if known else None


def _key_file() -> str:
    """Return the file that is kept apart; on a server its operator keeps the secret."""
    return "" if settings.PRODUCTION or settings.SIGNING_KEYS else str(settings.SIGNING_FILE)


def _tested(nursery: str, row: BackupRow) -> dict[str, Any]:
    """Return one tried backup, and how many lines of the feed came after it."""
    with scope(nursery) as book:
        after = book.head.last_seq - row.heads.get(nursery, 0)
    file = Path(row.file)
    return {
        "made_at": row.made_at,
        "tested_at": row.tested_at,
        "trial_seconds": row.trial_seconds,
        "bytes": row.bytes,
        "file": file.name,
        "folder": "" if settings.PRODUCTION else str(file.parent),
        "lines_after": max(0, after),
        "photos": row.photos,
        "photos_lacking": row.photos_lacking,
    }


def _making() -> datetime | None:
    """Return since when a backup is asked for or being made, None where none is."""
    at_work = Q(state=JobRow.RUNNING) | Q(state=JobRow.NEW, due_at__lte=clock.now())
    rows = JobRow.objects.filter(at_work, kind=KIND).order_by("made_at")
    with isolation.saying(queue="yes"):
        return rows.values_list("made_at", flat=True).first()


def _place(place: Place) -> dict[str, Any]:
    return {
        "folder": "" if settings.PRODUCTION else str(place.folder),
        "chosen": place.chosen,
        "away": place.away,
        "same_disk": backup_place.is_on_the_books_disk(place.folder),
        "free_bytes": backup_place.free_bytes(place.folder),
    }


def _disk(folder: Path) -> dict[str, Any]:
    return {"folder": str(folder), "free_bytes": backup_place.free_bytes(folder.parent)}


def _troubles(tried: BackupRow | None, place: Place) -> list[dict[str, Any]]:
    """Return what is not as it should be, each with what the machine said of it."""
    found: list[dict[str, Any]] = []
    if tried is None:
        found.append({"code": "none_yet"})
    elif not health.backup_age().good:
        found.append({"code": "old"})
    if (why := _last_fault(tried)) is not None:
        found.append({"code": "not_made", "why": why})
    if tried is not None and tried.photos_lacking:
        found.append({"code": "photos_lacking"})
    if place.away:
        found.append({"code": "away"})
    elif not backup_place.is_fixed() and backup_place.is_on_the_books_disk(place.folder):
        found.append({"code": "same_disk"})
    return found


def _last_fault(tried: BackupRow | None) -> str | None:
    """Return why the latest try after the last good one did not end well, None where none did."""
    since = {} if tried is None else {"made_at__gt": tried.made_at}
    broken = BackupRow.objects.filter(tested_at=None, **since).order_by("-made_at").first()
    if broken is not None:
        return broken.fault
    given_up = JobRow.objects.filter(kind=KIND, **since).exclude(told="").order_by("-made_at")
    with isolation.saying(queue="yes"):
        return given_up.values_list("told", flat=True).first()


def ask(now: datetime) -> None:
    """Have a backup made now, unless one is being made.

    Raises:
        BackupAtTheServer: a server's operator makes them.
    """
    if settings.PRODUCTION:
        raise BackupAtTheServer
    if _making() is None:
        jobs.write(KIND, f"asked {write_instant(clock.unshifted())}", now)
