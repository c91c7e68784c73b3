"""A bad link between a phone and the office, byte by byte: a proxy of TCP that does harm by a seed.

Each call goes over a connection of its own. Those that carry records and photos may be cut at any
byte on their way, be done and have their answer lost or cut, or come to the office twice. All else
is late at most. Harm is bounded, so that a run ends: so many times in all, never more than three in
a row, and of each photo one slice at most is cut on its way. A cut slice is sent again whole, and
the phone sends a quarter of a photo at a time: with a second cut, 1.3 times its bytes could not be
promised.
"""

import asyncio
import random
import re
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

from tests.servers import free_port

CUT, LOST, CUT_ANSWER, TWICE = "cut", "answer lost", "answer cut", "twice"
HARMS = (CUT, LOST, CUT_ANSWER, TWICE)
CARRIES = re.compile(r"/api/v1/(uploads|sync/push)\b")
LATE_S = (0.01, 0.12)
CALL_S = 40
GONE_S = 0.2
IN_A_ROW = 3
AT_ONCE = 64 * 1024


@dataclass(frozen=True)
class Call:
    """One call as it came from the phone, up to where its body begins."""

    head: bytes
    method: str
    path: str
    length: int

    @property
    def is_slice(self) -> bool:
        return self.method == "PATCH"


@dataclass
class BadLink:
    """The link. It does no harm until `harmful` is set."""

    office: int
    seed: int
    most: int
    port: int = field(default_factory=free_port)
    harmful: bool = False
    late_s: tuple[float, float] = LATE_S
    done: Counter[str] = field(default_factory=Counter)
    slices: int = 0
    """The bytes of every slice of a photo that the phone began to send, whether it came or not."""
    calls: int = 0
    _row: int = 0
    _cut: set[str] = field(default_factory=set)
    _at_work: set[asyncio.Task[None]] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._chance = random.Random(self.seed)

    @property
    def url(self) -> str:
        return f"http://localhost:{self.port}"

    @contextmanager
    def running(self) -> Iterator["BadLink"]:
        open_, over = threading.Event(), threading.Event()
        # The browser's own loop has the test's thread.
        thread = threading.Thread(target=asyncio.run, args=(self._run(open_, over),), daemon=True)
        thread.start()
        try:
            assert open_.wait(10)
            yield self
        finally:
            over.set()
            thread.join(10)

    async def _run(self, open_: threading.Event, over: threading.Event) -> None:
        async with await asyncio.start_server(self._meet, "127.0.0.1", self.port):
            open_.set()
            await asyncio.to_thread(over.wait)
            # Whoever still talks is cut off, and what was cut off gets the time to be gone.
            for call in self._at_work:
                call.cancel()
            await asyncio.gather(*self._at_work, return_exceptions=True)
        await asyncio.sleep(GONE_S)

    async def _meet(self, phone: asyncio.StreamReader, back: asyncio.StreamWriter) -> None:
        mine = asyncio.current_task()
        assert mine is not None
        self._at_work.add(mine)
        mine.add_done_callback(self._at_work.discard)
        # A browser that goes away, an office that is shut, the end of the link.
        with suppress(OSError, asyncio.IncompleteReadError, TimeoutError, asyncio.CancelledError):
            call = _call(await phone.readuntil(b"\r\n\r\n"))
            await asyncio.sleep(self._chance.uniform(*self.late_s))
            harm = self._harm(call)
            if harm is None:
                text = call.head + await phone.readexactly(call.length)
                await self._pass_on(text, back)
                return
            async with asyncio.timeout(CALL_S):
                back.write(await self._harmed(call, harm, phone))
                await back.drain()
                back.close()
                await back.wait_closed()
        back.transport.abort()

    async def _pass_on(self, text: bytes, back: asyncio.StreamWriter) -> None:
        answer, office = await self._ask(text)
        try:
            while piece := await answer.read(AT_ONCE):
                back.write(piece)
                await back.drain()
        finally:
            office.close()
            back.close()

    async def _harmed(self, call: Call, harm: str, phone: asyncio.StreamReader) -> bytes:
        """Do the harm; return what the phone gets to see of an answer."""
        if harm == CUT:
            so_far = self._chance.randrange(len(call.head) + call.length)
            body = await phone.readexactly(max(0, so_far - len(call.head)))
            _, office = await self._ask((call.head + body)[:so_far])
            office.close()
            return b""
        text = call.head + await phone.readexactly(call.length)
        if harm == TWICE:
            return self._chance.choice(await self._twice(text))
        whole = await self._answer(text)
        if harm == LOST or len(whole) < 2:  # an office that ended meanwhile said nothing
            return b""
        return whole[: self._chance.randrange(1, len(whole))]

    async def _twice(self, text: bytes) -> list[bytes]:
        """Bring a call to the office two times: one after the other, or both at once."""
        if self._chance.random() < 0.5:
            return list(await asyncio.gather(self._answer(text), self._answer(text)))
        return [await self._answer(text), await self._answer(text)]

    async def _answer(self, text: bytes) -> bytes:
        answer, office = await self._ask(text)
        try:
            return await answer.read()
        finally:
            office.close()

    async def _ask(self, text: bytes) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        answer, office = await asyncio.open_connection("127.0.0.1", self.office)
        office.write(text)
        await office.drain()
        return answer, office

    def _harm(self, call: Call) -> str | None:
        """Draw what happens to a call, and note it."""
        if not self.harmful or not CARRIES.match(call.path):
            return None
        self.calls += 1
        if call.is_slice:
            self.slices += call.length
        able = self._row < IN_A_ROW and self.done.total() < self.most
        may = [harm for harm in HARMS if harm != CUT or self._may_cut(call)]
        harm = self._chance.choice(may) if able and self._chance.random() < 0.5 else None
        self._row = 0 if harm is None else self._row + 1
        if harm is not None:
            self.done[harm] += 1
        if harm == CUT:
            self._cut.add(call.path)
        return harm

    def _may_cut(self, call: Call) -> bool:
        return call.is_slice and call.path not in self._cut


def _call(head: bytes) -> Call:
    """Read the head of a call, and have its connection end with it."""
    first, *lines = head.decode("latin-1").split("\r\n")
    method, path, _ = first.split(" ")
    kept = [line for line in lines if line and not line.lower().startswith("connection:")]
    named = dict(line.lower().split(": ", 1) for line in kept)
    told = "\r\n".join([first, *kept, "Connection: close", "", ""])
    return Call(told.encode("latin-1"), method, path, int(named.get("content-length", "0")))
