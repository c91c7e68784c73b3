"""Labels on paper: what stands on them, where, and that a decoder of others reads the print."""

import io
import json
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from nursery.domain import codes
from nursery.domain.codes import Code, What
from nursery.paper import labels, typeset
from nursery.paper.errors import LabelLacks, LabelTooSmall, NothingToPrint
from nursery.paper.labels import TEMPLATE, Wanted
from tests.paper.conftest import NOW, T3, T5, Desk

MM_PER_INCH = 25.4
PRINTER = 300
QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
# 60 degrees of view over 1920 pixels, at 25 cm: the phone's camera of the layout.
CAMERA = MM_PER_INCH / 0.15


@dataclass(frozen=True)
class Seen:
    """A code that was decoded: what it says, and where its middle lies on the sheet, in mm."""

    text: str
    x: float
    y: float


def printed(wanted: Wanted, dots: float = PRINTER) -> list[Image.Image]:
    data, day = labels.composed("veshmere", wanted, NOW)
    pages = typeset.pictures(TEMPLATE, data, day, dots)
    return [Image.open(io.BytesIO(page)).convert("L") for page in pages]


def decoded(picture: Image.Image, dots: float = PRINTER) -> list[Seen]:
    found = []
    for code in zxingcpp.read_barcodes(picture, formats=QR):
        corners = code.position
        points = (corners.top_left, corners.bottom_right)
        x, y = (sum(getattr(p, axis) for p in points) / 2 for axis in ("x", "y"))
        found.append(Seen(code.text, x * MM_PER_INCH / dots, y * MM_PER_INCH / dots))
    return sorted(found, key=lambda one: (round(one.y), one.x))


def on_labels(wanted: Wanted) -> list[dict[str, Any]]:
    data, _ = labels.composed("veshmere", wanted, NOW)
    return [label for page in data["pages"] for label in page]


def said(label: dict[str, Any]) -> list[str]:
    return [line["says"] for line in label["lines"]]


EVERYTHING = Wanted((T3, T5), ("terrace-3", "q-bench-1", "q-trap-a", "q-room"), each=2)
CODES = [
    codes.write(Code(what, ident))
    for what, idents in ((What.BATCH, EVERYTHING.batches), (What.PLACE, EVERYTHING.places))
    for ident in idents
    for _ in range(2)
]


def test_every_pot_gets_a_tag_of_its_batch(desk: Desk) -> None:
    desk.write("counted", [T3], {"method": "full", "alive": 54})
    wanted = Wanted((T3,), ("terrace-3",), each=1, each_plant=True)
    assert len(on_labels(wanted)) == 54 + 1
    desk.write("counted", [T3], {"method": "full", "alive": 0})
    with pytest.raises(NothingToPrint):
        on_labels(replace(wanted, places=()))


