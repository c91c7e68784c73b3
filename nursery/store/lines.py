"""Writing and reading lines of the feed by plain SQL, where rows by the hundred pass.

Lines are written past the models (`many`), since building instances would cost more than the
insert; texts are read by one join of `about` and `feed`.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any

import orjson
from django.db import connection

from nursery.domain import chain
from nursery.domain import entry as entries
from nursery.domain.entry import Entry
from nursery.store import many, models
from nursery.store.scope import Scope


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the feed, numbered and chained, ready to be written."""

    seq: int
    type: str
    what: str
    ident: str
    rev: int
    text: str
    hash: str
    link: str
    received_at: datetime
    occurred_at: datetime | None = None
    install: str | None = None
    n: int | None = None
    set_aside: bool = False
    about: tuple[str, ...] = ()


# Columns and their types on PostgreSQL.
_FEED = {
    "nursery_id": "bigint", "seq": "bigint", "type": "text", "what": "text", "ident": "text",
    "rev": "bigint", "text": "text", "hash": "text", "link": "text", "received_at": "timestamptz",
    "occurred_at": "timestamptz", "install": "text", "n": "bigint", "set_aside": "boolean",
}  # fmt: skip
_ABOUT = {"nursery_id": "bigint", "subject": "text", "seq": "bigint"}


def write(book: Scope, lines: Sequence[Line]) -> None:
    """Insert lines into the feed, and for entries which subjects they name."""
    at = connection.ops.adapt_datetimefield_value
    # Those of one push have come at one instant.
    received = {moment: at(moment) for moment in {line.received_at for line in lines}}
    rows = [
        (
            book.key, line.seq, line.type, line.what, line.ident, line.rev, line.text, line.hash,
            line.link, received[line.received_at], None if line.occurred_at is None
            else at(line.occurred_at), line.install, line.n, line.set_aside,
        )
        for line in lines
    ]  # fmt: skip
    if rows:
        many.insert("feed", _FEED, rows)
    about = [(book.key, subject, line.seq) for line in lines for subject in line.about]
    if about:
        many.insert("about", _ABOUT, about)


Rows = list[tuple[Any, ...]]

# SQLite would begin with the feed, which is all of the book; there a CROSS JOIN keeps the order.
THEN = {"sqlite": "CROSS JOIN", "postgresql": "JOIN"}

# The second condition is that of the index of lines that are no entries.
_RELEASED = """EXISTS (SELECT 1 FROM feed m WHERE m.nursery_id = f.nursery_id AND m.type = 'mark'
    AND NOT m.type = 'entry' AND m.what = 'release' AND m.ident = f.ident)"""

# What is set aside counts once it was released.
COUNTS = f"(NOT f.set_aside OR {_RELEASED})"

_OF_SUBJECTS = """SELECT a.subject, f.seq, f.text FROM about a
    {then} feed f ON f.nursery_id = a.nursery_id AND f.seq = a.seq
    WHERE a.nursery_id = %s AND a.seq > %s AND a.subject IN ({names})
    AND (NOT f.set_aside OR {released})"""


@lru_cache(maxsize=20_000)
def _entry(text: str) -> Entry:
    """Decode an entry; the batches of a round are read again with each push about them."""
    return entries.read(orjson.loads(text))


# SQLite takes at most 32 766 parameters in one statement.
_AT_ONCE = 5000


def of_subjects(book: Scope, subjects: Iterable[str], *, after: int = 0) -> dict[str, list[Entry]]:
    """Return the entries that name each subject and count: neither erased nor set aside.

    An entry that names several of them is parsed once.
    """
    found: dict[str, list[Entry]] = defaultdict(list)
    parsed: dict[int, Entry | None] = {}
    names = sorted(set(subjects))
    with connection.cursor() as cursor:
        for start in range(0, len(names), _AT_ONCE):
            some = names[start : start + _AT_ONCE]
            marks = ", ".join(["%s"] * len(some))
            then = THEN[connection.vendor]
            sql = _OF_SUBJECTS.format(then=then, names=marks, released=_RELEASED)
            cursor.execute(sql, [book.key, after, *some])
            _gather(cursor.fetchall(), parsed, found)
    return found


