"""A block made ready, and rows cut to it and numbered."""

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any, NamedTuple

from nursery.science import _check
from nursery.science.geometry import ground
from nursery.science.geometry.ground import Frame, GeoJson, Units
from nursery.science.geometry.layout import Layout

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Metres = npt.NDArray[np.float64]

MOST_POSITIONS = 1_000_000
# Smaller than any tape reads, larger than the rounding of a projection.
NEAR_M = 1e-5


@dataclass(frozen=True)
class Track:
    """A track across the rows.

    Attributes:
        line: its middle, a GeoJSON LineString in the units of the block.
        width_m: its whole width, above 0 [m].

    Raises:
        ValueError: a width that is not above 0.
    """

    line: GeoJson
    width_m: float

    def __post_init__(self) -> None:
        _check.positive("width_m", self.width_m)


@dataclass(frozen=True)
class Block:
    """The ground to plant.

    Attributes:
        boundary: GeoJSON Polygon or MultiPolygon, or a Feature of one; holes are kept free.
        painted_end: (x, y) of the stake where counting begins, in the same units.
        units: "degrees" for longitude and latitude, "metres" for x east and y north.
        tracks: tracks across the rows, kept free.
    """

    boundary: GeoJson
    painted_end: tuple[float, float]
    units: Units = "degrees"
    tracks: tuple[Track, ...] = ()


class Position(NamedTuple):
    """One hole.

    Attributes:
        x: longitude [degrees] or metres east, as the block.
        y: latitude [degrees] or metres north.
        terrace: number of the terrace, from 1; 1 where there are none.
        row: number of the row, from 1 at the painted end.
        number: number in its row, from 1 at the painted end.
        walk: place in walking order over the whole block, from 1.
        kind: what stands there.
    """

    x: float
    y: float
    terrace: int
    row: int
    number: int
    walk: int
    kind: str


@dataclass(frozen=True)
class Row:
    """A row before it is cut: a line that begins at the painted end.

    Attributes:
        index: place in the layout's series, which decides its kind and shift.
        line: the line in metres; a row broken in several has one `Row` for each part.
        off_downhill_deg: angle between the row and straight downhill [degrees].
        base_m: where on the line the common base line crosses; None where the row begins
            to count at its own first end.
        terrace: number of its terrace, from 1.
    """

    index: int
    line: Any
    off_downhill_deg: float
    base_m: float | None = None
    terrace: int = 1


def prepare(block: Block, layout: Layout) -> tuple[Frame, Any, Any]:
    """Return the plane of a block, the room to plant on it and its painted end, in metres.

    Raises:
        ValueError: GeoJSON that cannot be used, no room inside set-back and tracks, or
            distances that would give more than a million positions.
    """
    import numpy as np
    import shapely

    frame = ground.frame_around(block.boundary, block.units)
    room = ground.area("boundary", block.boundary, frame)
    stake = frame.to_metres(ground.points("painted_end", [block.painted_end], block.units))
    if layout.set_back_m:
        room = room.buffer(-layout.set_back_m, quad_segs=16, join_style="round")
    for number, track in enumerate(block.tracks):
        middle = ground.line(f"tracks[{number}]", track.line, frame)
        room = room.difference(middle.buffer(track.width_m / 2, cap_style="flat"))
    if room.is_empty:
        raise ValueError(f"set_back_m must leave room in the block, not {layout.set_back_m}")
    most = room.area * layout.positions_per_square_metre()
    if most > MOST_POSITIONS:
        raise ValueError(
            f"in_row_m and second_m must leave at most {MOST_POSITIONS} positions, not {most:.0f}"
        )
    shapely.prepare(room)
    return frame, room, shapely.Point(np.asarray(stake)[0])


def numbered(rows: list[Row], room: Any, layout: Layout, frame: Frame) -> list[Position]:
    """Return the positions of rows given in their order, cut to the room, in walking order.

    A row without a single position gets no number.

    Raises:
        ValueError: no position at all.
    """
    import numpy as np
    import shapely

    pieces = shapely.intersection([row.line for row in rows], room)
    found: list[tuple[Row, Metres]] = []
    for _, parts in groupby(zip(rows, pieces, strict=True), lambda part: _key(part[0])):
        cut = [(row, _places(row, piece, layout)) for row, piece in parts]
        places = np.concatenate(
            [
                shapely.get_coordinates(shapely.line_interpolate_point(row.line, along))
                for row, along in cut
            ]
        )
        if len(places):
            found.append((cut[0][0], places))
    if not found:
        raise ValueError("rows must meet the block, not pass it by")
    every = frame.from_metres(np.concatenate([places for _, places in found])).tolist()
    return _walked(found, every, layout)


def _key(row: Row) -> tuple[int, int]:
    return row.terrace, row.index


def _places(row: Row, piece: Any, layout: Layout) -> "Metres":
    """Return where on a row's line its positions are [m]."""
    import numpy as np

    spacing = layout.in_row_on_map(row.index, row.off_downhill_deg)
    stretches = _stretches(row.line, piece)
    if not stretches:
        return np.empty(0)
    base = stretches[0][0] if row.base_m is None else row.base_m
    base += layout.shift(row.index) * spacing
    within = []
    for begin, end in stretches:
        first = np.ceil((begin - base - NEAR_M) / spacing)
        last = np.floor((end - base + NEAR_M) / spacing)
        within.append(np.clip(base + spacing * np.arange(first, last + 1), begin, end))
    return np.concatenate(within)


def _stretches(line: Any, piece: Any) -> list[tuple[float, float]]:
    """Return the stretches of a line that a piece of it covers, in order [m]."""
    import shapely

    ends = []
    for part in shapely.get_parts(piece):
        if part.is_empty:
            continue
        along = shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(part)))
        ends.append((float(along.min()), float(along.max())))
    joined: list[tuple[float, float]] = []
    for begin, end in sorted(ends):
        if joined and begin <= joined[-1][1] + NEAR_M:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((begin, end))
    return joined


def _walked(
    found: list[tuple[Row, "Metres"]], places: list[list[float]], layout: Layout
) -> list[Position]:
    walked: list[Position] = []
    start = 0
    for number, (row, metres) in enumerate(found, start=1):
        plan = layout.plan(row.index)
        end = start + len(metres)
        steps = range(start, end) if number % 2 else range(end - 1, start - 1, -1)
        for walk, at in enumerate(steps, start=start + 1):
            x, y = places[at]
            inside = at - start + 1
            walked.append(Position(x, y, row.terrace, number, inside, walk, plan.kind_at(inside)))
        start = end
    return walked
