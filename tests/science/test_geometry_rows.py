"""Positions of a block: where they stand, how they are numbered, and that they never differ."""

import json
import math
from itertools import pairwise
from typing import Any

import pyproj
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from nursery.science.geometry import (
    Block,
    Layout,
    Position,
    RowPlan,
    Slope,
    Track,
    count_by_kind,
    rows_along_bearing,
    rows_along_contour,
    rows_on_terraces,
    to_geojson,
)

CROP = RowPlan("crop", 5.0)
SQUARE = Layout((CROP,), 6.0)


def polygon(*corners: tuple[float, float]) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": [[list(c) for c in (*corners, corners[0])]]}


def path(*corners: tuple[float, float]) -> dict[str, Any]:
    return {"type": "LineString", "coordinates": [list(corner) for corner in corners]}


FIELD = polygon((0, 0), (100, 0), (100, 60), (0, 60))
SOUTH_WEST = Block(FIELD, (0, 0), "metres")


def by_row(positions: list[Position]) -> dict[int, list[Position]]:
    rows: dict[int, list[Position]] = {}
    for place in sorted(positions, key=lambda place: (place.row, place.number)):
        rows.setdefault(place.row, []).append(place)
    return rows


def spots(positions: list[Position]) -> set[tuple[float, float]]:
    return {(place.x, place.y) for place in positions}


def test_a_length_holds_one_plant_more_than_it_has_spaces() -> None:
    rows = by_row(rows_along_bearing(SOUTH_WEST, SQUARE, 90.0))
    assert {row: len(places) for row, places in rows.items()} == dict.fromkeys(range(1, 12), 21)


def test_set_back_keeps_a_strip_free_all_round() -> None:
    layout = Layout((CROP,), 6.0, set_back_m=3.0)
    places = rows_along_bearing(SOUTH_WEST, layout, 90.0)
    assert (min(p.x for p in places), min(p.y for p in places)) == (3.0, 3.0)
    assert max(p.x for p in places) <= 97.0
    assert max(p.y for p in places) <= 57.0


def test_set_back_goes_round_a_hole_too() -> None:
    pond = [[40, 20], [60, 20], [60, 40], [40, 40], [40, 20]]
    block = Block({**FIELD, "coordinates": [*FIELD["coordinates"], pond]}, (0, 0), "metres")
    places = rows_along_bearing(block, Layout((CROP,), 6.0, set_back_m=2.0), 0.0)
    assert min(shapely.Polygon(pond).distance(shapely.Point(p.x, p.y)) for p in places) >= 2.0


STAKES = {
    "south-west": ((0.0, 0.0), (0.0, 0.0)),
    "south-east": ((101.0, -1.0), (100.0, 0.0)),
    "north-west": ((-1.0, 61.0), (0.0, 60.0)),
    "north-east": ((100.0, 60.0), (100.0, 60.0)),
}


@pytest.mark.parametrize(("stake", "first"), STAKES.values(), ids=STAKES.keys())
def test_counting_begins_at_the_painted_end(
    stake: tuple[float, float], first: tuple[float, float]
) -> None:
    places = rows_along_bearing(Block(FIELD, stake, "metres"), SQUARE, 90.0)
    assert (places[0].x, places[0].y) == first
    assert (places[0].row, places[0].number, places[0].walk) == (1, 1, 1)
    for row in by_row(places).values():
        assert row[0].x == first[0]


def test_the_walk_goes_out_and_comes_back() -> None:
    places = rows_along_bearing(SOUTH_WEST, SQUARE, 90.0)
    assert [p.walk for p in places] == list(range(1, len(places) + 1))
    steps = [math.dist((a.x, a.y), (b.x, b.y)) for a, b in pairwise(places)]
    assert max(steps) == pytest.approx(6.0)
    assert [p.number for p in places[20:23]] == [21, 21, 20]


def test_opposite_bearings_give_the_same_positions() -> None:
    there = rows_along_bearing(SOUTH_WEST, SQUARE, 30.0)
    assert there == rows_along_bearing(SOUTH_WEST, SQUARE, 210.0)


