"""Tables of a book as CSV: a line at a time, units in the header, no cell that counts as formula.

A text that begins as a formula would, or with an apostrophe, gets one apostrophe before it; who
reads the table by a program takes the first apostrophe of a text away, and has it as it was.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime

from nursery.domain.formulas import kept

Cell = str | int | float | bool | date | datetime | None


def cell(value: Cell) -> str:
    """Return the text of one cell; figures keep their minus, instants are ISO 8601.

    >>> cell("=1+1"), cell(-3), cell(True), cell(None), cell("'t")
    ("'=1+1", '-3', 'yes', '', "''t")
    """
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case str():
            return kept(value)
        case date():
            return value.isoformat()
        case _:
            return str(value)


def table(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Iterator[bytes]:
    """Yield a table line by line, in UTF-8 with the mark by which sheet programs know it."""
    yield "\N{ZERO WIDTH NO-BREAK SPACE}".encode()
    yield _line(header)
    for row in rows:
        yield _line([cell(value) for value in row])


def _line(cells: Sequence[str]) -> bytes:
    out = io.StringIO()
    csv.writer(out).writerow(cells)
    return out.getvalue().encode()
