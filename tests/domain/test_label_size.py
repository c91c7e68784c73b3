"""The labels of a nursery: how many lie on a sheet and where, and what lies on none."""

import json
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import reference
from nursery.domain.errors import Refusal
from nursery.domain.reference import LabelSize, Nursery

VECTORS = Path(__file__).parents[1] / "vectors"
CASES = json.loads((VECTORS / "label-sizes.json").read_text(encoding="utf-8"))


def size(**label: Any) -> LabelSize:
    row = reference.read("nursery", "n", {"name": "Veshmere", "zone": "UTC", "label": label})
    assert isinstance(row, Nursery)
    return row.label


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_as_many_labels_lie_on_a_sheet_as_its_vector_says(case: dict[str, Any]) -> None:
    found = size(**case["label"])
    assert (found.across, found.down) == (case["across"], case["down"])


def test_a_nursery_that_names_no_size_has_twenty_four_labels_on_a_sheet() -> None:
    row = reference.read("nursery", "n", {"name": "Veshmere", "zone": "UTC"})
    assert isinstance(row, Nursery)
    assert (row.label.across, row.label.down, row.label.on_sheet) == (3, 8, 24)
    assert list(row.label.corners())[:4] == [(0, 0.5), (70, 0.5), (140, 0.5), (0, 37.5)]


# By hand: across x down, then the corners of the second label and of the first of the second row.
SIZES: dict[str, tuple[dict[str, Any], tuple[int, int], tuple[float, float]]] = {
    "in the middle of a letter sheet": (
        {"width_mm": 101.6, "height_mm": 50.8, "stock": "letter"},
        (2, 5),
        (107.95, 63.5),
    ),
    "with margins and a gap": (
        {"width_mm": 60, "height_mm": 40, "left_mm": 10, "top_mm": 8.5, "gap_across_mm": 5},
        (3, 7),
        (75, 48.5),
    ),
    "fewer than would fit": (
        {"width_mm": 60, "height_mm": 40, "columns": 2, "rows": 3, "gap_down_mm": 10},
        (2, 3),
        (105, 128.5),
    ),
}


@pytest.mark.parametrize(("label", "many", "corner"), SIZES.values(), ids=SIZES.keys())
def test_labels_lie_in_rows_from_the_upper_left(
    label: dict[str, Any], many: tuple[int, int], corner: tuple[float, float]
) -> None:
    found = size(**label)
    corners = list(found.corners())
    assert ((found.across, found.down), len(corners)) == (many, found.on_sheet)
    assert (corners[1][0], corners[many[0]][1]) == pytest.approx(corner)


def test_a_roll_has_one_label_as_large_as_itself() -> None:
    roll = size(width_mm=60, height_mm=40, stock="roll", columns=3)
    assert (roll.paper, roll.on_sheet, list(roll.corners())) == ((60, 40), 1, [(0, 0)])


WRONG = {
    "narrower than a code": ({"width_mm": 20.9}, "row_unreadable", "label.width_mm"),
    "higher than any sheet": ({"height_mm": 301}, "row_unreadable", "label.height_mm"),
    "a width in words": ({"width_mm": "70"}, "row_unreadable", "label.width_mm"),
    "a gap below zero": ({"gap_across_mm": -1}, "row_unreadable", "label.gap_across_mm"),
    "a margin in words": ({"left_mm": "5"}, "row_unreadable", "label.left_mm"),
    "a sheet that no printer takes": ({"stock": "a9"}, "row_unreadable", "label.stock"),
    "without room for a word": (
        {"width_mm": 39, "height_mm": 30},
        "row_impossible",
        "label.width_mm",
    ),
    "wider than its sheet": ({"width_mm": 211}, "row_impossible", "label.width_mm"),
    "higher than its sheet": ({"height_mm": 298}, "row_impossible", "label.height_mm"),
    "beyond the margin": ({"left_mm": 145}, "row_impossible", "label.width_mm"),
    "one column too many": ({"columns": 4}, "row_impossible", "label.columns"),
    "no column": ({"columns": 0}, "row_impossible", "label.columns"),
    "one row too many": ({"rows": 9}, "row_impossible", "label.rows"),
    "rows pushed off by their margin": ({"rows": 8, "top_mm": 10}, "row_impossible", "label.rows"),
}


@pytest.mark.parametrize(("label", "code", "field"), WRONG.values(), ids=WRONG.keys())
def test_a_size_that_cannot_be_printed_is_turned_down_by_name(
    label: dict[str, Any], code: str, field: str
) -> None:
    """Rule R-4."""
    with pytest.raises(Refusal) as refused:
        size(**label)
    assert (refused.value.code, refused.value.params["field"]) == (code, field)


def test_a_roll_may_be_larger_than_any_sheet() -> None:
    assert size(width_mm=100, height_mm=300, stock="roll").on_sheet == 1
