"""From GeoJSON to level metres and back."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from nursery.science import _check

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Coordinates = npt.NDArray[np.float64]

GeoJson = Mapping[str, Any]
Units = Literal["degrees", "metres"]
AREAS = ("Polygon", "MultiPolygon")
LINES = ("LineString",)


@dataclass(frozen=True)
class Frame:
    """A level plane in metres, x east and y north, around one place.

    Longitude and latitude go through a transverse Mercator projection of the WGS 84 ellipsoid
    whose centre is `origin`: true in every bearing there, and true in length to 1 mm in a
    kilometre for a block of a few kilometres. Metres stay as they are.

    Attributes:
        units: what the coordinates of the block are in.
        origin: longitude and latitude of the centre [degrees]; unused for metres.
    """

    units: Units
    origin: tuple[float, float] = (0.0, 0.0)

    def to_metres(self, coordinates: "Coordinates") -> "Coordinates":
        """Return an array of (x, y) in metres for one of (longitude, latitude) or of metres."""
        import numpy as np

        if self.units == "metres":
            return coordinates
        # Only the difference goes in, so that a block on the 180th meridian stays in one piece.
        east = (coordinates[:, 0] - self.origin[0] + 180.0) % 360.0 - 180.0
        return np.column_stack(self._projection()(east, coordinates[:, 1]))

    def from_metres(self, metres: "Coordinates") -> "Coordinates":
        """Return the coordinates in the block's own units, rounded to about 1 mm."""
        import numpy as np

        if self.units == "metres":
            return np.round(metres, 3) + 0.0
        east, north = self._projection()(metres[:, 0], metres[:, 1], inverse=True)
        longitude = (east + self.origin[0] + 180.0) % 360.0 - 180.0
        return np.round(np.column_stack((longitude, north)), 8) + 0.0

    def _projection(self) -> Any:
        import pyproj

        return pyproj.Proj(proj="tmerc", lat_0=self.origin[1], lon_0=0.0, k=1.0, ellps="WGS84")


def frame_around(boundary: GeoJson, units: Units) -> Frame:
    """Return the plane to lay out a block on: around the middle of its first ring.

    Raises:
        ValueError: a boundary that is no polygon, or units other than degrees or metres.
    """
    _check.one_of("units", units, ("degrees", "metres"))
    shape = geometry("boundary", boundary, AREAS)
    ring = shape["coordinates"][0] if shape["type"] == "Polygon" else shape["coordinates"][0][0]
    corners = points("boundary", ring, units)
    if units == "metres":
        return Frame(units)
    first = corners[0, 0]
    around = (corners[:, 0] - first + 180.0) % 360.0 - 180.0
    middle = (first + (around.min() + around.max()) / 2 + 180.0) % 360.0 - 180.0
    return Frame(units, (float(middle), float((corners[:, 1].min() + corners[:, 1].max()) / 2)))


def area(name: str, value: GeoJson, frame: Frame) -> Any:
    """Return a GeoJSON Polygon or MultiPolygon as a shape in metres.

    Args:
        name: the argument's name, for the refusal.
        value: a geometry, a Feature, or a FeatureCollection of one feature.
        frame: the plane to put it on.

    Raises:
        ValueError: another kind of GeoJSON, a ring that is not closed or crosses itself,
            coordinates that are not finite or lie outside the world.

    Source:
        RFC 7946 (2016) The GeoJSON Format, sections 3.1.6 and 3.1.7.
    """
    import shapely

    shape = geometry(name, value, AREAS)
    parts = [shape["coordinates"]] if shape["type"] == "Polygon" else shape["coordinates"]
    polygons = []
    for part in parts:
        rings = [_ring(name, ring, frame) for ring in part]
        polygons.append(shapely.Polygon(rings[0], rings[1:]))
    for polygon in polygons:
        if not polygon.is_valid:
            raise ValueError(
                f"{name} must be a simple area, not one with a fault: "
                f"{shapely.is_valid_reason(polygon)}"
            )
    # A block cut at the 180th meridian, as the format asks, is put together again.
    return shapely.union_all(polygons, grid_size=1e-6) if len(polygons) > 1 else polygons[0]


def line(name: str, value: GeoJson, frame: Frame) -> Any:
    """Return a GeoJSON LineString as a line in metres.

    Raises:
        ValueError: another kind of GeoJSON, a line without length or that crosses itself.

    Source:
        RFC 7946 (2016) The GeoJSON Format, section 3.1.4.
    """
    import shapely

    shape = geometry(name, value, LINES)
    found = shapely.LineString(frame.to_metres(points(name, shape["coordinates"], frame.units)))
    if not found.is_simple or found.length == 0:
        raise ValueError(f"{name} must be a line that does not cross itself, not {found.wkt[:80]}")
    return found


def geometry(name: str, value: GeoJson, kinds: tuple[str, ...]) -> dict[str, Any]:
    """Return the one geometry of a GeoJSON object if it is of an expected kind.

    >>> geometry("block", {"type": "Feature", "geometry": {"type": "Polygon", "coordinates": []}},
    ...          ("Polygon",))
    Traceback (most recent call last):
    ...
    ValueError: block must have coordinates, not []
    """
    found: Any = value
    if isinstance(found, Mapping) and found.get("type") == "FeatureCollection":
        features = found.get("features") or []
        if len(features) != 1:
            raise ValueError(f"{name} must be one feature, not {len(features)}")
        found = features[0]
    if isinstance(found, Mapping) and found.get("type") == "Feature":
        found = found.get("geometry")
    kind = found.get("type") if isinstance(found, Mapping) else found
    if kind not in kinds:
        raise ValueError(f"{name} must be GeoJSON of type {' or '.join(kinds)}, not {kind!r}")
    if not found.get("coordinates"):
        raise ValueError(f"{name} must have coordinates, not {found.get('coordinates')!r}")
    return dict(found)


def points(name: str, positions: Sequence[Sequence[float]], units: Units) -> "Coordinates":
    """Return GeoJSON positions as an array of (x, y); a height is left out.

    Raises:
        ValueError: a position of fewer than two numbers, one that is not finite, or a longitude
            or latitude outside the world (often the two were swapped).
    """
    import numpy as np

    try:
        found = np.array([(place[0], place[1]) for place in positions], dtype=np.float64)
    except (TypeError, IndexError, KeyError, ValueError):
        raise ValueError(f"{name} must be a list of [x, y], not {str(positions)[:80]}") from None
    for x, y in found.tolist():
        if not (math.isfinite(x) and math.isfinite(y)):
            raise ValueError(f"{name} must be finite numbers, not [{x}, {y}]")
        if units == "degrees" and not (-180.0 <= x <= 180.0 and -90.0 < y < 90.0):
            raise ValueError(
                f"{name} must be [longitude, latitude] with longitude from -180 to "
                f"180 and latitude between -90 and 90, not [{x}, {y}]"
            )
    return found


def _ring(name: str, positions: Sequence[Sequence[float]], frame: Frame) -> "Coordinates":
    corners = points(name, positions, frame.units)
    if len(corners) < 4 or tuple(corners[0]) != tuple(corners[-1]):
        raise ValueError(
            f"{name} must be closed rings of at least 4 positions, not {str(positions)[:80]}"
        )
    return frame.to_metres(corners)