def test_a_triangle_sets_every_second_row_half_a_space_on() -> None:
    layout = Layout((CROP,), 5.0, "triangular")
    rows = by_row(rows_along_bearing(SOUTH_WEST, layout, 90.0))
    assert rows[2][0].x == 2.5
    for corner in (rows[1][0], rows[1][1]):
        assert math.dist((corner.x, corner.y), (rows[2][0].x, rows[2][0].y)) == pytest.approx(
            5.0, abs=1e-3
        )


def test_double_rows_come_in_pairs_with_an_alley() -> None:
    layout = Layout((CROP,), 4.0, "double", pair_gap_m=1.0)
    rows = by_row(rows_along_bearing(SOUTH_WEST, layout, 90.0))
    assert [row[0].y for row in rows.values()][:6] == [0.0, 1.0, 5.0, 6.0, 10.0, 11.0]
    assert rows[2][0].x == 0.0


def test_staggered_double_rows_stand_on_gaps() -> None:
    layout = Layout((CROP,), 4.0, "double_staggered", pair_gap_m=1.0)
    rows = by_row(rows_along_bearing(SOUTH_WEST, layout, 90.0))
    assert rows[2][0].x == 2.5


def test_a_track_along_the_rows_comes_after_every_fourth_row() -> None:
    layout = Layout((CROP,), 3.0, track_every=4, track_gap_m=6.0)
    rows = by_row(rows_along_bearing(SOUTH_WEST, layout, 90.0))
    assert [row[0].y for row in rows.values()][:6] == [0.0, 3.0, 6.0, 9.0, 15.0, 18.0]


def test_a_track_across_the_rows_takes_positions_but_no_numbers() -> None:
    track = Track(path((50, -5), (50, 65)), width_m=8.0)
    block = Block(FIELD, (0, 0), "metres", tracks=(track,))
    rows = by_row(rows_along_bearing(block, SQUARE, 90.0))
    assert [place.x for place in rows[3]] == [*range(0, 46, 5), *range(55, 101, 5)]
    assert [place.number for place in rows[3]] == list(range(1, 21))


def test_one_shelter_row_comes_every_three() -> None:
    layout = Layout((CROP, CROP, RowPlan("shelter", 1.0)), 3.0)
    places = rows_along_bearing(SOUTH_WEST, layout, 90.0)
    kinds = {row: {place.kind for place in found} for row, found in by_row(places).items()}
    assert {row for row, kind in kinds.items() if kind == {"shelter"}} == {3, 6, 9, 12, 15, 18, 21}
    assert count_by_kind(places) == {"crop": 14 * 21, "shelter": 7 * 101}


def test_a_pollinizer_stands_at_every_ninth_position() -> None:
    layout = Layout((RowPlan("crop", 5.0, nth=9, nth_kind="pollinizer"),), 6.0)
    rows = by_row(rows_along_bearing(SOUTH_WEST, layout, 90.0))
    assert [p.number for p in rows[2] if p.kind == "pollinizer"] == [9, 18]


def test_a_tape_held_along_the_slope_brings_rows_closer_on_the_map() -> None:
    uphill = Slope(75.0, downhill_deg=180.0, tape="slope")
    across = by_row(rows_along_bearing(SOUTH_WEST, Layout((CROP,), 5.0, slope=uphill), 90.0))
    assert across[2][0].y == pytest.approx(4.0)  # 5 m on a slope of 3 in 4
    assert across[1][1].x == pytest.approx(5.0)
    along = by_row(rows_along_bearing(SOUTH_WEST, Layout((CROP,), 5.0, slope=uphill), 0.0))
    assert along[1][1].y == pytest.approx(4.0)
    assert along[2][0].x == pytest.approx(5.0)
    level = Slope(75.0, downhill_deg=180.0, tape="horizontal")
    assert by_row(rows_along_bearing(SOUTH_WEST, Layout((CROP,), 5.0, slope=level), 90.0))[2][
        0
    ].y == pytest.approx(5.0)


def test_slope_taped_rows_hold_as_many_plants_as_the_ground_has_room() -> None:
    """A tilted square of ground is a shorter rectangle of map with the same plants."""
    tilted = Block(polygon((0, 0), (100, 0), (100, 48), (0, 48)), (0, 0), "metres")
    slope = Slope(75.0, downhill_deg=0.0, tape="slope")
    assert len(rows_along_bearing(tilted, Layout((CROP,), 6.0, slope=slope), 90.0)) == len(
        rows_along_bearing(SOUTH_WEST, SQUARE, 90.0)
    )


