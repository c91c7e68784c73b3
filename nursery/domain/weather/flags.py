"""A column of flags beside each element, as GHCN-Daily is handed out with a row for each day.

`TMAX_ATTRIBUTES` holds measurement flag, quality flag and source flag of `TMAX`, parted by commas;
a quality flag says that the value failed a check. In such files figures are whole tenths (see
`ghcn`), unless they were brought to other units before, and then some have decimals. (The columns
are from memory; flags and tenths as in `ghcn`.)
"""

from collections.abc import Iterable, Mapping, Sequence

from nursery.domain.weather.ghcn import ELEMENTS
from nursery.domain.weather.table import Row

_BEHIND = "_ATTRIBUTES"
_STATION = {"station", "station_id", "estacion", "estación"}
_QUALITY = 1


def beside(headings: Sequence[str]) -> dict[int, int]:
    """Return by the place of each element the place of its flags."""
    places = {heading.upper(): place for place, heading in enumerate(headings)}
    return {
        place: places[name + _BEHIND] for name, place in places.items() if name + _BEHIND in places
    }


def failed(row: Row, place: int) -> bool:
    """Return whether the flags at a place say that the value failed a check."""
    flags = row.cells[place].split(",") if place < len(row.cells) else []
    return len(flags) > _QUALITY and bool(flags[_QUALITY].strip())


def units(
    headings: Sequence[str], rows: Iterable[Row], beside: Mapping[int, int]
) -> dict[int, str]:
    """Return the units of elements with flags: tenths, as long as all their figures are whole."""
    named = {place: ELEMENTS.get(headings[place].upper()) for place in beside}
    some = [row.cells[place] for row in rows for place in beside if place < len(row.cells)]
    if any(cell and not cell.lstrip("+-").isdigit() for cell in some):
        return {}
    return {place: element[1] for place, element in named.items() if element is not None}


def station(headings: Sequence[str]) -> int | None:
    """Return the place of the column that names the station."""
    return next((at for at, one in enumerate(headings) if one.casefold() in _STATION), None)
