"""The release file of a consignment, read from the book with what proves it.

Read without a transaction: where somebody wrote meanwhile it is read again, so that the facts, the
records and the tree over the feed are of one moment.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import orjson

from nursery.domain import entry, notices
from nursery.domain.book import Book
from nursery.domain.chain import START
from nursery.domain.release_file.facts import Rows, compose
from nursery.domain.release_file.told import Records, Told, concerning, places_of
from nursery.services import kept_photos, outlook, photos
from nursery.services.errors import Unknown
from nursery.store import lines
from nursery.store.models import RefRow
from nursery.store.scope import Scope, scope

# Somebody who writes all the while is waited for no longer than this.
MOST_TRIES = 4
# Free words may have to be blanked one day, and a file that was handed over cannot be.
LEFT_OUT = frozenset(("noted",))
# Rows whose every revision is evidence. Those of people hold their PIN's hash and stay here.
EVIDENCE = ("consignment", "permit", "crop", "pest", "place")


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the feed as it is handed over; its hash and its link follow from these."""

    seq: int
    ident: str
    previous: str
    text: str


@dataclass(frozen=True, slots=True)
class Release:
    """The facts of one consignment, the lines of the feed behind them, and the links of all lines.

    `links` are those of the whole feed up to line `size`, which came in at `at`.
    """

    nursery: str
    consignment: str
    facts: Mapping[str, Any]
    lines: tuple[Line, ...]
    links: tuple[str, ...]
    at: datetime

    @property
    def size(self) -> int:
        return len(self.links)


def read(nursery: str, consignment: str, now: datetime) -> Release:
    """Return the release file of a consignment as of today.

    Raises:
        Unknown: nobody has typed such a consignment, and nothing came with it.
    """
    with scope(nursery) as book:
        size, left = book.head.last_seq, MOST_TRIES
        found = _read(book, consignment, size, now)
        while (last := book.head.last_seq) != size and (left := left - 1):
            size = last
            found = _read(book, consignment, size, now)
    return found


def facts(nursery: str, consignment: str, now: datetime) -> dict[str, Any]:
    """Return the facts alone, as of a line of the feed.

    Raises:
        Unknown: as `read`.
    """
    with scope(nursery) as book:
        size = book.head.last_seq
        records, rows, _ = _records(book, consignment, size)
        today = now.astimezone(book.zone).date()
        return {**_composed(book, records, consignment, rows, today), "as_of_seq": size}


def _read(book: Scope, consignment: str, size: int, now: datetime) -> Release:
    records, rows, texts = _records(book, consignment, size)
    today = now.astimezone(book.zone).date()
    told = {**_composed(book, records, consignment, rows, today), "as_of_seq": size}
    links = lines.links(book, size)
    wanted = [
        (one.seq, one.entry.id, texts[one.seq])
        for one in records.by_id.values()
        if one.entry.kind not in LEFT_OUT
    ]
    wanted += _evidence(book, told["names"], size)
    handed = tuple(
        Line(seq, ident, links[seq - 2] if seq > 1 else START, text)
        for seq, ident, text in sorted(wanted)
    )
    last = book.feed.filter(seq=size).values_list("received_at", flat=True).first()
    return Release(book.ident, consignment, told, handed, tuple(links), last or now)


def _composed(
    book: Scope, records: Records, consignment: str, rows: Rows, today: date
) -> dict[str, Any]:
    """Return the facts, with what is missing of each photo in this office."""
    told = compose(records, consignment, rows, today)
    unseen = {row.sha256 for row in photos.unreadable(book)}
    found = [{**one, "missing": _missing(book, one["sha256"], unseen)} for one in told["photos"]]
    return {**told, "photos": found}


def _missing(book: Scope, digest: str | None, unseen: Collection[str]) -> str | None:
    if digest is None:
        return "not_described"
    if digest in unseen:
        return "unreadable"
    return None if kept_photos.has(book.ident, digest) else "not_sent"


def _records(book: Scope, consignment: str, size: int) -> tuple[Records, Rows, dict[int, str]]:
    """Return the records of a consignment, the rows as typed, and the records' texts by number."""
    known = outlook.read_book(book)
    account = notices.account(consignment, known)
    rows = _rows(book)
    if not account.batches and ("consignment", consignment) not in rows:
        raise Unknown("consignment", consignment)
    told, texts = _told(book, account.batches, known, size)
    return concerning(known, account.batches, told), rows, texts


def _told(
    book: Scope, batches: Iterable[str], known: Book, size: int
) -> tuple[list[Told], dict[int, str]]:
    names = tuple(batches)
    subjects = (*names, *places_of(known, names))
    found, texts = [], {}
    for seq, _, text, received_at in lines.whole_of_subjects(book, subjects, size):
        if text:
            raw = orjson.loads(text)
            found.append(Told(seq, received_at, entry.read(raw), raw["body"]))
            texts[seq] = text
    return found, texts


def _rows(book: Scope) -> Rows:
    """Return the last known words of every row, those out of use as well."""
    return {
        (row.type, row.ident): orjson.loads(row.text)
        for row in RefRow.objects.filter(nursery_id=book.key)
    }


def _evidence(
    book: Scope, names: Mapping[str, Mapping[str, Any]], size: int
) -> list[tuple[int, str, str]]:
    """Return every revision of the rows that the file names, as the feed holds them."""
    wanted = {(kind, ident) for kind in EVIDENCE for ident in names[kind]}
    found = book.feed.filter(seq__lte=size, what__in=EVIDENCE).exclude(type="entry")
    rows = found.values_list("seq", "what", "ident", "text")
    return [(seq, ident, text) for seq, what, ident, text in rows if (what, ident) in wanted]
