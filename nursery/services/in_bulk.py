"""A whole book written at once into a nursery that is empty: for invented books of any size.

Every text goes through the door that a phone's texts go through and gets its number and link like
them; but nobody waits meanwhile, so lines are written by the thousand, and what they add up to is
folded once, at the end.
"""

import secrets
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import islice
from typing import Any

import orjson

from nursery.domain import admission, chain, reference
from nursery.domain.chain import text_hash
from nursery.services import book_rows, clock, effects, refold
from nursery.store import each_push, lines
from nursery.store.models import DeviceRow, FeedRow, HeadRow, InstallRow
from nursery.store.scope import scope

# Lines in one transaction.
AT_ONCE = 5000
LONG_AGO = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Pushed:
    """The texts that an install of a phone sent at an instant."""

    device: str
    install: str
    texts: list[str]
    at: datetime


@dataclass(frozen=True, slots=True)
class RowTyped:
    """A revision of a row of reference data, typed at an instant."""

    type: str
    id: str
    body: dict[str, Any]
    at: datetime


@dataclass(frozen=True, slots=True)
class Written:
    """How many entries were written, and when the last of them came."""

    entries: int
    until: datetime


class NotAnEntry(ValueError):
    """A text of the book is none that a phone could have written; names why."""


@dataclass(slots=True)
class _Book:
    """What was written so far."""

    ident: str
    rows: book_rows.Rows = field(default_factory=book_rows.Rows)
    installs: dict[str, InstallRow] = field(default_factory=dict)
    joined: dict[str, datetime] = field(default_factory=dict)
    revisions: Counter[tuple[str, str]] = field(default_factory=Counter)
    entries: int = 0
    until: datetime = LONG_AGO


def write(
    nursery: str,
    told: Iterable[Pushed | RowTyped],
    say: Callable[[int], object] = lambda _entries: None,
) -> Written:
    """Write all that is told, tell `say` now and then how many entries there are, fold everything.

    The nursery must be empty.

    Raises:
        NotAnEntry: a text is none that is stored, or a row none that can be.
    """
    book_so_far = _Book(nursery)
    walk = iter(_drafts(book_so_far, told))
    while some := [*islice(walk, AT_ONCE)]:
        with scope(nursery, write=True) as book:
            head = book.lock_head()
            written = [_linked(head, draft) for draft in some]
            for line in written:
                book_so_far.rows.take(line, line.about)
            lines.write(book, written)
            each_push.keep_head(head)
        say(book_so_far.entries)
    with scope(nursery, write=True) as book:
        book_so_far.rows.keep(book)
        _keep_phones(book.key, book_so_far)
        now, last = clock.now(), book.head.last_seq
        effects.outlook_is_stale(book, last, now)
        effects.season_is_stale(book, last, "in bulk", now)
    refold.everything(nursery)
    return Written(book_so_far.entries, book_so_far.until)


def _drafts(book: _Book, told: Iterable[Pushed | RowTyped]) -> Iterator[dict[str, Any]]:
    """Yield the columns of each line but for its number and link."""
    for one in told:
        book.until = max(book.until, one.at)
        if isinstance(one, RowTyped):
            yield _of_row(book, one)
            continue
        book.joined.setdefault(one.device, one.at)
        for text in one.texts:
            yield _of_text(book, one, text)
            book.entries += 1


def _of_row(book: _Book, one: RowTyped) -> dict[str, Any]:
    reference.read(one.type, one.id, one.body)
    book.revisions[one.type, one.id] += 1
    text = orjson.dumps(one.body).decode()
    return {
        "type": FeedRow.ROW, "what": one.type, "ident": one.id,
        "rev": book.revisions[one.type, one.id], "text": text, "hash": text_hash(text),
        "received_at": one.at,
    }  # fmt: skip


def _of_text(book: _Book, push: Pushed, text: str) -> dict[str, Any]:
    item = admission.admit(text, orjson.loads(text), book.ident, push.at)
    if not isinstance(item, admission.Admitted) or item.set_aside:
        why = item.code if isinstance(item, admission.Kept) else "dated ahead of its coming"
        raise NotAnEntry(f"{why}: {text[:200]}")
    entry = item.entry
    install = book.installs.get(push.install)
    if install is None:
        install = book.installs[push.install] = InstallRow(ident=push.install, device=push.device)
    install.n_max, install.last_seen_at = entry.n, push.at
    return {
        "type": FeedRow.ENTRY, "what": entry.kind, "ident": entry.id, "rev": 0, "text": text,
        "hash": item.hash, "received_at": push.at, "occurred_at": entry.occurred_at,
        "install": entry.install, "n": entry.n, "about": entry.about,
    }  # fmt: skip


def _linked(head: HeadRow, draft: dict[str, Any]) -> lines.Line:
    head.last_seq += 1
    head.chain = chain.link(head.chain, head.last_seq, draft["ident"], draft["hash"])
    return lines.Line(seq=head.last_seq, link=head.chain, **draft)


def _keep_phones(key: int, book: _Book) -> None:
    """Keep the phones by their names; their secrets are nobody's, so each has to join anew."""
    DeviceRow.objects.bulk_create(
        DeviceRow(
            nursery_id=key, ident=one, name=f"Phone {one}", joined_at=at, last_seen_at=at,
            secret_hash=text_hash(secrets.token_hex()),
        )
        for one, at in book.joined.items()
    )  # fmt: skip
    for row in book.installs.values():
        row.nursery_id = key
    InstallRow.objects.bulk_create(book.installs.values())
