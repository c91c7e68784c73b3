"""Whatever a picture was made for: it costs no more than it may, and its dots alone stay."""

import os
import signal
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from PIL import ImageStat

from nursery.services import darkroom, photo_head
from nursery.services.darkroom import Copy, Darkroom, Drawn
from tests.services.hostile_images import (
    CORPUS,
    KEPT,
    PAGE,
    SECRET,
    TAKEN,
    TURNED_DOWN,
    Hostile,
    animated,
    camera,
    clear_palette,
    heic,
    many_scans,
    opened,
    photograph,
    saved,
    scene,
    sixteen_bits,
)

# What a JPEG without anything beside the picture consists of: JFIF, tables, frame, scan.
PLAIN_PARTS = {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}


@pytest.fixture(scope="module")
def room() -> Iterator[Darkroom]:
    made = Darkroom()
    yield made
    made.close()


def parts_of(content: bytes) -> set[int]:
    """The kinds of a JPEG's parts up to its scan."""
    found, at = set(), 2
    while content[at + 1] != 0xDA:
        found.add(content[at + 1])
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return found | {0xDA}


def holds_nothing_else(copy: Copy) -> None:
    image = opened(copy.content)
    assert (image.format, image.mode, image.size) == ("JPEG", "RGB", (copy.width, copy.height))
    assert not image.getexif()
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert parts_of(copy.content) == PLAIN_PARTS
    assert SECRET not in copy.content
    assert PAGE not in copy.content
    assert copy.content.endswith(b"\xff\xd9")
    assert max(image.size) <= copy.longest


def is_turned_down(content: bytes) -> bool:
    """Whether the web process turns it down, by the first look alone."""
    head = photo_head.read(content)
    return head is None or head.dots > darkroom.MOST_DOTS


def test_the_corpus_is_large_enough() -> None:
    assert len(CORPUS) >= 30


@pytest.mark.parametrize("hostile", CORPUS.values(), ids=CORPUS)
def test_each_ends_as_it_must_and_costs_no_more_than_it_may(
    room: Darkroom, hostile: Hostile
) -> None:
    content = hostile.make()
    assert len(content) <= darkroom.MOST_BYTES
    assert is_turned_down(content) == (hostile.end == TURNED_DOWN)
    began = time.monotonic()
    drawn = room.draw(content)
    took = time.monotonic() - began
    assert drawn.peak <= 512 * 2**20
    assert took <= 20
    if hostile.end != KEPT:
        assert drawn.copies == ()
        assert hostile.end == TURNED_DOWN or drawn.fault == hostile.fault
        return
    assert drawn.fault == ""
    assert [one.longest for one in drawn.copies] == [1600, 800, 320]
    assert (drawn.copies[0].width, drawn.copies[0].height) == hostile.size
    for copy in drawn.copies:
        holds_nothing_else(copy)


def shade(copy: Copy, box: tuple[float, float, float, float]) -> float:
    """How light a part of a copy is, from 0 to 255; the box in shares of its sides."""
    image = opened(copy.content).convert("L")
    left, top, right, bottom = box
    width, height = image.size
    part = image.crop(
        (round(left * width), round(top * height), round(right * width), round(bottom * height))
    )
    return ImageStat.Stat(part).mean[0]


LEFT, RIGHT = (0.05, 0.05, 0.45, 0.95), (0.55, 0.05, 0.95, 0.95)
ABOVE, BELOW = (0.05, 0.05, 0.95, 0.45), (0.05, 0.55, 0.95, 0.95)
# Where the left half of the picture, which is black, belongs: EXIF 2.3, tag 0x0112 (from memory).
BLACK = {1: LEFT, 2: RIGHT, 3: RIGHT, 4: LEFT, 5: ABOVE, 6: ABOVE, 7: BELOW, 8: BELOW}
OTHER = {LEFT: RIGHT, RIGHT: LEFT, ABOVE: BELOW, BELOW: ABOVE}


@pytest.mark.parametrize(("turned", "black"), BLACK.items())
def test_it_is_set_upright(
    room: Darkroom, turned: int, black: tuple[float, float, float, float]
) -> None:
    for copy in room.draw(photograph(turned=turned)).copies:
        assert shade(copy, black) < 20
        assert shade(copy, OTHER[black]) > 235


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_of_a_picture_that_moves_the_first_is_shown(room: Darkroom, form: str) -> None:
    copy = room.draw(animated(form)).copies[0]
    assert shade(copy, LEFT) < 20
    assert shade(copy, RIGHT) > 235


