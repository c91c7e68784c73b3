"""The file that a whole book is taken away in: what lies in it, and looking it through.

It is a zip. Its members bear fixed names, or the hash of a photo; nothing that a person wrote
stands in a name, so nothing can be unpacked outside its place. Nothing is believed of a file that
comes in: names, sizes and hashes are looked at before a line of it is read.
"""

import re
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import orjson

from nursery.services import signing
from nursery.services.errors import Refused

FORMAT = "book 1"

SETTINGS = "nursery.json"
FEED = "feed.jsonl"
RAW = "kept_raw.jsonl"
PHONES = "phones.jsonl"
WEATHER = "weather.jsonl"
README = "README.txt"
MANIFEST = "manifest.json"
SIGNATURE = "signature.json"
PHOTOS = "photos/"
NEEDED = (SETTINGS, FEED, RAW, PHONES, WEATHER)

_NAME = re.compile(
    rf"{README}|{MANIFEST}|{SIGNATURE}|{SETTINGS}|(feed|kept_raw|phones|weather)\.jsonl"
    r"|(tables|forms)/[a-z][a-z_]{0,39}\.(csv|json|geojson)|photos/[0-9a-f]{64}"
)
MOST_MEMBERS = 500_000
MOST_BYTES = 1 << 40
# A member that is read whole; photos are at most as large as one that a phone may send.
MOST_IN_MEMORY = 64 << 20
# Texts of a book shrink to a tenth; deflate can reach a thousandth, which no honest member does.
MOST_SHRUNK, SHRUNK_FROM = 200, 1 << 20
LONGEST_LINE = 32 << 20
SLICE = 1 << 16


class BookFileUnfit(Refused):
    """A file of a book that is not taken in; nothing was changed."""

    status = 422


class BookFileUnreadable(BookFileUnfit):
    """No zip, or one whose end is missing."""

    code = "book_file_unreadable"


class BookFileForeign(BookFileUnfit):
    """A member that no such file has, has twice, or has locked or packed in another way."""

    code = "book_file_foreign"


class BookFileTooLarge(BookFileUnfit):
    code = "book_file_too_large"


class BookFileLacks(BookFileUnfit):
    code = "book_file_lacks"


class BookFileAltered(BookFileUnfit):
    """A member whose bytes are not those of the list, or a list that is not what was signed."""

    code = "book_file_altered"


class BookFileNewer(BookFileUnfit):
    code = "book_file_newer"


class BookFileLine(BookFileUnfit):
    """A line that is not the one that was written; `why` is the chain's word for it."""

    code = "book_file_line"

    def __init__(self, name: str, line: int, why: str) -> None:
        super().__init__(value=name, line=line, why=why)


@dataclass(frozen=True)
class BookFile:
    """A file that was looked through. `fingerprint` names the key that signed it."""

    settings: dict[str, Any]
    fingerprint: str
    photos: tuple[str, ...]
    lost: tuple[str, ...]
    _zip: zipfile.ZipFile

    def lines(self, name: str) -> Iterator[tuple[int, dict[str, Any]]]:
        """Yield number and content of each line of a member.

        Raises:
            BookFileLine: a line that is too long, or no object of JSON.
        """
        with _unpacking(name), self._zip.open(name) as member:
            number = 0
            while raw := member.readline(LONGEST_LINE + 1):
                number += 1
                if len(raw) > LONGEST_LINE:
                    raise BookFileLine(name, number, "it is longer than any line of a book")
                try:
                    told = orjson.loads(raw)
                except ValueError:
                    told = None
                if not isinstance(told, dict) or not raw.endswith(b"\n"):
                    raise BookFileLine(name, number, "it is no whole line of JSON")
                yield number, told

    def photo(self, digest: str) -> bytes | None:
        """Return the bytes of a photo, None where they are not those of its name."""
        try:
            with self._zip.open(PHOTOS + digest) as member:
                content = member.read(MOST_IN_MEMORY + 1)
        except (zipfile.BadZipFile, OSError, EOFError, zlib.error):
            return None
        return content if sha256(content).hexdigest() == digest else None


