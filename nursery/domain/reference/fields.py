"""Fields whose form their dataclass alone does not tell: codes, days of a year, zones, areas."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any, NewType
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from nursery.domain import terms
from nursery.domain.kinds.shape import Misfit, Reader

PestCode = NewType("PestCode", str)
YearDay = NewType("YearDay", str)
Zone = NewType("Zone", str)
Area = NewType("Area", float)
Side = NewType("Side", float)
Gap = NewType("Gap", float)

# Codes of taxa are five or six letters and digits (rule R-3).
PEST_CODE = re.compile(r"[A-Z0-9]{5,6}")
LARGEST_M2 = 1e8
# A side of a label in mm: a code of 33 modules of half a millimetre, and the outer 4 mm that office
# printers leave white. Nothing longer lies on a sheet. (Rule R-4.)
LABEL_SIDES = (21.0, 300.0)
WIDEST_GAP_MM = 150.0


def _pest_code(value: object) -> str:
    if not isinstance(value, str) or not PEST_CODE.fullmatch(value):
        raise Misfit
    return value


def _year_day(value: object) -> str:
    """Read `10-01`; a leap day is no day of every year."""
    try:
        if isinstance(value, str) and len(value) == 5:
            date.fromisoformat(f"2001-{value}")
            return value
    except ValueError:
        pass
    raise Misfit


def _zone(value: object) -> str:
    try:
        if isinstance(value, str):
            return ZoneInfo(value).key
    except (ZoneInfoNotFoundError, ValueError, OSError):
        pass
    raise Misfit


def _area(value: object) -> float:
    if type(value) not in (int, float) or not 0 < value <= LARGEST_M2:  # type: ignore[operator]
        raise Misfit
    return float(value)  # type: ignore[arg-type]


def _side(value: object) -> float:
    least, most = LABEL_SIDES
    if type(value) not in (int, float) or not least <= value <= most:  # type: ignore[operator]
        raise Misfit
    return float(value)  # type: ignore[arg-type]


def _gap(value: object) -> float:
    if type(value) not in (int, float) or not 0 <= value <= WIDEST_GAP_MM:  # type: ignore[operator]
        raise Misfit
    return float(value)  # type: ignore[arg-type]


OWN: Mapping[Any, Reader] = {
    PestCode: _pest_code,
    YearDay: _year_day,
    Zone: _zone,
    Area: _area,
    Side: _side,
    Gap: _gap,
    terms.Term: terms.read,
}
