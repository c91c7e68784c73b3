"""`nursery up`: the whole product on one computer, until Ctrl-C."""

import argparse
import os
import signal
import socket
import sys
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from types import FrameType

from django.conf import settings

from config import folder, leash
from config.errors import CannotRun
from config.supervisor import Child, Supervisor

LOOPBACK = ("127.0.0.1", "::1", "localhost")
READY_SECONDS = 60


class PortTaken(CannotRun):
    """Another program answers where we should."""

    def __init__(self, host: str, port: int, why: str) -> None:
        super().__init__(
            f"The address {host}:{port} cannot be used: {why}. "
            "Choose another with --port, or stop the program that uses it."
        )


class BookNewer(CannotRun):
    """The book was written by a newer version; nothing was changed."""


def main(words: list[str]) -> int:
    """Prepare the book, then run web server and worker until told to stop."""
    choice = _choice(words)
    folder.prepare(settings.DATA)
    with folder.held(settings.DATA):
        _probe(choice.host, choice.port)
        _prepare_book()
        run(choice.host, choice.port)
    return 0


def _choice(words: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="nursery up", description=__doc__)
    parser.add_argument("--port", type=_port, default=8600, help="where to answer (8600)")
    parser.add_argument("--host", default="127.0.0.1", help="the address to listen on")
    return parser.parse_args(words)


def _port(word: str) -> int:
    if word.isdigit() and 1 <= int(word) <= 65535:
        return int(word)
    raise argparse.ArgumentTypeError(f"{word!r} is no port; give a number from 1 to 65535")


def _probe(host: str, port: int) -> None:
    """Find out now, in words, what the web server would say in a trace."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM
        )[0]
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
    except OSError as error:
        raise PortTaken(host, port, error.strerror or str(error)) from error


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


def run(host: str, port: int) -> None:
    """Run the children and say where they are; return when everything has stopped."""
    supervisor = Supervisor(children(host, port))
    with _told_to_stop(supervisor.stop):
        threading.Thread(target=_greet, args=(host, port, supervisor.stop), daemon=True).start()
        supervisor.run()
    print("Stopped. Nothing is lost.", flush=True)


def children(host: str, port: int) -> tuple[Child, ...]:
    environment = {
        **os.environ,
        leash.PARENT: str(os.getpid()),
        "NURSERY_CHILD_CLOCK_SET_AT": datetime.now(UTC).isoformat(),  # noqa: TID251  the true time
        "NURSERY_HOSTS": ",".join(_names(host)),
    }
    nursery = (sys.executable, "-m", "config")
    web = (*nursery, "web", "--host", host, "--port", str(port))
    worker = (*nursery, "worker", "--beat")
    # Python looks for modules where it is started: there, not among a user's own folders.
    place = settings.BASE
    return (Child("web", web, environment, place), Child("worker", worker, environment, place))


def _names(host: str) -> list[str]:
    own = [] if host in ("0.0.0.0", "::", *LOOPBACK) else [host]  # noqa: S104  only compared
    return [*settings.ALLOWED_HOSTS, *own]


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


def _greet(host: str, port: int, stop: threading.Event) -> None:
    """Say where the product is, once it answers."""
    shown = f"[{host}]" if ":" in host else host
    address = f"http://{shown}:{port}/"
    until = time.monotonic() + READY_SECONDS
    while not _answers(f"{address}healthz"):
        if stop.wait(0.1) or time.monotonic() > until:
            return
    print(_welcome(address, local=host in LOOPBACK), flush=True)


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(address, timeout=2) as answer:  # noqa: S310  our own http address
            return bool(answer.status == 200)
    except OSError:
        return False


def _welcome(address: str, *, local: bool) -> str:
    lines = [f"Open {address}  (this computer only)" if local else f"Open {address}"]
    if not local:
        lines.append(
            "Without https, phones cannot keep the app or use the camera: this computer only."
        )
    lines.append(f"Data: {settings.DATA}")
    if settings.CLOCK is not None:
        lines.append(f"The clock was started at {settings.CLOCK.isoformat()}.")
    if settings.DEMO:
        from nursery.services import demo

        lines += ["The demo's people and their PINs:", *demo.people_and_pins()]
    lines.append("Ctrl-C stops it.")
    return "\n".join(lines)
