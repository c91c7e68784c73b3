"""Photos that come from a phone slice by slice, and go on where the signal broke off.

One is known by the SHA-256 that its record names, so it comes once however often it is sent. What
came so far lies in the data folder; the row says up to where it counts. A slice is on the disk
before its row says so, and the last one counts only when the whole has that hash and begins and
ends as a picture does. Nothing is decoded here: that is the darkroom's, by a job.
"""

import os
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256

from django.db import connection

from nursery.services import darkroom, kept_photos, photo_head, photos
from nursery.services.errors import (
    ChecksumDiffers,
    NoRoomForPhotos,
    OffsetDiffers,
    PhotoHeicUnread,
    PhotoTooLarge,
    PhotoUnreadable,
    Refused,
    Unknown,
)
from nursery.store.models import UploadRow
from nursery.store.scope import Scope, scope

MOST = darkroom.MOST_BYTES
KEPT = timedelta(days=30)
# Photos leave so much of the disk to records.
SPARE = 512 * 1024 * 1024
PRIVATE_FILE = 0o600


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a photo has come: `ends_at` is when what came is forgotten, `told` what was said."""

    offset: int
    length: int
    ends_at: datetime | None = None
    told: str = ""


def begin(nursery: str, digest: str, length: int, told: str, now: datetime) -> Standing:
    """Return how far a photo has come; where nothing is known of it, it begins.

    Raises:
        PhotoTooLarge: it has more bytes than a photo may have.
        NoRoomForPhotos: the disk is nearly full; records still find room.
    """
    if length > MOST:
        raise PhotoTooLarge(most=MOST)
    whole = _whole(nursery, digest)
    if whole is not None:
        return Standing(whole, whole)
    if kept_photos.room(nursery) < length + SPARE:
        raise NoRoomForPhotos
    with scope(nursery, write=True) as book:
        _forget_old(book, now)
        row, made = book.uploads.get_or_create(
            sha256=digest,
            nursery_id=book.key,
            defaults={"length": length, "told": told, "ends_at": now + KEPT},
        )
        if not made and row.length != length:
            row.length, row.offset, row.told = length, 0, told
            row.save()
    return _standing(row)


def at(nursery: str, digest: str, now: datetime) -> Standing:
    """Return how far a photo has come.

    Raises:
        Unknown: nothing is known of it, or not any more.
    """
    whole = _whole(nursery, digest)
    if whole is not None:
        return Standing(whole, whole)
    with scope(nursery) as book:
        return _standing(_row(book, digest, now))


def append(nursery: str, digest: str, offset: int, piece: bytes, now: datetime) -> Standing:
    """Take the next slice in; with the last one the photo is kept.

    Raises:
        Unknown: nothing is known of this photo, or not any more.
        OffsetDiffers: the slice does not go on where the last one ended.
        PhotoTooLarge: there are more bytes than were announced.
        ChecksumDiffers: the whole has another hash; it begins anew.
        PhotoUnreadable: the whole is no picture that can be kept; it is thrown away.
        PhotoHeicUnread: it is one in HEIC, which is not read here; it is thrown away.
        PhotosAway: object storage is not to be reached; the last slice is to be sent again.
    """
    whole = _whole(nursery, digest)
    if whole is not None:
        if offset != whole or piece:
            raise OffsetDiffers(value=offset, offset=whole)
        return Standing(whole, whole)
    with scope(nursery, write=True) as book:
        row = _row(book, digest, now, lock=True)
        if offset != row.offset:
            raise OffsetDiffers(value=offset, offset=row.offset)
        if offset + len(piece) > row.length:
            raise PhotoTooLarge(most=row.length)
        _write(nursery, digest, offset, piece)
        if offset + len(piece) < row.length:
            row.offset = offset + len(piece)
            row.save(update_fields=["offset"])
            return _standing(row)
    return _finish(nursery, digest, row.length, now)


def _whole(nursery: str, digest: str) -> int | None:
    """Return how long a photo is that is here, and whole; None where there is none."""
    content = kept_photos.read(nursery, digest)
    return None if content is None else len(content)


def _finish(nursery: str, digest: str, length: int, now: datetime) -> Standing:
    """Keep the whole, if it is what was announced; nothing stays of the way that it came."""
    content = kept_photos.part(nursery, digest).read_bytes()[:length]
    wrong = _wrong(content, digest)
    if wrong is None:
        kept_photos.keep(nursery, content)
    with scope(nursery, write=True) as book:
        book.uploads.filter(sha256=digest).delete()
        kept_photos.part(nursery, digest).unlink(missing_ok=True)
        if wrong is None:
            photos.came(book, digest, length, now)
    if wrong is not None:
        raise wrong
    return Standing(length, length)


def _wrong(content: bytes, digest: str) -> Refused | None:
    """Return why the whole is not kept, as far as its own bytes tell without being decoded."""
    if sha256(content).hexdigest() != digest:
        return ChecksumDiffers(value=digest)
    head = photo_head.read(content)
    if head is None or head.dots > darkroom.MOST_DOTS:
        return PhotoUnreadable(value=digest)
    if head.form == photo_head.HEIC and not darkroom.reads_heic():
        return PhotoHeicUnread(value=digest)
    return None


def _write(nursery: str, digest: str, offset: int, piece: bytes) -> None:
    place = kept_photos.part(nursery, digest)
    handle = os.open(place, os.O_WRONLY | os.O_CREAT, PRIVATE_FILE)
    with os.fdopen(handle, "wb") as part:
        part.truncate(offset)
        part.seek(offset)
        part.write(piece)
        part.flush()
        os.fsync(part.fileno())


def _row(book: Scope, digest: str, now: datetime, *, lock: bool = False) -> UploadRow:
    rows = book.uploads.filter(sha256=digest, ends_at__gt=now)
    if lock and connection.features.has_select_for_update:
        rows = rows.select_for_update()
    row = rows.first()
    if row is None:
        raise Unknown("upload", digest)
    return row


def _forget_old(book: Scope, now: datetime) -> None:
    for row in book.uploads.filter(ends_at__lte=now):
        kept_photos.part(book.ident, row.sha256).unlink(missing_ok=True)
        row.delete()


def _standing(row: UploadRow) -> Standing:
    return Standing(row.offset, row.length, row.ends_at, row.told)