def test_rows_along_a_straight_contour_are_rows_along_its_bearing() -> None:
    line = path((0, 0), (100, 0))
    assert rows_along_contour(SOUTH_WEST, SQUARE, line) == rows_along_bearing(
        SOUTH_WEST, SQUARE, 90.0
    )


BEND = path(*[(x, 30 + 10 * math.sin(x / 25)) for x in range(-10, 115, 5)])


def test_rows_along_a_contour_keep_their_distance_from_it() -> None:
    rows = by_row(rows_along_contour(SOUTH_WEST, SQUARE, BEND))
    guide = shapely.LineString(BEND["coordinates"])
    offsets = []
    for row in rows.values():
        away = [guide.distance(shapely.Point(p.x, p.y)) for p in row]
        assert max(away) - min(away) < 0.02  # an arc round a surveyed corner is drawn in chords
        offsets.append(round(sum(away) / len(away), 1))
    assert offsets == [36.0, 30.0, 24.0, 18.0, 12.0, 6.0, 0.0, 6.0, 12.0, 18.0, 24.0, 30.0]


def test_plants_along_a_contour_stand_at_their_distance() -> None:
    for row in by_row(rows_along_contour(SOUTH_WEST, SQUARE, BEND)).values():
        gaps = [math.dist((a.x, a.y), (b.x, b.y)) for a, b in pairwise(row)]
        assert all(4.8 < gap < 5.001 for gap in gaps if gap < 9)


def test_a_slope_taped_contour_brings_only_the_rows_closer() -> None:
    slope = Slope(75.0, tape="slope")
    rows = by_row(
        rows_along_contour(SOUTH_WEST, Layout((CROP,), 5.0, slope=slope), path((0, 0), (100, 0)))
    )
    assert rows[2][0].y == pytest.approx(4.0)
    assert rows[2][1].x - rows[2][0].x == pytest.approx(5.0)


CONTOUR_STAKES = {
    "at the beginning, below": ((0.0, 0.0), 1),
    "at the end, above": ((100.0, 60.0), -1),
}


@pytest.mark.parametrize(("stake", "way"), CONTOUR_STAKES.values(), ids=CONTOUR_STAKES.keys())
def test_a_contour_is_counted_from_the_painted_end(stake: tuple[float, float], way: int) -> None:
    rows = by_row(rows_along_contour(Block(FIELD, stake, "metres"), SQUARE, BEND))
    for row in rows.values():
        assert way * row[0].x < way * row[-1].x or len(row) == 1
    assert way * rows[1][0].y < way * rows[max(rows)][0].y


def test_the_drawing_direction_of_a_contour_only_turns_the_series_of_rows() -> None:
    back = path(*[tuple(c) for c in reversed(BEND["coordinates"])])
    there = spots(rows_along_contour(SOUTH_WEST, SQUARE, BEND))
    assert spots(rows_along_contour(SOUTH_WEST, SQUARE, back)) == there


def test_a_short_contour_is_drawn_out_to_the_edge() -> None:
    places = rows_along_contour(SOUTH_WEST, SQUARE, path((45, 0), (55, 0)))
    assert spots(places) == spots(rows_along_bearing(SOUTH_WEST, SQUARE, 90.0))


def test_a_contour_outside_the_block_still_leads_its_rows() -> None:
    places = rows_along_contour(SOUTH_WEST, SQUARE, path((0, -6), (100, -6)))
    assert spots(places) == spots(rows_along_bearing(SOUTH_WEST, SQUARE, 90.0))


def test_a_tight_bend_may_break_a_row_but_loses_no_order() -> None:
    bend = path((0, 40), (40, 40), (50, 8), (60, 40), (100, 40))
    rows = by_row(rows_along_contour(SOUTH_WEST, Layout((CROP,), 12.0), bend))
    for row in rows.values():
        assert [place.number for place in row] == list(range(1, len(row) + 1))


TERRACES = [path((0, y), (100, y)) for y in (10, 30, 50)]


