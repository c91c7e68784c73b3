"""Photos as they are handed over: upright, small, and nothing but the picture.

Each is drawn anew from the office's own copy, so that neither place, device nor words from the
camera's file go along, and nothing that came from outside is decoded here. Its original stays in
the office under the hash that its record names.
"""

import io
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from nursery.services import kept_photos, photos

# The longest side in dots: a paper must be read, a leaf be seen.
OF_A_PAPER, OF_A_PLANT = 1000, 560
QUALITY = {OF_A_PAPER: 70, OF_A_PLANT: 60}
# What names a photo of a paper.
PAPERS = frozenset(("ordered", "accepted", "released", "inspected", "resulted", "taken_on"))
# A file of a few bytes can claim to be a picture of any size.
MOST_DOTS = 40_000_000
HELD_BACK = "held_back"


@dataclass(frozen=True, slots=True)
class Small:
    """A JPEG without anything beside the picture."""

    content: bytes
    width: int
    height: int


def gathered(
    nursery: str, named: list[dict[str, Any]]
) -> tuple[list[dict[str, Any]], Mapping[str, bytes]]:
    """Return the photos of a release with what is handed over of each, and the bytes by name.

    A photo has `picture`, the SHA-256 and the size of what is handed over, or `missing`, why not.
    """
    told, contents = [], {}
    for photo in named:
        small = None if photo.get("missing") else _small_of(nursery, photo)
        if small is None:
            told.append({**photo, "missing": photo.get("missing") or HELD_BACK})
            continue
        contents[photo["name"]] = small.content
        digest = sha256(small.content).hexdigest()
        size = {"width": small.width, "height": small.height}
        told.append({**photo, "picture": {"sha256": digest, **size}})
    return told, contents


def _small_of(nursery: str, photo: Mapping[str, Any]) -> Small | None:
    # What the office has must be what the record names; a copy of it proves nothing by itself.
    if kept_photos.read(nursery, photo["sha256"]) is None:
        return None
    content = photos.largest(nursery, photo["sha256"])
    a_paper = PAPERS.intersection(one["kind"] for one in photo["named_by"])
    return None if content is None else small(content, OF_A_PAPER if a_paper else OF_A_PLANT)


def small(content: bytes, longest: int) -> Small | None:
    """Return a picture drawn anew with its longest side so many dots; None of what is no picture.

    One that is smaller stays as large as it is.
    """
    from PIL import Image, ImageOps  # noqa: PLC0415  loaded only where a file is handed over

    try:
        with Image.open(io.BytesIO(content)) as found:
            if found.width * found.height > MOST_DOTS:
                return None
            found.draft("RGB", (longest, longest))
            upright = ImageOps.exif_transpose(found).convert("RGB")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
    upright.thumbnail((longest, longest), Image.Resampling.BICUBIC, reducing_gap=2.0)
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    file = io.BytesIO()
    bare.save(file, "JPEG", quality=QUALITY.get(longest, 60), optimize=True)
    return Small(file.getvalue(), *bare.size)
