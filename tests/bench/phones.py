"""Phones by the dozen before the product as people run it, for measuring."""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import http.client
import json
import os
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from time import perf_counter, sleep
from typing import Any

from tests.bench import histories
from tests.phone import Phone
from tests.servers import free_port

AT_ONCE = 200
MET = 20
WEEK = timedelta(days=7)


@dataclass
class Line:
    """A phone's connection to the office, and what the office answered."""

    port: int
    phone: Phone
    secret: str
    seconds: list[float] = field(default_factory=list)
    statuses: list[int] = field(default_factory=list)
    stored: set[str] = field(default_factory=set)

    def push(self, body: bytes) -> None:
        """Send one push until it is taken; each try is counted."""
        while True:
            begun = perf_counter()
            status, said, after = self.ask("POST", "push", body)
            self.seconds.append(perf_counter() - begun)
            self.statuses.append(status)
            if status == 200:
                break
            sleep(float(after or 1))
        for result in json.loads(said)["results"]:
            assert result["status"] == "stored", result
            self.stored.add(result["id"])

    def ask(
        self, method: str, what: str, body: bytes | None = None
    ) -> tuple[int, bytes, str | None]:
        from nursery.api.door import COOKIE

        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        headers = {"X-Sync": "1", "Cookie": f"{COOKIE}={self.secret}", "Accept-Encoding": "gzip"}
        if body is not None:
            headers |= {"Content-Type": "application/json", "Content-Encoding": "gzip"}
        try:
            connection.request(method, f"/api/v1/sync/{what}", body, headers)
            answer = connection.getresponse()
            said = answer.read()
            if answer.getheader("Content-Encoding") == "gzip":
                said = zlib.decompress(said, wbits=31)
            return answer.status, said, answer.getheader("Retry-After")
        finally:
            connection.close()


@contextmanager
def served(workers: int) -> Iterator[tuple[int, int]]:
    """Run the product on the database in force; give its port and the number of its process."""
    from tests.product import answer, running, wait_until
    from tests.sync import doors

    doors.open_nursery()
    port = free_port()
    words = ["web", "--workers", str(workers)] if workers else ["up"]
    log = Path(os.environ["NURSERY_DATA"]) / "up.log"
    with running(os.environ, log, *words, "--port", str(port)) as product:
        address = f"http://127.0.0.1:{port}/healthz"
        wait_until(lambda: answer(address)[0] == 200, why=product.said())
        yield port, product.process.pid


def busy(product: int) -> tuple[float, float]:
    """Return for how many seconds processors were busy with what answers, and with everything."""
    parents: dict[int, int] = {}
    ticks: dict[int, int] = {}
    answering: set[int] = set()
    for file in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):  # one that ended meanwhile
            told = file.read_text().rsplit(")", 1)[1].split()
            number = int(file.parent.name)
            parents[number], ticks[number] = int(told[1]), int(told[11]) + int(told[12])
            if b"web" in file.with_name("cmdline").read_bytes().split(b"\0"):
                answering.add(number)
    everything = _with_children({product}, parents)
    web = _with_children(answering & everything, parents)
    first, second = (sum(ticks[one] for one in some & ticks.keys()) for some in (web, everything))
    hertz = os.sysconf("SC_CLK_TCK")
    return first / hertz, second / hertz


def _with_children(some: set[int], parents: dict[int, int]) -> set[int]:
    found = {*some}
    while more := {one for one, parent in parents.items() if parent in found} - found:
        found |= more
    return found


def lines(port: int, prefix: str, count: int, first: int) -> list[Line]:
    """Let so many phones join; `first` numbers them, so that no two make the same id."""
    from nursery.api.door import COOKIE
    from nursery.services import clock
    from tests.sync import doors

    found = []
    for number in range(first, first + count):
        phone = doors.enrol(f"{prefix}{number}", clock.now(), number)
        assert isinstance(phone.server, doors.Door)
        found.append(Line(port, phone, phone.server.client.cookies[COOKIE].value))
    return found


def bodies(line: Line, entries: int, at_once: int, trays: int = MET) -> list[bytes]:
    """Return the pushes of a phone's week of rounds, packed as it packs them.

    A round goes ten times past twenty of its trays, the next one past the next twenty. The first
    record of each tray is that it came in; the last of all is of a minute ago.
    """
    from nursery.services import clock

    begun, gap = clock.now() - WEEK - timedelta(minutes=1), WEEK / max(1, entries)
    texts: list[str] = []
    met: set[str] = set()
    for n in range(entries):
        tray = f"{line.phone.writer.name}-{n // AT_ONCE * MET % trays + n % MET}"
        kind, body = _of(tray, n, new=tray not in met)
        met.add(tray)
        texts.append(line.phone.writer.write(kind, [tray], body, _whole(begun + n * gap)))
    parts = [texts[at : at + at_once] for at in range(0, entries, at_once)]
    return [packed(line.phone.envelope(part)) for part in parts]


def _of(tray: str, n: int, *, new: bool) -> tuple[str, dict[str, Any]]:
    if new:
        return "received", _arrival(tray)
    kind, make = histories.ROUND[(n // MET) % len(histories.ROUND)]
    return kind, make(n)


def _whole(at: datetime) -> datetime:
    """Cut to the millisecond, as a phone's clock tells it."""
    return at.replace(microsecond=at.microsecond // 1000 * 1000)


def _arrival(tray: str) -> dict[str, Any]:
    batch = {"id": tray, "label": tray.upper(), "crop": "finger-lime", "stated": 20_000}
    return {"consignment": "c-1", "place": "room-1", "batches": [batch]}


def packed(body: dict[str, Any]) -> bytes:
    packer = zlib.compressobj(level=6, wbits=31)
    return packer.compress(json.dumps(body).encode()) + packer.flush()


def at_once(acts: list[Callable[[], None]]) -> float:
    """Run each in a thread of its own; return the seconds until the last is done."""
    from tests.sync.crowd import together

    begun = perf_counter()
    together(*acts)
    return perf_counter() - begun


def sender(line: Line, pushes: list[bytes]) -> Callable[[], None]:
    def act() -> None:
        for body in pushes:
            line.push(body)

    return act
