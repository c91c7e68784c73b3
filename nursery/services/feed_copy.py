"""What was written since the last backup, copied beside it within seconds, line by line.

A backup is made once a day, since it is tried out whole. What comes after it would lie on the
phones alone, and what was written at a desk nowhere else. So every new line of the feed is appended
to a file beside the backups and flushed: `lines/NURSERY/WHEN.jsonl` in their folder, first what the
file is, then lines as a book's file has them (`exports`). A new file begins with each tried backup
and goes on where the one before ended, so that an older backup can be brought up to date as well.

Each line rests on the one before by its link. Whoever brings a backup back (`feed_replay`) takes
from these files the lines that rest on its last, and no others: what another branch of the book
held after an earlier restore fits nowhere.
"""

import fcntl
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO, NamedTuple
from urllib.parse import quote

import orjson

from nursery.domain import chain
from nursery.services import backup_place, book_lines, clock, disk, exports, nurseries
from nursery.services.errors import Refused
from nursery.services.verify import Line
from nursery.store import lines
from nursery.store.models import BackupRow
from nursery.store.scope import Scope, scope

log = logging.getLogger("nursery.jobs")

FOLDER = "lines"
FORMAT = "lines 1"
# As many as there are latest backups: with the oldest of them all that came since is there.
KEPT_FILES = 14
PRIVATE_FOLDER = 0o700
PRIVATE_FILE = 0o600
SLICE = 1 << 16


class End(NamedTuple):
    """Where a file of lines ends: number and link of its last whole line, and its bytes so far."""

    seq: int
    link: str
    bytes: int


def copy() -> int:
    """Append what came since the last copy, and return how many lines that were.

    A folder that cannot be written to is told by `oldest_waiting`; the next call tries again.
    """
    count = 0
    place = backup_place.for_next()
    for nursery in nurseries.every():
        with scope(nursery) as book:
            try:
                count += _copy(book, _folder(place, nursery))
            except OSError as error:
                log.warning("lines cannot be copied beside the backups: %s", error)
    return count


def _is_whole(book: Scope, folder: Path) -> bool:
    head, end = book.head, _end_of_newest(folder)
    return (head.last_seq, head.chain) == ((0, chain.START) if end is None else end[:2])


def oldest_waiting() -> datetime | None:
    """Return since when the oldest line waits to be copied, None where none does."""
    place, found = backup_place.for_next(), []
    for nursery in nurseries.every():
        with scope(nursery) as book:
            folder = _folder(place, nursery)
            if not _is_whole(book, folder):
                after = _begins_after(book, _end_of_newest(folder))
                since = book.feed.filter(seq__gt=after).order_by("seq")
                found.append(since.values_list("received_at", flat=True).first())
    return min((at for at in found if at is not None), default=None)


def _copy(book: Scope, folder: Path) -> int:
    folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    with _alone(folder):
        until = book.head.last_seq
        newest, end = _newest(folder), _end_of_newest(folder)
        after = _begins_after(book, end)
        if after >= until:
            return 0
        if newest is None or end is None or end.seq != after or _is_of_older_backup(newest):
            file = folder / f"{clock.unshifted():%Y%m%dT%H%M%S%f}.jsonl"
            with _private(file) as new:
                head = {"format": FORMAT, "nursery": book.ident, "after": after}
                new.write(_written({**head, "link": lines.link_at(book, after)}))
                _append(new, book, until, after)
            disk.flush_names(folder)
            _thin_out(folder)
        else:
            with newest.open("r+b") as old:
                old.truncate(end.bytes)  # what a power cut left of a line is no line
                old.seek(end.bytes)
                _append(old, book, until, after)
        return until - after


def _append(file: BinaryIO, book: Scope, until: int, after: int) -> None:
    file.writelines(exports.feed(book, until, after))
    file.flush()
    os.fsync(file.fileno())


def _begins_after(book: Scope, end: End | None) -> int:
    """Return the number of the last line that lies in a copy already, or in a tried backup."""
    if end is not None and lines.link_at(book, end.seq) == end.link:
        return end.seq
    tried = BackupRow.objects.exclude(tested_at=None).order_by("-made_at", "-pk").first()
    return 0 if tried is None else min(tried.heads.get(book.ident, 0), book.head.last_seq)


