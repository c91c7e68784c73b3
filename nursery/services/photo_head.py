"""What the first bytes of a photo say of it, read without decoding anything.

The web process asks no more than this: of which format it is by its own bytes, how many dots it
declares, and whether it has an end. Whoever lies here is found out by the darkroom. Layouts: JPEG
by ITU-T T.81, annex B; PNG by ISO/IEC 15948; WebP by RFC 9649; HEIC by ISO/IEC 23008-12 (all from
memory, held to what Pillow writes).
"""

from dataclasses import dataclass

JPEG, PNG, WEBP, HEIC = "JPEG", "PNG", "WEBP", "HEIF"

# Frames of any process, without the tables (C4), the extension (C8) and arithmetic coding (CC).
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_BARE = frozenset({0x01, *range(0xD0, 0xD9)})
# The rest of a JPEG may hold no more parts than this before its frame: a walk must end.
_MOST_PARTS = 1000
_PNG = b"\x89PNG\r\n\x1a\n"
_HEIC_BRANDS = frozenset((b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1"))
_NOT_HEIC = frozenset((b"avif", b"avis"))
# A picture put together from tiles names the size of each and that of the whole.
_MOST_SIZES = 200


@dataclass(frozen=True, slots=True)
class Head:
    """A format and the dots that it declares."""

    form: str
    width: int
    height: int

    @property
    def dots(self) -> int:
        return self.width * self.height


def read(content: bytes) -> Head | None:
    """Return what the bytes declare; None where they begin as no photo, or lack an end."""
    for reader in (_jpeg, _png, _webp, _heic):
        head = reader(content)
        if head is not None:
            return head if head.dots > 0 else None
    return None


def _jpeg(content: bytes) -> Head | None:
    if content[:3] != b"\xff\xd8\xff":
        return None
    at = 2
    for _ in range(_MOST_PARTS):
        while content[at : at + 2] == b"\xff\xff":
            at += 1
        if content[at : at + 1] != b"\xff" or at + 9 > len(content):
            return None
        kind = content[at + 1]
        if kind in _FRAMES:
            height, width = _two(content, at + 5), _two(content, at + 7)
            return Head(JPEG, width, height) if content.rfind(b"\xff\xd9") > at else None
        at += 2 if kind in _BARE else 2 + _two(content, at + 2)
    return None


def _png(content: bytes) -> Head | None:
    if content[:8] != _PNG or content[12:16] != b"IHDR" or b"IEND" not in content[33:]:
        return None
    return Head(PNG, _four(content, 16), _four(content, 20))


def _webp(content: bytes) -> Head | None:
    whole = int.from_bytes(content[4:8], "little") + 8
    if content[:4] != b"RIFF" or content[8:12] != b"WEBP" or not 30 <= whole <= len(content):
        return None
    first = content[12:16]
    if first == b"VP8X":
        width, height = (int.from_bytes(content[at : at + 3], "little") + 1 for at in (24, 27))
    elif first == b"VP8L" and content[20] == 0x2F:
        packed = int.from_bytes(content[21:25], "little")
        width, height = (packed & 0x3FFF) + 1, (packed >> 14 & 0x3FFF) + 1
    elif first == b"VP8 " and content[23:26] == b"\x9d\x01\x2a":
        width, height = (int.from_bytes(content[at : at + 2], "little") & 0x3FFF for at in (26, 28))
    else:
        return None
    return Head(WEBP, width, height)


def _heic(content: bytes) -> Head | None:
    if content[4:8] != b"ftyp":
        return None
    brands = content[8 : min(_four(content, 0), 256)]
    named = {brands[at : at + 4] for at in range(0, len(brands), 4) if at != 4}
    if not named & _HEIC_BRANDS or named & _NOT_HEIC:
        return None
    best, at = Head(HEIC, 0, 0), 0
    for _ in range(_MOST_SIZES):
        at = content.find(b"ispe", at + 4)
        if at < 0 or at + 16 > len(content):
            break
        best = max(best, Head(HEIC, _four(content, at + 8), _four(content, at + 12)), key=_dots)
    return best


def _dots(head: Head) -> int:
    return head.dots


def _two(content: bytes, at: int) -> int:
    return int.from_bytes(content[at : at + 2], "big")


def _four(content: bytes, at: int) -> int:
    return int.from_bytes(content[at : at + 4], "big")
