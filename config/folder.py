"""The data folder: what lies where, who may read it, and the secrets of the first start."""

import fcntl
import os
import secrets
import tempfile
from base64 import urlsafe_b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import platformdirs

from config.errors import CannotRun

PRIVATE_FOLDER = 0o700
PARTS = ("photos", "keys", "backups")


class FolderBusy(CannotRun):
    """Another process has this data folder open for running or restoring."""

    def __init__(self, folder: Path, holder: str) -> None:
        super().__init__(
            f"The data folder {folder} is in use by process {holder or 'unknown'}. "
            "Stop it first, or choose another folder with --data."
        )


class FolderUnusable(CannotRun):
    """A data folder that cannot be made or written."""

    def __init__(self, folder: Path, why: str) -> None:
        super().__init__(
            f"The data folder {folder} cannot be used: {why}. "
            "Choose another with --data, or give yourself the right to write there."
        )


class KeysUnusable(CannotRun):
    """A file among the keys that cannot be read, written or made sense of."""

    def __init__(self, place: Path, why: str) -> None:
        super().__init__(
            f"{place} cannot be used: {why}. Give yourself the right to it, "
            "or bring it back from a copy of the data folder."
        )


def default() -> Path:
    """Return the place where this user's programs keep their data."""
    return Path(platformdirs.user_data_dir("lathhouse", appauthor=False))


def prepare(folder: Path) -> None:
    """Make the folder, its parts and its secrets, where they are missing.

    Safe to call from several processes at once: the first one's secret stays.
    """
    try:
        for place in (folder, *(folder / part for part in PARTS)):
            place.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
            place.chmod(PRIVATE_FOLDER)
        _keep_secret(_secret_file(folder))
        _keep_secret(signing_file(folder))
        _keep_secret(push_file(folder), _push_key())
    except OSError as error:
        raise FolderUnusable(folder, error.strerror or str(error)) from error


def secret_key(folder: Path) -> str | None:
    """Return the secret of the first start, or None before there was one."""
    try:
        return _secret_file(folder).read_text().strip() or None
    except OSError:
        return None


def signing_file(folder: Path) -> Path:
    """Return the file of what the nurseries' signing keys are made from.

    The first line signs; whoever puts another above it leaves the old ones standing below, so that
    what they signed is still known as the nursery's own.
    """
    return folder / "keys" / "signing_key"


def push_file(folder: Path) -> Path:
    """Return the file of the key by which push services know this server (RFC 8292)."""
    return folder / "keys" / "push_key"


# How many private keys the curve P-256 has, and one more (FIPS 186-5, SEC 2; from memory, and held
# to the library by a test).
P256_ORDER = 0xFFFFFFFF_00000000_FFFFFFFF_FFFFFFFF_BCE6FAAD_A7179E84_F3B9CAC2_FC632551


def _push_key() -> str:
    """Return a new private key of P-256: its 32 bytes in base64url, as such keys are written."""
    number = secrets.randbelow(P256_ORDER - 1) + 1
    return urlsafe_b64encode(number.to_bytes(32)).rstrip(b"=").decode()


def _secret_file(folder: Path) -> Path:
    return folder / "keys" / "secret_key"


def _keep_secret(place: Path, secret: str = "") -> None:
    """Write a new secret under another name first, so that nobody reads half of it."""
    if place.exists():
        return
    handle, name = tempfile.mkstemp(dir=place.parent)  # readable by this user alone
    draft = Path(name)
    with os.fdopen(handle, "w") as file:
        file.write(secret or secrets.token_urlsafe(64))
        file.flush()
        os.fsync(file.fileno())
    try:
        place.hardlink_to(draft)  # unlike a rename, this never replaces another's secret
    except FileExistsError:
        pass
    finally:
        draft.unlink()


def write_key(place: Path, content: bytes) -> None:
    """Put a file of this user's alone in its place at one go, so that nobody reads half of it.

    Raises:
        KeysUnusable: its folder cannot be written.
    """
    try:
        handle, name = tempfile.mkstemp(dir=place.parent)  # readable by this user alone
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(place)
    except OSError as error:
        raise KeysUnusable(place, error.strerror or str(error)) from error


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Hold the folder for one running product or one restore; raise `FolderBusy` if it is held."""
    with (folder / "in_use").open("a+") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            file.seek(0)
            raise FolderBusy(folder, file.read().strip()) from None
        file.truncate(0)
        file.write(str(os.getpid()))
        file.flush()
        yield