def test_what_is_clear_is_white_and_what_is_grey_stays_grey(room: Darkroom) -> None:
    assert shade(room.draw(clear_palette()).copies[0], LEFT) > 235
    assert 120 <= shade(room.draw(sixteen_bits()).copies[0], LEFT) <= 136
    inks = room.draw(saved(scene(mode="CMYK"), "JPEG")).copies[0]
    assert shade(inks, LEFT) < 40
    assert shade(inks, RIGHT) > 235


def test_a_small_photo_is_not_made_larger(room: Darkroom) -> None:
    copies = room.draw(photograph((96, 72))).copies
    assert {(one.width, one.height) for one in copies} == {(96, 72)}


def test_the_same_photo_is_drawn_to_the_same_bytes(room: Darkroom) -> None:
    assert room.draw(photograph()).copies == room.draw(photograph()).copies


# When it was taken

ZONE = timezone(timedelta(hours=10))
TIMES = {
    "with an offset": ((TAKEN, "+02:00"), datetime(2031, 3, 3, 5, 14, 15, tzinfo=UTC)),
    "without": ((TAKEN, ""), datetime(2031, 3, 2, 21, 14, 15, tzinfo=UTC)),
    "with an odd offset": ((TAKEN, "+99:99"), datetime(2031, 3, 2, 21, 14, 15, tzinfo=UTC)),
    "no time": (("", ""), None),
    "zeros": (("0000:00:00 00:00:00", ""), None),
    "words": (("yesterday", "+02:00"), None),
    "before time": (("0001:01:01 00:00:00", ""), None),
}


@pytest.mark.parametrize(("taken", "at"), TIMES.values(), ids=TIMES)
def test_a_camera_s_own_time_is_read(taken: tuple[str, str], at: datetime | None) -> None:
    assert Drawn(taken=taken).taken_at(ZONE) == at


def test_of_all_that_stands_beside_a_photo_the_time_alone_is_told(room: Darkroom) -> None:
    assert room.draw(photograph()).taken == (TAKEN, "")
    assert room.draw(saved(scene(), "WEBP", exif=camera())).taken == (TAKEN, "")
    assert room.draw(saved(scene(), "JPEG")).taken == ("", "")


# HEIC


def test_heic_needs_its_extra(room: Darkroom, monkeypatch: pytest.MonkeyPatch) -> None:
    assert room.draw(heic()).fault == ""
    monkeypatch.setattr(darkroom, "reads_heic", lambda: False)
    assert room.draw(heic()).fault == "no_heic"


def test_heic_is_turned_by_its_own_part_and_by_no_word_beside_it(room: Darkroom) -> None:
    """The format turns a picture by a part of its own, which its reader follows; EXIF repeats it.

    (ISO/IEC 23008-12, annex A, from memory.) Turned by both it would lie on its side.
    """
    drawn = room.draw(saved(scene((320, 240)), "HEIF", quality=50, exif=camera(6)))
    assert (drawn.copies[0].width, drawn.copies[0].height) == (320, 240)
    assert shade(drawn.copies[0], LEFT) < 40
    assert drawn.taken == (TAKEN, "")


# The process apart


def test_one_that_takes_too_long_harms_none_that_comes_after_it(room: Darkroom) -> None:
    long = many_scans(3000, (3000, 3000))
    began = time.monotonic()
    assert room.draw(long, seconds=0.5).fault == "too_slow"
    assert time.monotonic() - began < 3
    assert room.draw(photograph()).fault == ""


def test_a_process_that_was_killed_is_started_anew() -> None:
    room = Darkroom()
    assert room.draw(photograph()).fault == ""
    assert room._process is not None
    os.kill(room._process.pid, signal.SIGKILL)
    room._process.wait()
    assert room.draw(photograph()).fault == ""
    room.close()


def test_it_knows_none_of_our_settings(room: Darkroom, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NURSERY_SECRET_KEY", "a secret of this test")
    room.close()
    room.draw(photograph())
    assert room._process is not None
    assert b"NURSERY" not in Path(f"/proc/{room._process.pid}/environ").read_bytes()


def test_the_process_ends_when_nothing_comes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(darkroom, "IDLE_SECONDS", 0.05)
    room = Darkroom()
    assert room.draw(photograph()).fault == ""
    until = time.monotonic() + 5
    while room._process is not None and time.monotonic() < until:
        time.sleep(0.02)
    assert room._process is None
