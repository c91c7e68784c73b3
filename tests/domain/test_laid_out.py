"""A block laid out: from rows that are typed and from its ground, and what cannot be."""

from datetime import UTC, datetime
from typing import Any

import pytest

from nursery.domain.errors import Refusal, RowImpossible
from nursery.domain.field import laid_out, positions
from nursery.domain.field.ground import Plane
from nursery.domain.field.laid_out import Shelter, Spacing
from nursery.domain.kinds.field import Seen, Standing, Surveyed
from nursery.domain.kinds.shape import Name
from nursery.domain.occupants import Told, occupants
from nursery.domain.reference import read

STAKE = (-70.2, 18.5)
ASKED = {"bearing_deg": 0.0, "rows_each": 1, "side": "left", "pattern": "rectangular"}
ASKED |= {"set_back_m": 0.5}


def place(east: float, north: float) -> list[float]:
    return list(Plane(STAKE).degrees((east, north)))


def polygon(*corners: tuple[float, float]) -> dict[str, Any]:
    ring = [place(*corner) for corner in (*corners, corners[0])]
    return {"type": "Polygon", "coordinates": [ring]}


def line(*corners: tuple[float, float]) -> dict[str, Any]:
    return {"type": "LineString", "coordinates": [place(*corner) for corner in corners]}


SQUARE = polygon((0, 0), (60, 0), (60, 60), (0, 60))


def asked(**more: Any) -> dict[str, Any]:
    return {**ASKED, "way": "ground", "in_row_m": 4.0, "between_m": 2.0, **more}


def test_typed_rows_are_numbered_on_through_the_block() -> None:
    rows = laid_out.typed((15, 15, 10), Spacing(3.0, 2.0), None)
    assert [(row["number"], row["first"], row["holes"]) for row in rows] == [
        (1, 1, 15),
        (2, 16, 15),
        (3, 31, 10),
    ]


def test_a_shelter_row_stands_after_every_second_row_with_numbers_of_its_own() -> None:
    shelter = Shelter(2, 6.0, "pigeon pea", 3)
    rows = laid_out.typed((13, 13, 13, 13), Spacing(3.0, 2.0), shelter)
    trees = [row for row in rows if row.get("stands") == "shelter"]
    assert [row["number"] for row in rows] == [1, 2, 3, 4, 5, 6]
    assert [(row["number"], row["first"], row["holes"]) for row in trees] == [(3, 1, 7), (6, 8, 7)]
    assert {(row["species"], row["goes"]) for row in trees} == {("pigeon pea", 3)}
    assert [row["first"] for row in rows if row not in trees] == [1, 14, 27, 40]


def test_a_shelter_row_without_distances_has_as_many_trees_as_the_row_before() -> None:
    rows = laid_out.typed((5,), None, Shelter(1, 1.0))
    assert rows[1] == {"number": 2, "first": 1, "holes": 5, "stands": "shelter"}


# Plants per hectare in print: see tests/science/test_geometry.py for the sources.
@pytest.mark.parametrize(
    ("spacing", "plants"),
    [
        (Spacing(4.0, 2.0), 1250),
        (Spacing(2.0, 2.0), 2500),
        (Spacing(1.5, 1.5), 4444),
        (Spacing(3.0, 3.0), 1111),
        (Spacing(9.0, 9.0, "triangular"), 142),
        (Spacing(1.0, 3.0, "double", 1.0), 5000),
        (Spacing(2.0, 2.0, "double"), 2500),
    ],
)
def test_distances_give_the_printed_plants_per_hectare(spacing: Spacing, plants: int) -> None:
    assert int(spacing.per_hectare()) == plants


def test_an_outline_is_filled_with_straight_rows_that_keep_their_ends_alone() -> None:
    body = laid_out.asked(asked(outline={"type": "Feature", "geometry": SQUARE}), 18.0)
    assert {len(row["path"]) for row in body["rows"] if row["holes"] > 1} == {4}
    assert sum(row["holes"] for row in body["rows"]) == pytest.approx(450, rel=0.06)
    assert body["area_m2"] == pytest.approx(3600, rel=1e-3)
    assert body["painted_end"] == pytest.approx(list(STAKE))
    assert len(body["outline"]) == 10


def test_rows_begin_at_the_painted_end_that_is_given() -> None:
    body = laid_out.asked(asked(outline=SQUARE, painted_end=place(60, 60)), None)
    first = body["rows"][0]["path"]
    assert -30 <= first[0] <= 0
    assert -30 <= first[1] <= 0
    assert first[3] < -400


def test_shelter_rows_come_between_the_rows_of_the_ground() -> None:
    body = laid_out.asked(asked(outline=SQUARE, shelter_every=3, species="gliricidia"), None)
    stands = [row.get("stands", "crop") for row in body["rows"][:8]]
    assert stands.count("shelter") == 2
    assert stands.index("shelter", stands.index("shelter") + 1) - stands.index("shelter") == 4


