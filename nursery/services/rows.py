"""Reference data: people, places, crops, permits and the like, as rows with revisions in the feed.

If two people could change it apart and both be right, it would be an entry; a row is what the later
one is simply right about. Every revision stays in the feed; the latest is kept for reading.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import orjson
from django.db.models import Q

from nursery.domain import mistaps, reference
from nursery.domain.errors import RowImpossible
from nursery.domain.kinds.field import seat
from nursery.domain.season_sheet import growth
from nursery.services import effects, feed, jobs, refold
from nursery.services.errors import PersonErased, RevisionChanged, Unknown
from nursery.services.feed import Draft
from nursery.services.people import INSPECTOR
from nursery.store.models import FeedRow, HeadRow, RefRow
from nursery.store.scope import Scope, scope


@dataclass(frozen=True, slots=True)
class Row:
    """A revision of one row; a draft's `rev` is the revision it was made from, None for any."""

    type: str
    id: str
    rev: int | None
    body: dict[str, Any]

    def as_json(self) -> dict[str, Any]:
        return {"type": self.type, "id": self.id, "rev": self.rev, "body": self.body}


# What attributes records to a person on a phone is nothing to read for anybody else.
_OF_PHONES = ("pin_hash", "pin_salt")


def shown_to(role: str, row: Row) -> dict[str, Any]:
    """Return a row as somebody of this role sees it: the authority reads no PIN's hash."""
    if role != INSPECTOR:
        return row.as_json()
    body = {name: value for name, value in row.body.items() if name not in _OF_PHONES}
    return replace(row, body=body).as_json()


def put(nursery: str, draft: Row, now: datetime) -> Row:
    """Write a new revision of a row, and return it.

    Raises:
        Refusal: a field lacks, or says what cannot be; named.
        RevisionChanged: somebody changed the row since that revision.
        PersonErased: it was a person's, and is erased.
    """
    reference.read(draft.type, draft.id, draft.body)
    if draft.body.get("erased") is not None:
        raise RowImpossible(draft.type, draft.id, "erased", str(draft.body["erased"])[:80])
    text = orjson.dumps(draft.body).decode()
    with scope(nursery, write=True) as book:
        head = book.lock_head()
        before = book.refs.filter(type=draft.type, ident=draft.id).first()
        current = before.rev if before is not None else 0
        if before is not None and is_erased(before):
            raise PersonErased(value=draft.id)
        if draft.rev is not None and draft.rev != current:
            raise RevisionChanged(what=draft.type, id=draft.id, value=draft.rev, current=current)
        if before is not None and not before.gone and before.text == text:
            return replace(draft, rev=current)
        row = replace(draft, rev=current + 1)
        growers = refold.growers(book)
        seq = append(book, head, row, text, now)
        if draft.type == "place" and before is None:
            # Entries about a place that nobody had described were folded as a batch's, and so were
            # those about its rows.
            _fold_again(book, Q(ident=draft.id) | Q(ident__startswith=seat(draft.id, "")), seq, now)
        _after_growers(book, growers, seq, now)
    return row


def is_erased(row: RefRow) -> bool:
    """Whether a row was a person's of whom only a number is kept."""
    return row.type == "person" and orjson.loads(row.text).get("erased") is not None


def remove(nursery: str, kind: str, ident: str, now: datetime) -> None:
    """Take a row out of use; entries that name it keep its last known words.

    Raises:
        Unknown: there is no such row.
    """
    with scope(nursery, write=True) as book:
        head = book.lock_head()
        before = book.refs.filter(type=kind, ident=ident, gone=False).first()
        if before is None:
            raise Unknown(kind, ident)
        growers = refold.growers(book)
        seq = append(book, head, Row(kind, ident, before.rev + 1, {}), None, now)
        _after_growers(book, growers, seq, now)


def _after_growers(book: Scope, growers: frozenset[str], seq: int, now: datetime) -> None:
    """Whose word answers a suspicion has changed: fold again what has one (rule E-8)."""
    if refold.growers(book) != growers:
        _fold_again(book, Q(state__contains=mistaps.SUSPICION), seq, now)


def _fold_again(book: Scope, which: Q, seq: int, now: datetime) -> None:
    if book.subjects.filter(which).update(stale_from=seq):
        jobs.write("stale", str(seq), now, nursery=book.key)


def append(book: Scope, head: HeadRow, row: Row, text: str | None, now: datetime) -> int:
    """Write one line of the feed for a row; without `text` the row is gone.

    Of a row that is gone its last known words stay, for the entries that name it.
    """
    kind = FeedRow.GONE if text is None else FeedRow.ROW
    seq = feed.add(book, head, Draft(kind, row.type, row.id, row.rev or 0, text or ""), now)
    values: dict[str, Any] = {"rev": row.rev, "seq": seq, "gone": text is None}
    if text is not None:
        values["text"] = text
    RefRow.objects.update_or_create(
        nursery_id=book.key, type=row.type, ident=row.id, defaults=values
    )
    effects.outlook_is_stale(book, seq, now)
    if row.type in growth.ROWS:
        effects.season_is_stale_by_line(book, seq, now)
    return seq


def every(book: Scope, kind: str | None = None) -> Iterator[Row]:
    """Yield the latest revision of the rows of one type, or of all types."""
    found = book.refs.filter(gone=False).order_by("type", "ident")
    if kind is not None:
        found = found.filter(type=kind)
    for row in found:
        yield Row(row.type, row.ident, row.rev, orjson.loads(row.text))


def one(nursery: str, kind: str, ident: str) -> Row:
    """Return the latest revision of one row.

    Raises:
        Unknown: there is no such row.
    """
    with scope(nursery) as book:
        row = book.refs.filter(type=kind, ident=ident, gone=False).first()
    if row is None:
        raise Unknown(kind, ident)
    return Row(row.type, row.ident, row.rev, orjson.loads(row.text))