def _gather(rows: Rows, parsed: dict[int, Entry | None], found: dict[str, list[Entry]]) -> None:
    for subject, seq, text in rows:
        if seq not in parsed:
            parsed[seq] = _entry(text) if text else None
        entry = parsed[seq]
        if entry is not None:
            found[subject].append(entry)


# PostgreSQL would take the numbers in a list of values for text.
_NEWER = """WITH known(subject, seq) AS (VALUES {known})
    SELECT a.subject, f.seq, f.text FROM known k
    {then} about a ON a.nursery_id = %s AND a.subject = k.subject AND a.seq > k.seq
    {then} feed f ON f.nursery_id = a.nursery_id AND f.seq = a.seq
    WHERE NOT f.set_aside OR {released}"""


def newer(book: Scope, known: Mapping[str, int]) -> dict[str, list[Entry]]:
    """Return what counts about each subject after the number up to which it is known."""
    found: dict[str, list[Entry]] = defaultdict(list)
    parsed: dict[int, Entry | None] = {}
    pairs = sorted(known.items())
    with connection.cursor() as cursor:
        for start in range(0, len(pairs), _AT_ONCE):
            some = pairs[start : start + _AT_ONCE]
            marks = ", ".join(["(%s, CAST(%s AS bigint))"] * len(some))
            sql = _NEWER.format(known=marks, then=THEN[connection.vendor], released=_RELEASED)
            cursor.execute(sql, [*(value for pair in some for value in pair), book.key])
            _gather(cursor.fetchall(), parsed, found)
    return found


def named_between(book: Scope, subjects: Iterable[str], after: int, before: int) -> set[str]:
    """Return which of the subjects an entry with `after < seq < before` names."""
    rows = models.AboutRow.objects.filter(
        many.among("subject", subjects), nursery_id=book.key, seq__gt=after, seq__lt=before
    )
    return set(rows.values_list("subject", flat=True))


def link_at(book: Scope, seq: int) -> str:
    """Return the link of a line, or where the chain starts."""
    row = book.feed.filter(seq=seq).values_list("link", flat=True).first()
    return chain.START if row is None else row


_LINKS = "SELECT link FROM feed WHERE nursery_id = %s AND seq <= %s ORDER BY seq"


def links(book: Scope, until: int) -> list[str]:
    """Return the link of every line up to a number, in order."""
    with connection.cursor() as cursor:
        cursor.execute(_LINKS, [book.key, until])
        return [link for (link,) in cursor.fetchall()]


_WHOLE = """SELECT DISTINCT f.seq, f.ident, f.text, f.received_at FROM about a
    {then} feed f ON f.nursery_id = a.nursery_id AND f.seq = a.seq
    WHERE a.nursery_id = %s AND a.seq <= %s AND a.subject IN ({names})
    AND (NOT f.set_aside OR {released}) ORDER BY f.seq"""


def whole_of_subjects(
    book: Scope, subjects: Iterable[str], until: int
) -> list[tuple[int, str, str, datetime]]:
    """Return number, id, text and reception of every entry that names a subject and counts."""
    names = sorted(set(subjects))
    found: dict[int, tuple[int, str, str, datetime]] = {}
    with connection.cursor() as cursor:
        for start in range(0, len(names), _AT_ONCE):
            some = names[start : start + _AT_ONCE]
            marks = ", ".join(["%s"] * len(some))
            then = THEN[connection.vendor]
            sql = _WHOLE.format(then=then, names=marks, released=_RELEASED)
            cursor.execute(sql, [book.key, until, *some])
            found |= {row[0]: row for row in cursor.fetchall()}
    return [found[seq] for seq in sorted(found)]


# Columns are what reading costs, and of nearly all lines these three are told. What the others need
# comes as JSON in a fourth: type, what, revision, hash and whether it is set aside; else NULL.
_TOLD = """f.seq, f.ident, f.text, CASE
    WHEN f.type = 'entry' AND f.text <> '' AND NOT f.set_aside THEN NULL
    ELSE CAST({array}(f.type, f.what, f.rev, f.hash, f.set_aside) AS text) END"""
_ARRAY = {"sqlite": "json_array", "postgresql": "json_build_array"}

_PULL = """SELECT {told} FROM feed f
    WHERE f.nursery_id = %s AND f.seq > %s AND f.seq <= %s ORDER BY f.seq LIMIT %s"""


# Number, id, text, and the rest as JSON; None for an entry that counts and has its text.
Told = list[tuple[int, str, str, str | None]]


