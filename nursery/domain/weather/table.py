"""From bytes to rows of cells: encoding, separator, decimal sign."""

import csv
import io
import re
from collections import Counter
from dataclasses import dataclass

from nursery.domain.weather.trouble import Trouble, Unreadable

SEPARATORS = (",", ";", "\t", "|")
# A century of days with ten elements on a line each. (Choice of the product.)
MOST_ROWS = 400_000
_POINT = re.compile(r"[-+]?\d*\.\d+")
_FIGURE = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d{1,2})?", re.IGNORECASE)
_COMMA = re.compile(r"[-+]?\d*,\d+")
# What files write where an instrument had nothing to say; all lie outside what weather can be.
_NOTHING = frozenset({"", "-", "--", "na", "n/a", "nan", "null", "none", ".."})
_NO_FIGURE = frozenset({-9999.0, -999.9, -999.0, -99.9, -99.0})


@dataclass(frozen=True, slots=True)
class Row:
    """`number` is the line's, counted from 1 with the header."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    rows: tuple[Row, ...]
    separator: str
    decimal_comma: bool

    def figure(self, cell: str) -> float | None:
        """Return the number in a cell, None where the file says that there is none.

        Raises:
            ValueError: the cell is no number.
        """
        if cell.casefold() in _NOTHING:
            return None
        text = cell
        if self.decimal_comma:
            if "." in cell:
                raise ValueError(cell)
            text = cell.replace(",", ".")
        if not _FIGURE.fullmatch(text):
            raise ValueError(cell)
        value = float(text)
        return None if value in _NO_FIGURE else value


def read(content: bytes) -> Table:
    """Return the table in a file.

    Raises:
        Unreadable: it is empty, no text, has one column, or more rows than a record has days.
    """
    text = _text(content)
    separator = _separator(text)
    rows = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    before = 0
    try:
        for cells in reader:
            number, before = before + 1, reader.line_num
            if any(cell.strip() for cell in cells):
                rows.append(Row(number, tuple(cell.strip() for cell in cells)))
            if len(rows) > MOST_ROWS:
                raise Unreadable(Trouble("weather.too_long", params={"most": MOST_ROWS}))
    except csv.Error as error:
        raise Unreadable(Trouble("weather.no_table", row=before + 1)) from error
    if not rows:
        raise Unreadable(Trouble("weather.empty"))
    return Table(tuple(rows), separator, _decimal_comma(rows))


def _text(content: bytes) -> str:
    wide = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    if not wide and b"\x00" in content:
        raise Unreadable(Trouble("weather.no_text"))
    try:
        text = content.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    if not text.strip():
        raise Unreadable(Trouble("weather.empty"))
    return text


def _separator(text: str) -> str:
    """Return the sign that parts most of the first lines alike."""
    lines = [line for line in text.splitlines()[:20] if line.strip()]
    best, most = ",", (0, 0)
    for separator in SEPARATORS:
        counts = Counter(line.count(separator) for line in lines)
        parts, alike = counts.most_common(1)[0]
        # 2031-05-04;17,5;29,1 has as many commas as semicolons: the semicolon parts it.
        if parts and (alike, separator != ",") > most:
            best, most = separator, (alike, separator != ",")
    if most == (0, 0):
        raise Unreadable(Trouble("weather.one_column"))
    return best


def _decimal_comma(rows: list[Row]) -> bool:
    cells = [cell for row in rows for cell in row.cells]
    points = sum(bool(_POINT.fullmatch(cell)) for cell in cells)
    commas = sum(bool(_COMMA.fullmatch(cell)) for cell in cells)
    return commas > points
