"""Walk the feed of a nursery and say where it is not what was stored."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

import orjson

from nursery.domain import admission
from nursery.domain import chain as links
from nursery.domain.entry import write_instant
from nursery.services import marks
from nursery.store.models import FeedRow
from nursery.store.scope import Scope, scope

PAGE = 2000

# What the columns of an entry repeat of its text.
TOLD = ("id", "kind", "occurred_at", "install", "n")


class Line(NamedTuple):
    """One line of the feed, column by column."""

    seq: int
    type: str
    what: str
    ident: str
    rev: int
    text: str
    hash: str
    link: str
    received_at: datetime
    occurred_at: datetime | None
    install: str | None
    n: int | None
    set_aside: bool


@dataclass(slots=True)
class Walk:
    """What the lines so far lead one to expect of the next."""

    seq: int = 0
    link: str = links.START
    rows: dict[tuple[str, str], tuple[int, int, bool]] = field(default_factory=dict)
    waiting: set[str] = field(default_factory=set)
    # Lines without a text that nothing has vouched for yet, by what they are of.
    blank: dict[tuple[str, str], list[int]] = field(default_factory=dict)

    def step(self, line: Line) -> Iterator[str]:
        """Yield what is wrong with the next line."""
        self.seq += 1
        if line.seq != self.seq:
            yield f"line {self.seq} is missing, line {line.seq} follows"
            self.seq = line.seq
        if line.text and links.text_hash(line.text) != line.hash:
            yield f"line {self.seq}: its text is not the one that was stored"
        self.link = links.link(self.link, line.seq, line.ident, line.hash)
        if self.link != line.link:
            yield f"line {self.seq}: its link does not rest on the line before"
            self.link = line.link
        if not line.text and line.type in (FeedRow.ENTRY, FeedRow.ROW):
            self.blank.setdefault((line.what, line.ident), []).append(line.seq)
        if not self._fits(line):
            yield f"line {self.seq}: it is not entered as what its text says"

    def end(self) -> Iterator[str]:
        """Yield which texts are gone although nobody erased them."""
        for seq in sorted(seq for some in self.blank.values() for seq in some):
            yield f"line {seq}: its text is gone, and no line says that it was erased"

    def _fits(self, line: Line) -> bool:
        """Whether the columns that no hash covers agree with the text, or with earlier lines."""
        if line.type == FeedRow.ENTRY:
            if line.set_aside:
                self.waiting.add(line.ident)
            return _is_entered_right(line)
        if (line.occurred_at, line.install, line.n, line.set_aside) != (None, None, None, False):
            return False
        if line.type == FeedRow.MARK:
            return line.rev == 0 and self._mark_fits(line)
        if line.type == FeedRow.ROW and line.what == "person" and _is_erasure(line.text):
            self.blank.pop((line.what, line.ident), None)
        before = self.rows.get((line.what, line.ident), (0, 0, False))
        self.rows[line.what, line.ident] = (line.rev, line.seq, line.type == FeedRow.GONE)
        return line.type in (FeedRow.ROW, FeedRow.GONE) and line.rev == before[0] + 1

    def _mark_fits(self, line: Line) -> bool:
        if line.what == marks.RELEASE:
            return line.ident in self.waiting
        if line.what != marks.ERASED:
            return False
        # Of a mark, the text that it vouches for is gone.
        found = [self.blank.pop((kind, line.ident), None) for kind in marks.ERASABLE]
        return any(found)


def _is_erasure(text: str) -> bool:
    try:
        raw = orjson.loads(text)
    except ValueError:
        return False
    return isinstance(raw, dict) and raw.get("erased") is not None


def _is_entered_right(line: Line) -> bool:
    if line.occurred_at is None or line.rev:
        return False
    if line.set_aside != (line.occurred_at > line.received_at + admission.AHEAD):
        return False
    if not line.text:
        return True
    try:
        raw = orjson.loads(line.text)
    except ValueError:
        return False
    said = [raw.get(name) for name in TOLD] if isinstance(raw, dict) else []
    return said == [line.ident, line.what, write_instant(line.occurred_at), line.install, line.n]


def chain_faults(nursery: str) -> Iterator[str]:
    """Yield, in words for an operator, each thing that is wrong with the feed of a nursery.

    The numbers must be 1..last without holes, each text must hash to its hash or have been erased
    as a later line says, each link must rest on the one before, and the head must hold the last
    link. What stands beside a text must be what the text says, and the rows of reference data must
    be the latest revisions. When a line was received is not covered by the chain.
    """
    with scope(nursery) as book:
        walk = Walk()
        while some := page(book, walk.seq):
            for line in some:
                yield from walk.step(line)
        yield from walk.end()
        head = book.head
        if (head.last_seq, head.chain) != (walk.seq, walk.link):
            yield f"the head says line {head.last_seq}, the feed ends with line {walk.seq}"
        kept = book.refs.values_list("type", "ident", "rev", "seq", "gone")
        if {(what, ident): rest for what, ident, *rest in kept} != {
            key: [*rest] for key, rest in walk.rows.items()
        }:
            yield "the rows of reference data are not those of the feed"


def page(book: Scope, after: int) -> list[Line]:
    """Return the next lines of the feed after a number, in order."""
    rows = book.feed.filter(seq__gt=after).order_by("seq").values_list(*Line._fields)
    return [Line(*row) for row in rows[:PAGE]]


def chain(nursery: str, most: int = 20) -> list[str]:
    """Return the first faults of the chain; an empty list means that it holds."""
    faults = []
    for fault in chain_faults(nursery):
        faults.append(fault)
        if len(faults) == most:
            break
    return faults
