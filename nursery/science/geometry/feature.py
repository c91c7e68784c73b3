"""Positions as GeoJSON."""

from collections import Counter
from collections.abc import Iterable
from typing import Any

from nursery.science.geometry.cut import Position


def to_geojson(positions: Iterable[Position]) -> dict[str, Any]:
    """Return positions as a GeoJSON FeatureCollection of points, in their order.

    Coordinates are longitude, latitude where the block was in degrees. A block in metres gives
    metres, which other programs read as GeoJSON only by prior arrangement.

    Source:
        RFC 7946 (2016) The GeoJSON Format, sections 3.1.1, 3.2, 3.3 and 4.

    >>> hole = Position(36.7, -3.5, terrace=1, row=2, number=5, walk=9, kind="crop")
    >>> to_geojson([hole])["features"][0]["geometry"]
    {'type': 'Point', 'coordinates': [36.7, -3.5]}
    >>> to_geojson([hole])["features"][0]["properties"]
    {'terrace': 1, 'row': 2, 'number': 5, 'walk': 9, 'kind': 'crop'}
    """
    return {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [place.x, place.y]},
                "properties": {
                    "terrace": place.terrace,
                    "row": place.row,
                    "number": place.number,
                    "walk": place.walk,
                    "kind": place.kind,
                },
            }
            for place in positions
        ],
    }


def count_by_kind(positions: Iterable[Position]) -> dict[str, int]:
    """Return how many plants of each kind the positions take.

    >>> crop = Position(0.0, 0.0, terrace=1, row=1, number=1, walk=1, kind="crop")
    >>> count_by_kind([crop, crop._replace(kind="shelter"), crop])
    {'crop': 2, 'shelter': 1}
    """
    return dict(Counter(place.kind for place in positions))
