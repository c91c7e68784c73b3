"""An empty spreadsheet for the stock that stands here: headings with units, a line that explains.

As CSV (UTF-8 with its mark, so that spreadsheets of an office read accents; semicolons where the
language writes decimals with a comma) and as a workbook whose days are days.
"""

import csv
import io
from functools import cache

from nursery.domain.stock_file import Field
from nursery.domain.stock_file.fields import DAYS
from nursery.services import words, workbook
from nursery.services.errors import Unknown
from nursery.services.table_file import REMARK

CSV = "text/csv; charset=utf-8"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
SEPARATORS = {"es": ";"}
# Rows of a workbook that are ready to be filled in, with their forms.
READY = 500
DAY_FORM, TEXT_FORM = "yyyy-mm-dd", "@"


def names() -> list[str]:
    """Return the names of all the files there are."""
    return [f"stock-{tongue}.{kind}" for tongue in words.languages() for kind in ("csv", "xlsx")]


def one(name: str) -> tuple[bytes, str]:
    """Return an empty file by its name, and its media type.

    Raises:
        Unknown: there is none of this name.
    """
    if name not in names():
        raise Unknown("template", name[:40])
    tongue, _, kind = name.removeprefix("stock-").partition(".")
    return (_text(tongue), CSV) if kind == "csv" else (_workbook(tongue), XLSX)


def lines(tongue: str) -> tuple[list[str], list[str]]:
    """Return the headings, and the line that says what each column means."""
    headings = [words.say(tongue, f"stock_column.{column}") for column in Field]
    meant = [words.say(tongue, f"stock_means.{column}") for column in Field]
    return headings, [f"{REMARK} {meant[0]}", *meant[1:]]


def _text(tongue: str) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=SEPARATORS.get(tongue, ","))
    writer.writerows(lines(tongue))
    return out.getvalue().encode("utf-8-sig")


@cache
def _workbook(tongue: str) -> bytes:
    forms = {at: DAY_FORM for at, column in enumerate(Field) if column in DAYS}
    forms[0] = TEXT_FORM
    return workbook.written(words.say(tongue, "stock_file.sheet"), lines(tongue), forms, READY)
