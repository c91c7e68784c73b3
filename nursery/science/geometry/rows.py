"""Positions inside a block: in straight rows, along a contour line, on terraces.

Rows are numbered from the painted end (the stake where counting begins): the row nearest to it
is 1, and in every row the position at its end is 1. The walk goes out along the first row, back
along the second, and so on. The same block and layout always give the same positions.
"""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Literal

from nursery.science import _check
from nursery.science.geometry import ground
from nursery.science.geometry.cut import NEAR_M, Block, Position, Row, numbered, prepare
from nursery.science.geometry.ground import GeoJson
from nursery.science.geometry.layout import MOST_ROWS, Layout, bearing

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Metres = npt.NDArray[np.float64]


def rows_along_bearing(block: Block, layout: Layout, bearing_deg: float) -> list[Position]:
    """Return the positions of straight rows, in walking order.

    The first row runs along the set-back line on the side of the painted end, and all rows share
    one base line at right angles to them, so that plants of neighbouring rows stand square.

    Args:
        block: the ground.
        layout: distances and series of rows.
        bearing_deg: bearing of the rows, clockwise from true north (in metres: from y),
            from 0 to 360; the opposite bearing gives the same positions.

    Raises:
        ValueError: a bearing out of range, GeoJSON that is no area, no room inside the set-back,
            or more than a million positions.

    Source:
        Geometry; first row and first plant on the edge, so that a length L holds
        `floor(L / spacing) + 1` plants (common practice, no source).

    >>> yard = Block({"type": "Polygon",
    ...               "coordinates": [[[0, 0], [30, 0], [30, 10], [0, 10], [0, 0]]]},
    ...              painted_end=(0, 0), units="metres")
    >>> from nursery.science.geometry.layout import RowPlan
    >>> square = Layout((RowPlan("crop", 10.0),), 10.0)
    >>> [(p.row, p.number, p.x, p.y) for p in rows_along_bearing(yard, square, 90.0)][3:6]
    [(1, 4, 30.0, 0.0), (2, 4, 30.0, 10.0), (2, 3, 20.0, 10.0)]
    """
    import numpy as np
    import shapely

    bearing("bearing_deg", bearing_deg)
    frame, room, stake = prepare(block, layout)
    turn = math.radians(bearing_deg)
    along = np.array([math.sin(turn), math.cos(turn)])
    across = np.array([along[1], -along[0]])
    corners = shapely.get_coordinates(room)
    along = _from_stake(along, corners, stake)
    across = _from_stake(across, corners, stake)
    first, last = float((corners @ along).min()), float((corners @ along).max())
    side = float((corners @ across).min())
    off = bearing_deg - layout.slope.downhill_deg
    wide = float((corners @ across).max()) - side
    rows: list[Row] = []
    for index, offset in layout.offsets_on_map(0.0, wide + NEAR_M, off):
        # A row that only grazes the edge would else be lost to rounding.
        level = across * (side + min(max(offset, NEAR_M / 10), max(wide - NEAR_M / 10, 0.0)))
        ends = [level + along * (first - 1.0), level + along * (last + 1.0)]
        rows.append(Row(index, shapely.LineString(ends), off, base_m=1.0))
    return numbered(rows, room, layout, frame)


def rows_along_contour(block: Block, layout: Layout, contour: GeoJson) -> list[Position]:
    """Return the positions of rows parallel to one contour line, in walking order.

    The line itself is row 0 of the layout's series; rows are laid on both sides of it until the
    block is full. Its ends are drawn out straight to the edge of the block. Every row begins at
    its own end, as a crew pegs it.

    Args:
        block: the ground.
        layout: distances and series of rows; with `tape="slope"` the distance between rows
            shrinks on the map by the slope, the distance in the row does not.
        contour: GeoJSON LineString in the units of the block.

    Raises:
        ValueError: GeoJSON of another kind, a line that turns back on itself, no room inside
            the set-back, or more than a million positions.

    Source:
        Geometry; distances in a row are arc lengths on the map.
    """
    frame, room, stake = prepare(block, layout)
    guide = ground.line("contour", contour, frame)
    reach = math.dist(*_opposite_corners(room, guide))
    turned = _nearer_to_last(guide, room, stake)
    guide = _drawn_out(guide, reach)
    if not guide.is_simple:
        raise ValueError(
            "contour must be a line whose ends do not run into it: give such a block as terraces"
        )
    rows = [
        Row(index, part, 90.0)
        for index, offset in layout.offsets_on_map(reach, reach, 90.0)
        for part in _parallels(guide, offset, turned=turned)
    ]
    rows = [row for row in rows if row.line.intersects(room)]
    if rows and rows[-1].line.distance(stake) < rows[0].line.distance(stake) - NEAR_M:
        rows.sort(key=lambda row: -row.index)
    return numbered(rows, room, layout, frame)


