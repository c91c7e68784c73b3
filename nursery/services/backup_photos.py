"""Photos beside the backups: each once, however many backups there are, and looked through.

A backup of every day with all photos in it would be hundreds of times their size. A photo never
changes, and its name is the hash of its bytes; so those of all backups lie once in `photos` in the
folder of the backups, as `NURSERY/SHA-256`. Each backup brings what is new there, and its trial
reads all of them through. Copies are not brought: they are drawn again.
"""

import os
import tempfile
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from urllib.parse import quote

from nursery.services import clock, kept_photos, photos
from nursery.services.errors import PhotosAway
from nursery.store.models import NurseryRow
from nursery.store.scope import scope

FOLDER = "photos"
PRIVATE_FOLDER = 0o700
# SQLite takes at most 32 766 parameters in one statement.
_AT_ONCE = 5000


@dataclass(frozen=True, slots=True)
class Held:
    """The photos by nursery that lie whole beside the backups, and how many could not be brought.

    After a restore: those that were brought back, and how many rows tell of one that is nowhere.
    """

    digests: dict[str, list[str]] = field(default_factory=dict)
    lacking: int = 0

    @property
    def count(self) -> int:
        return sum(map(len, self.digests.values()))


def bring(place: Path) -> Held:
    """Bring every photo into the folder of the backups, and look each of them through there."""
    held, lacking = {}, 0
    for nursery in NurseryRow.objects.order_by("ident").values_list("ident", flat=True):
        with scope(nursery) as book:
            digests = list(book.photos.order_by("sha256").values_list("sha256", flat=True))
        whole = [one for one in digests if _brought(place, nursery, one)]
        lacking += len(digests) - len(whole)
        if whole:
            held[nursery] = whole
    return Held(held, lacking)


def _brought(place: Path, nursery: str, digest: str) -> bool:
    """Whether a photo lies there whole, brought now where it was not there yet."""
    file = _folder(place, nursery) / digest
    try:
        if _is_whole(file):
            return True
        content = kept_photos.read(nursery, digest)
        if content is None:
            return False
        _write(file, content)
        return _is_whole(file)
    except (OSError, PhotosAway):
        return False


def call_safe(held: Held, tested_at: datetime) -> None:
    """Tell which photos a tested backup holds, in the caller's transaction; others it does not."""
    for nursery in NurseryRow.objects.order_by("ident").values_list("ident", flat=True):
        with scope(nursery, write=True) as book:
            whole = held.digests.get(nursery, [])
            safe = set(book.photos.exclude(safe_at=None).values_list("sha256", flat=True))
            for some in _by_many(sorted(safe - set(whole))):
                book.photos.filter(sha256__in=some).update(safe_at=None)
            for some in _by_many([one for one in whole if one not in safe]):
                book.photos.filter(sha256__in=some).update(safe_at=tested_at)


def _by_many(digests: list[str]) -> list[list[str]]:
    return [digests[at : at + _AT_ONCE] for at in range(0, len(digests), _AT_ONCE)]


def bring_back(place: Path) -> Held:
    """Bring back what lies beside a backup and is not here, after the book was restored."""
    found, lacking = {}, 0
    for nursery in NurseryRow.objects.order_by("ident").values_list("ident", flat=True):
        here = set(kept_photos.every(nursery))
        back = [one for one in _beside(place, nursery) if one not in here]
        found[nursery] = [one for one in back if _kept(place, nursery, one)]
        with scope(nursery) as book:
            told = set(book.photos.values_list("sha256", flat=True))
        lacking += len(told - here - set(found[nursery]))
        photos.adopt(nursery, clock.now())
    return Held(found, lacking)


def _beside(place: Path, nursery: str) -> list[str]:
    try:
        names = sorted(file.name for file in _folder(place, nursery).iterdir())
    except OSError:
        return []
    return [name for name in names if kept_photos.DIGEST.fullmatch(name)]


def _kept(place: Path, nursery: str, digest: str) -> bool:
    try:
        content = (_folder(place, nursery) / digest).read_bytes()
    except OSError:
        return False
    return sha256(content).hexdigest() == digest and bool(kept_photos.keep(nursery, content))


def _folder(place: Path, nursery: str) -> Path:
    return place / FOLDER / quote(nursery, safe="")


def _is_whole(file: Path) -> bool:
    try:
        with file.open("rb") as content:
            return sha256(content.read()).hexdigest() == file.name
    except FileNotFoundError:
        return False


def _write(file: Path, content: bytes) -> None:
    file.parent.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    handle, draft = tempfile.mkstemp(dir=file.parent)  # readable by this user alone
    try:
        with os.fdopen(handle, "wb") as written:
            written.write(content)
            written.flush()
            os.fsync(written.fileno())
        Path(draft).replace(file)
    except OSError:
        Path(draft).unlink(missing_ok=True)
        raise
