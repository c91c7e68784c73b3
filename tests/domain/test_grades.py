"""A to plant, B to wait, C culled: 214 + 15 + 7 = 236."""

import json
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import fold, grades
from nursery.domain.batch import Batch
from tests.domain.pen import Pen

VECTORS = Path(__file__).parents[1] / "vectors" / "grades.json"
CASES: list[dict[str, Any]] = json.loads(VECTORS.read_text(encoding="utf-8"))


def stood(alive: int, *, estimated: bool = False) -> Pen:
    pen = Pen()
    pen.write("counted", {"alive": alive, "method": "estimate" if estimated else "full"})
    return pen


def told(pen: Pen) -> Batch:
    return fold.batch("t5", pen.entries)


def doubts(batch: Batch) -> list[dict[str, int]]:
    return [one.params for one in batch.doubts if one.code == "grades_differ"]


def test_nobody_has_graded() -> None:
    assert grades.of_batch(told(stood(50))) is None


@pytest.mark.parametrize(
    ("lost", "left"),
    [
        ([], (43, 5, 2)),
        ([("culled", 2)], (43, 5, 0)),
        ([("culled", 2), ("died", 1)], (43, 4, 0)),
        ([("culled", 2), ("died", 8)], (40, 0, 0)),
    ],
)
def test_of_plants_that_are_lost_since_c_is_the_first_to_be_fewer(
    lost: list[tuple[str, int]], left: tuple[int, int, int]
) -> None:
    """Rules L-14, V-7."""
    pen = stood(50)
    pen.write("graded", {"a": 43, "b": 5, "c": 2}, "09:00")
    for i, (fate, count) in enumerate(lost):
        pen.write("lost", {"count": count, "fate": fate}, f"10:{i:02d}")
    batch = told(pen)
    last = grades.of_batch(batch)
    assert last is not None
    assert (last.a, last.b, last.c) == left
    assert doubts(batch) == []


def test_the_last_grading_counts() -> None:
    pen = stood(8)
    pen.write("graded", {"a": 3, "b": 5, "c": 0}, "09:00")
    second = pen.write("graded", {"a": 8, "b": 0, "c": 0}, "11:00", phone=2)
    last = grades.of_batch(told(pen))
    assert last is not None
    assert last.as_json() == {
        "a": 8,
        "b": 0,
        "c": 0,
        "at": "2031-03-03T11:00:00.000Z",
        "by": "w2",
        "entry": second,
    }


def test_nothing_is_fit_where_nobody_counted() -> None:
    pen = Pen()
    pen.write("graded", {"a": 43, "b": 5, "c": 2})
    batch = told(pen)
    last = grades.of_batch(batch)
    assert last is not None
    assert (last.a, last.b, last.c) == (0, 0, 0)
    assert doubts(batch) == []


@pytest.mark.parametrize(
    ("alive", "estimated", "said"),
    [
        (50, False, []),
        (51, False, [{"graded": 50, "alive": 51}]),
        (49, False, [{"graded": 50, "alive": 49}]),
        (60, True, []),
    ],
)
def test_grades_that_are_not_what_lives_are_kept_and_doubted(
    alive: int, estimated: bool, said: list[dict[str, int]]
) -> None:
    """Rule L-14; an estimate is held to nothing."""
    pen = stood(alive, estimated=estimated)
    pen.write("graded", {"a": 43, "b": 5, "c": 2}, "09:00")
    assert doubts(told(pen)) == said


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_grades_are_those_of_the_vector_that_a_phone_is_held_to(case: dict[str, Any]) -> None:
    """Rules L-14, V-7."""
    pen = Pen() if case["alive"] is None else stood(case["alive"])
    for i, (a, b, c) in enumerate(case["gradings"]):
        pen.write("graded", {"a": a, "b": b, "c": c}, f"09:{i:02d}")
    last = grades.of_batch(told(pen))
    assert (None if last is None else [last.a, last.b, last.c]) == case["left"]
