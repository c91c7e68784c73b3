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
# 1,234 and 1.234: a sign before three figures may part thousands as well.
_THOUSANDS = re.compile(r"[-+]?[1-9]\d{0,2}[.,]\d{3}")
POINT, COMMA = "point", "comma"
MARKS = (POINT, COMMA)
# What files write where an instrument had nothing to say; all lie outside what weather can be.
_NOTHING = frozenset({"", "-", "--", "na", "n/a", "nan", "null", "none", ".."})
_NO_FIGURE = frozenset({-9999.0, -999.9, -999.0, -99.9, -99.0})


@dataclass(frozen=True, slots=True)
class Row:
    """`number` is the line's, counted from 1 with the header."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """The sign before the decimals: as the grower `said`, or as most figures have it.

    `open_at` are row and place of the figures that leave it open. Where it was said, the
    other sign may stand between thousands.
    """

    sign: str | None
    said: bool = False
    open_at: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    rows: tuple[Row, ...]
    separator: str
    mark: Mark

    def figure(self, cell: str) -> float | None:
        """Return the number in a cell, None where the file says that there is none.

        Raises:
            ValueError: the cell is no number.
        """
        if cell.casefold() in _NOTHING:
            return None
        text = _ungrouped(cell, self.mark) if self.mark.said else cell
        if self.mark.sign == COMMA:
            if "." in text:
                raise ValueError(cell)
            text = text.replace(",", ".")
        if not _FIGURE.fullmatch(text):
            raise ValueError(cell)
        value = float(text)
        return None if value in _NO_FIGURE else value


def _ungrouped(cell: str, mark: Mark) -> str:
    """Return a figure without the signs between its thousands; what is not so grouped, as it is."""
    between = "," if mark.sign == POINT else "."
    grouped = rf"[-+]?[1-9]\d{{0,2}}(?:{re.escape(between)}\d{{3}})+(?!\d|{re.escape(between)}).*"
    return cell.replace(between, "") if re.fullmatch(grouped, cell) else cell


def read(content: bytes, sign: str | None = None) -> Table:
    """Return the table in a file; `sign` is what the grower says of its decimals.

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
    return Table(tuple(rows), separator, Mark(sign, said=True) if sign else _mark(rows))


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


def _mark(rows: list[Row]) -> Mark:
    """Return the sign that most figures have; open where both stand or all may be grouped."""
    signs = {POINT: _POINT, COMMA: _COMMA}
    found = {
        sign: [
            (row.number, place, cell)
            for row in rows
            for place, cell in enumerate(row.cells)
            if pattern.fullmatch(cell)
        ]
        for sign, pattern in signs.items()
    }
    most = max(MARKS, key=lambda sign: len(found[sign]))
    other = found[COMMA if most == POINT else POINT]
    grouped = all(_THOUSANDS.fullmatch(cell) for *_, cell in found[most])
    odd = other or (found[most] if grouped else [])
    return Mark(most if found[most] else None, open_at=tuple((row, place) for row, place, _ in odd))
