"""The single processes: the web server, the worker and the beat."""

import argparse
import os
import threading
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from django.conf import settings

from config import folder, leash

if TYPE_CHECKING:
    from celery import Celery

DESCRIPTIONS = {
    "web": "Answer phones and browsers.",
    "worker": "Do the jobs that the book asks for.",
    "trust": "Show phones how to trust this computer's certificate, which nursery up --tls made.",
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
        return web(choice)
    if command == "trust":
        return trust(choice.host, choice.port)
    return worker(beat=choice.beat) if command == "worker" else beat()


def parser(command: str) -> argparse.ArgumentParser:
    """Return what reads the options of a process."""
    options = argparse.ArgumentParser(prog=f"nursery {command}", description=DESCRIPTIONS[command])
    if command in {"web", "trust"}:
        options.add_argument("--host", default="127.0.0.1", help="the address to listen on")
        options.add_argument("--port", type=int, default=8000)
    if command == "web":
        options.add_argument("--certificate", type=Path, help="answer by https with this chain")
        options.add_argument("--key", type=Path, help="the key of that certificate")
        options.add_argument("--workers", type=int, default=1, help="processes that answer")
    if command == "worker":
        options.add_argument("--beat", action="store_true", help="be the beat as well")
    return options


def web(choice: argparse.Namespace) -> int:
    """Answer until told to stop; a worker process that dies is replaced."""
    return _serve(
        "config.wsgi:application",
        choice.host,
        choice.port,
        workers=choice.workers,
        blocking_threads=settings.WEB_THREADS,
        ssl_cert=choice.certificate,
        ssl_key=choice.key,
    )


def trust(host: str, port: int) -> int:
    """Show the page on which phones learn to trust, and nothing else, until told to stop."""
    # The web server makes the page in a process of its own, which is told by the environment.
    os.environ["NURSERY_CHILD_PAGE"] = f"{host} {port}"
    from config.trust import application

    application()  # so that what hinders it is said once, and not at every start of a process
    return _serve("config.trust:application", host, port, blocking_threads=2, factory=True)


def _serve(target: str, host: str, port: int, **more: Any) -> int:
    from granian import Granian
    from granian.constants import Interfaces, SSLProtocols
    from granian.log import LogLevels

    Granian(
        target,
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        respawn_failed_workers=True,
        workers_kill_timeout=10,
        ssl_protocol_min=SSLProtocols.tls12,  # phones of before 2019 know no later one
        log_level=LogLevels.error,
        log_dictconfig={"handlers": LOG_HANDLERS},
        **more,
    ).serve()
    return 0


# The server's own few lines go where all others go.
LOG_HANDLERS = {
    name: {"class": "logging.StreamHandler", "stream": "ext://sys.stderr"}
    for name in ("console", "access")
}


def worker(*, beat: bool) -> int:
    """Do jobs with threads; on the embedded queue, take them from the job table oneself."""
    from celery.exceptions import SecurityWarning

    # As root it warns of pickled messages; ours are JSON and carry a number.
    warnings.filterwarnings("ignore", category=SecurityWarning)
    app = _celery()
    if settings.EMBEDDED_QUEUE:
        from nursery.tasks import feeder

        feeder.start()
    from nursery.tasks import copier

    copier.start()
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


def _celery() -> "Celery":
    import django

    from config.celery import app

    django.setup()
    return app
