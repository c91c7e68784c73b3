"""A photo of 12 million dots to its stored copies, against the bare calls of the library.

Run `python -m tests.bench.bench_photo [rounds]`. Both ways are timed by turns in one run: the bare
calls in this process (open, shrink, set upright, three JPEGs), and the darkroom with all that it
adds: the photo sent to its process, a fork with its limits, and the copies sent back. The start of
the process, which the first photo pays and hundreds share, is told by itself. Goal: 1.2 times.
"""

import io
import sys
from collections.abc import Callable
from statistics import median
from time import perf_counter

from PIL import Image, ImageFilter, ImageOps

from nursery.services.darkroom import SIZES, Darkroom
from tests.bench import table

GOAL = 1.2
ROUNDS = 15


def photograph() -> bytes:
    """A JPEG of 4000 by 3000 dots, some 3.5 MB, that lies on its side as a phone's does."""
    noise = Image.effect_noise((4000, 3000), 60).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = 6
    file = io.BytesIO()
    noise.filter(ImageFilter.GaussianBlur(1)).save(file, "JPEG", quality=88, exif=exif)
    return file.getvalue()


def bare(content: bytes) -> list[bytes]:
    """The same copies by the library's calls alone."""
    longest = SIZES[0][0]
    made = []
    with Image.open(io.BytesIO(content)) as found:
        found.thumbnail((longest, longest), Image.Resampling.BICUBIC, reducing_gap=2.0)
        small = ImageOps.exif_transpose(found)
    for side, quality in SIZES:
        small.thumbnail((side, side), Image.Resampling.BICUBIC, reducing_gap=2.0)
        file = io.BytesIO()
        small.save(file, "JPEG", quality=quality, optimize=True)
        made.append(file.getvalue())
    return made


def seconds(work: Callable[[], object]) -> float:
    began = perf_counter()
    work()
    return perf_counter() - began


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    content, room = photograph(), Darkroom()
    print(f"{len(content) / 1e6:.1f} MB, 12 million dots, {rounds} rounds by turns")
    bare(content)
    first = seconds(lambda: room.draw(content))
    drawn = room.draw(content)
    assert drawn.fault == "", drawn.fault
    assert [(one.width, one.height) for one in drawn.copies] == [
        Image.open(io.BytesIO(one)).size for one in bare(content)
    ]
    pairs = [
        (seconds(lambda: bare(content)), seconds(lambda: room.draw(content))) for _ in range(rounds)
    ]
    room.close()
    alone, apart = (median(column) for column in zip(*pairs, strict=True))
    ratio = median(two / one for one, two in pairs)
    print(f"bare calls          {alone * 1000:7.1f} ms")
    print(f"the darkroom        {apart * 1000:7.1f} ms, peak {drawn.peak / 2**20:.0f} MB")
    print(f"its first photo     {first * 1000:7.1f} ms, with the start of its process")
    table.note(
        "a photo of 12 million dots to its copies", f"{GOAL} x bare calls",
        f"{1000 * apart:.0f} ms: {ratio:.2f} x", reached=ratio <= GOAL,
    )  # fmt: skip


if __name__ == "__main__":
    main()
