"""What the square code on a label says: which batch or place it is, and nothing else (rule G-14).

Everything else about a batch goes stale (its count, its place, its hold) or belongs to one office
(an address), and a label outlives both. The text has capitals, figures and signs of the
alphanumeric set of ISO/IEC 18004 alone: that mode takes 5.5 bits a sign instead of 8, so that the
code has few and large modules. `LB` names a batch, `LP` a place; after a dot follows an id that is
a UUID, as its 16 bytes in base32 (RFC 4648 section 6, no padding): 29 signs, just what the second
smallest code holds at level Q. After a slash follows any other id: small letters as capitals,
figures, hyphens and dots as they are, every other byte of its UTF-8 as `%` and two hex digits
(RFC 3986 section 2.1).
"""

import re
from base64 import b32decode, b32encode
from enum import StrEnum
from typing import NamedTuple
from uuid import UUID

CODE = re.compile(r"L([BP])(?:\.([A-Z2-7]{26})|/((?:[A-Z0-9.-]|%[0-9A-F]{2})+))", re.ASCII)
AS_IT_IS = frozenset(b"0123456789-.")
SMALL = frozenset(b"abcdefghijklmnopqrstuvwxyz")
PIECE = re.compile(r"%([0-9A-F]{2})|([A-Z0-9.-])")
LONGEST_ID = 64


class What(StrEnum):
    """What a label stands on."""

    BATCH = "batch"
    PLACE = "place"


_LETTERS = {What.BATCH: "B", What.PLACE: "P"}
_WHATS = {letter: what for what, letter in _LETTERS.items()}


class Code(NamedTuple):
    """A batch or a place, by its id."""

    what: What
    id: str


def write(code: Code) -> str:
    """Return the text of a code.

    >>> write(Code(What.BATCH, "0199f2c4-abcd-7000-8000-0000000000ff"))
    'LB.AGM7FRFLZVYABAAAAAAAAAAA74'
    >>> write(Code(What.PLACE, "q-bench_1"))
    'LP/Q-BENCH%5F1'
    """
    letter = _LETTERS[code.what]
    raw = _as_uuid(code.id)
    if raw is not None:
        return f"L{letter}.{b32encode(raw).decode().rstrip('=')}"
    return f"L{letter}/" + "".join(map(_sign, code.id.encode()))


def read(text: str) -> Code | None:
    """Return what a code says, or None where the text is none of ours.

    An id has one text only: what `write` would have written otherwise is nothing of ours.

    >>> read("LB/B-T3"), read("https://example.invalid/b-t3"), read("LB/%62-T3")
    (Code(what=<What.BATCH: 'batch'>, id='b-t3'), None, None)
    """
    found = CODE.fullmatch(text)
    if found is None:
        return None
    letter, packed, name = found.groups()
    ident = _unpacked(packed) if packed is not None else _unescaped(name)
    if ident is None or len(ident) > LONGEST_ID:
        return None
    code = Code(_WHATS[letter], ident)
    return code if write(code) == text else None


def _as_uuid(ident: str) -> bytes | None:
    """Return the bytes of an id that is a UUID in its usual form, else None."""
    try:
        found = UUID(ident)
    except ValueError:
        return None
    return found.bytes if str(found) == ident else None


def _sign(byte: int) -> str:
    if byte in SMALL:
        return chr(byte).upper()
    return chr(byte) if byte in AS_IT_IS else f"%{byte:02X}"


def _unpacked(packed: str) -> str:
    return str(UUID(bytes=b32decode(f"{packed}======")))


def _unescaped(name: str) -> str | None:
    raw = bytes(
        int(hexed, 16) if hexed else ord(plain.lower()) for hexed, plain in PIECE.findall(name)
    )
    try:
        return raw.decode()
    except UnicodeDecodeError:
        return None
