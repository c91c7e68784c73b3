"""A block laid out: from rows that are typed, or from its ground, to the rows of its layout."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from nursery.domain.errors import (
    GroundCrosses,
    GroundCrowded,
    GroundEmpty,
    GroundHoldsNone,
    GroundUnreadable,
)
from nursery.domain.field import ground
from nursery.domain.field.ground import Plane, Point
from nursery.science import geometry
from nursery.science.geometry.cut import MOST_POSITIONS

CROP, SHELTER = "crop", "shelter"
# Rows along a line of one height; from row to row they stand as a rectangle's.
CONTOUR = "contour"
# What the geometry says of ground that it cannot lay out, and what that is called here.
SAID = (
    ("simple area", GroundCrosses),
    ("must leave room", GroundEmpty),
    ("must leave at most", GroundCrowded),
    ("must meet the block", GroundHoldsNone),
)


@dataclass(frozen=True, slots=True)
class Shelter:
    """A shelter row after every so many rows of the crop; `goes` is its last year."""

    every: int
    in_row_m: float
    species: str | None = None
    goes: int | None = None


@dataclass(frozen=True, slots=True)
class Spacing:
    """Distances in metres; `between_m` of a triangle is from a plant to those of the next row."""

    in_row_m: float
    between_m: float
    pattern: str = "rectangular"
    pair_m: float | None = None
    set_back_m: float = 0.0

    def per_hectare(self) -> float:
        """Return the plants of a level hectare without edges and shelter rows.

        >>> Spacing(4.0, 2.0).per_hectare(), round(Spacing(9.0, 9.0, "triangular").per_hectare())
        (1250.0, 143)
        """
        if self.pattern == "double" and self.pair_m:
            pair = (self.in_row_m, self.pair_m, self.between_m)
            return geometry.double_row_per_hectare(*pair)
        triangle = self.pattern == "triangular"
        kind: Any = "triangular" if triangle else "rectangular"
        return geometry.plants_per_hectare(self.in_row_m, self.between_m, kind)


def typed(
    counts: Sequence[int], spacing: Spacing | None, shelter: Shelter | None
) -> list[dict[str, Any]]:
    """Return rows with so many positions each, from the painted end.

    A shelter row stands after every so many rows of the crop, as long as the row before it.

    >>> [row["first"] for row in typed((3, 2), None, None)]
    [1, 4]
    """
    rows: list[tuple[str, int]] = []
    for n, holes in enumerate(counts, start=1):
        rows.append((CROP, holes))
        if shelter is not None and n % shelter.every == 0:
            rows.append((SHELTER, _trees(holes, spacing, shelter)))
    return list(_numbered(((stands, holes, ()) for stands, holes in rows), shelter))


def _trees(holes: int, spacing: Spacing | None, shelter: Shelter) -> int:
    if spacing is None:
        return holes
    return int((holes - 1) * spacing.in_row_m / shelter.in_row_m) + 1


def _numbered(
    rows: Iterable[tuple[str, int, tuple[int, ...]]], shelter: Shelter | None
) -> Iterator[dict[str, Any]]:
    """Give rows their numbers, and positions theirs: those of the crop through the block."""
    first = {CROP: 1, SHELTER: 1}
    for number, (stands, holes, path) in enumerate(rows, start=1):
        row: dict[str, Any] = {"number": number, "first": first[stands], "holes": holes}
        first[stands] += holes
        if stands == SHELTER and shelter is not None:
            told = {"stands": SHELTER, "species": shelter.species, "goes": shelter.goes}
            row |= {name: value for name, value in told.items() if value is not None}
        yield row | ({"path": list(path)} if path else {})


@dataclass(frozen=True, slots=True)
class Ways:
    """How rows run on ground: by a bearing, along a contour line, or on the lines of terraces."""

    bearing_deg: float = 0.0
    contour: dict[str, Any] | None = None
    lines: tuple[dict[str, Any], ...] = ()
    rows_each: int = 1
    side: str = "left"


def on_ground(
    polygon: dict[str, Any], stake: Point, spacing: Spacing, ways: Ways, shelter: Shelter | None
) -> list[dict[str, Any]]:
    """Return the rows that fit on ground.

    Raises:
        GroundCrosses, GroundEmpty, GroundCrowded, GroundHoldsNone, GroundUnreadable: what is wrong.
    """
    try:
        positions = _laid(geometry.Block(polygon, stake), _series(spacing, shelter), ways)
    except ValueError as odd:
        raise _told(str(odd)) from None
    return list(_numbered(_drawn(positions, Plane(stake)), shelter))


def _laid(block: geometry.Block, layout: geometry.Layout, ways: Ways) -> list[geometry.Position]:
    if ways.lines:
        side: Any = ways.side
        return geometry.rows_on_terraces(block, layout, ways.lines, ways.rows_each, side)
    if ways.contour is not None:
        return geometry.rows_along_contour(block, layout, ways.contour)
    return geometry.rows_along_bearing(block, layout, ways.bearing_deg)


def _series(spacing: Spacing, shelter: Shelter | None) -> geometry.Layout:
    crop = geometry.RowPlan(CROP, spacing.in_row_m)
    rows: tuple[geometry.RowPlan, ...] = (crop,)
    if shelter is not None:
        rows = (crop,) * shelter.every + (geometry.RowPlan(SHELTER, shelter.in_row_m),)
    known = spacing.pattern if spacing.pattern in {"triangular", "double"} else "rectangular"
    kind: Any = known
    gap = spacing.pair_m or 0.0 if spacing.pattern == "double" else 0.0
    return geometry.Layout(rows, spacing.between_m, kind, gap, spacing.set_back_m)


def _told(said: str) -> Exception:
    for words, refusal in SAID:
        if words in said:
            return refusal()
    return GroundUnreadable(said.split(" ", 1)[0], said)


def _drawn(
    positions: Iterable[geometry.Position], plane: Plane
) -> Iterator[tuple[str, int, tuple[int, ...]]]:
    """Yield each row from the painted end: what stands there, how many, and its path."""
    walked = sorted(positions, key=lambda one: (one.row, one.number))
    for _, some in groupby(walked, key=lambda one: one.row):
        row = list(some)
        places = [plane.metres((one.x, one.y)) for one in row]
        path = [(round(x * 10), round(y * 10)) for x, y in places]
        ends = path if _even(path) is False else [path[0], path[-1]]
        yield row[0].kind, len(row), tuple(part for place in ends for part in place)


def _even(path: Sequence[tuple[int, int]]) -> bool:
    """Tell whether places lie straight and at one distance, to a decimetre."""
    last = len(path) - 1
    if last < 1:
        return False
    (x0, y0), (x1, y1) = path[0], path[-1]
    return all(
        abs(x0 + (x1 - x0) * n / last - x) <= 1 and abs(y0 + (y1 - y0) * n / last - y) <= 1
        for n, (x, y) in enumerate(path)
    )


def most(counts: Sequence[int]) -> None:
    """Turn down rows that hold no position, or more than anybody plants.

    Raises:
        GroundHoldsNone, GroundCrowded: which of the two.
    """
    if sum(counts) == 0:
        raise GroundHoldsNone
    if sum(counts) > MOST_POSITIONS:
        raise GroundCrowded


def asked(raw: dict[str, Any], latitude: float | None) -> dict[str, Any]:
    """Return rows, distances and ground of the layout that somebody asks for.

    Raises:
        Refusal: what the ground or the rows cannot be.
    """
    spacing, shelter = _spacing(raw), _shelter(raw)
    if raw["way"] == "typed":
        rows = typed(raw.get("counts") or (), spacing, shelter)
        most([row["holes"] for row in rows])
        return _body(rows, spacing)
    if spacing is None:
        raise GroundUnreadable("in_row_m", "")
    polygon, ways = _ground(raw, spacing)
    where = raw.get("painted_end") or polygon["coordinates"][0][0]
    if ways.lines and not raw.get("painted_end"):
        where = ways.lines[0]["coordinates"][0]
    stake = (float(where[0]), float(where[1]))
    ground.near(stake, latitude)
    body = _body(on_ground(polygon, stake, spacing, ways, shelter), spacing)
    body["painted_end"] = list(stake)
    if ways.contour is not None and spacing.pattern == "rectangular":
        body["pattern"] = CONTOUR
    if raw.get("outline") is not None:
        body["outline"] = [part for place in polygon["coordinates"][0] for part in place[:2]]
        body["area_m2"] = round(ground.area_m2(polygon), 1)
    return body


def _ground(raw: dict[str, Any], spacing: Spacing) -> tuple[dict[str, Any], Ways]:
    """Return the ground, and how rows run on it; terraces may do without an outline."""
    lines: tuple[dict[str, Any], ...] = ()
    contour = None
    if raw["way"] == "terraces":
        lines = tuple(ground.geometries(raw.get("lines"), ground.LINES))
    elif raw.get("lines") is not None or raw["pattern"] == CONTOUR:
        [contour, *_] = ground.geometries(raw.get("lines"), ground.LINES)
    ways = Ways(raw["bearing_deg"], contour, lines, raw["rows_each"], raw["side"])
    if raw.get("outline") is None and lines:
        around = spacing.between_m * ways.rows_each + spacing.set_back_m + 1.0
        return ground.boxed(lines, around), ways
    [polygon, *more] = ground.geometries(raw.get("outline"), ground.AREAS)
    if more:
        raise GroundUnreadable("Polygon", str(len(more) + 1))
    ground.area_m2(polygon)
    return polygon, ways


def _spacing(raw: dict[str, Any]) -> Spacing | None:
    in_row, between = raw.get("in_row_m"), raw.get("between_m")
    if in_row is None or between is None:
        return None
    return Spacing(in_row, between, raw["pattern"], raw.get("pair_m"), raw["set_back_m"])


def _shelter(raw: dict[str, Any]) -> Shelter | None:
    every = raw.get("shelter_every") or 0
    if every == 0:
        return None
    in_row = raw.get("shelter_m") or raw.get("in_row_m") or 1.0
    return Shelter(every, in_row, raw.get("species") or None, raw.get("goes"))


def _body(rows: list[dict[str, Any]], spacing: Spacing | None) -> dict[str, Any]:
    body: dict[str, Any] = {"rows": rows}
    if spacing is not None:
        body |= {"in_row_m": spacing.in_row_m, "between_m": spacing.between_m}
        body |= {"pattern": spacing.pattern}
        body |= {} if spacing.pair_m is None else {"pair_m": spacing.pair_m}
    return body