@pytest.mark.usefixtures("desk")
def test_every_code_of_a_sheet_is_read_in_its_place() -> None:
    (sheet,) = printed(EVERYTHING)
    seen = decoded(sheet)
    assert [one.text for one in seen] == CODES
    # Of 70 x 37 mm, three in a row from half a millimetre below the edge.
    for number, one in enumerate(seen):
        assert 70 * (number % 3) < one.x < 70 * (number % 3 + 1)
        assert 0.5 + 37 * (number // 3) < one.y < 0.5 + 37 * (number // 3 + 1)


WORN = {
    "as it comes from the printer": (PRINTER, 0.0, 0.0),
    "through the film of a pouch": (PRINTER, 0.25, 0.0),
    "by a phone at a hand's distance, through the film": (CAMERA, 0.15, 0.0),
    "with a corner torn off": (PRINTER, 0.1, 0.2),
}
SIZES: dict[str, dict[str, Any]] = {
    "the usual label": {},
    "the smallest label": {"width_mm": 40, "height_mm": 21, "stock": "roll"},
    "a low label": {"width_mm": 50, "height_mm": 25, "stock": "roll"},
    "a high label": {"width_mm": 30, "height_mm": 80, "stock": "roll"},
    "a label of a letter sheet": {"width_mm": 101.6, "height_mm": 50.8, "stock": "letter"},
}


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES.keys())
@pytest.mark.parametrize(("dots", "blur_mm", "torn"), WORN.values(), ids=WORN.keys())
def test_a_code_is_read(
    desk: Desk, size: dict[str, Any], dots: float, blur_mm: float, torn: float
) -> None:
    body = {"name": "Veshmere Terraces", "zone": "Etc/GMT-10", "label": size}
    desk.put("nursery", "veshmere", body)
    (sheet,) = printed(Wanted((T3,), each=1), dots)
    room = on_labels(Wanted((T3,), each=1))[0]
    side = room["lay"]["code"]["width"] * torn
    # The lower right corner is the one without a finder.
    right = (room["x"] + room["lay"]["code"]["x"] + room["lay"]["code"]["width"]) * dots / 25.4
    bottom = (room["y"] + room["lay"]["code"]["y"] + room["lay"]["code"]["height"]) * dots / 25.4
    torn_off = (right - side * dots / 25.4, bottom - side * dots / 25.4, right, bottom)
    if torn:
        ImageDraw.Draw(sheet).rectangle(torn_off, fill=255)
    blurred = sheet.filter(ImageFilter.GaussianBlur(blur_mm * dots / MM_PER_INCH))
    assert [one.text for one in decoded(blurred, dots)] == [codes.write(Code(What.BATCH, T3))]


@pytest.mark.usefixtures("desk")
def test_a_label_says_what_law_and_worker_ask_for_and_no_count() -> None:
    (label,) = on_labels(Wanted((T3,), each=1))
    assert (label["word"], label["sign"]) == ("T3", "tray")
    assert said(label) == [
        "Ember Pearl · Finger-lime",
        "CQ-118 · March 2031",
        "Bench 1 · Quarantine room",
        "printed 3 MAR 2031",
    ]
    assert label["code"]["alt"] == "code of tray T3"
    assert "54" not in json.dumps(label["lines"])


def test_a_small_label_keeps_the_permit_and_leaves_the_place_away(desk: Desk) -> None:
    size = {"width_mm": 40, "height_mm": 21, "stock": "roll"}
    desk.put("nursery", "veshmere", {"name": "Veshmere", "zone": "UTC", "label": size})
    (label,) = on_labels(Wanted((T3,), each=1))
    assert said(label) == ["Ember Pearl · Finger-lime", "CQ-118 · March 2031"]


def test_the_label_speaks_the_first_language_of_the_nursery(desk: Desk) -> None:
    body = {"name": "Veshmere", "zone": "Etc/GMT-10", "languages": ["qu", "es", "en"]}
    desk.put("nursery", "veshmere", body)
    (label,) = on_labels(Wanted((T3,), each=1))
    assert said(label)[-1] == "impresa 3 MAR 2031"


@pytest.mark.usefixtures("desk")
def test_no_two_kinds_of_thing_have_one_sign() -> None:
    signs = {label["word"]: label["sign"] for label in on_labels(EVERYTHING)}
    assert signs == {
        "T3": "tray",
        "T5": "tray",
        "TR3": "stair",
        "Bench 1": "bench",
        "A": "trap",
        "Q": "house",
    }


def test_what_came_of_a_batch_names_the_permit_of_its_parents(desk: Desk) -> None:
    desk.write("counted", [T3], {"method": "full", "alive": 54})
    parents = [{"id": T3, "left": 46}, {"id": T5, "left": 51}]
    child = {"id": "u", "label": "U", "count": 8, "container": "2.5 L"}
    desk.write("mixed", [T3, T5, "u"], {"parents": parents, "children": [child]})
    tray = {"id": "t3b", "label": "T3B", "count": 20, "container": "2.5 L"}
    split = {"parents": [{"id": T3, "left": 26}], "children": [tray]}
    desk.write("split", [T3, "t3b"], split)
    mixed, pots = on_labels(Wanted(("u", "t3b"), each=1))
    assert (mixed["sign"], pots["sign"]) == ("mixed", "pots")
    assert said(mixed)[0] == said(pots)[0] == "CQ-118 · March 2031"


