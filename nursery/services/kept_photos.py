"""The bytes of photos that the office has, each kept under the SHA-256 of its own bytes.

A photo lies at `NURSERY/SHA-256` as the phone sent it, the copies that were drawn of it at
`NURSERY/copies/SHA-256`: in the data folder, or in object storage (`STORAGES["photos"]`). What lies
there is believed only as far as its bytes have that hash. What has not come whole lies in the data
folder in either case.
"""

import re
import shutil
from hashlib import sha256
from pathlib import Path
from urllib.parse import quote

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import Storage, storages

DIGEST = re.compile(r"[0-9a-f]{64}")
PRIVATE_FOLDER = 0o700
ALIAS = "photos"
COPIES = "copies"


def has(nursery: str, digest: str | None) -> bool:
    """Whether a photo lies there under this hash; its bytes are not looked at.

    Raises:
        PhotosAway: object storage is not to be reached; so raise all others here.
    """
    name = _name(nursery, digest)
    return name is not None and _storage().exists(name)


def read(nursery: str, digest: str | None) -> bytes | None:
    """Return a photo's bytes; None where they are not here, or are not those of this hash."""
    return _read(_name(nursery, digest), digest)


def keep(nursery: str, content: bytes) -> str:
    """Put a photo under its hash, whole or not at all; return the hash."""
    return _keep(nursery, content)


def read_copy(nursery: str, digest: str) -> bytes | None:
    """Return the bytes of a copy, as `read`."""
    return _read(_name(nursery, digest, COPIES), digest)


def keep_copy(nursery: str, content: bytes) -> str:
    """Put a copy under its hash, as `keep`."""
    return _keep(nursery, content, COPIES)


def every(nursery: str) -> list[str]:
    """Return the hashes of all photos here."""
    return _every(_folder(nursery))


def every_copy(nursery: str) -> list[str]:
    """Return the hashes of all copies here."""
    return _every(f"{_folder(nursery)}/{COPIES}")


def _every(folder: str) -> list[str]:
    try:
        _, files = _storage().listdir(folder)
    except FileNotFoundError:
        return []
    return sorted(name for name in files if DIGEST.fullmatch(name))


def room(nursery: str) -> int:
    """Return how many bytes the disk has left for what comes from phones."""
    return shutil.disk_usage(_parts(nursery)).free


def part(nursery: str, digest: str) -> Path:
    """Return where a photo lies that has not come whole yet."""
    return _parts(nursery) / f"{digest}.part"


def _storage() -> Storage:
    return storages[ALIAS]


def _read(name: str | None, digest: str | None) -> bytes | None:
    if name is None:
        return None
    try:
        content = _content(name)
    except OSError:
        return None
    return content if sha256(content).hexdigest() == digest else None


def _content(name: str) -> bytes:
    storage = _storage()
    whole = getattr(storage, "content_of", None)
    if whole is not None:
        return bytes(whole(name))
    with storage.open(name) as file:
        return bytes(file.read())


def _keep(nursery: str, content: bytes, *below: str) -> str:
    digest = sha256(content).hexdigest()
    _storage().save("/".join((_folder(nursery), *below, digest)), ContentFile(content))
    return digest


def forget(nursery: str, digest: str) -> None:
    """Take a photo away again; nothing where it is not here."""
    name = _name(nursery, digest)
    if name is not None:
        _storage().delete(name)


def _name(nursery: str, digest: str | None, *below: str) -> str | None:
    if digest is None or not DIGEST.fullmatch(digest):
        return None
    return "/".join((_folder(nursery), *below, digest))


def _folder(nursery: str) -> str:
    return quote(nursery, safe="")


def _parts(nursery: str) -> Path:
    folder = Path(settings.PHOTOS) / _folder(nursery)
    folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    return folder
