"""A taken-away book that comes to an empty server: slice by slice to the disk, then looked through.

There is nobody yet who could sign in, so one file waits at a time, and none once there is a
nursery. Its bytes lie in the data folder as `coming/NAME/book.zip`; nothing of it is believed
before all of it was looked through.
"""

import re
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import orjson
from django.conf import settings

from nursery.domain import reference
from nursery.services import book_file, book_lines, bring_in
from nursery.services.book_file import BookFileUnreadable
from nursery.services.bring_in import Account
from nursery.services.errors import NurseryThere, Refused, Unknown
from nursery.store import models
from nursery.store.models import FeedRow, NurseryRow

NAME = re.compile(r"[0-9a-f]{32}")
FILE = "book.zip"
MOST_SLICE = 8 << 20
LONGEST_NAME = 80
PRIVATE_FOLDER = 0o700
# Photos and lines stand in the file and then in the book; a little is left for all else.
TIMES, SPARE = 2, 256 << 20


class BookNoRoom(Refused):
    """The disk of this computer cannot take the file and the book that is made of it."""

    code = "book_no_room"
    status = 507


class BookSliceDiffers(Refused):
    """A slice that does not go on where the last one ended, or is longer than was announced."""

    code = "book_slice_differs"
    status = 409


@dataclass(frozen=True, slots=True)
class Told:
    """What a book holds: whose it is, up to when, and by which key its list was signed."""

    name: str
    zone: str
    lines: int
    records: int
    first: datetime | None
    last: datetime | None
    photos: int
    lost: int
    growers: tuple[str, ...]
    fingerprint: str


def begin(size: int, called: str = FILE) -> str:
    """Make ready for a file of so many bytes, and return by which name it goes on.

    `called` is what its owner calls it, to be told where it cannot be read.

    Raises:
        NurseryThere: the server is not empty.
        BookNoRoom: it would not fit.
    """
    _still_empty()
    clear()
    folder = _folder()
    folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    free = shutil.disk_usage(folder).free - SPARE
    if size * TIMES > free:
        raise BookNoRoom(value=size, most=max(0, free // TIMES))
    name = secrets.token_hex(16)
    (folder / name).mkdir(mode=PRIVATE_FOLDER)
    (folder / name / FILE).touch()
    (folder / name / "size").write_text(str(size), encoding="ascii")
    (folder / name / "called").write_text(called[:LONGEST_NAME], encoding="utf-8")
    return name


def append(name: str, at: int, piece: bytes) -> int:
    """Add a slice that begins at a byte; return up to which byte the file has come.

    Raises:
        Unknown: no such file is on its way.
        BookSliceDiffers: it does not go on there.
    """
    file = _file(name)
    size = int((file.parent / "size").read_text(encoding="ascii"))
    came = file.stat().st_size
    if at != came or came + len(piece) > size or len(piece) > MOST_SLICE:
        raise BookSliceDiffers(value=at, offset=came)
    with file.open("ab") as whole:
        whole.write(piece)
    return came + len(piece)


def look(name: str) -> Told:
    """Look a file through that has come whole, each line against the chain. Nothing is written.

    Raises:
        Unknown: no such file is on its way.
        BookFileUnfit: what is wrong with it.
    """
    with _named(_file(name)) as file, book_file.opened(file) as held:
        whose = bring_in.settings_of(held)
        records, moments, people = 0, list[datetime](), dict[str, dict[str, Any]]()
        for line, _ in book_lines.walked(held):
            if line.type == FeedRow.ENTRY:
                records += 1
                if line.occurred_at is not None:
                    moments = [min([*moments, line.occurred_at]), max([*moments, line.occurred_at])]
            elif line.what == "person" and line.text:
                people[line.ident] = orjson.loads(line.text)
        return Told(
            whose["name"],
            whose["zone"],
            whose["lines"],
            records,
            moments[0] if moments else None,
            moments[1] if moments else None,
            len(held.photos),
            len(held.lost),
            tuple(_growers(people)),
            held.fingerprint,
        )


def _growers(people: dict[str, dict[str, Any]]) -> list[str]:
    grower = reference.Role.GROWER.value
    rows = (one for _, one in sorted(people.items()) if one.get("role") == grower)
    return [str(one.get("name", "")) for one in rows if one.get("erased") is None]


def take(name: str, account: Account, now: datetime) -> models.Account:
    """Bring the book in as the first of this server; return the account of its first grower.

    Raises:
        NurseryThere: the server is not empty any more.
        Refused: what `look` turns down, or what is wrong with the account.
    """
    _still_empty()
    with _named(_file(name)) as file:
        bring_in.bring_in(file, None, now, account)
    clear()
    return models.Account.objects.get(email=account.email.strip().lower())


@contextmanager
def _named(file: Path) -> Iterator[Path]:
    """Give the file; where it cannot be read that is told of it as its owner calls it."""
    try:
        yield file
    except BookFileUnreadable:
        called = (file.parent / "called").read_text(encoding="utf-8")
        raise BookFileUnreadable(value=called) from None


def clear() -> None:
    """Throw away whatever came and was not taken."""
    shutil.rmtree(_folder(), ignore_errors=True)


def _still_empty() -> None:
    if there := NurseryRow.objects.order_by("pk").first():
        raise NurseryThere(value=there.name)


def _file(name: str) -> Path:
    file = _folder() / name / FILE
    if not NAME.fullmatch(name) or not file.is_file():
        raise Unknown("book", name[:40])
    return file


def _folder() -> Path:
    return Path(settings.DATA) / "coming"
