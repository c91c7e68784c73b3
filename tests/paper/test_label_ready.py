"""Every ready size of label is printed, and a decoder of others reads each code of a full sheet.

The decoder is zxing-cpp; 300 dots to the inch is what office printers print, 203 what printers of
labels do. (Common practice, no source.)
"""

import io
import itertools
import json
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import segno
import zxingcpp
from PIL import Image, ImageFilter

from nursery.domain import codes, reference
from nursery.domain.codes import Code, What
from nursery.domain.reference import LabelSize, Nursery, Stock
from nursery.paper import labels, typeset
from nursery.paper.label_layout import LEAST_MODULE, QUIET, lay
from nursery.paper.labels import TEMPLATE, Wanted
from tests.paper.conftest import NOW, T3, Desk

READY = json.loads(
    (Path(__file__).parents[1] / "vectors" / "label-ready.json").read_text(encoding="utf-8")
)
OFFICE, LABEL_PRINTER = 300, 203
# An id that a phone makes: version 2, 25 modules a side (ISO/IEC 18004).
MODULES = 25
QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
CODE = codes.write(Code(What.BATCH, T3))


def called(size: dict[str, Any]) -> str:
    return f"{size['width_mm']} x {size['height_mm']} {size['stock']}"


def sized(size: dict[str, Any]) -> LabelSize:
    row = reference.read("nursery", "n", {"name": "V", "zone": "UTC", "label": size})
    assert isinstance(row, Nursery)
    return row.label


def read(picture: Image.Image) -> list[str]:
    return [code.text for code in zxingcpp.read_barcodes(picture, formats=QR)]


def put(desk: Desk, size: dict[str, Any]) -> LabelSize:
    desk.put("nursery", "veshmere", {"name": "Veshmere", "zone": "Etc/GMT-10", "label": size})
    return sized(size)


@pytest.mark.parametrize("size", READY, ids=called)
def test_the_codes_of_a_ready_size_are_read_as_they_are_printed(
    desk: Desk, size: dict[str, Any]
) -> None:
    found = put(desk, size)
    wanted = Wanted((T3,), each=min(4, found.on_sheet))
    data, day = labels.composed("veshmere", wanted, NOW)
    for dots in (OFFICE, LABEL_PRINTER):
        page = typeset.pictures(TEMPLATE, data, day, dots)[0]
        assert read(Image.open(io.BytesIO(page)).convert("L")) == [CODE] * wanted.each


@pytest.mark.parametrize("size", READY, ids=called)
def test_a_ready_size_has_its_quiet_zone_and_no_finer_module_than_can_be_read(
    size: dict[str, Any],
) -> None:
    """ISO/IEC 18004, quiet zone of four modules."""
    found = sized(size)
    room = lay(found, MODULES, 4)
    assert room is not None
    assert room.module >= LEAST_MODULE
    quiet = QUIET * room.module - 1e-9
    assert min(room.code.x, room.code.y) >= quiet
    assert found.width_mm - room.code.x - room.code.width >= quiet
    assert found.height_mm - room.code.y - room.code.height >= quiet


@pytest.mark.parametrize("size", READY, ids=called)
def test_a_ready_size_lies_on_its_sheet_and_no_label_on_another(size: dict[str, Any]) -> None:
    found = sized(size)
    width, height = found.paper
    corners = list(found.corners())
    assert len(corners) == found.on_sheet >= 1
    for x, y in corners:
        assert x >= -0.3
        assert y >= -0.3
        assert x + found.width_mm <= width + 0.6
        assert y + found.height_mm <= height + 0.6
    across = sorted({x for x, _ in corners})
    down = sorted({y for _, y in corners})
    assert all(b - a >= found.width_mm - 1e-9 for a, b in itertools.pairwise(across))
    assert all(b - a >= found.height_mm - 1e-9 for a, b in itertools.pairwise(down))


def test_there_is_a_tag_for_a_pot_and_one_for_each_printer() -> None:
    assert {size["stock"] for size in READY} == {"a4", "letter", "roll"}
    tags = [size for size in READY if size["height_mm"] > 2 * size["width_mm"]]
    assert {size["stock"] for size in tags} == {"a4", "roll"}


def test_the_foot_of_a_tag_is_left_white_for_the_medium() -> None:
    for size in READY:
        found = sized(size)
        if found.height_mm > 3 * found.width_mm:
            room = lay(found, MODULES, 4)
            assert room is not None
            assert room.code.y + room.code.height <= 0.7 * found.height_mm


@pytest.mark.parametrize("skip", [1, 20])
def test_a_begun_sheet_of_a_ready_size_goes_on_at_its_first_free_label(
    desk: Desk, skip: int
) -> None:
    found = put(desk, next(size for size in READY if size.get("left_mm") == 7.2))
    data, _ = labels.composed("veshmere", Wanted((T3,), each=2, skip=skip), NOW)
    first = data["pages"][0][0]
    assert (first["x"], first["y"]) == pytest.approx(list(found.corners())[skip])


@pytest.mark.parametrize(("module_mm", "is_read"), [(LEAST_MODULE, True), (0.1, False)])
def test_the_least_module_is_read_by_a_phone_through_a_film_and_a_finer_one_is_not(
    module_mm: float, is_read: bool
) -> None:
    """A camera that sees 0.15 mm to a pixel, and the film of a pouch that blurs one pixel away."""
    symbol = segno.make_qr(CODE, error="Q", mode="alphanumeric", boost_error=False)
    buffer = io.BytesIO()
    symbol.save(buffer, kind="png", scale=20, border=QUIET)
    drawn = Image.open(buffer).convert("L")
    across = round((MODULES + 2 * QUIET) * module_mm / 0.15)
    seen = drawn.resize((across, across), Image.Resampling.BOX)
    blurred = seen.filter(ImageFilter.GaussianBlur(1))
    assert (read(blurred) == [CODE]) is is_read


@pytest.mark.parametrize("size", [READY[0], READY[5], READY[8], READY[9], READY[11]], ids=called)
def test_the_file_itself_is_read_as_another_program_draws_it(
    desk: Desk, size: dict[str, Any], tmp_path: Path
) -> None:
    found = put(desk, size)
    wanted = Wanted((T3,), each=min(2, found.on_sheet))
    (tmp_path / "labels.pdf").write_bytes(labels.sheets("veshmere", wanted, NOW))
    dots = LABEL_PRINTER if found.stock is Stock.ROLL else OFFICE
    subprocess.run(  # a program of the machine, on our own file
        ["pdftoppm", "-r", str(dots), "-png", "-singlefile", "labels.pdf", "page"],
        cwd=tmp_path,
        check=True,
    )
    assert read(Image.open(tmp_path / "page.png").convert("L")) == [CODE] * wanted.each


def test_a_whole_sheet_of_one_tray_fills_every_place(desk: Desk) -> None:
    found = put(desk, READY[3])
    desk.write("counted", [T3], {"method": "full", "alive": found.on_sheet})
    wanted = replace(Wanted((T3,), each=1), each_plant=True)
    data, day = labels.composed("veshmere", wanted, NOW)
    (page,) = typeset.pictures(TEMPLATE, data, day, OFFICE)
    assert read(Image.open(io.BytesIO(page)).convert("L")) == [CODE] * found.on_sheet