def rows_on_terraces(
    block: Block,
    layout: Layout,
    contours: Sequence[GeoJson],
    rows_each: int,
    side: Literal["left", "right"],
) -> list[Position]:
    """Return the positions of rows on surveyed terraces, terrace by terrace, in walking order.

    Args:
        block: the ground.
        layout: distances and series of rows; the series runs on from terrace to terrace.
        contours: one GeoJSON LineString a terrace, in the order in which they are numbered;
            the first row stands on the line.
        rows_each: rows on each terrace, at least 1.
        side: on which side of the line, seen from its start, further rows stand.

    Raises:
        ValueError: GeoJSON of another kind, no terrace, a row count below 1, no room inside the
            set-back, or more than a million positions.

    Source:
        Geometry; distances in a row are arc lengths on the map.
    """
    _check.count("rows_each", rows_each, least=1, most=MOST_ROWS)
    _check.one_of("side", side, ("left", "right"))
    if not contours:
        raise ValueError("contours must be at least one line, not none")
    frame, room, stake = prepare(block, layout)
    sign = 1.0 if side == "left" else -1.0
    rows: list[Row] = []
    for terrace, contour in enumerate(contours):
        guide = ground.line(f"contours[{terrace}]", contour, frame)
        turned = _nearer_to_last(guide, room, stake)
        start = terrace * rows_each
        offset = 0.0
        for index in range(start, start + rows_each):
            parts = _parallels(guide, sign * offset, turned=turned)
            rows.extend(Row(index, part, 90.0, terrace=terrace + 1) for part in parts)
            offset += layout.gap_on_map(index, 90.0)
    return numbered(rows, room, layout, frame)


def _from_stake(axis: "Metres", corners: "Metres", stake: Any) -> "Metres":
    """Return an axis turned so that it leads from the painted end into the block."""
    import numpy as np

    reach = corners @ axis
    at = float(axis @ np.array([stake.x, stake.y]))
    return -axis if at > float(reach.min() + reach.max()) / 2 + NEAR_M else axis


def _nearer_to_last(guide: Any, room: Any, stake: Any) -> bool:
    """Tell whether the painted end lies nearer to the line's last end than to its first."""
    import shapely

    inside = shapely.get_coordinates(guide.intersection(room))
    if not len(inside):
        inside = shapely.get_coordinates(guide)
    along = shapely.line_locate_point(guide, shapely.points(inside))
    return bool(guide.project(stake) > (along.min() + along.max()) / 2 + NEAR_M)


def _opposite_corners(room: Any, guide: Any) -> tuple[tuple[float, float], tuple[float, float]]:
    import shapely

    low_x, low_y, high_x, high_y = shapely.total_bounds([room, guide]).tolist()
    return (low_x, low_y), (high_x, high_y)


def _drawn_out(guide: Any, by_m: float) -> Any:
    """Return a line with both ends drawn out straight."""
    import numpy as np
    import shapely

    corners = shapely.get_coordinates(guide)
    first, last = corners[0] - corners[1], corners[-1] - corners[-2]
    before = corners[0] + first / np.hypot(*first) * by_m
    after = corners[-1] + last / np.hypot(*last) * by_m
    return shapely.LineString([before, *corners, after])


def _parallels(guide: Any, offset_m: float, *, turned: bool) -> list[Any]:
    """Return the parts of the line at a distance to the left, in walking order.

    Round a tight bend the parallel may fall into several parts.
    """
    import shapely

    moved = shapely.offset_curve(guide, offset_m, quad_segs=16) if offset_m else guide
    parts = []
    for part in shapely.get_parts(shapely.line_merge(moved)):
        first, last = (guide.project(part.boundary.geoms[end]) for end in (0, -1))
        parts.append((min(first, last), part if first <= last else part.reverse()))
    parts.sort(key=lambda found: found[0])
    lines = [part for _, part in parts]
    return [line.reverse() for line in reversed(lines)] if turned else lines
