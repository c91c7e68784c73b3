"""`nursery up`: the whole product on one computer, until Ctrl-C."""

import signal
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from django.conf import settings

from config import address, folder, greeting, serving
from config.errors import CannotRun
from config.serving import Serving
from config.supervisor import Supervisor
from nursery.services import clock

RENEWAL_SECONDS = 3600.0  # how often certificates are looked at


class PortTaken(CannotRun):
    """Another program answers where we should."""

    def __init__(self, host: str, port: int, why: str, option: str) -> None:
        super().__init__(
            f"The address {host}:{port} cannot be used: {why}. "
            f"Choose another with {option}, or stop the program that uses it."
        )


class BookNewer(CannotRun):
    """The book was written by a newer version; nothing was changed."""


def main(words: list[str]) -> int:
    """Prepare the book, then run web server and worker until told to stop."""
    choice = serving.read(words)
    folder.prepare(settings.DATA)
    with folder.held(settings.DATA):
        plan = serving.planned(choice)
        moved = "--anew --port" if plan.address and address.kept(settings.DATA) else "--port"
        _probe(plan.host, plan.port, moved)
        if plan.page_port is not None:
            _probe(plan.host, plan.page_port, "--page-port")
        ready = serving.certified(plan, choice)
        _prepare_book()
        run(ready)
    return 0


def _probe(host: str, port: int, option: str) -> None:
    """Find out now, in words, what the web server would say in a trace."""
    try:
        family, kind, protocol, _, place = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[
            0
        ]
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(place)
    except OSError as error:
        raise PortTaken(host, port, error.strerror or str(error), option) from error


def _prepare_book() -> None:
    import django

    django.setup()
    from nursery.services import schema

    try:
        copied = schema.bring_up_to_date(settings.BACKUPS)
    except schema.SchemaNewer as error:
        raise BookNewer(str(error)) from error
    if copied:
        print(f"The book was copied to {copied} before its tables were changed.")
    if settings.DEMO:
        from nursery.services import demo

        demo.prepare()


def run(ready: Serving) -> None:
    """Run the children and say where they are; return when everything has stopped."""
    supervisor = Supervisor(serving.children(ready))
    with _told_to_stop(supervisor.stop):
        beside = [threading.Thread(target=greeting.greet, args=(ready, supervisor.stop))]
        if ready.certificate is not None:
            beside.append(threading.Thread(target=keep_fresh, args=(ready, supervisor)))
        for thread in beside:
            thread.daemon = True
            thread.start()
        supervisor.run()
    print("Stopped. Nothing is lost.", flush=True)


def keep_fresh(ready: Serving, supervisor: Supervisor, every: float = RENEWAL_SECONDS) -> None:
    """Renew the certificate well before its end, and have the web server take it up.

    What hinders a renewal is said at each look; the certificate in use goes on meanwhile.
    """
    while ready.certificate is not None and not supervisor.stop.wait(every):
        try:
            if ready.certificate.renew(clock.unshifted()):
                supervisor.restart("web")
        except CannotRun as error:
            print(f"The certificate was not renewed: {error}", flush=True)


@contextmanager
def _told_to_stop(stop: threading.Event) -> Iterator[None]:
    def set_stop(_number: int, _frame: FrameType | None) -> None:
        stop.set()

    before = {number: signal.signal(number, set_stop) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
