"""The keys with which a nursery signs: made from the installation's secret, one for each nursery.

So a server of many nurseries keeps one secret, no nursery can sign for another, and a key needs no
place of its own. A key is named by its fingerprint, which is short enough to be read aloud.
"""

from base64 import b32encode
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings

from nursery.services.errors import NothingToSignWith

# Eighty bits: nobody makes another key with the same one.
FINGERPRINT_BYTES, GROUP = 10, 4


@dataclass(frozen=True, slots=True)
class Signer:
    """Signs for one nursery; `public` is its key in hex, `fingerprint` the key's name."""

    public: str
    fingerprint: str
    _key: Ed25519PrivateKey

    def sign(self, text: str) -> str:
        return self._key.sign(text.encode()).hex()


def of(nursery: str) -> Signer:
    """Return what signs for a nursery today.

    Raises:
        NothingToSignWith: the installation has no secret for it yet.
    """
    signer = next(_signers(nursery), None)
    if signer is None:
        raise NothingToSignWith
    return signer


def fingerprints(nursery: str) -> list[str]:
    """Return the fingerprints of all keys of a nursery that this installation knows."""
    return [signer.fingerprint for signer in _signers(nursery)]


def _signers(nursery: str) -> Iterator[Signer]:
    for secret in settings.SIGNING_KEYS or _kept():
        made = HKDF(SHA256(), 32, salt=None, info=b"release file\n" + nursery.encode())
        key = Ed25519PrivateKey.from_private_bytes(made.derive(secret.encode()))
        public = key.public_key().public_bytes_raw()
        yield Signer(public.hex(), fingerprint(public), key)


def _kept() -> list[str]:
    try:
        return [line for line in Path(settings.SIGNING_FILE).read_text().splitlines() if line]
    except OSError:
        return []


def fingerprint(public: bytes) -> str:
    """Return the name of a public key, in four groups of letters and figures without 0, 1, 8.

    >>> fingerprint(bytes(32))
    'MZUH-VLPY-MK6X-O3EP'
    """
    text = b32encode(sha256(public).digest()[:FINGERPRINT_BYTES]).decode()
    return "-".join(text[at : at + GROUP] for at in range(0, len(text), GROUP))


def signed_by(public: bytes, text: str, signature: bytes) -> bool:
    """Whether the key of these 32 bytes signed the text."""
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, text.encode())
    except (InvalidSignature, ValueError):
        return False
    return True