def test_bent_rows_keep_every_position() -> None:
    bent = line((0, 20), (30, 30), (60, 20))
    body = laid_out.asked(asked(outline=SQUARE, lines=bent, pattern="contour"), None)
    assert any(len(row["path"]) == 2 * row["holes"] > 4 for row in body["rows"])


@pytest.mark.parametrize(
    ("pattern", "kept"),
    [("contour", "contour"), ("rectangular", "contour"), ("triangular", "triangular")],
)
def test_rows_along_a_contour_line_are_kept_as_such(pattern: str, kept: str) -> None:
    lines = line((0, 20), (60, 20))
    body = laid_out.asked(asked(outline=SQUARE, lines=lines, pattern=pattern, between_m=4.0), None)
    assert body["pattern"] == kept


def test_a_contour_that_is_chosen_needs_its_line() -> None:
    with pytest.raises(Refusal) as refused:
        laid_out.asked(asked(outline=SQUARE, pattern="contour"), None)
    assert refused.value.code == "ground_unreadable"
    typed = laid_out.asked(
        {
            **ASKED,
            "way": "typed",
            "counts": [3],
            "in_row_m": 3.0,
            "between_m": 2.0,
            "pattern": "contour",
        },
        None,
    )
    assert typed["pattern"] == "contour"


def test_terraces_without_an_outline_are_planted_whole() -> None:
    lines = {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "geometry": line((0, 0), (40, 0))},
            {"type": "Feature", "geometry": line((0, 10), (40, 10))},
        ],
    }
    body = laid_out.asked(asked(way="terraces", lines=lines, rows_each=2, between_m=2.0), None)
    assert [row["holes"] for row in body["rows"]] == pytest.approx([11] * 4, abs=7)
    assert body["rows"][0]["path"][:2] == pytest.approx([0, 0], abs=1)
    assert "outline" not in body
    assert "area_m2" not in body


def test_terraces_in_an_outline_are_cut_to_it() -> None:
    wide = line((-30, 10), (90, 10))
    body = laid_out.asked(asked(way="terraces", outline=SQUARE, lines=wide), None)
    assert body["rows"][0]["holes"] in {15, 16}


def test_typed_rows_say_their_distances_where_they_have_some() -> None:
    bare = {**ASKED, "way": "typed", "counts": (3, 3)}
    assert set(laid_out.asked(bare, None)) == {"rows"}
    pairs = {**bare, "in_row_m": 1.0, "between_m": 3.0, "pair_m": 1.0, "pattern": "double"}
    told = laid_out.asked(pairs, None)
    assert (told["between_m"], told["pair_m"], told["pattern"]) == (3.0, 1.0, "double")


def test_a_plan_of_thinnings_may_stand_in_a_layout() -> None:
    read("layout", "b-1", {"rows": [ROW], "thinnings": [{"year": 2, "percent": 100}]})


BOW_TIE = polygon((0, 0), (60, 60), (60, 0), (0, 60))
FLAT = polygon((0, 0), (30, 0), (60, 0))
NO_GEOMETRY = {"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": None}]}
SWAPPED = {"type": "Polygon", "coordinates": [[[18.5, -170.2], [18.6, -170.2], [18.6, -170.1]]]}
TURNED = {"type": "Polygon", "coordinates": [[p[::-1] for p in SQUARE["coordinates"][0]]]}
OPEN_RING = {"type": "Polygon", "coordinates": [SQUARE["coordinates"][0][:3]]}


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"outline": BOW_TIE}, "ground_crosses"),
        ({"outline": FLAT}, "ground_empty"),
        ({"outline": polygon((0, 0), (0, 0), (0, 0))}, "ground_empty"),
        ({"outline": SQUARE, "set_back_m": 40.0}, "ground_empty"),
        ({"outline": SWAPPED}, "ground_swapped"),
        ({"outline": TURNED}, "ground_swapped"),
        ({"outline": SQUARE, "painted_end": [0.0, 45.0]}, "ground_far"),
        ({"outline": SQUARE, "in_row_m": 0.05, "between_m": 0.05}, "ground_crowded"),
        ({"outline": SQUARE, "in_row_m": None}, "ground_unreadable"),
        ({"outline": None}, "ground_unreadable"),
        ({"outline": "Polygon"}, "ground_unreadable"),
        ({"outline": {"type": "FeatureCollection", "features": {}}}, "ground_unreadable"),
        ({"outline": NO_GEOMETRY}, "ground_unreadable"),
        ({"outline": {"type": "Polygon", "coordinates": []}}, "ground_unreadable"),
        ({"outline": {"type": "Polygon", "coordinates": [7]}}, "ground_unreadable"),
        ({"outline": {"type": "Polygon", "coordinates": [[7, 8]]}}, "ground_unreadable"),
        (
            {"outline": {"type": "Polygon", "coordinates": [[[True, 1], [1, 2]]]}},
            "ground_unreadable",
        ),
        (
            {"outline": {"type": "Polygon", "coordinates": [[[999, 1], [1, 2]]]}},
            "ground_unreadable",
        ),
        ({"outline": OPEN_RING}, "ground_unreadable"),
        (
            {"outline": {"type": "FeatureCollection", "features": [SQUARE, SQUARE]}},
            "ground_unreadable",
        ),
        ({"way": "terraces", "outline": SQUARE, "lines": line((0, 90), (60, 90))}, "ground_none"),
        ({"way": "typed", "counts": ()}, "ground_none"),
        (
            {"way": "typed", "counts": (500_000,), "shelter_every": 1, "shelter_m": 1.0},
            "ground_crowded",
        ),
        ({"way": "typed", "counts": (600_000, 600_000)}, "ground_crowded"),
    ],
)
def test_ground_that_cannot_be_laid_out_is_turned_down(more: dict[str, Any], code: str) -> None:
    with pytest.raises(Refusal) as refused:
        laid_out.asked(asked(**more), STAKE[1])
    assert refused.value.code == code


