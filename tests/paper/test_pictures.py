"""Photos as they are handed over: upright, small, and nothing of the camera's file beside them."""

import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageStat

from nursery.paper import pictures
from nursery.services import kept_photos, nurseries

SECRET = "Orrin, behind the third screen house"


def photograph(size: tuple[int, int] = (1600, 1200), turned: int = 1) -> bytes:
    """A picture with its left half black, taken at a place by a camera that says so."""
    image = Image.new("RGB", size, "white")
    image.paste("black", (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[0x0112], exif[0x010F], exif[0x9286] = turned, "A camera's maker", SECRET
    exif.get_ifd(0x8825).update({1: "S", 2: (17.0, 30.0, 0.0), 3: "E", 4: (150.0, 0.0, 0.0)})
    file = io.BytesIO()
    image.save(file, "JPEG", exif=exif, comment=SECRET, icc_profile=b"a profile of a screen")
    return file.getvalue()


def opened(content: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


def test_nothing_goes_along_but_the_picture() -> None:
    whole = photograph()
    assert SECRET.encode() in whole
    assert opened(whole).getexif().get_ifd(0x8825)
    small = pictures.small(whole, pictures.OF_A_PLANT)
    assert small is not None
    image = opened(small.content)
    assert SECRET.encode() not in small.content
    assert not image.getexif()
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert small.content[2:4] == b"\xff\xe0"  # JFIF, and no other segment of an application
    assert not any(bytes((0xFF, 0xE0 + at)) in small.content[4:200] for at in range(1, 16))


@pytest.mark.parametrize("longest", [pictures.OF_A_PLANT, pictures.OF_A_PAPER])
def test_it_is_made_small_and_keeps_its_form(longest: int) -> None:
    small = pictures.small(photograph(), longest)
    assert small is not None
    assert (small.width, small.height) == (longest, longest * 3 // 4)
    assert opened(small.content).size == (small.width, small.height)


def test_one_that_is_small_stays_so() -> None:
    small = pictures.small(photograph((96, 72)), pictures.OF_A_PAPER)
    assert small is not None
    assert (small.width, small.height) == (96, 72)


def test_one_that_lies_on_its_side_is_set_upright() -> None:
    """Turned by a quarter, what was left is above."""
    small = pictures.small(photograph((400, 300), turned=6), pictures.OF_A_PLANT)
    assert small is not None
    image = opened(small.content).convert("L")
    assert image.size == (300, 400)
    above, below = (image.crop((0, top, 300, top + 100)) for top in (0, 300))
    assert ImageStat.Stat(above).mean[0] < 40
    assert ImageStat.Stat(below).mean[0] > 215


@pytest.mark.parametrize("form", ["PNG", "WEBP", "GIF"])
def test_every_usual_form_becomes_a_jpeg(form: str) -> None:
    file = io.BytesIO()
    Image.new("RGBA" if form != "GIF" else "P", (64, 48)).save(file, form)
    small = pictures.small(file.getvalue(), pictures.OF_A_PLANT)
    assert small is not None
    assert opened(small.content).format == "JPEG"


def test_what_is_no_picture_or_claims_to_be_huge_is_none() -> None:
    file = io.BytesIO()
    Image.new("1", (8000, 8000)).save(file, "PNG")
    assert len(file.getvalue()) < 100_000
    for junk in (b"", b"%PDF-1.7", photograph()[:300], file.getvalue()):
        assert pictures.small(junk, pictures.OF_A_PLANT) is None


def test_the_same_photo_is_drawn_to_the_same_bytes() -> None:
    assert pictures.small(photograph(), 560) == pictures.small(photograph(), 560)


@pytest.mark.django_db
def test_a_paper_stays_large_enough_to_be_read(settings: Any, tmp_path: Path) -> None:
    settings.PHOTOS = tmp_path
    nurseries.begin("veshmere", "Veshmere", "UTC")
    digest = kept_photos.keep("veshmere", photograph())
    photo = {"name": "a", "sha256": digest, "missing": None}
    found = {}
    for kind in ("found", "ordered", "accepted", "released", "inspected", "resulted"):
        told, _ = pictures.gathered("veshmere", [{**photo, "named_by": [{"kind": kind}]}])
        found[kind] = told[0]["picture"]["width"]
    assert found.pop("found") == pictures.OF_A_PLANT
    assert set(found.values()) == {pictures.OF_A_PAPER}
