"""The file that a whole book is taken away in, written member by member to the disk.

No part of it but one line, one photo and one table's row is in memory at a time. The list of its
members with their hashes comes last, and is signed as release files are.
"""

import os
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import orjson

from nursery.domain.entry import write_instant
from nursery.paper import export_forms, export_readme, export_tables
from nursery.services import book_file, clock, exports, kept_photos, outlook, signing
from nursery.services.signing import Signer
from nursery.store.scope import Scope, scope


class _Pack:
    """A zip that is being written, with the hash and size of what went in."""

    def __init__(self, pack: zipfile.ZipFile, now: datetime) -> None:
        self._pack = pack
        self._at = now.timetuple()[:6]
        self.members: dict[str, dict[str, Any]] = {}

    def add(self, name: str, parts: Iterable[bytes], *, shrink: bool = True) -> None:
        one = zipfile.ZipInfo(name, self._at)
        one.compress_type = zipfile.ZIP_DEFLATED if shrink else zipfile.ZIP_STORED
        one.external_attr = 0o600 << 16
        found, size = sha256(), 0
        with self._pack.open(one, "w", force_zip64=True) as member:
            for part in parts:
                member.write(part)
                found.update(part)
                size += len(part)
        self.members[name] = {"sha256": found.hexdigest(), "bytes": size}


def make_next(nursery: str) -> Path:
    """Make a file in the nursery's own folder of such files; return where it lies."""
    file = exports.next_file(nursery)
    make(nursery, file, clock.now())
    return file


def make(nursery: str, file: Path, now: datetime) -> None:
    """Write the whole book of a nursery into a file, which stands there whole or not at all.

    Raises:
        NoSuchNursery: no nursery is called so.
        NothingToSignWith: the installation has no signing key.
        OSError: the file cannot be written.
    """
    signer = signing.of(nursery)
    with scope(nursery) as book, _draft(file) as draft, zipfile.ZipFile(draft, "w") as zipped:
        pack = _Pack(zipped, now)
        _fill(pack, book, now)
        _seal(pack, signer, now)


def _fill(pack: _Pack, book: Scope, now: datetime) -> None:
    # The states first: so the feed holds every line that a table rests on.
    states = outlook.read_book(book)
    head = {**exports.head_of(book), "made_at": write_instant(now)}
    pack.add(book_file.README, [export_readme.text(head)])
    pack.add(book_file.SETTINGS, [orjson.dumps(head, option=orjson.OPT_INDENT_2)])
    photos: dict[str, None] = {}
    pack.add(book_file.FEED, _noting(book, exports.feed(book, head["lines"]), photos))
    pack.add(book_file.RAW, exports.kept_raw(book))
    pack.add(book_file.PHONES, exports.phones(book))
    pack.add(book_file.WEATHER, exports.weather(book))
    for name, lines in export_tables.every(book, states, head["lines"]):
        pack.add(f"tables/{name}.csv", lines)
    for name, content in export_forms.every(states):
        pack.add(f"forms/{name}", content)
    for digest in sorted(photos):
        photo = kept_photos.read(book.ident, digest)
        if photo is not None:  # one whose bytes went bad proves nothing
            pack.add(book_file.PHOTOS + digest, [photo], shrink=False)


def _noting(book: Scope, lines: Iterable[bytes], photos: dict[str, None]) -> Iterator[bytes]:
    """Yield the lines, and note the photos that they name."""
    for line in lines:
        photos |= dict.fromkeys(exports.photos(book, line))
        yield line


def _seal(pack: _Pack, signer: Signer, now: datetime) -> None:
    told = {"format": book_file.FORMAT, "made_at": write_instant(now), "members": pack.members}
    manifest = orjson.dumps(told, option=orjson.OPT_INDENT_2).decode()
    signed = {"key": signer.public, "fingerprint": signer.fingerprint}
    signed["signature"] = signer.sign(manifest)
    pack.add(book_file.MANIFEST, [manifest.encode()])
    pack.add(book_file.SIGNATURE, [orjson.dumps(signed, option=orjson.OPT_INDENT_2)])


@contextmanager
def _draft(file: Path) -> Iterator[Path]:
    """Give a place to write to, which becomes the file once it is whole and on the disk."""
    draft = file.with_name(file.name + exports.MAKING)
    try:
        yield draft
        with draft.open("rb") as written:
            os.fsync(written.fileno())
        draft.replace(file)
    finally:
        draft.unlink(missing_ok=True)
