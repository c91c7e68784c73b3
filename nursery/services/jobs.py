"""The queue of record: one row for each job, written with the change that asks for it.

A message to a worker carries the row's number alone. Whoever executes claims the row by one
conditional UPDATE, so a job is done once however many messages name it; a row whose message is
lost, or whose worker died, is sent again by the sweep.
"""

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from celery import current_app
from django.conf import settings
from django.db import transaction
from django.db.models import BooleanField, F, Func, Q, QuerySet
from kombu.exceptions import OperationalError

from nursery.services import clock
from nursery.store import each_push, isolation
from nursery.store.models import JobRow

log = logging.getLogger("nursery.jobs")

RUN = "nursery.run"
TICK = "nursery.tick"

LEASE = timedelta(seconds=60)
RESEND_AFTER = timedelta(seconds=30)
# Under this name the params of a row tell when it was claimed last.
BEGAN = "began_at"
FIRST_BACK_OFF = timedelta(seconds=10)
LONGEST_BACK_OFF = timedelta(hours=1)
MOST_ATTEMPTS = 10
MOST_SENT = 500
KEPT_FOR = timedelta(days=90)
# A worker is told at once of what is due so soon; of the rest by the sweep.
TOLD_AHEAD = timedelta(minutes=1)
# Who asks how long work took last looks at so many rows, not at those of ninety days.
LOOKED_AT = 500

# What is not over, in the very words of the index `job_open`: SQLite uses it for no others, and
# of fifty thousand jobs each look would read them all.
_OPEN = Func(
    F("state"), template="%(expressions)s IN ('new', 'running')", output_field=BooleanField()
)

# The queue sees the jobs of all nurseries, and of each nursery nothing else.
_queue = isolation.saying(queue="yes")


@dataclass(frozen=True, slots=True)
class Job:
    """A claimed job of a nursery, or of the whole server where `nursery` is empty.

    `attempt` tells this claim from any other of the same row.
    """

    id: int
    kind: str
    key: str
    nursery: str
    params: Mapping[str, Any]
    attempt: int


@_queue
def write(
    kind: str,
    key: str,
    due_at: datetime,
    params: Mapping[str, Any] | None = None,
    nursery: int | None = None,
) -> None:
    """Write a job in the caller's transaction, and tell a worker when that commits.

    Args:
        kind: a name in the registry of kinds.
        key: what makes the job one and the same, within its kind and nursery: its period, or
            the entry that asks for it. A second job with the key of a first is not written.
        due_at: the instant before which nobody does it.
        params: what the job needs besides, as JSON.
        nursery: the key of the nursery whose job it is, or None for the whole server's.
    """
    sent_at, wait = None, max(timedelta(), due_at - clock.now())
    if not settings.EMBEDDED_QUEUE and wait <= TOLD_AHEAD:
        sent_at = clock.unshifted() + wait
    full_key = f"{kind}:{'' if nursery is None else nursery}:{key}"
    row = JobRow(
        kind=kind,
        key=full_key,
        nursery_id=nursery,
        params=dict(params or {}),
        due_at=due_at,
        made_at=clock.unshifted(),
        sent_at=sent_at,
    )
    JobRow.objects.bulk_create([row], ignore_conflicts=True)
    if sent_at is not None:
        transaction.on_commit(lambda: _send_by_key(full_key, wait), robust=True)


@_queue
def _send_by_key(key: str, wait: timedelta) -> None:
    numbers = JobRow.objects.filter(key=key, state=JobRow.NEW).values_list("pk", flat=True)
    for number in numbers:
        send(number, wait)


def send(number: int, wait: timedelta = timedelta()) -> None:
    """Tell a worker of a job that it is to begin when `wait` is over.

    A broker that is away costs time alone: the sweep tells again.
    """
    _tell(RUN, number, wait=wait)


def wake() -> None:
    """Have a worker look at once what is due, as the beat does from time to time."""
    _tell(TICK)


def _tell(task: str, *args: int, wait: timedelta = timedelta()) -> None:
    countdown = wait.total_seconds() or None
    try:
        current_app.send_task(task, args=args, countdown=countdown, retry=False, ignore_result=True)
    except (OperationalError, OSError) as error:
        log.warning("the broker is away: %s", type(error).__name__)


@_queue
def claim(number: int) -> Job | None:
    """Take a job for one lease; None where it is not due, done, or another worker's.

    A claim counts as an attempt, so that a job that kills its worker ends too. Its instant is
    kept with the row, for `last_span`.
    """
    rows = JobRow.objects.select_related("nursery").filter(_may_start(), due_at__lte=clock.now())
    row = rows.filter(pk=number).first()
    if row is None:
        return None
    attempt = row.attempts + 1
    began = clock.unshifted()
    won = JobRow.objects.filter(_may_start(), pk=number, attempts=row.attempts).update(
        state=JobRow.RUNNING,
        attempts=attempt,
        lease_until=began + LEASE,
        params={**row.params, BEGAN: began.isoformat()},
    )
    if not won:
        return None
    nursery = row.nursery.ident if row.nursery else ""
    return Job(row.pk, row.kind, row.key, nursery, row.params, attempt)


