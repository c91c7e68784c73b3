"""The single processes: the web server, the worker and the beat."""

import argparse
import threading
import warnings
from typing import cast

from celery import Celery
from celery.exceptions import SecurityWarning
from django.conf import settings

from config import folder, leash

DESCRIPTIONS = {
    "web": "Answer phones and browsers.",
    "worker": "Do the jobs that the book asks for.",
    "beat": "Look from time to time which jobs are due. Two of these do no harm.",
}
# Every periodic job is keyed by its period, so nothing is lost or doubled when beat forgets.
SCHEDULER = "celery.beat:Scheduler"


def main(command: str, words: list[str]) -> int:
    """Run one process until it is told to stop."""
    choice = parser(command).parse_args(words)
    folder.prepare(settings.DATA)
    leash.follow_parent()
    if command == "web":
        return web(choice.host, choice.port, choice.workers)
    return worker(beat=choice.beat) if command == "worker" else beat()


def parser(command: str) -> argparse.ArgumentParser:
    """Return what reads the options of a process."""
    options = argparse.ArgumentParser(prog=f"nursery {command}", description=DESCRIPTIONS[command])
    if command == "web":
        options.add_argument("--host", default="127.0.0.1", help="the address to listen on")
        options.add_argument("--port", type=int, default=8000)
        options.add_argument("--workers", type=int, default=1, help="processes that answer")
    if command == "worker":
        options.add_argument("--beat", action="store_true", help="be the beat as well")
    return options


def web(host: str, port: int, workers: int) -> int:
    """Answer until told to stop; a worker process that dies is replaced."""
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    Granian(
        "config.wsgi:application",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=workers,
        blocking_threads=settings.WEB_THREADS,
        respawn_failed_workers=True,
        workers_kill_timeout=10,
        log_level=LogLevels.error,
        log_dictconfig={"handlers": LOG_HANDLERS},
    ).serve()
    return 0


# The server's own few lines go where all others go.
LOG_HANDLERS = {
    name: {"class": "logging.StreamHandler", "stream": "ext://sys.stderr"}
    for name in ("console", "access")
}


def worker(*, beat: bool) -> int:
    """Do jobs with threads; on the embedded queue, take them from the job table oneself."""
    # As root it warns of pickled messages; ours are JSON and carry a number.
    warnings.filterwarnings("ignore", category=SecurityWarning)
    app = _celery()
    if settings.EMBEDDED_QUEUE:
        from nursery.tasks import feeder

        feeder.start()
    if beat:
        from celery.beat import EmbeddedService

        from nursery.services import jobs

        jobs.wake()
        inside = EmbeddedService(app, thread=True, scheduler_cls=SCHEDULER)
        cast("threading.Thread", inside).start()
    running = app.Worker(
        app=app,
        pool="threads",
        concurrency=settings.WORKER_THREADS,
        loglevel=settings.LOG_LEVEL,
        without_gossip=True,
        without_mingle=True,
        without_heartbeat=True,
        quiet=True,
    )
    running.start()
    return int(running.exitcode or 0)


def beat() -> int:
    """Send the tick; on the embedded queue there is nobody to send it to."""
    if settings.EMBEDDED_QUEUE:
        print("Without NURSERY_BROKER_URL the worker is its own beat: nursery worker --beat")
        return 2
    app = _celery()
    from nursery.services import jobs

    jobs.wake()
    app.Beat(app=app, scheduler_cls=SCHEDULER, loglevel=settings.LOG_LEVEL, quiet=True).run()
    return 0


def _celery() -> Celery:
    import django

    from config.celery import app

    django.setup()
    return app