@pytest.mark.parametrize(
    ("skip", "pages"), [(0, [24, 16]), (1, [23, 17]), (8, [16, 24]), (23, [1, 24, 15])]
)
def test_labels_that_are_used_are_skipped_on_the_first_sheet(
    desk: Desk, skip: int, pages: list[int]
) -> None:
    batches = [{"id": f"n-{i}", "label": f"N{i}"} for i in range(20)]
    names = [batch["id"] for batch in batches]
    desk.write("received", names, {"consignment": "con-2", "batches": batches})
    data, _ = labels.composed("veshmere", Wanted(tuple(names), skip=skip), NOW)
    assert [len(page) for page in data["pages"]] == pages
    first, second = data["pages"][0][0], data["pages"][1][0]
    assert (first["x"], first["y"]) == (70 * (skip % 3), 0.5 + 37 * (skip // 3))
    assert (second["x"], second["y"]) == (0, 0.5)


@pytest.mark.usefixtures("desk")
def test_the_same_labels_give_the_same_bytes_for_a_whole_day() -> None:
    later = NOW + timedelta(hours=3)
    file = labels.sheets("veshmere", EVERYTHING, NOW)
    assert file == labels.sheets("veshmere", EVERYTHING, later)
    assert file != labels.sheets("veshmere", EVERYTHING, NOW + timedelta(days=1))


@pytest.mark.usefixtures("desk")
def test_the_file_declares_that_a_screen_reader_can_read_it() -> None:
    """PDF/UA-1, ISO 14289-1: the part number stands in the file's metadata."""
    file = labels.sheets("veshmere", EVERYTHING, NOW)
    assert b"<pdfuaid:part>1</pdfuaid:part>" in file


ODD = ["Ñ-1", "gjp", "東", "W" * 64, "#T3 *x* $y$", "a b"]


@pytest.mark.parametrize("word", ODD)
def test_whatever_stands_on_a_label_is_printed_as_it_is(desk: Desk, word: str) -> None:
    desk.write("relabelled", [T3], {"old": "T3", "new": word})
    assert labels.sheets("veshmere", Wanted((T3,)), NOW).startswith(b"%PDF-")
    assert on_labels(Wanted((T3,)))[0]["word"] == word


def test_a_batch_that_bears_no_label_is_named(desk: Desk) -> None:
    desk.write("counted", ["ghost"], {"method": "full", "alive": 3})
    with pytest.raises(LabelLacks) as refused:
        labels.sheets("veshmere", Wanted(("ghost",)), NOW)
    assert refused.value.params == {"value": "ghost"}


def test_a_code_too_fine_for_its_label_is_refused(desk: Desk) -> None:
    name = "área-" * 12
    desk.put("place", name, {"name": "Far bench", "kind": "bench"})
    size = {"width_mm": 40, "height_mm": 21, "stock": "roll"}
    desk.put("nursery", "veshmere", {"name": "Veshmere", "zone": "UTC", "label": size})
    with pytest.raises(LabelTooSmall) as refused:
        labels.sheets("veshmere", Wanted((), (name,)), NOW)
    assert refused.value.params == {"value": "Far bench", "width": 40, "height": 21}


def test_places_that_go_round_in_a_ring_end(desk: Desk) -> None:
    desk.put("place", "a", {"name": "A", "kind": "room", "parent": "b"})
    desk.put("place", "b", {"name": "B", "kind": "room", "parent": "a"})
    assert on_labels(Wanted((), ("a",), each=1))[0]["lines"][1]["says"].startswith("B · A · B")
