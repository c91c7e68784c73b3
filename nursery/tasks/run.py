"""The task that does one job."""

import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from celery import shared_task
from django.db import connection

from nursery.services import jobs
from nursery.services.jobs import Job
from nursery.tasks import registry

log = logging.getLogger("nursery.jobs")

EXTEND_SECONDS = jobs.LEASE.total_seconds() / 4


@shared_task(name=jobs.RUN, ignore_result=True)
def run(number: int) -> None:
    """Claim a job and do it. Safe to be called twice, late, or for a job that is gone."""
    job = jobs.claim(number)
    if job is None:
        return
    kind = registry.KINDS.get(job.kind)
    if kind is None:
        jobs.fail(job, f"This version knows no job of the kind {job.kind}.", again=True)
    elif job.attempt > 1 and not kind.again:
        jobs.leave_unknown(job)
    else:
        _do(job, kind)


def _do(job: Job, kind: registry.Kind) -> None:
    extra = {"job": job.id, "kind": job.kind}
    try:
        with _kept(job):
            kind.act(job)
    except Exception as error:  # the outermost shell of a job: whatever it was, the row says so
        log.exception("a job failed", extra=extra)
        jobs.fail(job, f"{type(error).__name__}: {error}", again=kind.again)
        return
    if not jobs.finish(job):
        log.warning("the lease of a job ran out before it was done", extra=extra)


@contextmanager
def _kept(job: Job) -> Iterator[None]:
    """Lengthen the lease for as long as the job is being done and its process lives."""
    done = threading.Event()

    def extend() -> None:
        try:
            while not done.wait(EXTEND_SECONDS) and jobs.extend(job):
                pass
        finally:
            connection.close()

    keeper = threading.Thread(target=extend, name=f"lease-{job.id}", daemon=True)
    keeper.start()
    try:
        yield
    finally:
        done.set()
        keeper.join()
