"""Bring a restored book up to date with the lines that were copied after its backup.

A line is taken as it was stored: same number, same hash, same link. What else was written with it
follows from it here as well: the rows of reference data, the numbers of installs, what was erased,
what is stale. All lines of a nursery are taken in one transaction, and its chain is walked before
that is committed; lines after which it would not hold are left out, and phones send theirs.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from itertools import islice
from pathlib import Path

import orjson
from django.db import DataError, IntegrityError

from nursery.domain import entry as entries
from nursery.domain import numbers
from nursery.domain.season_sheet import growth
from nursery.services import (
    book_rows,
    clock,
    effects,
    erasure,
    feed_copy,
    marks,
    nurseries,
    refold,
    verify,
)
from nursery.services.verify import Line
from nursery.store import each_push, lines
from nursery.store.models import FeedRow, HeadRow, InstallRow, RefRow
from nursery.store.scope import Scope, scope

AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Taken:
    """How many lines of a nursery were taken from beside a backup, and what did not hold there."""

    nursery: str
    lines: int
    faults: tuple[str, ...]


class _Unsound(Exception):
    """With these lines the chain would not hold."""


def take_all(place: Path) -> list[Taken]:
    """Take for every nursery what lies beside the backups in a folder and rests on its book."""
    return [take(nursery, place) for nursery in nurseries.every()]


def take(nursery: str, place: Path) -> Taken:
    """Take for one nursery the copied lines that rest on the last line of its book.

    Raises:
        NoSuchNursery: no nursery is called so.
    """
    faults: dict[str, str] = {}
    count = 0
    try:
        with scope(nursery, write=True) as book:
            head = book.lock_head()
            count = _write(book, head, place, faults)
            if count:
                _look_through(nursery)
    except (_Unsound, IntegrityError, DataError) as fault:
        count = 0
        faults["lines"] = f"with them the book would not hold ({str(fault)[:120]})"
    refold.stale(nursery)
    return Taken(nursery, count, tuple(f"{name}: {why}" for name, why in faults.items()))


def _look_through(nursery: str) -> None:
    if broken := verify.chain(nursery, most=1):
        raise _Unsound(broken[0])


def _write(book: Scope, head: HeadRow, place: Path, faults: dict[str, str]) -> int:
    first, follows = head.last_seq, _Follows(book)
    copied = feed_copy.following(place, book.ident, head.last_seq, head.chain, faults)
    while some := [*islice(copied, AT_ONCE)]:
        lines.write(book, [lines.Line(**line._asdict(), about=about) for line, about in some])
        head.last_seq, head.chain = some[-1][0].seq, some[-1][0].link
        each_push.keep_head(head)
        follows.from_lines(some)
    if head.last_seq > first:
        follows.to_the_end(head.last_seq)
    return head.last_seq - first


@dataclass(slots=True)
class _Follows:
    """What follows from lines besides themselves."""

    book: Scope
    subjects: set[str] = field(default_factory=set)
    everything: bool = False

    def from_lines(self, some: Iterable[tuple[Line, tuple[str, ...]]]) -> None:
        came: dict[str, list[int]] = defaultdict(list)
        told, now = [], clock.now()
        for line, about in some:
            match line.type:
                case FeedRow.ENTRY:
                    if not line.set_aside:
                        self.subjects |= {*about}
                    if line.install is not None and line.n is not None:
                        came[line.install].append(line.n)
                    if line.text:
                        told.append((line.seq, entries.read(orjson.loads(line.text))))
                case FeedRow.MARK:
                    self._mark(line)
                case _:
                    self._row(line, now)
        _numbers(self.book, came, {entry.install: entry.device for _, entry in told})
        if told:
            effects.after_entries(self.book, [entry for _, entry in told], told[-1][0], now)

    def _mark(self, line: Line) -> None:
        self.subjects |= {*lines.subjects_of(self.book, line.ident)}
        if line.what == marks.ERASED:
            self.book.entries.filter(ident=line.ident).update(text="")

    def _row(self, line: Line, now: datetime) -> None:
        """Keep a revision as the latest; who was erased in it is forgotten here as well."""
        book = self.book
        values: dict[str, object] = {"rev": line.rev, "seq": line.seq}
        values["gone"] = line.type == FeedRow.GONE
        if line.text:
            values["text"] = line.text
        RefRow.objects.update_or_create(
            nursery_id=book.key, type=line.what, ident=line.ident, defaults=values
        )
        # What a place is called makes a batch's state a place's; who is a grower lifts suspicions.
        self.everything |= line.what in ("place", erasure.PERSON)
        if line.what == erasure.PERSON and line.text:
            told = orjson.loads(line.text)
            if told.get("erased") is not None:
                earlier = book.feed.filter(type=FeedRow.ROW, what=line.what, ident=line.ident)
                earlier.filter(rev__lt=line.rev).exclude(text="").update(text="")
                erasure.forget_account(book, line.ident, str(told["name"]))
        effects.outlook_is_stale(book, line.seq, now)
        if line.what in growth.ROWS:
            effects.season_is_stale_by_line(book, line.seq, now)

    def to_the_end(self, seq: int) -> None:
        """Mark the states that are to be folded anew; subjects that are new get one."""
        known = set(self.book.subjects.values_list("ident", flat=True))
        book_rows.name_subjects(self.book, sorted(self.subjects - known))
        stale = sorted(known if self.everything else known & self.subjects)
        for start in range(0, len(stale), AT_ONCE):
            some = self.book.subjects.filter(ident__in=stale[start : start + AT_ONCE])
            some.update(stale_from=seq)


def _numbers(book: Scope, came: dict[str, list[int]], devices: dict[str, str]) -> None:
    """Note which numbers of each install came, or the next push would tell of a hole."""
    for install, some in came.items():
        row = book.installs.filter(ident=install).first()
        if row is None:
            row = InstallRow(nursery_id=book.key, ident=install, device=devices.get(install, ""))
        row.n_max, row.n_missing = numbers.take(row.n_max, row.n_missing, some)
        row.save()
