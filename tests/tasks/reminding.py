"""A worker for the tests that sends reminders by channels which leave traces, with short leases.

    python -m tests.tasks.reminding FILE SECONDS

Each message writes "begin CHANNEL URL" and "end CHANNEL URL" into FILE, and a push takes SECONDS
between the two. On Redis a message that is not acknowledged is delivered again after two seconds,
and every delivery of a task writes "delivered TASK".
"""

import os
import sys
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.tasks.laborious import write


def deliver_again(app: Any, file: Path, tasks: tuple[str, ...]) -> None:
    """Acknowledge late, have what is not acknowledged delivered again, and trace each delivery."""
    from celery.signals import task_prerun

    def delivered(task_id: str, **_more: Any) -> None:
        write(file, f"delivered {task_id}")

    for name in tasks:
        app.tasks[name].acks_late = True
    # Looked after every second, so that the test need not wait for a minute and a half.
    often = {"unacked_restore_interval": 1, "unacked_restore_throttle": 1}
    app.conf.broker_transport_options.update(visibility_timeout=2, **often)
    task_prerun.connect(delivered, weak=False)


def main() -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    import django

    django.setup()
    from nursery.services import channels, jobs, reminder_send
    from nursery.services.outcome import Outcome

    jobs.LEASE, jobs.RESEND_AFTER = timedelta(seconds=5), timedelta(seconds=2)
    reminder_send.LEASE = timedelta(seconds=3)
    from django.conf import settings

    from config import processes
    from config.celery import app
    from nursery.tasks import registry

    file, seconds = Path(sys.argv[1]), float(sys.argv[2])

    class Way:
        def __init__(self, name: str) -> None:
            self.name = name

        def live(self, _nursery: str, _who: Any) -> bool:
            return True

        def send(self, message: channels.Message) -> Outcome:
            write(file, f"begin {self.name} {message.url}")
            time.sleep(seconds if self.name == "push" else 0)
            write(file, f"end {self.name} {message.url}")
            return Outcome.SENT

    channels.WAYS = {name: Way(name) for name in channels.WAYS}
    ours = {name: registry.KINDS[name] for name in ("remind", "remind_plan")}
    idle = {kind: registry.Kind(lambda _job: None) for kind in registry.KINDS}
    registry.KINDS.update({**idle, **ours})
    app.conf.beat_schedule = {"tick": {"task": jobs.TICK, "schedule": 1.0}}
    if not settings.EMBEDDED_QUEUE:
        deliver_again(app, file, (jobs.RUN, jobs.TICK))
    return processes.worker(beat=True)


if __name__ == "__main__":
    sys.exit(main())
