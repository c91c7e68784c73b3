"""The positions of a block one by one: where each lies, who is meant, and who stands there."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from nursery.domain.field import plan
from nursery.domain.field.ground import Plane
from nursery.domain.formulas import kept
from nursery.domain.holds import Hold
from nursery.domain.occupants import Occupant
from nursery.domain.reference.layouts import Layout, PlantedRow

FIELDS = ("position", "row", "number", "stands", "species", "meant", "batch", "planted", "state")
COLUMNS = (*FIELDS, "cause", "held", "longitude", "latitude")


def told(
    layout: Layout,
    standing: Mapping[str, Occupant],
    held: Mapping[str, Sequence[Hold]],
    labels: Mapping[str, str],
) -> Iterator[dict[str, Any]]:
    """Yield every position of a layout in walking order; batches by their labels.

    `held` says for a table by what a position is held, `holds` says all of it.
    """
    meant = plan.meant(layout)
    for row in sorted(layout.rows, key=lambda row: row.number):
        for at, (name, place) in enumerate(zip(plan.names(row), _places(layout, row), strict=True)):
            one = standing.get(name)
            yield {
                "position": name,
                "row": row.number,
                "number": at + 1,
                "stands": row.stands.value,
                "species": row.species,
                "meant": _called(meant.get(name), labels),
                "batch": None if one is None else _called(one.batch, labels),
                "planted": None if one is None else one.on.isoformat(),
                "state": None if one is None else one.state.value,
                "cause": None if one is None else one.cause,
                "held": ", ".join(_named(hold) for hold in held.get(name, ())) or None,
                "holds": [hold.as_json() for hold in held.get(name, ())],
                "longitude": place and round(place[0], 7),
                "latitude": place and round(place[1], 7),
            }


def _named(hold: Hold) -> str:
    """Return what people call a hold: its order, else what it holds by, as a find has no name."""
    ordered = hold.by.endswith("order")
    return ", ".join(hold.orders) or (hold.reference if ordered else hold.by)


def _called(batch: str | None, labels: Mapping[str, str]) -> str | None:
    return None if batch is None else labels.get(batch, batch)


def _places(layout: Layout, row: PlantedRow) -> Iterator[tuple[float, float] | None]:
    """Yield where the positions of a row lie; None where its place on earth is not known."""
    if not row.path or len(layout.painted_end) != 2:  # longitude and latitude
        yield from (None for _ in range(row.holes))
        return
    plane = Plane((layout.painted_end[0], layout.painted_end[1]))
    path = row.path
    whole = len(path) == 2 * row.holes
    for n in range(row.holes):
        if whole:
            yield plane.degrees((path[2 * n] / 10, path[2 * n + 1] / 10))
        else:
            share = n / max(1, row.holes - 1)
            east = path[0] + (path[2] - path[0]) * share
            north = path[1] + (path[3] - path[1]) * share
            yield plane.degrees((east / 10, north / 10))


def as_geojson(positions: Iterator[dict[str, Any]]) -> dict[str, Any]:
    """Return positions as points; one whose place is not known has no geometry (RFC 7946, 3.2)."""
    return {"type": "FeatureCollection", "features": [_feature(one) for one in positions]}


def _feature(one: dict[str, Any]) -> dict[str, Any]:
    lon, lat = one.pop("longitude"), one.pop("latitude")
    point = None if lon is None else {"type": "Point", "coordinates": [lon, lat]}
    return {"type": "Feature", "geometry": point, "properties": one}


def cells(one: dict[str, Any]) -> list[str]:
    """Return a position as cells of a table, none of which a sheet program takes for a formula.

    >>> cells({"position": "1", "batch": "=1+1", "longitude": -70.1})[:1]
    ['1']
    """
    return [_safe(one.get(name)) for name in COLUMNS]


def _safe(value: object) -> str:
    """Return the text of a cell; figures may have their minus.

    >>> _safe("=1+1"), _safe(-70.1), _safe(None)
    ("'=1+1", '-70.1', '')
    """
    if value is None:
        return ""
    return kept(value) if isinstance(value, str) else str(value)
