"""Requirements 4 and 5: what was acknowledged survives kill -9 at any moment, and nothing doubles.

The web process is the product's own, over a socket. Five kills here, fifty in the long run, or as
many as `NURSERY_TEST_KILLS` says.
"""

import itertools
import os
import random
import socket
import sys
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, ExitStack
from dataclasses import dataclass, field
from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest

from nursery.api.door import COOKIE
from nursery.services import clock
from nursery.store.scope import scope
from tests.beside import going_on
from tests.phone import Phone, Silence
from tests.product import Process, answer, running, wait_until
from tests.servers import free_port
from tests.sync.doors import NURSERY, Door, Socket, enrol, open_nursery

pytestmark = pytest.mark.django_db(transaction=True)

LONG = os.environ.get("NURSERY_TEST_PROFILE") == "long"
KILLS = int(os.environ.get("NURSERY_TEST_KILLS", "50" if LONG else "5"))
SENDERS = 3
AT_ONCE = 50
LEAST_ACKNOWLEDGED = KILLS * (2_000 if LONG else 100)
# A batch is folded whole with each push about it, and nobody's has thousands of records.
OF_A_BATCH = 200


@dataclass
class Machine:
    """Starts web processes on one port, one after the other."""

    environment: dict[str, str]
    folder: Path
    stack: ExitStack
    port: int = field(default_factory=free_port)
    numbers: Iterator[int] = field(default_factory=itertools.count)

    def start(self, cut: str = "") -> Process:
        """Start the product's web process, or one that dies at a point of its first push."""
        log = self.folder / f"web-{next(self.numbers)}.log"
        words = ["-m", "tests.sync.faulty", str(self.port)]
        if not cut:
            words = ["-m", "config", "web", "--port", str(self.port)]
        environment = {**self.environment, "NURSERY_TEST_CUT": cut}
        program = (sys.executable, *words)
        process = self.stack.enter_context(running(environment, log, program=program))
        wait_until(
            lambda: answer(f"http://127.0.0.1:{self.port}/healthz")[0] == 200, why=process.said()
        )
        return process


@pytest.fixture
def machine(other_process: dict[str, str], tmp_path: Path) -> Iterator[Machine]:
    open_nursery()
    with ExitStack() as stack:
        yield Machine(other_process, tmp_path, stack)


def over_a_socket(name: str, machine: Machine, number: int = 1) -> Phone:
    """Let a phone join here, and then speak to the process."""
    phone = enrol(name, clock.now(), number)
    assert isinstance(phone.server, Door)
    phone.server = Socket(machine.port, phone.server.client.cookies[COOKIE].value)
    return phone


def lose(phone: Phone, count: int = 1) -> None:
    for _ in range(count):
        # The machine's true time: entries of years ahead would be set aside.
        at = clock.now() + timedelta(milliseconds=phone.writer.n % 997)
        batch = f"b-{phone.writer.number}-{phone.writer.n // OF_A_BATCH}"
        phone.write("lost", [batch], {"count": 1, "fate": "died"}, at)


def in_the_book() -> list[str]:
    with scope(NURSERY) as book:
        return list(book.entries.order_by("seq").values_list("ident", flat=True))


@pytest.mark.parametrize(
    ("cut", "then"), [("inserted", "stored"), ("committed", "known")], ids=["insert", "commit"]
)
def test_requirement_5_a_cut_around_the_commit_loses_nothing_and_doubles_nothing(
    machine: Machine, cut: str, then: str
) -> None:
    """Between insert and commit nothing is in the book; between commit and answer all of it is."""
    phone = over_a_socket("a", machine)
    lose(phone, 20)
    dying = machine.start(cut)
    with pytest.raises(Silence):
        phone.push()
    assert dying.process.wait(20) != 0
    assert len(in_the_book()) == (20 if then == "known" else 0)
    assert len(phone.queue) == 20
    machine.start()
    phone.push_all()
    assert {result["status"] for result in phone.results.values()} == {then}
    assert in_the_book() == [*phone.results]
    phone.pull_all()
    assert phone.holds() == {*phone.results}


def sending(phones: list[Phone]) -> AbstractContextManager[None]:
    """Have each phone write and send without end while the block runs."""

    def send(phone: Phone) -> None:
        lose(phone, 0 if phone.queue else AT_ONCE)
        try:
            phone.push()
        except Silence:
            time.sleep(0.02)

    return going_on([partial(send, phone) for phone in phones])


def test_requirement_4_nothing_acknowledged_is_lost_by_kills_at_any_moment(
    machine: Machine,
) -> None:
    phones = [over_a_socket(f"s{number}", machine, number) for number in range(1, SENDERS + 1)]
    moments = random.Random(4)
    process = machine.start()
    with sending(phones):
        for kill in range(KILLS):
            least = LEAST_ACKNOWLEDGED * (kill + 1) // KILLS
            wait_until(lambda least=least: acknowledged(phones) >= least, seconds=300)  # type: ignore[misc]
            time.sleep(moments.random() * 0.2)
            process.kill()
            process = machine.start()
    before = {ident for phone in phones for ident in phone.results}
    book = in_the_book()
    assert before - {*book} == set(), "an acknowledged entry was lost"
    assert len(before) >= LEAST_ACKNOWLEDGED
    for phone in phones:
        phone.push_all()
    book = in_the_book()
    assert len(book) == len({*book}) == sum(phone.writer.n for phone in phones)
    for phone in phones:
        assert phone.holes == []
        phone.pull_all()
        assert phone.holds() == {*book}


def acknowledged(phones: list[Phone]) -> int:
    return sum(len(phone.results) for phone in phones)


def test_half_a_request_leaves_nothing_behind(machine: Machine) -> None:
    """A connection that breaks in the middle of a push: the phone sends it again, whole."""
    phone = over_a_socket("a", machine)
    lose(phone, 3)
    machine.start()
    server = phone.server
    assert isinstance(server, Socket)
    with socket.create_connection(("127.0.0.1", machine.port)) as line:
        line.sendall(
            b"POST /api/v1/sync/push HTTP/1.1\r\nHost: localhost\r\nX-Sync: 1\r\n"
            b"Content-Type: application/json\r\nContent-Length: 5000\r\n"
            + f"Cookie: {COOKIE}={server.secret}\r\n\r\n".encode()
            + b'{"epoch":"'
        )
    phone.push()
    assert in_the_book() == [*phone.results]
