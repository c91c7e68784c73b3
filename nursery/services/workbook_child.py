"""A program of its own that reads or writes one workbook, and ends.

Started by `workbook`, and by nobody else. Before it looks at a byte it holds itself to its limits:
memory, time, and, while it reads, no file that it could write. It imports nothing of ours and knows
no setting and no secret. Its input is a line of JSON and the bytes of a workbook; its answer a line
of JSON and then a line for each row, or the bytes of the workbook that was asked for.

Entities of XML are refused by defusedxml, which the library uses wherever it is installed. Of a
formula the last value is read. A program in a workbook is never loaded.
"""

import io
import json
import resource
import sys
import warnings
from datetime import date, datetime
from typing import Any

# The library asks for it where it is installed, which takes longer than all else here.
sys.modules["numpy"] = None  # type: ignore[assignment]

import openpyxl  # noqa: E402  # not before
from openpyxl.styles import Alignment, Font  # noqa: E402
from openpyxl.utils import get_column_letter  # noqa: E402

MOST_SAID = 64 << 20
WIDE = 24


def main() -> None:
    asked = json.loads(sys.stdin.buffer.readline())
    resource.setrlimit(resource.RLIMIT_AS, (asked["memory"], asked["memory"]))
    resource.setrlimit(resource.RLIMIT_CPU, (asked["seconds"], asked["seconds"]))
    warnings.simplefilter("ignore")
    if "rows" in asked:
        sys.stdout.buffer.write(written(asked))
        return
    # To write, the library puts its sheets into files of its own first; to read, it needs none.
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    try:
        answer = read(sys.stdin.buffer.read(), asked)
    except Exception:  # whatever a bent workbook does to its reader
        answer = [{"fault": "unreadable"}]
    for line in answer:
        sys.stdout.write(json.dumps(line, default=_cell) + "\n")


def read(content: bytes, asked: dict[str, Any]) -> list[Any]:
    """Return what the workbook has, then number and cells of each row in which anything stands."""
    if not openpyxl.DEFUSEDXML:
        return [{"fault": "unreadable"}]
    book = openpyxl.load_workbook(
        io.BytesIO(content), read_only=True, data_only=True, keep_links=False
    )
    sheets = {one.title: one for one in book.worksheets if hasattr(one, "iter_rows")}
    if not sheets:
        return [{"fault": "empty"}]
    chosen = sheets.get(asked["sheet"] or "") or next(iter(sheets.values()))
    # What a workbook says of its own size may be wrong, and would be believed.
    chosen.reset_dimensions()
    rows: list[Any] = []
    said = 0
    for number, cells in enumerate(chosen.iter_rows(values_only=True), start=1):
        if number > asked["most_lines"]:
            return [{"fault": "too_long"}]
        while cells and cells[-1] is None:
            cells = cells[:-1]  # noqa: PLW2901  # what stands behind the last cell is nothing
        if cells:
            said += sum(len(cell) if isinstance(cell, str) else 8 for cell in cells)
            rows.append([number, cells])
        if said > MOST_SAID:
            return [{"fault": "swollen"}]
    return [{"fault": "", "sheets": list(sheets), "chosen": chosen.title}, *rows]


def _cell(cell: Any) -> Any:
    if isinstance(cell, datetime):
        return {"day": cell.date().isoformat()}
    if isinstance(cell, date):
        return {"day": cell.isoformat()}
    return str(cell)


def written(asked: dict[str, Any]) -> bytes:
    """Return a workbook of one sheet: headings, a line that explains, and rows to be filled in.

    `forms` gives by the place of a column in which form its cells are shown.
    """
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = asked["title"]
    for row in asked["rows"]:
        sheet.append(row)
    for at, cell in enumerate(sheet[1], start=1):
        cell.font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(at)].width = WIDE
    for cell in sheet[2]:
        cell.font, cell.alignment = Font(italic=True), Alignment(wrap_text=True, vertical="top")
    for at, form in asked["forms"].items():
        for number in range(3, asked["ready"] + 3):
            sheet.cell(number, int(at) + 1).number_format = form
    sheet.freeze_panes = "A3"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


if __name__ == "__main__":
    main()