def _told() -> str:
    return _TOLD.format(array=_ARRAY[connection.vendor])


def page(book: Scope, after: int, until: int, limit: int) -> Iterator[Told]:
    """Yield lines of the feed with `after < seq <= until`, in order, some at a time."""
    with connection.cursor() as cursor:
        cursor.execute(_PULL.format(told=_told()), [book.key, after, until, limit])
        while rows := cursor.fetchmany(500):
            yield rows


_LATEST_ROWS = """SELECT {told} FROM ref r
    JOIN feed f ON f.nursery_id = r.nursery_id AND f.seq = r.seq
    WHERE r.nursery_id = %s AND r.seq <= %s AND NOT r.gone ORDER BY f.seq"""

# A window of numbers at a time, so that no snapshot holds a whole book in memory.
# A subject that was closed after the snapshot's number counts as live; what waits, waits for all.
_OF_LIVE = """SELECT {told} FROM feed f WHERE f.nursery_id = %s AND f.seq > %s AND f.seq <= %s
    AND (f.type = 'mark' OR f.set_aside OR f.type = 'entry' AND f.seq IN (
        SELECT a.seq FROM subject s
        {then} about a ON a.nursery_id = s.nursery_id AND a.subject = s.ident
        WHERE s.nursery_id = %s AND (NOT s.closed OR s.as_of_seq > %s)
        AND a.seq > %s AND a.seq <= %s))
    ORDER BY f.seq"""

_WINDOW = 5000


def latest_rows(book: Scope, until: int) -> Iterator[Told]:
    """Yield the latest revision of every row of reference data that is still there."""
    with connection.cursor() as cursor:
        cursor.execute(_LATEST_ROWS.format(told=_told()), [book.key, until])
        if rows := cursor.fetchall():
            yield rows


def of_live_subjects(book: Scope, until: int) -> Iterator[Told]:
    """Yield every entry that names a subject which is not closed, and every mark, in order."""
    sql = _OF_LIVE.format(told=_told(), then=THEN[connection.vendor])
    with connection.cursor() as cursor:
        for start in range(0, until, _WINDOW):
            last = min(start + _WINDOW, until)
            window = [book.key, start, last]
            cursor.execute(sql, [*window, book.key, until, start, last])
            if rows := cursor.fetchall():
                yield rows


_OF_KINDS = """SELECT f.text FROM feed f WHERE f.nursery_id = %s AND f.type = 'entry'
    AND f.what IN ({names}) AND (NOT f.set_aside OR {released}) ORDER BY f.seq"""


def of_kinds(book: Scope, kinds: Iterable[str]) -> list[Entry]:
    """Return every entry of these kinds that counts, in the order of the feed."""
    names = sorted(kinds)
    marks = ", ".join(["%s"] * len(names))
    with connection.cursor() as cursor:
        sql = _OF_KINDS.format(names=marks, released=_RELEASED)
        cursor.execute(sql, [book.key, *names])
        return [entries.read(orjson.loads(text)) for (text,) in cursor.fetchall() if text]


def raw_of_subject(book: Scope, subject: str) -> list[tuple[int, datetime, bool, object]]:
    """Return each entry that names a subject as it was sent: number, reception, set aside, JSON."""
    seqs = models.AboutRow.objects.filter(nursery_id=book.key, subject=subject).values("seq")
    found = book.feed.filter(seq__in=seqs).order_by("occurred_at", "ident")
    return [
        (row.seq, row.received_at, row.set_aside, orjson.loads(row.text) if row.text else None)
        for row in found
    ]


def set_aside(book: Scope) -> list[tuple[str, int, str, datetime | None]]:
    """Return the entries that wait for their day: id, number, kind, when they say it happened."""
    released = book.feed.filter(type=models.FeedRow.MARK, what="release").values("ident")
    waiting = book.entries.filter(set_aside=True).exclude(ident__in=released)
    return list(waiting.order_by("seq").values_list("ident", "seq", "what", "occurred_at"))


def subjects_of(book: Scope, ident: str) -> list[str]:
    """Return the subjects that an entry names."""
    seqs = book.entries.filter(ident=ident).values("seq")
    about = models.AboutRow.objects.filter(nursery_id=book.key, seq__in=seqs)
    return list(about.values_list("subject", flat=True))