@contextmanager
def opened(file: Path) -> Iterator[BookFile]:
    """Look a file through and give it.

    Raises:
        BookFileUnfit: what is wrong with it, by the member's name.
    """
    try:
        pack = zipfile.ZipFile(file)
    except (OSError, zipfile.BadZipFile, ValueError):
        raise BookFileUnreadable(value=file.name[:80]) from None
    with pack:
        names = _look_at_members(pack)
        listed, fingerprint = _manifest(pack, names)
        for name in sorted(listed.keys() - names):
            if not name.startswith(PHOTOS):
                raise BookFileLacks(value=name[:80])
        for name in sorted(names - {MANIFEST, SIGNATURE}):
            # A photo is held against its own name, one by one, when it is taken in.
            if not name.startswith(PHOTOS) and _hash(pack, name) != listed[name]["sha256"]:
                raise BookFileAltered(value=name)
        settings = _json(pack, SETTINGS)
        yield BookFile(
            settings,
            fingerprint,
            tuple(_digests(names)),
            tuple(_digests(listed.keys() - names)),
            pack,
        )


def _look_at_members(pack: zipfile.ZipFile) -> set[str]:
    members = pack.infolist()
    if len(members) > MOST_MEMBERS or sum(one.file_size for one in members) > MOST_BYTES:
        raise BookFileTooLarge(value=Path(str(pack.filename)).name[:80])
    names: set[str] = set()
    for one in members:
        plain = one.compress_type in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
        if (
            not _NAME.fullmatch(one.orig_filename)
            or one.filename in names
            or one.flag_bits & 1
            or not plain
        ):
            raise BookFileForeign(value=one.orig_filename[:80])
        whole = one.filename.startswith(PHOTOS) or one.filename.endswith(".json")
        swollen = one.file_size > max(SHRUNK_FROM, MOST_SHRUNK * one.compress_size)
        if swollen or (whole and one.file_size > MOST_IN_MEMORY):
            raise BookFileTooLarge(value=one.filename)
        names.add(one.filename)
    return names


def _manifest(pack: zipfile.ZipFile, names: set[str]) -> tuple[dict[str, Any], str]:
    """Return what is listed, and the fingerprint of the key that signed the list."""
    for name in (MANIFEST, SIGNATURE, *NEEDED):
        if name not in names:
            raise BookFileLacks(value=name)
    with _unpacking(MANIFEST):
        text = pack.read(MANIFEST)
    manifest, signature = _json(pack, MANIFEST), _json(pack, SIGNATURE)
    try:
        if manifest["format"] != FORMAT:
            raise BookFileNewer(value=str(manifest["format"])[:40])
        listed = {str(name): dict(one) for name, one in manifest["members"].items()}
        key, signed = bytes.fromhex(signature["key"]), bytes.fromhex(signature["signature"])
        if not signing.signed_by(key, text.decode(), signed):
            raise BookFileAltered(value=MANIFEST)
    except (KeyError, TypeError, ValueError, AttributeError):
        raise BookFileAltered(value=MANIFEST) from None
    for name in sorted(names - {MANIFEST, SIGNATURE} - listed.keys()):
        raise BookFileForeign(value=name)
    return listed, signing.fingerprint(key)


def _hash(pack: zipfile.ZipFile, name: str) -> str:
    found = sha256()
    with _unpacking(name), pack.open(name) as member:
        while part := member.read(SLICE):
            found.update(part)
    return found.hexdigest()


def _json(pack: zipfile.ZipFile, name: str) -> dict[str, Any]:
    with _unpacking(name):
        text = pack.read(name)
    try:
        told = orjson.loads(text)
    except ValueError:
        told = None
    if not isinstance(told, dict):
        raise BookFileAltered(value=name)
    return told


@contextmanager
def _unpacking(name: str) -> Iterator[None]:
    try:
        yield
    except (zipfile.BadZipFile, EOFError, OSError, zlib.error):
        raise BookFileAltered(value=name) from None


def _digests(names: set[str]) -> list[str]:
    return sorted(name.removeprefix(PHOTOS) for name in names if name.startswith(PHOTOS))