def test_terraces_are_numbered_as_given_with_rows_running_on() -> None:
    places = rows_on_terraces(SOUTH_WEST, Layout((CROP,), 2.0), TERRACES, 2, "left")
    first = {p.row: (p.terrace, p.y) for p in places}
    assert first == {1: (1, 10.0), 2: (1, 12.0), 3: (2, 30.0), 4: (2, 32.0), 5: (3, 50.0),
                     6: (3, 52.0)}  # fmt: skip


def test_further_rows_stand_on_the_side_that_is_named() -> None:
    places = rows_on_terraces(SOUTH_WEST, Layout((CROP,), 2.0), TERRACES, 2, "right")
    assert sorted({p.y for p in places}) == [8.0, 10.0, 28.0, 30.0, 48.0, 50.0]


def test_the_series_of_rows_runs_on_over_terraces() -> None:
    layout = Layout((CROP, CROP, RowPlan("shelter", 1.0)), 2.0)
    places = rows_on_terraces(SOUTH_WEST, layout, TERRACES, 1, "left")
    assert {p.terrace for p in places if p.kind == "shelter"} == {3}


def test_terraces_are_counted_from_the_painted_end() -> None:
    block = Block(FIELD, (100, 0), "metres")
    rows = by_row(rows_on_terraces(block, Layout((CROP,), 2.0), TERRACES, 2, "left"))
    assert all(row[0].x == 100.0 for row in rows.values())
    assert rows[1][0].y == 10.0


def test_a_terrace_outside_the_block_gets_no_row() -> None:
    lines = [path((0, 90), (100, 90)), *TERRACES]
    places = rows_on_terraces(SOUTH_WEST, Layout((CROP,), 2.0), lines, 1, "left")
    assert {(p.terrace, p.row) for p in places} == {(2, 1), (3, 2), (4, 3)}


WORLD = {
    "on the equator": (36.7, 0.0),
    "in the south": (47.5, -17.0),
    "in the north": (-8.4, 54.0),
    "across the 180th meridian": (179.9995, -16.5),
}


@pytest.mark.parametrize("corner", WORLD.values(), ids=WORLD.keys())
def test_spacings_are_true_on_the_ellipsoid(corner: tuple[float, float]) -> None:
    """Against the geodesics of PROJ, which the local plane does not use."""
    geod = pyproj.Geod(ellps="WGS84")
    corners = [corner]
    for azimuth in (80.0, 350.0, 260.0):
        lon, lat, _ = geod.fwd(*corners[-1], azimuth, 120.0)
        corners.append((lon, lat))
    rows = by_row(rows_along_bearing(Block(polygon(*corners), corner), SQUARE, 80.0))
    assert len(rows) >= 20
    for row in rows.values():
        for a, b in pairwise(row):
            azimuth, _, metres = geod.inv(a.x, a.y, b.x, b.y)
            assert metres == pytest.approx(5.0, abs=0.003)
            assert min(abs(azimuth - 80.0), abs(azimuth + 100.0)) < 0.05


def test_a_block_cut_at_the_180th_meridian_is_one_block() -> None:
    """RFC 7946 section 3.1.9 asks for the cut."""
    east = [[[179.999, 0.0], [180.0, 0.0], [180.0, 0.001], [179.999, 0.001], [179.999, 0.0]]]
    west = [[[-180.0, 0.0], [-179.999, 0.0], [-179.999, 0.001], [-180.0, 0.001], [-180.0, 0.0]]]
    block = Block({"type": "MultiPolygon", "coordinates": [east, west]}, (179.999, 0.0))
    rows = by_row(rows_along_bearing(block, SQUARE, 90.0))
    assert {len(row) for row in rows.values()} == {45}  # 222.6 m of equator
    assert {place.x < 0 for place in rows[1]} == {True, False}


def test_the_same_block_always_gives_the_same_geojson() -> None:
    block = Block(polygon((36.7, -3.5), (36.702, -3.5), (36.7015, -3.4985)), (36.7, -3.5))
    once = json.dumps(to_geojson(rows_along_bearing(block, SQUARE, 33.0)))
    assert once == json.dumps(to_geojson(rows_along_bearing(block, SQUARE, 33.0)))
    longitude, latitude = json.loads(once)["features"][0]["geometry"]["coordinates"]
    assert (round(longitude, 1), round(latitude, 1)) == (36.7, -3.5)


