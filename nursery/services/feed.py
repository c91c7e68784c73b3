"""Append one line to a nursery's feed: its number and link come from the head, under the lock."""

from dataclasses import dataclass
from datetime import datetime

from nursery.domain import chain
from nursery.store import each_push, lines
from nursery.store.models import HeadRow
from nursery.store.scope import Scope


@dataclass(frozen=True, slots=True)
class Draft:
    """A line before it has a number: its type (`FeedRow.ROW` and so on), and what it tells."""

    type: str
    what: str
    ident: str
    rev: int
    text: str


def add(book: Scope, head: HeadRow, draft: Draft, now: datetime) -> int:
    """Write a line and move the head along; return the line's number. `head` must be locked."""
    hashed = chain.text_hash(draft.text)
    head.last_seq += 1
    head.chain = chain.link(head.chain, head.last_seq, draft.ident, hashed)
    line = lines.Line(
        seq=head.last_seq,
        type=draft.type,
        what=draft.what,
        ident=draft.ident,
        rev=draft.rev,
        text=draft.text,
        hash=hashed,
        link=head.chain,
        received_at=now,
    )
    lines.write(book, [line])
    each_push.keep_head(head)
    return line.seq
