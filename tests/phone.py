"""A phone for tests: it writes entries as the app does, and keeps them until they are acknowledged.

`Writer` only writes. `Phone` also sends, pulls, and meets a restored book, by the rules of the
protocol; it talks to any `Server`: the one in memory, the services, the API, a running process.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any, Protocol

from nursery.domain.entry import write_instant

APP = "2026.12.0"
EVERYTHING = 1_000_000


def make_id(moment: datetime, serial: int, device: int = 0) -> str:
    """Return a UUIDv7 of `moment`; `serial` orders what one phone writes in one millisecond."""
    ms = round(moment.timestamp() * 1000)
    head = f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7{serial & 0xFFF:03x}"
    return f"{head}-8{device & 0xFFF:03x}-{serial:012x}"


@dataclass
class Writer:
    """Writes entries of one install, numbered from 1."""

    name: str
    author: str = "p-w1"
    number: int = 1
    n: int = 0
    skew: timedelta = timedelta()
    written: list[str] = field(default_factory=list)

    def write(
        self,
        kind: str,
        about: Sequence[str],
        body: dict[str, Any],
        at: datetime,
        **more: Any,
    ) -> str:
        """Return the text of a new entry, exactly as a phone would store it."""
        self.n += 1
        entry = {
            "id": make_id(at, self.n, self.number),
            "v": 1,
            "kind": kind,
            "about": list(about),
            "occurred_at": write_instant(at),
            "offset_min": 600,
            "by_hand": False,
            "author": self.author,
            "confirmed": True,
            "device": f"d-{self.name}",
            "install": f"i-{self.name}",
            "n": self.n,
            "based_on": None,
            "skew_ms": round(self.skew.total_seconds() * 1000),
            "corrects": None,
            "salt": f"{self.n:08x}",
            "body": body,
        }
        text = json.dumps({**entry, **more}, ensure_ascii=False)
        self.written.append(text)
        return text


class Answered(Exception):
    """The server answered with an error; `body` is its problem document."""

    def __init__(self, status: int, body: dict[str, Any]) -> None:
        super().__init__(status, body)
        self.status, self.body = status, body

    @property
    def code(self) -> str:
        return str(self.body.get("code", ""))


class Silence(Exception):
    """No answer came: the phone cannot know what the server did."""


class Server(Protocol):
    """What a phone can ask for. Bodies are those of the wire, decoded."""

    def push(self, body: dict[str, Any]) -> dict[str, Any]: ...

    def pull(self, after: str, limit: int) -> Iterable[bytes]: ...

    def check(self, ids: list[str]) -> list[str]: ...


@dataclass(frozen=True)
class Line:
    """One line of the feed as the phone keeps it; `text` is what was sent, byte for byte.

    `hash` is what its link rests on: of an entry that of its text, and what the office tells of an
    entry whose text was erased.
    """

    type: str
    ident: str
    hash: str
    set_aside: bool
    text: str


def line(raw: bytes) -> tuple[int, Line]:
    """Return number and content of one line of a pull, holding its text against its hash.

    An entry's line tells its hash where its text was erased, and nowhere else.
    """
    head = json.loads(raw)
    text, hashed = "", head.get("hash", "")
    if head.get("e") is not None:
        text = raw[raw.index(b',"e":') + 5 : raw.rindex(b"}")].decode()
        hashed = sha256(text.encode()).hexdigest()
        assert head["t"] == "entry" or hashed == head["hash"], head
    assert ("hash" in head) == (head["t"] != "entry" or not text), head
    aside = bool(head.get("set_aside"))
    return head["seq"], Line(head["t"], head["id"], hashed, aside, text)


@dataclass(frozen=True)
class Kept:
    """What the server has acknowledged, and the phone keeps until a tested backup holds it.

    `seq` is the number of the entry, or, where it was kept raw and has none, one above the head
    that the answer named.
    """

    text: str
    seq: int


@dataclass
class Phone:
    """One install with its outbox, its copy of the feed and its place in it."""

    writer: Writer
    server: Server
    epoch: str = ""
    queue: dict[str, str] = field(default_factory=dict)
    kept: dict[str, Kept] = field(default_factory=dict)
    copy: dict[int, Line] = field(default_factory=dict)
    cursor: int = 0
    durable: int = 0
    holes: list[list[int]] = field(default_factory=list)
    results: dict[str, dict[str, Any]] = field(default_factory=dict)

    @property
    def install(self) -> str:
        return f"i-{self.writer.name}"

    def write(
        self, kind: str, about: Sequence[str], body: dict[str, Any], at: datetime, **more: Any
    ) -> str:
        """Write an entry into the outbox and return its id."""
        text = self.writer.write(kind, about, body, at, **more)
        ident = str(json.loads(text)["id"])
        self.queue[ident] = text
        return ident

    def envelope(self, texts: Sequence[str]) -> dict[str, Any]:
        """Return the body of a push of these texts."""
        return {
            "epoch": self.epoch,
            "install": self.install,
            "app": APP,
            "persisted": True,
            "outbox": {"unsent": len(self.queue), "n_max": self.writer.n},
            "entries": list(texts),
        }

    def push(self, most: int = 200) -> bool:
        """Send the oldest of the outbox; return whether the server took it in.

        After a silence everything is still in the outbox.
        """
        some = dict(list(self.queue.items())[:most])
        try:
            answer = self.server.push(self.envelope(list(some.values())))
        except Answered as no:
            if no.code != "epoch_changed":
                raise
            self.meet(no.body["params"]["epoch"])
            return False
        self.take(some, answer)
        return True

    def take(self, sent: dict[str, str], answer: dict[str, Any]) -> None:
        """Mark what an answer acknowledges; each of the four outcomes ends sending."""
        assert len(answer["results"]) == len(sent)
        for (ident, text), result in zip(sent.items(), answer["results"], strict=True):
            self.results[ident] = result
            self.queue.pop(ident, None)
            self.kept[ident] = Kept(text, result.get("seq") or answer["head"]["seq"] + 1)
        self.holes = answer["holes"]
        self._forget_up_to(answer["durable_seq"])

    def _forget_up_to(self, durable: int) -> None:
        self.durable = max(self.durable, durable)
        self.kept = {i: kept for i, kept in self.kept.items() if kept.seq > self.durable}

    def push_all(self, most: int = 200) -> None:
        while self.queue:
            self.push(most)

    def pull(self, limit: int = 2000, *, cut: int | None = None) -> bool:
        """Pull one page, of which `cut` lines arrive; return whether there is more.

        Row and cursor move together, so a page may break anywhere.
        """
        if not self.epoch:
            self.snapshot()
            return False
        try:
            lines = self.server.pull(f"{self.epoch}:{self.cursor}", limit)
            return self.apply(lines, cut)
        except Answered as no:
            if no.code != "epoch_changed":
                raise
            self.meet(no.body["params"]["epoch"])
            return False

    def apply(self, lines: Iterable[bytes], cut: int | None) -> bool:
        more = False
        for number, raw in enumerate(lines):
            if b'"t":"begin"' in raw[:20] or b'"t":"end"' in raw[:20]:
                more = json.loads(raw).get("more", False)
                continue
            if cut is not None and number > cut:
                return True
            seq, content = line(raw)
            assert seq == self.cursor + 1, "a line is missing"
            self.copy[seq] = content
            self.cursor = seq
        return more

    def pull_all(self, limit: int = 2000) -> None:
        while self.pull(limit):
            pass

    def snapshot(self) -> None:
        """Begin with a snapshot, built beside the old copy and then put in its place."""
        copy: dict[int, Line] = {}
        begin: dict[str, Any] = {}
        for raw in self.server.pull("", EVERYTHING):
            if raw.startswith(b'{"t":"begin"'):
                begin = json.loads(raw)
            elif not raw.startswith(b'{"t":"end"'):
                seq, content = line(raw)
                copy[seq] = content
        self.epoch, self.cursor, self.copy = begin["epoch"], begin["head"], copy

    def meet(self, epoch: str) -> None:
        """Meet a restored book: offer again what it lacks of one's own, then take a snapshot.

        A book that is restored once more meanwhile is met anew.
        """
        before = self.epoch
        above = {i: kept for i, kept in self.kept.items() if kept.seq > self.durable}
        lack = set(self.server.check(list(above))) if above else set()
        again = {i: above.pop(i).text for i in list(above) if i in lack}
        self.snapshot()
        if self.epoch != epoch:
            epoch, self.epoch = self.epoch, before
            self.meet(epoch)
            return
        # What the book has, it has under other numbers now: kept until durable by the new ones.
        self.kept = {i: Kept(kept.text, EVERYTHING) for i, kept in above.items()}
        seqs = {content.ident: seq for seq, content in self.copy.items()}
        self.kept = {i: Kept(k.text, seqs.get(i, k.seq)) for i, k in self.kept.items()}
        self.durable = 0
        self.queue = {**again, **self.queue}

    def known(self) -> Iterator[dict[str, Any]]:
        """Yield every entry that this phone can show: its copy of the feed and its own."""
        for content in self.copy.values():
            if content.type == "entry":
                yield json.loads(content.text)
        seen = {content.ident for content in self.copy.values()}
        own = {**{i: kept.text for i, kept in self.kept.items()}, **self.queue}
        yield from (json.loads(text) for i, text in own.items() if i not in seen)

    def holds(self) -> set[str]:
        """Return the ids of the entries in this phone's copy of the feed."""
        return {content.ident for content in self.copy.values() if content.type == "entry"}
