"""Requirement 4, the database's part: what it acknowledged survives its own kill -9.

The server is one of the test's own, whose disk flush is as on a real one. By turns all of it ends
at once, as in a power cut, and the one process of it that serves the writer. With
`synchronous_commit=off`, the mutant, the same choreography must find acknowledged entries lost.
"""

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest

from tests import product, servers
from tests.product import wait_until
from tests.steps import ROOT

LONG = os.environ.get("NURSERY_TEST_PROFILE") == "long"
KILLS = int(os.environ.get("NURSERY_TEST_KILLS", "50"))
ACKNOWLEDGED_BY_EACH = 2_000
LATEST_S = 0.3

pytestmark = pytest.mark.skipif(
    not LONG, reason="it kills a database server for a quarter of an hour: the long suite alone"
)


class Cluster:
    """A PostgreSQL of the test's own, started, killed and started again."""

    def __init__(self, folder: Path, commit: str) -> None:
        programs = servers.postgres_bin()
        assert programs is not None, "PostgreSQL is not installed"
        self.data, self.port = folder / "data", servers.free_port()
        start = servers._as_server()
        servers._run(
            start, programs / "initdb", "-D", self.data, "-U", servers.USER, "-A", "trust",
            "--locale=C.UTF-8", "-E", "UTF8",
        )  # fmt: skip
        # A late WAL writer leaves to the commit alone what reaches the disk.
        wishes = f"-p {self.port} -c unix_socket_directories= -c synchronous_commit={commit}"
        self.options = f"{wishes} -c wal_writer_delay=10s -c listen_addresses=127.0.0.1"
        self.control = (*start, str(programs / "pg_ctl"), "-D", str(self.data), "-s", "-w")
        self.url = f"postgresql://{servers.USER}@127.0.0.1:{self.port}/postgres"

    def start(self) -> None:
        log = self.data.parent / "log"
        servers._run(self.control, "-o", self.options, "-l", log, "start")

    def kill(self) -> None:
        """End every process of the server at once, as a power cut would."""
        first = int((self.data / "postmaster.pid").read_text().splitlines()[0])
        os.kill(first, signal.SIGSTOP)  # so that it starts no further one meanwhile
        listed = subprocess.run(
            ["ps", "-e", "-o", "pid=,ppid="], capture_output=True, text=True, check=True
        ).stdout
        pairs = [tuple(map(int, line.split())) for line in listed.splitlines()]
        everybody = [first, *(number for number, parent in pairs if parent == first)]
        for number in everybody:
            os.kill(number, signal.SIGKILL)
        while any(_state(number) != "Z" for number in everybody):
            time.sleep(0.01)
        # Where nobody reaps the dead its number stays taken, and a new server would heed it.
        (self.data / "postmaster.pid").unlink()
        self.start()

    def kill_one(self) -> None:
        """End the process that serves the writer; the server then begins anew by itself."""
        with psycopg.connect(self.url) as link:
            asked = link.execute(
                "SELECT pid FROM pg_stat_activity"
                " WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()"
            )
            numbers = [int(number) for (number,) in asked]
        for number in numbers:
            os.kill(number, signal.SIGKILL)
        # Until the server has seen the death it goes on answering, as if nothing were.
        wait_until(lambda: not any(Path(f"/proc/{number}").exists() for number in numbers), 60)
        wait_until(self._answers, 60, why="the server is up again")

    def _answers(self) -> bool:
        try:
            psycopg.connect(self.url, connect_timeout=5).close()
        except psycopg.OperationalError:
            return False
        return True


def _state(number: int) -> str:
    try:
        return Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except FileNotFoundError:
        return "Z"


@contextmanager
def cluster(commit: str) -> Iterator[Cluster]:
    with servers._folder() as folder:
        one = Cluster(folder, commit)
        one.start()
        try:
            yield one
        finally:
            subprocess.run([*one.control, "-m", "immediate", "stop"], check=False)


def acknowledged(environment: dict[str, str], number: int, seconds: float) -> Iterator[str]:
    """Let a writer push until it was told of enough, and so long after; give what it was told."""
    with subprocess.Popen(
        [sys.executable, "-m", "tests.sync.writer", str(number)],
        env=environment, cwd=ROOT, stdout=subprocess.PIPE, text=True,
    ) as writer:  # fmt: skip
        assert writer.stdout is not None
        for _ in range(ACKNOWLEDGED_BY_EACH):
            yield writer.stdout.readline().strip()
        time.sleep(seconds)
        yield "kill"
        yield from (line.strip() for line in writer.stdout)


@pytest.mark.parametrize(("commit", "kills", "loses"), [("on", KILLS, False), ("off", 6, True)])
def test_requirement_4_what_the_database_acknowledged_survives_its_own_death(
    commit: str, kills: int, loses: bool, tmp_path: Path
) -> None:
    told: list[str] = []
    moments = random.Random(4)
    with cluster(commit) as server:
        environment = {
            **product.plain_environment(),
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "NURSERY_DATABASE_URL": server.url,
            "NURSERY_DATA": str(tmp_path),
        }
        migrate = [sys.executable, "-m", "django", "migrate", "--verbosity", "0"]
        subprocess.run(migrate, env=environment, cwd=ROOT, check=True)
        for kill in range(1, kills + 1):
            for line in acknowledged(environment, kill, moments.random() * LATEST_S):
                if line == "kill":
                    (server.kill if kill % 2 else server.kill_one)()
                else:
                    told.append(line)
        with psycopg.connect(server.url) as link:
            book = {ident for (ident,) in link.execute("SELECT ident FROM feed")}
    assert len(told) >= ACKNOWLEDGED_BY_EACH * kills
    lost = set(told) - book
    assert bool(lost) is loses, f"{len(lost)} of {len(told)} acknowledged entries are lost"
