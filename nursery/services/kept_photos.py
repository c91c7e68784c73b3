"""The photos that the office has, each kept under the hash that its own record names.

A file lies at `photos/NURSERY/SHA-256` in the data folder, as the phone sent it. What lies there is
believed only as far as its bytes have that hash.
"""

import os
import re
import shutil
import tempfile
from hashlib import sha256
from pathlib import Path
from urllib.parse import quote

from django.conf import settings

DIGEST = re.compile(r"[0-9a-f]{64}")
PRIVATE_FOLDER = 0o700


def has(nursery: str, digest: str | None) -> bool:
    """Whether a file lies there under this hash; its bytes are not looked at."""
    place = _place(nursery, digest)
    return place is not None and place.is_file()


def read(nursery: str, digest: str | None) -> bytes | None:
    """Return a photo's bytes; None where they are not here, or are not those of this hash."""
    place = _place(nursery, digest)
    try:
        content = place.read_bytes() if place is not None else b""
    except OSError:
        return None
    return content if sha256(content).hexdigest() == digest else None


def keep(nursery: str, content: bytes) -> str:
    """Put a photo on the disk under its hash, whole or not at all; return the hash."""
    digest = sha256(content).hexdigest()
    place = _folder(nursery) / digest
    place.parent.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=place.parent)
    with os.fdopen(handle, "wb") as draft:
        draft.write(content)
        draft.flush()
        os.fsync(draft.fileno())
    Path(name).replace(place)
    return digest


def forget(nursery: str, digest: str) -> None:
    """Take a photo away again; nothing where it is not here."""
    place = _place(nursery, digest)
    if place is not None:
        place.unlink(missing_ok=True)


def room(nursery: str) -> int:
    """Return how many bytes the disk has left for photos."""
    folder = _folder(nursery)
    folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    return shutil.disk_usage(folder).free


def part(nursery: str, digest: str) -> Path:
    """Return where a photo lies that has not come whole yet."""
    place = _folder(nursery) / f"{digest}.part"
    place.parent.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    return place


def _place(nursery: str, digest: str | None) -> Path | None:
    if digest is None or not DIGEST.fullmatch(digest):
        return None
    return _folder(nursery) / digest


def _folder(nursery: str) -> Path:
    return Path(settings.PHOTOS) / quote(nursery, safe="")
