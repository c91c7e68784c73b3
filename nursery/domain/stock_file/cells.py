"""Single cells: a text, a whole number, yes or no, a day. What leaves two ways open is asked back.

A cell of a text file is a text; one of a workbook may be a number, a day or a yes as well.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from datetime import date, datetime

from nursery.domain.formulas import undone
from nursery.domain.kinds.shape import LONGEST_NAME, LONGEST_TEXT, MOST_PLANTS, UNKEEPABLE
from nursery.domain.stock_file.fault import Amiss

Cell = str | int | float | bool | date | datetime | None

DAY_FIRST, MONTH_FIRST = ORDERS = ("day_first", "month_first")
EARLIEST = date(1900, 1, 1)
LONGEST_FIGURE = 15
# Together with what heads them they fit into one note.
LONGEST_NOTE, LONGEST_LOT = 3000, 400
MOST_MONTHS = 12

_SPACES = "\u00a0\u2007\u2009\u202f"
_GROUPED = re.compile(rf"[-+]?[0-9]{{1,3}}(?:[ {_SPACES}][0-9]{{3}})+")
_WHOLE = re.compile(r"[-+]?[0-9]+")
# 1,234 and 1.234: the sign may part thousands or decimals.
_EITHER = re.compile(r"[-+]?[1-9][0-9]{0,2}[.,][0-9]{3}")
_PARTED = re.compile(r"([-+]?[0-9]+)[.,]([0-9]+)")
_YEAR_FIRST = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[T ][0-9:.]*Z?)?")
_YEAR_LAST = re.compile(r"([0-9]{1,2})[-/. ]([0-9]{1,2})[-/. ]([0-9]{4})")
_NAMED = re.compile(r"([0-9]{1,2})[-/. ]*(?:de )?([^\W\d_]{3,12})[-/. ]*(?:de )?([0-9]{4})")
# What a spreadsheet shows where its own formula came to nothing.
_BROKEN = frozenset(("#n/a", "#ref!", "#value!", "#div/0!", "#name?", "#null!", "#num!"))
_YES = frozenset(("yes", "y", "true", "1", "x", "si", "s", "verdadero"))
_NO = frozenset(("no", "n", "false", "0", "falso"))


def key(text: str) -> str:
    """Return a text as names are compared: without letters' size, accents and double spaces.

    >>> key("  Ribes  NÍGRUM ")
    'ribes nigrum'
    """
    plain = unicodedata.normalize("NFKD", text.casefold())
    return " ".join("".join(c for c in plain if not unicodedata.combining(c)).split())


def text(cell: Cell, longest: int = LONGEST_TEXT) -> str:
    """Return the text in a cell, empty where there is none.

    Raises:
        Amiss: it is too long, or holds what cannot be kept.
    """
    if cell is None:
        return ""
    if isinstance(cell, float) and cell.is_integer():
        said = str(int(cell))
    elif isinstance(cell, datetime):
        said = cell.date().isoformat()
    else:
        said = str(cell)
    said = undone(said.strip()).strip()
    if UNKEEPABLE.search(said):
        raise Amiss("text_unfit")
    if said.casefold() in _BROKEN:
        raise Amiss("sheet_fault")
    if len(said) > longest:
        raise Amiss("text_long", most=longest)
    return said


def name(cell: Cell) -> str:
    return " ".join(text(cell, LONGEST_NAME).split())


def lot(cell: Cell) -> str:
    return text(cell, LONGEST_LOT)


def note(cell: Cell) -> str:
    return text(cell, LONGEST_NOTE)


def whole(cell: Cell) -> int | None:
    """Return the number of plants or cells in a cell, None where it is empty.

    >>> whole("1 234"), whole("54,0"), whole(54.0)
    (1234, 54, 54)

    Raises:
        Amiss: it is none, is below nothing, or could be read in two ways.
    """
    if isinstance(cell, str):
        cell = cell.strip()
    if cell is None or cell == "":
        return None
    if isinstance(cell, bool | date):
        raise Amiss("no_number")
    number = _figure(cell) if isinstance(cell, str) else cell
    if isinstance(number, float):
        if not number.is_integer():
            raise Amiss("fraction" if abs(number) <= MOST_PLANTS else "no_number")
        number = int(number)
    if number < 0:
        raise Amiss("negative")
    if number > MOST_PLANTS:
        raise Amiss("too_many", most=MOST_PLANTS)
    return number


def _figure(said: str) -> int:
    if _GROUPED.fullmatch(said):
        said = re.sub(rf"[ {_SPACES}]", "", said)
    if len(said) > LONGEST_FIGURE:
        raise Amiss("no_number")
    if _WHOLE.fullmatch(said):
        return int(said)
    if _EITHER.fullmatch(said):
        raise Amiss("either_number", point=said.replace(",", "."), plain=re.sub("[.,]", "", said))
    parted = _PARTED.fullmatch(said)
    if parted is None:
        raise Amiss("no_number")
    if parted[2].strip("0"):
        raise Amiss("negative" if said.startswith("-") else "fraction")
    return int(parted[1])


def flag(cell: Cell) -> bool:
    """Return whether a cell says yes; an empty one says no.

    Raises:
        Amiss: it says neither.
    """
    if isinstance(cell, bool):
        return cell
    said = key(text(cell))
    if said in _YES:
        return True
    if said and said not in _NO:
        raise Amiss("no_flag")
    return False


def day(cell: Cell, order: str | None, months: Mapping[str, int]) -> date | None:
    """Return the day in a cell, None where it is empty.

    `order` says which of two numbers is the day; `months` gives the number of a month by its name.

    Raises:
        Amiss: it is no day, or could be two.
    """
    if isinstance(cell, datetime):
        return _within(cell.date())
    if isinstance(cell, date):
        return _within(cell)
    said = text(cell)
    if not said:
        return None
    try:
        return _within(_read_day(said, order, months))
    except (ValueError, KeyError) as odd:
        if isinstance(odd, Amiss):
            raise
        raise Amiss("no_day") from None


def _within(found: date) -> date:
    if found < EARLIEST:
        raise Amiss("no_day")
    return found


def _read_day(said: str, order: str | None, months: Mapping[str, int]) -> date:
    if found := _YEAR_FIRST.fullmatch(said):
        return date(int(found[1]), int(found[2]), int(found[3]))
    if found := _YEAR_LAST.fullmatch(said):
        first, second, year = (int(part) for part in found.groups())
        if order is None and first != second and max(first, second) <= MOST_MONTHS:
            one, other = date(year, second, first), date(year, first, second)
            raise Amiss("either_day", one=one.isoformat(), other=other.isoformat())
        by_month = order == MONTH_FIRST if max(first, second) <= MOST_MONTHS else second > first
        return date(year, first, second) if by_month else date(year, second, first)
    if found := _NAMED.fullmatch(said):
        return date(int(found[3]), months[key(found[2])[:3]], int(found[1]))
    raise Amiss("no_day")


def order_of(cells: Iterable[Cell]) -> str | None:
    """Return which order the days of a file prove, None where none or both of them.

    >>> order_of(["03/04/2031", "24/03/2031"]), order_of(["03/04/2031"])
    ('day_first', None)
    """
    proved = set()
    for cell in cells:
        found = _YEAR_LAST.fullmatch(cell.strip()) if isinstance(cell, str) else None
        if found and int(found[1]) > MOST_MONTHS >= int(found[2]):
            proved.add(DAY_FIRST)
        elif found and int(found[2]) > MOST_MONTHS >= int(found[1]):
            proved.add(MONTH_FIRST)
    return proved.pop() if len(proved) == 1 else None
