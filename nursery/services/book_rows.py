"""What a book's file tells, written as rows of a nursery that is empty."""

import secrets
from base64 import b64decode
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from itertools import islice
from typing import Any

import orjson

from nursery.domain import entry as entries
from nursery.domain.chain import text_hash
from nursery.services import book_file, refold
from nursery.services.book_file import BookFile, BookFileLine
from nursery.services.book_lines import instant, walked
from nursery.services.verify import Line
from nursery.store import each_push, lines
from nursery.store.models import (
    DeviceRow,
    FeedRow,
    InstallRow,
    KeptRawRow,
    RefRow,
    SubjectRow,
    WeatherSeriesRow,
    WeatherYearRow,
)
from nursery.store.scope import Scope

AT_ONCE = 500
_SERIES = ("name", "source", "invented", "sha256", "taken_by")
_RAW = ("code", "field", "install", "device")


@dataclass(slots=True)
class Rows:
    """What the lines so far make of the rows of reference data, and which subjects they name."""

    refs: dict[tuple[str, str], dict[str, Any]] = field(default_factory=dict)
    subjects: dict[str, None] = field(default_factory=dict)
    waiting: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def take(self, line: Line | lines.Line, about: tuple[str, ...]) -> None:
        if line.type == FeedRow.ENTRY:
            if line.set_aside:
                self.waiting[line.ident] = about
            else:
                self.subjects |= dict.fromkeys(about)
        elif line.type == FeedRow.MARK:
            self.subjects |= dict.fromkeys(self.waiting.get(line.ident, ()))
        else:
            row = self.refs.setdefault((line.what, line.ident), {"text": "{}"})
            row |= {"rev": line.rev, "seq": line.seq, "gone": line.type == FeedRow.GONE}
            if line.text:
                row["text"] = line.text

    def keep(self, book: Scope) -> None:
        """Write the rows, and name the subjects."""
        RefRow.objects.bulk_create(
            [
                RefRow(nursery_id=book.key, type=what, ident=ident, **row)
                for (what, ident), row in self.refs.items()
            ],
            AT_ONCE,
        )
        name_subjects(book, self.subjects)


def write(book: Scope, held: BookFile, now: datetime) -> None:
    """Write all of it in the caller's transaction.

    Raises:
        BookFileLine: a line that is not what such a file holds.
    """
    _write_feed(book, held)
    _write_kept_raw(book, held)
    _write_phones(book, held, now)
    _write_weather(book, held)


def _write_feed(book: Scope, held: BookFile) -> None:
    rows = Rows()
    head = book.lock_head()
    walk = walked(held)
    while some := [*islice(walk, AT_ONCE)]:
        written = []
        for line, about in some:
            rows.take(line, about)
            written.append(lines.Line(**line._asdict(), about=about))
            head.last_seq, head.chain = line.seq, line.link
        lines.write(book, written)
    each_push.keep_head(head)
    rows.keep(book)


def name_subjects(book: Scope, subjects: Collection[str]) -> None:
    """Name the subjects, as yet unfolded: whoever reads one meanwhile folds it then and there."""
    names = list(subjects)
    for start in range(0, len(names), AT_ONCE):
        some = names[start : start + AT_ONCE]
        places = refold.places_among(book, some)
        SubjectRow.objects.bulk_create(
            SubjectRow(
                nursery_id=book.key,
                type=SubjectRow.PLACE if subject in places else SubjectRow.BATCH,
                ident=subject,
                state="{}",
                as_of_seq=0,
                stale_from=1,
            )
            for subject in some
        )


def _write_kept_raw(book: Scope, held: BookFile) -> None:
    for number, told in held.lines(book_file.RAW):
        with _line_of(book_file.RAW, number):
            raw = b64decode(told["base64"], validate=True)
            if sha256(raw).hexdigest() != told["hash"]:
                raise ValueError("hash")
            KeptRawRow.objects.create(
                nursery_id=book.key,
                ident=told["id"],
                raw=raw,
                hash=told["hash"],
                received_at=entries.instant(told["received_at"], "received_at"),
                looked_at=instant(told["looked_at"]),
                **{name: told[name] for name in _RAW},
            )


def _write_phones(book: Scope, held: BookFile, now: datetime) -> None:
    """Keep the phones by their names, shut out: each has to join anew."""
    for number, told in held.lines(book_file.PHONES):
        with _line_of(book_file.PHONES, number):
            if "device" in told:
                DeviceRow.objects.create(
                    nursery_id=book.key,
                    ident=told["device"],
                    name=told["name"],
                    secret_hash=text_hash(secrets.token_hex()),
                    joined_at=entries.instant(told["joined_at"], "joined_at"),
                    revoked_at=instant(told["revoked_at"]) or now,
                )
            else:
                InstallRow.objects.create(
                    nursery_id=book.key,
                    ident=told["install"],
                    device=told["of"],
                    app=told["app"],
                    n_max=told["n_max"],
                    n_missing=told["n_missing"],
                    unsent=told["unsent"],
                    last_seen_at=instant(told["last_seen_at"]),
                    replaced_at=instant(told["replaced_at"]),
                )


def _write_weather(book: Scope, held: BookFile) -> None:
    for number, told in held.lines(book_file.WEATHER):
        with _line_of(book_file.WEATHER, number):
            if "series" in told:
                WeatherSeriesRow.objects.create(
                    nursery_id=book.key,
                    ident=told["series"],
                    taken_at=entries.instant(told["taken_at"], "taken_at"),
                    **{name: told[name] for name in _SERIES},
                )
            else:
                orjson.loads(told["text"])
                WeatherYearRow.objects.create(
                    nursery_id=book.key, series=told["of"], year=told["year"], text=told["text"]
                )


@contextmanager
def _line_of(name: str, number: int) -> Iterator[None]:
    try:
        yield
    except KeyError as lack:
        raise BookFileLine(name, number, f"it lacks {lack.args[0]}") from None
    except (ValueError, TypeError) as fault:
        raise BookFileLine(name, number, f"it cannot be read ({fault})"[:120]) from None