def _is_of_older_backup(file: Path) -> bool:
    made_at = datetime.strptime(file.stem + "+0000", "%Y%m%dT%H%M%S%f%z")
    return BackupRow.objects.exclude(tested_at=None).filter(made_at__gt=made_at).exists()


def _files(folder: Path) -> list[Path]:
    return sorted(folder.glob("*.jsonl"))


def _newest(folder: Path) -> Path | None:
    return next(reversed(_files(folder)), None)


def _end_of_newest(folder: Path) -> End | None:
    """Return where the newest file ends, None where there is none or its end cannot be read."""
    file = _newest(folder)
    if file is None:
        return None
    with file.open("rb") as content:
        whole, raw = _last_line(content)
    try:
        told = orjson.loads(raw)
        seq, link = told["number" if "number" in told else "after"], told["link"]
    except (ValueError, KeyError, TypeError):
        return None
    return End(seq, link, whole)


def _last_line(content: BinaryIO) -> tuple[int, bytes]:
    """Return up to where the lines are whole, and the last of them."""
    start = content.seek(0, os.SEEK_END)
    tail = b""
    while start > 0 and tail.count(b"\n") < 2:
        step = min(SLICE, start)
        start = content.seek(start - step)
        tail = content.read(step) + tail
    whole = tail[: tail.rfind(b"\n") + 1]
    return start + len(whole), whole[:-1].rpartition(b"\n")[2]


def _thin_out(folder: Path) -> None:
    for file in _files(folder)[:-KEPT_FILES]:
        file.unlink()


def following(
    place: Path, nursery: str, seq: int, link: str, faults: dict[str, str]
) -> Iterator[tuple[Line, tuple[str, ...]]]:
    """Yield the copied lines that rest on a line, in order, each with the subjects that it names.

    Args:
        place: the folder of the backups.
        nursery: whose lines.
        seq: the number of the line on which the first must rest, 0 for none.
        link: its link.
        faults: filled with why a file could not be read to its end, by its name.
    """
    files = _files(_folder(place, nursery))
    more = True
    while more:
        more = False
        # The newest first: it is of the branch on which the book went on.
        for file in reversed(files):
            for line, about in _read(file, seq, faults):
                if line.seq != seq + 1 or line.link != _link(link, line):
                    break
                yield line, about
                seq, link, more = line.seq, line.link, True
            if more:
                break


def _read(file: Path, after: int, faults: dict[str, str]) -> Iterator[tuple[Line, tuple[str, ...]]]:
    """Yield the lines of a file above a number for as long as each rests on the one before."""
    with file.open("rb") as content:
        try:
            head = orjson.loads(content.readline())
            link = head["link"]
        except (ValueError, KeyError, TypeError):
            faults[file.name] = "its first line cannot be read"
            return
        if head.get("format") != FORMAT:
            faults[file.name] = f"its format is {head.get('format')}, not {FORMAT}"
            return
        for number, raw in enumerate(content, 2):
            if not raw.endswith(b"\n"):
                return  # the power went while it was written
            try:
                line, about = book_lines.read(number, orjson.loads(raw))
                _look_through(line, link)
            except (ValueError, TypeError, Refused) as fault:
                faults[file.name] = f"line {number} is not as it was written ({_why(fault)})"
                return
            link = line.link
            if line.seq > after:
                yield line, about


def _look_through(line: Line, link: str) -> None:
    if line.text and chain.text_hash(line.text) != line.hash:
        raise ValueError("its text")
    if line.link != _link(link, line):
        raise ValueError("its link")


def _why(fault: Exception) -> str:
    return str(fault.params["why"] if isinstance(fault, Refused) else fault)[:80]


def _link(before: str, line: Line) -> str:
    return chain.link(before, line.seq, line.ident, line.hash)


def _folder(place: Path, nursery: str) -> Path:
    return place / FOLDER / quote(nursery, safe="")


def _private(file: Path) -> BinaryIO:
    """Begin a file that this user alone reads."""
    return os.fdopen(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, PRIVATE_FILE), "wb")


def _written(told: dict[str, Any]) -> bytes:
    return orjson.dumps(told, option=orjson.OPT_APPEND_NEWLINE)


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Let one process at a time append here: a job whose lease ran out may still be at work."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)
