"""The ground of a block as GeoJSON gives it: what it cannot be, and metres around its stake."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, hypot, isfinite, radians
from typing import Any

from nursery.domain.errors import (
    GroundEmpty,
    GroundFar,
    GroundSwapped,
    GroundUnreadable,
)

Point = tuple[float, float]
# A block further from the site than this is no block of it [degrees of latitude].
FAR_DEG = 3.0
# Nobody plants a strip narrower than this [m].
NARROW_M = 0.1
AREAS, LINES = ("Polygon",), ("LineString",)


def geometries(raw: object, kinds: Sequence[str]) -> list[dict[str, Any]]:
    """Return the geometries of some kinds in a GeoJSON object, in their order.

    Raises:
        GroundUnreadable: there is none, or a coordinate is no number.
    """
    found = [one for one in _flat(raw) if one.get("type") in kinds]
    if not found:
        raise GroundUnreadable(" / ".join(kinds), _short(raw))
    for one in found:
        for ring in _rings(one):
            _checked(ring)
    return found


def _flat(raw: object) -> list[dict[str, Any]]:
    if not isinstance(raw, dict):
        return []
    if raw.get("type") == "FeatureCollection":
        features = raw.get("features")
        return [
            one for part in (features if isinstance(features, list) else ()) for one in _flat(part)
        ]
    return _flat(raw.get("geometry")) if raw.get("type") == "Feature" else [raw]


def _rings(shape: Mapping[str, Any]) -> list[Any]:
    some = shape.get("coordinates")
    if not isinstance(some, list) or not some:
        raise GroundUnreadable("coordinates", _short(some))
    return some if shape["type"] == "Polygon" else [some]


def _checked(ring: object) -> None:
    """A place is longitude, latitude; one beyond the poles was written the other way round."""
    if not isinstance(ring, list) or len(ring) < 2:  # a line has two ends
        raise GroundUnreadable("coordinates", _short(ring))
    for place in ring:
        if not isinstance(place, list) or len(place) < 2 or not all(map(_figure, place[:2])):
            raise GroundUnreadable("coordinates", _short(place))
        lon, lat = place[:2]
        if abs(lat) >= 90 or abs(lon) > 180:  # the poles and the meridian
            turned = abs(lon) < 90 and abs(lat) <= 180
            raise GroundSwapped(_short(place)) if turned else GroundUnreadable("lat", _short(place))


def _figure(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and isfinite(value)


def _short(raw: object) -> str:
    return json.dumps(raw, default=str)[:60]


def near(place: Point, latitude: float | None) -> None:
    """Turn down a place that lies far from the site's latitude.

    Raises:
        GroundSwapped: its longitude would fit.
        GroundFar: neither would.
    """
    lon, lat = place
    if latitude is None or abs(lat - latitude) <= FAR_DEG:
        return
    if abs(lon - latitude) <= FAR_DEG:
        raise GroundSwapped(f"{lon}, {lat}")
    raise GroundFar(lat, latitude)


@dataclass(frozen=True, slots=True)
class Plane:
    """A level plane around a stake: metres east and north of it, true for blocks.

    The lengths of a degree are those of the WGS 84 ellipsoid (NGA, TR8350.2).

    >>> plane = Plane((-70.0, 18.0))
    >>> [round(x) for x in plane.metres((-70.0, 18.01))]
    [0, 1107]
    """

    stake: Point

    @property
    def _degree(self) -> Point:
        at = radians(self.stake[1])
        north = 111132.92 - 559.82 * cos(2 * at) + 1.175 * cos(4 * at)
        east = 111412.84 * cos(at) - 93.5 * cos(3 * at) + 0.118 * cos(5 * at)
        return east, north

    def metres(self, place: Sequence[float]) -> Point:
        east, north = self._degree
        return (place[0] - self.stake[0]) * east, (place[1] - self.stake[1]) * north

    def degrees(self, place: Point) -> Point:
        east, north = self._degree
        return self.stake[0] + place[0] / east, self.stake[1] + place[1] / north


def area_m2(polygon: Mapping[str, Any]) -> float:
    """Return the area of a polygon less its holes [m2].

    Raises:
        GroundEmpty: all its corners lie on one line.
    """
    first, *holes = (_planar(ring) for ring in polygon["coordinates"])
    if _width(first) < NARROW_M:
        raise GroundEmpty
    return _area(first) - sum(_area(hole) for hole in holes)


def _planar(ring: Sequence[Sequence[float]]) -> list[Point]:
    plane = Plane((ring[0][0], ring[0][1]))
    return [plane.metres(place) for place in ring]


def _area(ring: Sequence[Point]) -> float:
    pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def _width(ring: Sequence[Point]) -> float:
    """How far the corners lie from the line through the first and the one furthest from it."""
    far = max(ring, key=lambda place: hypot(*place))
    long = hypot(*far)
    return max(abs(x * far[1] - y * far[0]) / long for x, y in ring) if long else 0.0


def boxed(lines: Sequence[Mapping[str, Any]], by_m: float) -> dict[str, Any]:
    """Return a rectangle around lines, so far away from them: the ground where none was drawn."""
    places = [place for line in lines for place in line["coordinates"]]
    west, east = min(p[0] for p in places), max(p[0] for p in places)
    south, north = min(p[1] for p in places), max(p[1] for p in places)
    low, high = Plane((west, south)), Plane((east, north))
    (x0, y0), (x1, y1) = low.degrees((-by_m, -by_m)), high.degrees((by_m, by_m))
    ring = [[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]
    return {"type": "Polygon", "coordinates": [ring]}
