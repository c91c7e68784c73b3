"""Whether the product can work: what `/readyz`, `nursery doctor` and the grower's screen ask."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import DatabaseError, connection

from nursery.services import clock, feed_copy, periods, schema
from nursery.store import isolation, roles
from nursery.store.models import BackupRow, BeatRow, JobRow

QUEUE_OLD_AFTER = timedelta(minutes=5)
BEAT_OLD_AFTER = timedelta(minutes=2)
BACKUP_OLD_AFTER = timedelta(hours=36)
# Workers copy every few seconds.
LINES_OLD_AFTER = timedelta(seconds=60)

SERVE_BY_ANOTHER = (
    "PostgreSQL shows this role the rows of all nurseries, whatever the policies say. Serve by a "
    "role that is no superuser and has no BYPASSRLS: name it in NURSERY_DATABASE_URL, the present "
    "one in NURSERY_OWNER_DATABASE_URL, then: nursery upgrade"
)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at. `code` names it, `params` say what was seen."""

    code: str
    good: bool
    params: dict[str, object]


def readiness() -> list[Finding]:
    """Return what must be right for this process to answer: never raises."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
        pending, unknown = schema.pending(), schema.unknown()
        migrations = Finding(
            "migrations", not pending and not unknown, {"pending": pending, "unknown": unknown}
        )
        found = [Finding("database", good=True, params={"kind": connection.vendor}), migrations]
        return [*found, queue_age(), beat_age()] if migrations.good else found
    except DatabaseError as error:
        return [Finding("database", good=False, params={"fault": type(error).__name__})]


def queue_age() -> Finding:
    """Say how long the oldest due job has been waiting."""
    waiting = JobRow.objects.filter(state=JobRow.NEW, due_at__lte=clock.now())
    with isolation.saying(queue="yes"):
        oldest = waiting.order_by("due_at").values_list("due_at", flat=True).first()
    return _age("queue", oldest, clock.now(), QUEUE_OLD_AFTER, missing_is_good=True)


def beat_age() -> Finding:
    """Say how long ago the beat last looked what is due."""
    last = BeatRow.objects.filter(name=periods.BEAT).values_list("at", flat=True).first()
    return _age("beat", last, clock.unshifted(), BEAT_OLD_AFTER, missing_is_good=False)


def backup_age() -> Finding:
    """Say when a backup was last restored and looked through."""
    last = (
        BackupRow.objects.exclude(tested_at=None)
        .order_by("-tested_at")
        .values_list("tested_at", flat=True)
        .first()
    )
    return _age("backup", last, clock.unshifted(), BACKUP_OLD_AFTER, missing_is_good=False)


def lines_age() -> Finding:
    """Say how long the oldest line waits to be copied beside the backups."""
    oldest = feed_copy.oldest_waiting()
    return _age("lines", oldest, clock.now(), LINES_OLD_AFTER, missing_is_good=True)


# What a server must not have been told, or an acknowledged record may be gone after a power cut.
UNSAFE: dict[str, dict[str, tuple[str, ...]]] = {
    "postgresql": {"fsync": ("off",), "synchronous_commit": ("off",), "full_page_writes": ("off",)},
    "sqlite": {"synchronous": ("0", "1"), "journal_mode": ("off", "memory")},
}


def commits() -> Finding:
    """Say whether a commit is on the disk when it is answered, and by which setting it is not."""
    ask = {"postgresql": "SHOW", "sqlite": "PRAGMA"}[connection.vendor]
    off = []
    with connection.cursor() as cursor:
        for name, unsafe in UNSAFE[connection.vendor].items():
            cursor.execute(f"{ask} {name}")
            if str(cursor.fetchone()[0]) in unsafe:
                off.append(name)
    return Finding("commits", not off, {"off": ", ".join(off)} if off else {})


def failed_jobs() -> Finding:
    """Say which kinds of job ended without being done."""
    ended = JobRow.objects.filter(state__in=(JobRow.FAILED, JobRow.UNKNOWN))
    with isolation.saying(queue="yes"):
        kinds = sorted(set(ended.values_list("kind", flat=True)))
    return Finding("failed_jobs", not kinds, {"kinds": kinds})


def isolated() -> Finding:
    """Say whether the database keeps the nurseries apart for the role that serves."""
    if connection.vendor != "postgresql":
        return Finding("isolated", good=True, params={})
    good = not roles.passes_policies()
    return Finding("isolated", good, {"role": connection.settings_dict["USER"]})


def _age(
    code: str, last: datetime | None, moment: datetime, limit: timedelta, *, missing_is_good: bool
) -> Finding:
    if last is None:
        return Finding(code, missing_is_good, {"seconds": None})
    age = moment - last
    return Finding(code, age <= limit, {"seconds": max(0, round(age.total_seconds()))})
