"""Processes of the product for a test: started on a database, waited for, killed, stopped."""

import os
import secrets
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic, sleep
from typing import Any
from urllib.parse import quote, urlsplit

import psycopg
from django.conf import settings
from django.db import connection

from tests import servers
from tests.steps import ROOT

PATIENCE = 180.0


@dataclass
class Process:
    """One process of the product and those that it starts, with all that they said."""

    words: tuple[str, ...]
    environment: Mapping[str, str]
    log: Path
    process: subprocess.Popen[bytes] = field(init=False)

    def start(self) -> "Process":
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                self.words,
                env={**self.environment},
                cwd=ROOT,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                process_group=0,
            )
        return self

    def said(self) -> str:
        return self.log.read_text(errors="replace")

    def greets(self, seconds: float = PATIENCE) -> None:
        """Wait for the greeting; one that ended instead fails at once, with what it said."""

        def ready() -> bool:
            assert self.process.poll() is None, f"it ended: {self.said()[-2000:]}"
            return "Ctrl-C" in self.said()

        wait_until(ready, seconds, why="the product greets")

    def kill(self) -> None:
        """End it and all it started at once, as a power cut would."""
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def stop(self, seconds: float = 20) -> int:
        """Ask it to stop and return its exit code; what then still runs is ended."""
        self.process.terminate()
        try:
            return self.process.wait(seconds)
        finally:
            self.kill()


@contextmanager
def running(
    environment: Mapping[str, str], log: Path, *words: str, program: tuple[str, ...] = ()
) -> Iterator[Process]:
    """Run one process of the product for the length of a test."""
    start = program or (sys.executable, "-m", "config")
    process = Process((*start, *words), environment, log).start()
    try:
        yield process
    finally:
        process.kill()


def wait_until(true: Callable[[], Any], seconds: float = PATIENCE, *, why: str = "") -> Any:
    """Return what `true` says once it says something, or fail with `why`."""
    until = monotonic() + seconds
    while not (said := true()):
        assert monotonic() < until, f"not within {seconds} s: {why}"
        sleep(0.05)
    return said


def answer(address: str, seconds: float = 5) -> tuple[int, bytes]:
    """Return status and body of a GET; status 0 where nobody answers."""
    try:
        with urllib.request.urlopen(address, timeout=seconds) as got:
            return got.status, got.read()
    except urllib.error.HTTPError as error:
        return error.code, error.read()
    except OSError:
        return 0, b""


def plain_environment() -> dict[str, str]:
    """This process's variables without those of the product."""
    return {key: value for key, value in os.environ.items() if not key.startswith("NURSERY_")}


def on_test_database() -> dict[str, str]:
    """The variables by which another process works on the database of this test."""
    environment = plain_environment() | {"NURSERY_DATA": str(settings.DATA)}
    if not settings.EMBEDDED_QUEUE:
        environment["NURSERY_BROKER_URL"] = settings.QUEUE["broker_url"]
    if connection.vendor == "postgresql":
        environment |= servers.addresses(_address(str(connection.settings_dict["NAME"])))
    return environment


@contextmanager
def empty_place(folder: Path) -> Iterator[dict[str, str]]:
    """Give the variables of a product that nobody has started yet, on the databases in force."""
    environment = plain_environment() | {"NURSERY_DATA": str(folder)}
    if not settings.EMBEDDED_QUEUE:
        environment["NURSERY_BROKER_URL"] = settings.QUEUE["broker_url"]
    if settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        yield environment
        return
    name = f"place_{secrets.token_hex(6)}"
    with psycopg.connect(servers.owner_of(_address("postgres")), autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}"'.encode())
        try:
            yield environment | servers.addresses(_address(name))
        finally:
            server.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)'.encode())


def _address(name: str) -> str:
    given = urlsplit(os.environ["NURSERY_DATABASE_URL"])
    return given._replace(path=f"/{quote(name)}").geturl()