def test_a_feature_or_a_collection_of_one_is_a_block_too() -> None:
    feature = {"type": "Feature", "properties": {}, "geometry": FIELD}
    collection = {"type": "FeatureCollection", "features": [feature]}
    plain = rows_along_bearing(SOUTH_WEST, SQUARE, 90.0)
    for boundary in (feature, collection):
        assert rows_along_bearing(Block(boundary, (0, 0), "metres"), SQUARE, 90.0) == plain


def test_a_height_in_the_geojson_is_left_out() -> None:
    high = polygon(*[(x, y, 1800.0) for x, y, *_ in FIELD["coordinates"][0][:-1]])  # type: ignore[arg-type]
    assert rows_along_bearing(Block(high, (0, 0), "metres"), SQUARE, 90.0) == rows_along_bearing(
        SOUTH_WEST, SQUARE, 90.0
    )


BOW_TIE = polygon((0, 0), (100, 60), (100, 0), (0, 60))
OPEN_RING = {"type": "Polygon", "coordinates": [[[0, 0], [100, 0], [100, 60], [0, 60]]]}
REFUSED_BLOCKS: dict[str, tuple[Block, str]] = {
    "a line": (Block(TERRACES[0], (0, 0), "metres"), "boundary must be GeoJSON of type Polygon"),
    "nothing": (Block({}, (0, 0), "metres"), "boundary must be GeoJSON .* not None"),
    "two features": (
        Block({"type": "FeatureCollection", "features": [{}, {}]}, (0, 0), "metres"),
        "boundary must be one feature, not 2",
    ),
    "a feature without a place": (
        Block({"type": "Feature", "geometry": None}, (0, 0), "metres"),
        "boundary must be GeoJSON .* not None",
    ),
    "an open ring": (Block(OPEN_RING, (0, 0), "metres"), "boundary must be closed rings"),
    "a ring that crosses itself": (
        Block(BOW_TIE, (0, 0), "metres"),
        "boundary must be a simple area, not one with a fault: Self-intersection",
    ),
    "a point that is no pair": (
        Block({"type": "Polygon", "coordinates": [[[0], [1], [2], [0]]]}, (0, 0), "metres"),
        r"boundary must be a list of \[x, y\]",
    ),
    "a missing number": (
        Block(polygon((0, 0), (float("nan"), 0), (5, 5)), (0, 0), "metres"),
        "boundary must be finite numbers",
    ),
    "latitude first": (
        Block(polygon((-3.5, 136.7), (-3.4, 136.7), (-3.4, 136.8)), (0, 0)),
        r"boundary must be \[longitude, latitude\]",
    ),
    "a stake out of the world": (
        Block(polygon((36.7, -3.5), (36.8, -3.5), (36.7, -3.4)), (0, 95)),
        r"painted_end must be \[longitude, latitude\]",
    ),
    "units of feet": (
        Block(FIELD, (0, 0), "feet"),  # type: ignore[arg-type]
        "units must be one of degrees, metres, not 'feet'",
    ),
    "a track that is an area": (
        Block(FIELD, (0, 0), "metres", tracks=(Track(FIELD, 3.0),)),
        r"tracks\[0\] must be GeoJSON of type LineString",
    ),
    "a track without length": (
        Block(FIELD, (0, 0), "metres", tracks=(Track(path((1, 1), (1, 1)), 3.0),)),
        r"tracks\[0\] must be a line that does not cross itself",
    ),
}