def test_a_dead_shelter_tree_is_no_look_at_nothing() -> None:
    """Rule F-15."""
    at = datetime(2032, 9, 13, 8, tzinfo=UTC)
    for position, doubts in (("S4", 0), ("4", 1)):
        seen = (Seen(Name(position), Standing.DEAD, "drought"),)
        look = Told("e-1", at, "", Surveyed(Name("b-1"), seen, Name("2")))
        assert len(occupants("b-1", [look], datetime.date).doubts) == doubts


ROW = {"number": 1, "first": 1, "holes": 3}
NEXT = {"number": 2, "first": 4, "holes": 3}


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"rows": [ROW, {**NEXT, "number": 1}]}, "rows.number"),
        ({"rows": [ROW, {**NEXT, "first": 3}]}, "rows.first"),
        ({"rows": [{**ROW, "path": [1, 2, 3]}]}, "rows.path"),
        ({"rows": [ROW], "meant": [{"batch": "b", "first": 3, "last": 1}]}, "meant.last"),
        (
            {
                "rows": [ROW],
                "meant": [
                    {"batch": "b", "first": 1, "last": 2},
                    {"batch": "c", "first": 2, "last": 3},
                ],
            },
            "meant.first",
        ),
        ({"rows": [ROW], "thinnings": [{"year": 2, "percent": 101}]}, "thinnings.percent"),
        ({"rows": [ROW], "in_row_m": 0}, "in_row_m"),
        ({"rows": [ROW], "painted_end": [1.0]}, "painted_end"),
        ({"rows": [ROW], "outline": [1.0]}, "outline"),
        ({"rows": [ROW], "since": "2032-01-01", "until": "2031-01-01"}, "until"),
    ],
)
def test_a_layout_that_contradicts_itself_is_turned_down(body: dict[str, Any], field: str) -> None:
    """Rules F-14, F-17."""
    with pytest.raises(RowImpossible) as refused:
        read("layout", "b-1", body)
    assert refused.value.params["field"] == field


def test_shelter_and_crop_may_share_their_numbers() -> None:
    read("layout", "b-1", {"rows": [ROW, {**ROW, "number": 2, "stands": "shelter"}]})


def told(body: dict[str, Any]) -> list[dict[str, Any]]:
    layout: Any = read("layout", "b-1", body)
    return list(positions.told(layout, {}, {}, {"b-t1": "T1"}))


def test_positions_lie_where_the_ground_has_them() -> None:
    row = {**ROW, "path": [0, 0, 60, 0]}
    bent = {**NEXT, "path": [0, 20, 30, 30, 60, 20]}
    meant = [{"batch": "b-t1", "first": 1, "last": 2}, {"batch": "b-x", "first": 4, "last": 4}]
    some = told({"rows": [row, bent], "painted_end": list(STAKE), "meant": meant})
    assert [one["position"] for one in some] == ["1", "2", "3", "4", "5", "6"]
    assert [one["meant"] for one in some] == ["T1", "T1", None, "b-x", None, None]
    east = [Plane(STAKE).metres((one["longitude"], one["latitude"])) for one in some]
    wanted = [(0, 0), (3, 0), (6, 0), (0, 2), (3, 3), (6, 2)]
    assert [x for place in east for x in place] == pytest.approx(
        [x for place in wanted for x in place], abs=0.02
    )


def test_positions_that_were_typed_have_no_place_on_earth() -> None:
    made = positions.as_geojson(iter(told({"rows": [ROW]})))
    assert [one["geometry"] for one in made["features"]] == [None, None, None]
