"""Give a phone what it does not have: the feed after its cursor, or a snapshot to begin with.

A line is ready-made JSON with the stored text spliced in, so a pull copies and never serialises.
The line of an entry tells no hash: it is the SHA-256 of the very text that the line holds. Only
where the text was erased nobody could work it out any more, and there it is told.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import orjson

from nursery.domain.entry import write_instant
from nursery.services.errors import CursorUnreadable, EpochChanged
from nursery.store import lines
from nursery.store.models import FeedRow, HeadRow
from nursery.store.scope import Scope, scope

PAGE = 2000
MOST = 10_000


@dataclass(frozen=True, slots=True)
class Cursor:
    """Where a phone stands: `seq` lines of the feed of `epoch`. It holds no time."""

    epoch: str
    seq: int


def cursor(text: str) -> Cursor | None:
    """Return the cursor that `text` holds (`EPOCH:SEQ`), or None for a snapshot.

    Raises:
        CursorUnreadable: the text is something else.
    """
    if not text:
        return None
    epoch, _, seq = text.rpartition(":")
    if not epoch or not seq.isascii() or not seq.isdigit() or len(seq) > 18:
        raise CursorUnreadable(text[:80])
    return Cursor(epoch, int(seq))


def epoch(nursery: str) -> str:
    """Return the epoch of a nursery's book, which a restore changes."""
    with scope(nursery) as book:
        return book.head.epoch


def after(nursery: str, at: Cursor, limit: int, now: datetime) -> Iterator[bytes]:
    """Return the lines of one page after a cursor, as bytes to be streamed, many at a time.

    The end of the page tells the link of its last line, so that a phone can prove its copy.

    Raises:
        EpochChanged: the book was restored since, or never had so many lines.
    """
    with scope(nursery) as book:
        head = book.head
    if at.epoch != head.epoch or at.seq > head.last_seq:
        raise EpochChanged(at.epoch, head.epoch)
    return _page(book, head, at.seq, min(limit, MOST), now)


def _page(book: Scope, head: HeadRow, seq: int, limit: int, now: datetime) -> Iterator[bytes]:
    yield _frame(
        t="begin", epoch=head.epoch, after=seq, head=head.last_seq, server_time=write_instant(now)
    )
    count = 0
    # A phone that has everything asks every other second: its answer costs no look into the feed.
    if seq < head.last_seq:
        for rows in book.each(lines.page(book, seq, head.last_seq, limit)):
            yield _text(rows)
            seq = rows[-1][0]
            count += len(rows)
    with book.named():
        link = head.chain if seq == head.last_seq else lines.link_at(book, seq)
    yield _frame(
        t="end", next=f"{head.epoch}:{seq}", more=seq < head.last_seq, count=count, hash=link
    )


def snapshot(nursery: str, now: datetime) -> Iterator[bytes]:
    """Return everything about live subjects, and the latest rows, as of one feed number.

    What is told after that number is complete. Closed batches come when somebody asks for one.
    """
    with scope(nursery) as book:
        head = book.head
    seq = head.last_seq
    yield _frame(
        t="begin", epoch=head.epoch, snapshot=True, head=seq, server_time=write_instant(now)
    )
    count = 0
    for source in (lines.latest_rows, lines.of_live_subjects):
        for rows in book.each(source(book, seq)):
            yield _text(rows)
            count += len(rows)
    yield _frame(t="end", next=f"{head.epoch}:{seq}", more=False, count=count, hash=head.chain)


def _text(rows: lines.Told) -> bytes:
    return "".join(
        [
            f'{{"t":"entry","seq":{seq},"id":"{ident}","e":{text}}}\n'
            if more is None
            else _line(seq, ident, text, more)
            for seq, ident, text, more in rows
        ]
    ).encode()


def _line(seq: int, ident: str, text: str, more: str) -> str:
    """Return a line that tells more than the text of an entry, or less."""
    kind, what, rev, hashed, set_aside = orjson.loads(more)
    said, body = f'"hash":"{hashed}"', f'"e":{text or "null"}'
    if kind == FeedRow.ENTRY:
        told = "" if text else f",{said}"
        aside = ',"set_aside":true' if set_aside else ""
        return f'{{"t":"entry","seq":{seq},"id":"{ident}"{told}{aside},{body}}}\n'
    name = f'"seq":{seq},"type":"{what}","id":{orjson.dumps(ident).decode()}'
    if kind == FeedRow.ROW:
        return f'{{"t":"ref",{name},"rev":{rev},{said},{body}}}\n'
    if kind == FeedRow.GONE:
        return f'{{"t":"gone",{name},{said},"why":"deleted"}}\n'
    return f'{{"t":"mark",{name},{said},{body}}}\n'


def _frame(**fields: object) -> bytes:
    return orjson.dumps(fields) + b"\n"


def lacking(nursery: str, ids: list[str]) -> list[str]:
    """Return which of these ids the book does not have."""
    with scope(nursery) as book:
        known = set(book.entries.filter(ident__in=ids).values_list("ident", flat=True))
        known |= set(book.kept_raw.filter(ident__in=ids).values_list("ident", flat=True))
    return [ident for ident in ids if ident not in known]
