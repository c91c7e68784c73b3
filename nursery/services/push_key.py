"""The key by which push services know this server (RFC 8292), and whom they may write to.

A browser subscribes with the public half: whoever has another key cannot send to it. With a new key
every phone subscribes anew when its app is next opened.
"""

import re
from base64 import urlsafe_b64decode, urlsafe_b64encode
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from django.conf import settings

from nursery.services.errors import PushNotSetUp
from nursery.services.people import GROWER
from nursery.store.models import MembershipRow
from nursery.store.scope import scope

BYTES = 32
# What a push service takes for an address: a host with a dot in its name.
MAIL = re.compile(r"[^@\s<>]+@[\w-]+(\.[\w-]+)+")


def private() -> str:
    """Return the private key: 32 bytes in base64url.

    Raises:
        PushNotSetUp: there is none, or it is no key of P-256.
    """
    text = settings.PUSH_KEY or _kept()
    try:
        _key(text)
    except ValueError:
        raise PushNotSetUp from None
    return text


def public() -> str:
    """Return the public half, as a browser wants it: an uncompressed point in base64url.

    Raises:
        PushNotSetUp: there is no key.
    """
    point = _key(private()).public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    return urlsafe_b64encode(point).rstrip(b"=").decode()


def contact(nursery: str) -> str | None:
    """Return whom a push service may write to: as set, or the nursery's grower; None for nobody."""
    if settings.PUSH_CONTACT:
        return str(settings.PUSH_CONTACT)
    with scope(nursery) as book:
        growers = MembershipRow.objects.filter(nursery_id=book.key, role=GROWER, until=None)
        emails = list(growers.order_by("pk").values_list("account__email", flat=True))
    for email in emails:
        if MAIL.fullmatch(email):
            return f"mailto:{email}"
    return None


def _kept() -> str:
    try:
        return Path(settings.PUSH_FILE).read_text().strip()
    except OSError:
        return ""


def _key(text: str) -> ec.EllipticCurvePrivateKey:
    raw = unpacked(text)
    if len(raw) != BYTES:
        raise ValueError(len(raw))
    return ec.derive_private_key(int.from_bytes(raw), ec.SECP256R1())


def unpacked(text: str) -> bytes:
    """Return the bytes of base64url, padded or not.

    Raises:
        ValueError: it is something else.
    """
    if not re.fullmatch(r"[A-Za-z0-9_-]*={0,2}", text):
        raise ValueError(text[:8])
    bare = text.rstrip("=")
    return urlsafe_b64decode(bare + "=" * (-len(bare) % 4))
