"""Stand-ins for photographs: small pictures that are the same every time they are made."""

import struct
import zlib
from collections.abc import Iterable
from datetime import UTC
from hashlib import sha256
from typing import Any

from nursery.ops.demo.script import Act, Day
from nursery.services import demo, kept_photos, photos

WIDTH, HEIGHT = 96, 72


def png(name: str) -> bytes:
    """Return a grey picture whose bands are worked out from its name."""
    bands = sha256(name.encode()).digest()
    rows = b"".join(
        b"\x00" + bytes(bands[(y // 6 + x // 8) % len(bands)] for x in range(WIDTH))
        for y in range(HEIGHT)
    )
    header = struct.pack(">IIBBBBB", WIDTH, HEIGHT, 8, 0, 0, 0, 0)
    parts = ((b"IHDR", header), (b"IDAT", zlib.compress(rows, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_part(*part) for part in parts)


def _part(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def keep(days: Iterable[Day]) -> None:
    """Put the pictures that these days tell of into the office, as if phones had sent them.

    Each came when it was taken: whatever evening the demo is opened at, it is drawn at once.
    """
    for day in days:
        for step in day.steps:
            if isinstance(step, Act) and step.kind == "photographed":
                kept_photos.keep(demo.NURSERY, png(step.body["photo"]))
                photos.adopt(demo.NURSERY, day.instant(step).astimezone(UTC))


def body(name: str, shows: str) -> dict[str, Any]:
    """Return the body of a `photographed` record about the picture of this name."""
    return {
        "photo": name,
        "sha256": sha256(png(name)).hexdigest(),
        "width": WIDTH,
        "height": HEIGHT,
        "shows": shows,
    }
