"""A spreadsheet that somebody hands in: rows of cells, from a text or from a workbook.

A text is UTF-8, UTF-16 by its mark, or else Windows-1252; its separator is what parts most lines
alike. Lines are numbered as a spreadsheet shows them.
"""

import csv
import io
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from nursery.domain.stock_file import Sheet
from nursery.domain.stock_file.cells import Cell
from nursery.services import workbook
from nursery.services.workbook import Line, TableEmpty, TableTooLong, TableUnfit, TableUnreadable

MOST_BYTES = 8 << 20
MOST_ROWS = 20_000
MOST_COLUMNS = 100
LONGEST_HEADING = 120
SEPARATORS = (",", ";", "\t")
NAMES = {",": "comma", ";": "semicolon", "\t": "tab"}
LOOKED_AT = 20
# Older workbooks, and workbooks under a password, begin so.
COMPOUND = b"\xd0\xcf\x11\xe0"
WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff")
# Before a line that explains the columns and is no stock.
REMARK = "##"


class TableTooLarge(TableUnfit):
    code = "table_too_large"
    status = 413


class TableTooWide(TableUnfit):
    code = "table_too_wide"


class TableBroken(TableUnfit):
    """A line whose quotation marks do not close, or that is longer than a line can be."""

    code = "table_broken"


@dataclass(frozen=True, slots=True)
class Table:
    """What was read and how. `sheets` are those of a workbook, `remarks` lines left out as such."""

    sheet: Sheet
    kind: str
    sheets: tuple[str, ...] = ()
    chosen: str = ""
    encoding: str = ""
    separator: str = ""
    remarks: int = 0

    def as_json(self) -> dict[str, Any]:
        return {
            "kind": self.kind,
            "sheets": list(self.sheets),
            "sheet": self.chosen,
            "encoding": self.encoding,
            "separator": self.separator,
            "remarks": self.remarks,
            "rows": len(self.sheet.rows),
        }


def read(content: bytes, sheet: str | None = None) -> Table:
    """Return the rows of a file; of a workbook those of one sheet, the first unless it is named.

    Raises:
        TableUnfit: what is wrong with it.
    """
    if len(content) > MOST_BYTES:
        raise TableTooLarge(value=len(content), most=MOST_BYTES)
    if content.startswith(workbook.ZIP):
        book = workbook.read(content, sheet, MOST_ROWS)
        rows, remarks = _sheet(book.lines)
        return Table(rows, "xlsx", book.sheets, book.chosen, remarks=remarks)
    text, encoding = _decoded(content)
    separator, first = _separator(text)
    rows, remarks = _sheet(_lines(text, separator, first))
    return Table(rows, "csv", (), "", encoding, NAMES[separator], remarks)


def _decoded(content: bytes) -> tuple[str, str]:
    wide = content.startswith(WIDE_MARKS)
    if content.startswith(COMPOUND) or (not wide and b"\x00" in content):
        raise TableUnreadable
    ways = {"utf-16": "UTF-16"} if wide else {"utf-8-sig": "UTF-8", "cp1252": "Windows-1252"}
    for way, name in ways.items():
        try:
            return content.decode(way), name
        except UnicodeDecodeError:
            continue
    raise TableUnreadable


def _separator(text: str) -> tuple[str, int]:
    """Return the sign that parts most of the first lines alike, and how many lines only say it."""
    lines = [line for line in text.splitlines()[:LOOKED_AT] if line.strip()]
    if lines and lines[0].startswith("sep=") and lines[0][4:5] in SEPARATORS:
        return lines[0][4], 1
    return max(SEPARATORS, key=lambda sign: _parts(lines, sign)), 0


def _parts(lines: Sequence[str], sign: str) -> tuple[int, int, int]:
    """Return how well a sign parts lines: first of all the headings, which hold no sentences."""
    counts = Counter(line.count(sign) for line in lines)
    counts.pop(0, None)
    parts, alike = counts.most_common(1)[0] if counts else (0, 0)
    return lines[0].count(sign) if lines else 0, alike, parts


def _lines(text: str, separator: str, first: int) -> Iterator[Line]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    number = 0
    try:
        for cells in reader:
            number += 1
            if number > first:
                yield number, tuple(cells)
    except csv.Error:
        raise TableBroken(line=number + 1) from None


def _sheet(lines: Iterable[Line]) -> tuple[Sheet, int]:
    """Return headings and rows; empty lines and remarks are no rows."""
    headings: tuple[str, ...] | None = None
    rows: list[Line] = []
    remarks = 0
    for number, cells in lines:
        filled = next((cell for cell in cells if not _empty(cell)), None)
        if filled is None:
            continue
        if any(not _empty(cell) for cell in cells[MOST_COLUMNS:]):
            raise TableTooWide(line=number, most=MOST_COLUMNS)
        if isinstance(filled, str) and filled.lstrip().startswith(REMARK):
            remarks += 1
        elif headings is None:
            headings = tuple(map(_heading, cells[:MOST_COLUMNS]))
        else:
            rows.append((number, cells[:MOST_COLUMNS]))
            if len(rows) > MOST_ROWS:
                raise TableTooLong(most=MOST_ROWS)
    if headings is None or not rows:
        raise TableEmpty
    return Sheet(headings, tuple(rows)), remarks


def _heading(cell: Cell) -> str:
    return "" if cell is None else str(cell).strip()[:LONGEST_HEADING]


def _empty(cell: Cell) -> bool:
    return cell is None or (isinstance(cell, str) and not cell.strip())
