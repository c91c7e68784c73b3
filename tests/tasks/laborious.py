"""A worker for the tests: the product's own, with short leases and kinds of job that leave traces.

    python -m tests.tasks.laborious FILE

A job of the kind `mark` or `once` writes "begin KEY ATTEMPT" and "end KEY ATTEMPT" into FILE, and
between the two sleeps for `params["seconds"]` of that attempt.
"""

import os
import sys
import time
from datetime import timedelta
from pathlib import Path


def write(file: Path, line: str) -> None:
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    os.write(handle, f"{line}\n".encode())
    os.close(handle)


def main() -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    import django

    django.setup()
    from nursery.services import jobs

    jobs.LEASE, jobs.RESEND_AFTER = timedelta(seconds=5), timedelta(seconds=2)
    from config import processes
    from config.celery import app
    from nursery.tasks import registry

    file = Path(sys.argv[1])

    def act(job: jobs.Job) -> None:
        write(file, f"begin {job.key} {job.attempt}")
        seconds = job.params["seconds"]
        time.sleep(seconds[min(job.attempt, len(seconds)) - 1])
        write(file, f"end {job.key} {job.attempt}")

    # The real kinds have tests of their own.
    registry.KINDS.update({kind: registry.Kind(lambda _job: None) for kind in registry.KINDS})
    registry.KINDS["mark"] = registry.Kind(act)
    registry.KINDS["once"] = registry.Kind(act, again=False)
    app.conf.beat_schedule = {"tick": {"task": jobs.TICK, "schedule": 1.0}}
    return processes.worker(beat=True)


if __name__ == "__main__":
    sys.exit(main())