def _may_start() -> Q:
    return Q(state=JobRow.NEW) | Q(state=JobRow.RUNNING, lease_until__lt=clock.unshifted())


@_queue
def is_waiting(kind: str, nursery: int, until: datetime) -> bool:
    """Say whether a nursery's job of a kind waits that is due by `until`.

    Whoever relies on it must have written before, under the head's lock, and the job must ask for
    that lock as it begins: then it sees what was written, or was seen as begun.
    """
    return each_push.job_waits(kind, nursery, until)


@_queue
def last_span(kind: str, nursery: int) -> tuple[datetime, datetime | None] | None:
    """Return when the last job of a kind that a nursery's worker began did begin and end.

    By the machine's own clock; the end is None where it is being done. None where there was none
    lately.
    """
    lately = JobRow.objects.order_by("-pk").values("pk")[:LOOKED_AT]
    rows = JobRow.objects.filter(pk__in=lately, kind=kind, nursery_id=nursery)
    begun = rows.filter(state__in=(JobRow.RUNNING, JobRow.DONE)).order_by("-pk").first()
    if begun is None or BEGAN not in begun.params:
        return None
    return datetime.fromisoformat(begun.params[BEGAN]), begun.ended_at


@_queue
def extend(job: Job) -> bool:
    """Lengthen the lease of a job that is still being done; False where it was lost."""
    return bool(_held(job).update(lease_until=clock.unshifted() + LEASE))


@_queue
def finish(job: Job) -> bool:
    """Mark a job as done; False where the lease was lost meanwhile and another has it."""
    return bool(
        _held(job).update(state=JobRow.DONE, lease_until=None, ended_at=clock.unshifted(), told="")
    )


@_queue
def fail(job: Job, error: str, *, again: bool) -> None:
    """Give a job back for a later attempt, or end it after the last one.

    Args:
        job: the claim that failed.
        error: what to show a person; no content of entries.
        again: whether the kind may be tried again at all.
    """
    if again and job.attempt < MOST_ATTEMPTS:
        wait = min(FIRST_BACK_OFF * 2 ** (job.attempt - 1), LONGEST_BACK_OFF)
        change = {"state": JobRow.NEW, "due_at": clock.now() + wait, "sent_at": None}
    else:
        change = {"state": JobRow.FAILED, "ended_at": clock.unshifted()}
    _held(job).update(**change, lease_until=None, told=error[:500])


@_queue
def leave_unknown(job: Job) -> None:
    """Mark a job that must never be done twice and whose first worker died on it."""
    _held(job).update(state=JobRow.UNKNOWN, lease_until=None, ended_at=clock.unshifted())


def _held(job: Job) -> Any:
    return JobRow.objects.filter(pk=job.id, attempts=job.attempt, state=JobRow.RUNNING)


@_queue
def take_unsent(most: int = MOST_SENT) -> list[int]:
    """Return the numbers of due jobs that no live message names, and count them as sent now.

    These are new ones, those whose message is old and unanswered, and those whose lease ran out.
    """
    waiting = _unsent().order_by("due_at", "pk")
    numbers = [*waiting.values_list("pk", flat=True)[:most]]
    if numbers:
        JobRow.objects.filter(pk__in=numbers).update(sent_at=clock.unshifted())
    return numbers


@_queue
def is_any_unsent() -> bool:
    """Say whether `take_unsent` would return any."""
    return _unsent().exists()


def _unsent() -> "QuerySet[JobRow]":
    stale = Q(sent_at=None) | Q(sent_at__lt=clock.unshifted() - RESEND_AFTER)
    return JobRow.objects.filter(_OPEN, stale & _may_start(), due_at__lte=clock.now())


@_queue
def in_flight() -> int:
    """Return how many jobs were sent lately and not yet claimed."""
    lately = clock.unshifted() - RESEND_AFTER
    return JobRow.objects.filter(_OPEN, state=JobRow.NEW, sent_at__gte=lately).count()


@_queue
def forget_messages() -> None:
    """Count every waiting job as unsent: the embedded queue's messages died with their process."""
    JobRow.objects.filter(state=JobRow.NEW).exclude(sent_at=None).update(sent_at=None)


@_queue
def clear_old() -> None:
    """Delete some rows of jobs that were done long ago; the next call deletes more."""
    before = clock.unshifted() - KEPT_FOR
    old = JobRow.objects.filter(state=JobRow.DONE, ended_at__lt=before)
    JobRow.objects.filter(pk__in=[*old.values_list("pk", flat=True)[:MOST_SENT]]).delete()
