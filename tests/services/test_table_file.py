"""Spreadsheets as they come: texts in their encodings, workbooks, and what must never be read."""

import io
import zipfile
from datetime import UTC, date, datetime
from typing import Any

import openpyxl
import pytest
from openpyxl import Workbook

from nursery.services import table_file, workbook
from nursery.services.workbook import TableUnfit

ROWS = [["Label", "Crop", "Count"], ["T1", "Limón, red", 54], ["T2", "Bay", 12]]


def sheet_of(content: bytes, sheet: str | None = None) -> list[list[Any]]:
    found = table_file.read(content, sheet).sheet
    return [list(found.headings), *(list(cells) for _, cells in found.rows)]


def book_of(rows: Any = ROWS, **sheets: Any) -> bytes:
    made = Workbook()
    first = made.active
    assert first is not None
    for name, some in {"Stock": rows, **sheets}.items():
        sheet = first if name == "Stock" else made.create_sheet(name)
        sheet.title = name
        for row in some:
            sheet.append(row)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def changed(content: bytes, **members: bytes) -> bytes:
    """Return a workbook with other members: `xl__workbook_xml` is xl/workbook.xml."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w") as new:
        held = {one.filename: old.read(one) for one in old.infolist()}
        named = {n.replace("__", "/").replace("_xml", ".xml"): b for n, b in members.items()}
        for name, body in (held | named).items():
            new.writestr(name, body, zipfile.ZIP_DEFLATED)
    return out.getvalue()


TEXT = "Label{s}Crop{s}Count\nT1{s}{q}Limón, red{q}{s}54\nT2{s}Bay{s}12\n"
TEXTS = {
    "commas": (TEXT.format(s=",", q='"').encode(), "UTF-8", "comma"),
    "semicolons": (TEXT.format(s=";", q="").encode(), "UTF-8", "semicolon"),
    "tabs": (TEXT.format(s="\t", q="").encode(), "UTF-8", "tab"),
    "with a mark": (TEXT.format(s=";", q="").encode("utf-8-sig"), "UTF-8", "semicolon"),
    "of an older office": (TEXT.format(s=";", q="").encode("cp1252"), "Windows-1252", "semicolon"),
    "wide": (TEXT.format(s="\t", q="").encode("utf-16"), "UTF-16", "tab"),
    "that say their separator": (
        ("sep=;\n" + TEXT.format(s=";", q="")).encode(), "UTF-8", "semicolon",
    ),
    "with the ends of another system": (
        TEXT.format(s=",", q='"').replace("\n", "\r\n").encode(), "UTF-8", "comma",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("content", "encoding", "separator"), TEXTS.values(), ids=TEXTS.keys())
def test_a_text_is_read_in_its_encoding_by_its_separator(
    content: bytes, encoding: str, separator: str
) -> None:
    found = table_file.read(content)
    assert (found.encoding, found.separator) == (encoding, separator)
    assert sheet_of(content) == [
        ["Label", "Crop", "Count"], ["T1", "Limón, red", "54"], ["T2", "Bay", "12"],
    ]  # fmt: skip


def test_rows_are_numbered_as_a_spreadsheet_shows_them() -> None:
    content = b'Label;Notes\n\nT1;"two\nlines"\n;;\nT2;x\n'
    found = table_file.read(content).sheet
    assert [number for number, _ in found.rows] == [3, 5]
    said = table_file.read(b"sep=;\nLabel;Notes\nT1;x\n").sheet
    assert [number for number, _ in said.rows] == [3]


def test_a_line_of_remarks_is_no_stock_and_is_told() -> None:
    found = table_file.read(b"Label;Crop\n## what stands there;its name\nT1;Bay\n")
    assert (len(found.sheet.rows), found.remarks) == (1, 1)
    assert found.as_json()["remarks"] == 1


# Workbooks


def test_a_workbook_gives_its_first_sheet_or_the_one_that_is_named() -> None:
    content = book_of(Other=[["Label"], ["X9"]])
    found = table_file.read(content)
    assert (found.kind, found.sheets, found.chosen) == ("xlsx", ("Stock", "Other"), "Stock")
    assert sheet_of(content) == ROWS
    assert sheet_of(content, "Other") == [["Label"], ["X9"]]
    assert table_file.read(content, "Gone").chosen == "Stock"


def test_days_numbers_and_yeses_of_a_workbook_stay_what_they_are() -> None:
    when = datetime(2031, 5, 12, 7, 30, tzinfo=UTC).replace(tzinfo=None)
    row = [date(2031, 5, 12), when, 54, 53.5, True, "=1+1 as text", when.time()]
    [_, found] = sheet_of(book_of([["a", "b", "c", "d", "e", "f", "g"], row[:5] + row[6:]]))
    assert found == [date(2031, 5, 12), date(2031, 5, 12), 54, 53.5, True, "07:30:00"]


def test_of_a_formula_the_last_value_is_read() -> None:
    content = book_of([["Label", "Count"], ["T1", "=50+4"]])
    with zipfile.ZipFile(io.BytesIO(content)) as pack:
        sheet = pack.read("xl/worksheets/sheet1.xml")
    worked_out = sheet.replace(b"<v />", b"<v>54</v>")
    assert b"<v>54</v>" in worked_out
    found = sheet_of(changed(content, xl__worksheets__sheet1_xml=worked_out))
    assert found[1] == ["T1", 54]
    assert sheet_of(content)[1] == ["T1"]


def test_a_row_far_to_the_right_of_a_false_size_is_found() -> None:
    content = book_of()
    with zipfile.ZipFile(io.BytesIO(content)) as pack:
        sheet = pack.read("xl/worksheets/sheet1.xml")
    lying = sheet.replace(b'<dimension ref="A1:C3"', b'<dimension ref="A1:A1"')
    assert lying != sheet
    assert sheet_of(changed(content, xl__worksheets__sheet1_xml=lying)) == ROWS


BOMB = (
    b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>'
    b'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    b"<si><t>&b;</t></si></sst>"
)
FILE = BOMB.replace(b'"aaaaaaaaaa"', b'SYSTEM "file:///etc/passwd"')
SHEET_BOMB = (
    b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "54">]>'
    b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
    b'<row r="1"><c r="A1"><v>&a;</v></c></row></sheetData></worksheet>'
)
GOOD_BOOK = book_of()


def with_texts(texts: bytes) -> bytes:
    """Return a workbook whose texts lie in a member of their own, as most programs write it."""
    with zipfile.ZipFile(io.BytesIO(GOOD_BOOK)) as pack:
        types = pack.read("[Content_Types].xml")
    kind = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    part = b'<Override PartName="/xl/sharedStrings.xml" ContentType="' + kind + b'"/></Types>'
    named = {"[Content_Types].xml": types.replace(b"</Types>", part)}
    return changed(GOOD_BOOK, xl__sharedStrings_xml=texts, **named)


UNFIT: dict[str, tuple[bytes, str]] = {
    "nothing at all": (b"", "table_empty"),
    "headings alone": (b"Label,Crop\n", "table_empty"),
    "a workbook without rows": (book_of([["Label"]]), "table_empty"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00", "table_unreadable"),
    "a workbook of long ago, or locked": (b"\xd0\xcf\x11\xe0" + bytes(100), "table_unreadable"),
    "signs that no encoding has": (b"Label,Crop\nT\x81,B\xff\n", "table_unreadable"),
    "half a workbook": (GOOD_BOOK[:-200], "table_unreadable"),
    "a zip of something else": (changed(b"PK\x05\x06" + bytes(18), a=b"x"), "table_unreadable"),
    "a workbook with programs": (
        changed(GOOD_BOOK, **{"xl/vbaProject.bin": b"x"}), "table_has_programs",
    ),
    "a bomb of entities in its texts": (
        with_texts(BOMB), "table_unreadable",
    ),
    "a file of this machine in its texts": (
        with_texts(FILE), "table_unreadable",
    ),
    "an entity in its rows": (
        changed(GOOD_BOOK, xl__worksheets__sheet1_xml=SHEET_BOMB), "table_unreadable",
    ),
    "a zip bomb": (
        changed(GOOD_BOOK, xl__worksheets__sheet1_xml=bytes(80_000_000)), "table_swollen",
    ),
    "no XML": (changed(GOOD_BOOK, xl__worksheets__sheet1_xml=b"<row"), "table_unreadable"),
    "more rows than are read": (
        b"Label,Crop\n" + b"T1,Bay\n" * (table_file.MOST_ROWS + 1), "table_too_long",
    ),
    "more columns than are read": (
        b"Label" + b"," * 120 + b"x\nT1\n", "table_too_wide",
    ),
    "a text without end": (b'Label,Crop\nT1,"' + b"x" * 200_000, "table_broken"),
    "more bytes than are read": (bytes(table_file.MOST_BYTES + 1), "table_too_large"),
}  # fmt: skip


def test_texts_that_lie_apart_are_read_where_nothing_is_wrong_with_them() -> None:
    plain = BOMB.replace(BOMB[BOMB.index(b"<!DOCTYPE") : BOMB.index(b"<sst")], b"")
    assert sheet_of(with_texts(plain.replace(b"&b;", b"T1"))) == ROWS


@pytest.mark.parametrize(("content", "code"), UNFIT.values(), ids=UNFIT.keys())
def test_a_file_that_is_no_table_is_turned_down_by_name(content: bytes, code: str) -> None:
    with pytest.raises(TableUnfit) as refused:
        table_file.read(content)
    assert refused.value.code == code


def test_empty_rows_between_are_no_rows_and_are_counted() -> None:
    found = table_file.read(book_of([["Label"], [], [], ["T1"]])).sheet
    assert found.rows == ((4, ("T1",)),)


def test_a_row_beyond_every_list_of_stock_is_turned_down(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook, "MOST_LINES", 3)
    with pytest.raises(TableUnfit) as refused:
        table_file.read(book_of([["Label"], ["T1"], ["T2"], ["T3"]]))
    assert refused.value.code == "table_too_long"


def test_a_workbook_that_takes_too_much_ends_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook, "MEMORY", 24 << 20)
    with pytest.raises(TableUnfit) as refused:
        table_file.read(book_of([["Label"], *([f"T{n}" * 50] for n in range(5000))]))
    assert refused.value.code in {"table_swollen", "table_unreadable"}


def test_entities_are_refused_by_the_library_that_is_in_force() -> None:
    assert openpyxl.DEFUSEDXML is True
