"""The published layout of GHCN-Daily by station: a line for each element of each day, no heading.

Source: readme-by_station.txt and section III of readme.txt of GHCN-Daily (NOAA National Centers
for Environmental Information): station, day as YYYYMMDD, element, value, measurement flag, quality
flag, source flag, time; temperatures in tenths of a degree Celsius, rain in tenths of a millimetre,
wind in tenths of a metre a second; a quality flag says that the value failed a check.
"""

import re
from collections import Counter

from nursery.domain.weather.columns import Column
from nursery.domain.weather.dates import DAY_FIRST, read
from nursery.domain.weather.measures import UNITS, Measure
from nursery.domain.weather.record import Cell, Found
from nursery.domain.weather.table import Row, Table
from nursery.domain.weather.trouble import Trouble

ELEMENTS = {
    "TMAX": (Measure.HIGH, "tenth_celsius"),
    "TMIN": (Measure.LOW, "tenth_celsius"),
    "PRCP": (Measure.RAIN, "tenth_mm"),
    "AWND": (Measure.WIND, "tenth_ms"),
}
STATION, DAY, ELEMENT, VALUE, MEASUREMENT_FLAG, QUALITY_FLAG = range(6)
_STATION = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9}")
_ELEMENT = re.compile(r"[A-Z]{2}[A-Z0-9]{2}")


def is_line(row: Row) -> bool:
    cells = row.cells
    return (
        len(cells) >= 7
        and bool(_STATION.fullmatch(cells[STATION]))
        and bool(re.fullmatch(r"\d{8}", cells[DAY]))
        and bool(_ELEMENT.fullmatch(cells[ELEMENT]))
    )


def is_layout(table: Table) -> bool:
    """Return whether the file is so laid out; a heading above the lines is allowed."""
    first = table.rows[1:2] or table.rows[:1]
    return all(is_line(row) for row in first)


def cells(table: Table) -> Found:
    """Return the days of a file in this layout; what failed a quality check is left out, counted.

    A second station in the file is a grave trouble: two places have no one weather.
    """
    found: list[Cell] = []
    troubles: list[Trouble] = []
    left_out: Counter[str] = Counter()
    lines = [row for row in table.rows if row is not table.rows[0] or is_line(row)]
    station = lines[0].cells[STATION]
    for row in lines:
        if not is_line(row):
            troubles.append(Trouble("weather.not_this_layout", row.number))
        elif row.cells[STATION] != station:
            params = {"station": station, "other": row.cells[STATION]}
            troubles.append(Trouble("weather.two_stations", row.number, params=params))
            break
        elif row.cells[ELEMENT] not in ELEMENTS:
            left_out["element"] += 1
        elif row.cells[QUALITY_FLAG]:
            left_out["quality"] += 1
        else:
            _take(row, table, found, troubles)
    elements = {cell.column for cell in found}
    columns = tuple(
        Column(VALUE, element, *ELEMENTS[element]) for element in ELEMENTS if element in elements
    )
    return Found(columns, tuple(found), tuple(troubles), left_out)


def _take(row: Row, table: Table, found: list[Cell], troubles: list[Trouble]) -> None:
    element = row.cells[ELEMENT]
    measure, unit = ELEMENTS[element]
    try:
        on = read(row.cells[DAY], DAY_FIRST)
    except ValueError:
        params = {"said": row.cells[DAY]}
        troubles.append(Trouble("weather.no_day", row.number, "DAY", params))
        return
    try:
        value = table.figure(row.cells[VALUE])
    except ValueError:
        params = {"said": row.cells[VALUE], "on": on.isoformat()}
        troubles.append(Trouble("weather.no_figure", row.number, element, params))
        return
    kept = None if value is None else UNITS[measure][unit].kept(value)
    found.append(Cell(on, row.number, element, measure, kept))
