"""A server in memory, quick enough for a thousand histories; it decides by the same pure rules.

`test_the_server_in_memory_answers_as_the_real_one_does` holds it to the real services.
"""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import orjson

from nursery.domain import admission, chain, numbers
from nursery.domain.admission import Admitted
from nursery.domain.entry import Entry
from tests.phone import Answered

SCOPE = "veshmere"


@dataclass(frozen=True)
class Stored:
    item: Admitted
    link: str


@dataclass
class Book:
    """What a backup holds."""

    lines: list[Stored] = field(default_factory=list)
    kept_raw: set[str] = field(default_factory=set)
    installs: dict[str, tuple[int, list[list[int]]]] = field(default_factory=dict)
    durable: int = 0

    def copy(self) -> "Book":
        return Book([*self.lines], {*self.kept_raw}, {**self.installs}, self.durable)


@dataclass
class Twin:
    """The book of one nursery, its epoch and its clock."""

    now: datetime
    book: Book = field(default_factory=Book)
    epoch: str = "e0"

    def _refuse_other(self, epoch: str) -> None:
        if epoch != self.epoch:
            raise Answered(409, {"code": "epoch_changed", "params": {"epoch": self.epoch}})

    def push(self, body: dict[str, Any]) -> dict[str, Any]:
        self._refuse_other(body["epoch"])
        known = {stored.item.entry.id: i for i, stored in enumerate(self.book.lines, 1)}
        results, came = [], []
        for text in body["entries"]:
            item = admission.admit(text, orjson.loads(text), SCOPE, self.now)
            assert isinstance(item, Admitted)
            came.append(item.entry.n)
            results.append(self._take(item, known))
        highest, holes = self.book.installs.get(body["install"], (0, []))
        self.book.installs[body["install"]] = numbers.take(highest, holes, came)
        return {
            "epoch": self.epoch,
            "durable_seq": self.book.durable,
            "results": results,
            "holes": self.book.installs[body["install"]][1],
            "head": {"seq": len(self.book.lines), "hash": self._chain()},
        }

    def _take(self, item: Admitted, known: dict[str, int]) -> dict[str, Any]:
        entry = item.entry
        if entry.id not in known:
            seq = known[entry.id] = len(self.book.lines) + 1
            link = chain.link(self._chain(), seq, entry.id, item.hash)
            self.book.lines.append(Stored(item, link))
            answer = {"id": entry.id, "status": "stored", "seq": seq, "skew_ms": entry.skew_ms}
            return {**answer, "status": "set_aside", "code": "future"} if item.set_aside else answer
        seq = known[entry.id]
        if self.book.lines[seq - 1].item.hash == item.hash:
            return {"id": entry.id, "status": "known", "seq": seq}
        self.book.kept_raw.add(entry.id)
        return {
            "id": entry.id, "status": "kept_raw", "code": "id_reused", "ref": item.hash[:16],
        }  # fmt: skip

    def _chain(self) -> str:
        return self.book.lines[-1].link if self.book.lines else chain.START

    def pull(self, after: str, limit: int) -> list[bytes]:
        head = len(self.book.lines)
        begin: dict[str, Any] = {"t": "begin", "epoch": self.epoch, "head": head}
        first, last = 0, head
        if after:
            epoch, _, seq = after.rpartition(":")
            self._refuse_other(epoch)
            if int(seq) > head:
                self._refuse_other("")
            first, last = int(seq), min(head, int(seq) + limit)
        lines = [self._line(seq) for seq in range(first + 1, last + 1)]
        end = {"t": "end", "more": last < head}
        return [orjson.dumps(begin), *lines, orjson.dumps(end)]

    def _line(self, seq: int) -> bytes:
        stored = self.book.lines[seq - 1]
        item = stored.item
        aside = ',"set_aside":true' if item.set_aside else ""
        return (
            f'{{"t":"entry","seq":{seq},"id":"{item.entry.id}"{aside},"e":{item.text}}}'
        ).encode()

    def check(self, ids: list[str]) -> list[str]:
        known = {stored.item.entry.id for stored in self.book.lines} | self.book.kept_raw
        return [ident for ident in ids if ident not in known]

    def back_up(self) -> Book:
        """Copy the book; once the copy is tried, phones may forget what it holds."""
        backup = self.book.copy()
        self.book.durable = len(self.book.lines)
        return backup

    def restore(self, backup: Book) -> None:
        self.book = backup.copy()
        self.epoch = f"e{int(self.epoch[1:]) + 1}" if self.epoch[1:].isdigit() else ""

    def entries(self) -> list[Entry]:
        """Return the entries that count, as the folds take them."""
        return [stored.item.entry for stored in self.book.lines if not stored.item.set_aside]

    def ids(self) -> list[str]:
        return [stored.item.entry.id for stored in self.book.lines]