@pytest.mark.parametrize(("block", "message"), REFUSED_BLOCKS.values(), ids=REFUSED_BLOCKS.keys())
def test_a_block_that_cannot_be_read_is_turned_down(block: Block, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        rows_along_bearing(block, SQUARE, 90.0)


def test_a_bearing_beyond_the_compass_is_turned_down() -> None:
    with pytest.raises(ValueError, match="bearing_deg must be a bearing from 0 to 360, not 400"):
        rows_along_bearing(SOUTH_WEST, SQUARE, 400.0)


def test_a_set_back_that_leaves_no_room_is_turned_down() -> None:
    with pytest.raises(ValueError, match="set_back_m must leave room in the block, not 40"):
        rows_along_bearing(SOUTH_WEST, Layout((CROP,), 6.0, set_back_m=40.0), 90.0)


def test_more_plants_than_anybody_plants_are_turned_down() -> None:
    with pytest.raises(ValueError, match="at most 1000000 positions, not 60000000"):
        rows_along_bearing(SOUTH_WEST, Layout((RowPlan("crop", 0.01),), 0.01), 90.0)


def test_a_contour_that_runs_into_itself_is_turned_down() -> None:
    hook = path((10, 10), (60, 10), (60, 40), (30, 40), (30, 20))
    with pytest.raises(ValueError, match="contour must be a line whose ends do not run into it"):
        rows_along_contour(SOUTH_WEST, SQUARE, hook)


TERRACE_FAULTS: dict[str, tuple[list[dict[str, Any]], int, str, str]] = {
    "no terrace": ([], 1, "left", "contours must be at least one line"),
    "no row": (TERRACES, 0, "left", "rows_each must be a whole number of at least 1"),
    "no such side": (TERRACES, 1, "up", "side must be one of left, right, not 'up'"),
    "all elsewhere": ([path((0, 90), (9, 90))], 1, "left", "rows must meet the block"),
}


@pytest.mark.parametrize(
    ("lines", "rows_each", "side", "message"), TERRACE_FAULTS.values(), ids=TERRACE_FAULTS.keys()
)
def test_terraces_that_cannot_be_are_turned_down(
    lines: list[dict[str, Any]], rows_each: int, side: Any, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        rows_on_terraces(SOUTH_WEST, SQUARE, lines, rows_each, side)


@st.composite
def fields(draw: st.DrawFn) -> shapely.Polygon:
    """A field of four to nine corners around a middle, often not convex."""
    turns = draw(st.lists(st.integers(0, 359), min_size=4, max_size=9, unique=True))
    reach = [draw(st.integers(15, 80)) for _ in turns]
    corners = [
        (r * math.cos(math.radians(t)), r * math.sin(math.radians(t)))
        for t, r in zip(sorted(turns), reach, strict=True)
    ]
    field = shapely.Polygon(corners)
    assume(field.is_valid and field.area > 400)
    return field


PATTERNS = st.sampled_from(["rectangular", "triangular", "double", "double_staggered"])


@settings(deadline=None)
@given(fields(), st.floats(0, 360), PATTERNS, st.sampled_from([0.0, 1.5]))
def test_every_position_is_inside_numbered_once_and_at_its_distance(
    field: shapely.Polygon, bearing: float, pattern: Any, set_back: float
) -> None:
    room = field.buffer(-set_back)
    assume(room.area > 100)
    layout = Layout((RowPlan("crop", 3.0),), 4.0, pattern, pair_gap_m=2.0, set_back_m=set_back)
    block = Block(shapely.geometry.mapping(field), (-90.0, -90.0), "metres")
    places = rows_along_bearing(block, layout, bearing)
    assert rows_along_bearing(block, layout, bearing) == places
    assert room.buffer(0.01).covers(shapely.MultiPoint([(p.x, p.y) for p in places]))
    assert [p.walk for p in places] == list(range(1, len(places) + 1))
    for row in by_row(places).values():
        assert [p.number for p in row] == list(range(1, len(row) + 1))
        for a, b in pairwise(row):
            spaces = math.dist((a.x, a.y), (b.x, b.y)) / 3.0
            assert spaces == pytest.approx(round(spaces), abs=2e-3)


@settings(deadline=None)
@given(fields(), st.floats(0, 360))
def test_a_field_holds_about_its_area_over_the_room_of_a_plant(
    field: shapely.Polygon, bearing: float
) -> None:
    """Edges hold at most one plant more for each space of the boundary."""
    block = Block(shapely.geometry.mapping(field), (0.0, 0.0), "metres")
    places = rows_along_bearing(block, Layout((RowPlan("crop", 3.0),), 4.0), bearing)
    assert abs(len(places) - field.area / 12) <= field.length / 3 + 1
