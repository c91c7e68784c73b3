"""The days of a file, in whichever order it writes day, month and year."""

import itertools
import re
from collections.abc import Sequence
from datetime import date

_SIGN = r"[-/. ]"
_YEAR_FIRST = re.compile(rf"(\d{{4}})(?:{_SIGN}(\d{{1,2}}){_SIGN}|(\d{{2}}))(\d{{1,2}})(?:[T ].*)?")
_YEAR_LAST = re.compile(rf"(\d{{1,2}}){_SIGN}(\d{{1,2}}){_SIGN}(\d{{4}})(?:[T ].*)?")
DAY_FIRST, MONTH_FIRST = ORDERS = ("day_first", "month_first")


def order(cells: Sequence[str]) -> tuple[str, bool]:
    """Return whether the day or the month comes first, and whether that is a guess.

    A number above 12 tells; else the order in which more days follow one another.
    """
    pairs = [
        (int(found[1]), int(found[2])) for cell in cells if (found := _YEAR_LAST.fullmatch(cell))
    ]
    if any(first > 12 for first, _ in pairs):
        return DAY_FIRST, False
    if any(second > 12 for _, second in pairs):
        return MONTH_FIRST, False
    steps = {which: _steps(cells, which) for which in (DAY_FIRST, MONTH_FIRST)}
    best = max(steps, key=lambda which: steps[which])
    return best, bool(pairs) and steps[DAY_FIRST] == steps[MONTH_FIRST]


def _steps(cells: Sequence[str], which: str) -> int:
    known = []
    for cell in cells:
        try:
            known.append(read(cell, which).toordinal())
        except ValueError:
            continue
    return sum(after - before == 1 for before, after in itertools.pairwise(known))


def read(cell: str, which: str) -> date:
    """Return the day in a cell.

    Raises:
        ValueError: the cell is no day of the calendar.
    """
    if found := _YEAR_FIRST.fullmatch(cell):
        year, month, day = (int(part) for part in found.groups() if part)
    elif found := _YEAR_LAST.fullmatch(cell):
        first, second, year = (int(part) for part in found.groups())
        day, month = (first, second) if which == DAY_FIRST else (second, first)
    else:
        raise ValueError(cell)
    return date(year, month, day)
