"""Seed that comes up and grafts that take, counted: 40 of 50 came up, half of them by day 8."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import fold, propagation
from nursery.domain.batch import Batch
from tests.domain.house import ZONE
from tests.domain.pen import Pen

VECTORS: dict[str, list[dict[str, Any]]] = json.loads(
    (Path(__file__).parents[1] / "vectors" / "propagation.json").read_text(encoding="utf-8")
)
BEGAN = datetime(2031, 3, 1, 8, tzinfo=UTC)


def after(days: float) -> str:
    return (BEGAN + timedelta(days=days)).isoformat().replace("+00:00", "Z")


def on(day: int, hour: str = "08:00") -> str:
    return f"2031-03-{day:02d}T{hour}:00Z"


def sown(seeds: int = 50) -> Pen:
    pen = Pen()
    batch = {"id": "t5", "label": "T5", "crop": "mango"}
    pen.write("sown", {"batch": batch, "seeds": seeds}, on(1))
    return pen


def told(pen: Pen) -> Batch:
    return fold.batch("t5", pen.entries)


def germination(pen: Pen) -> dict[str, Any]:
    found = propagation.of_batch(told(pen), ZONE)
    assert found is not None
    figures: dict[str, Any] = found["germination"]
    return figures


def test_of_what_was_not_sown_nothing_is_told() -> None:
    pen = Pen()
    pen.write("counted", {"alive": 5, "method": "full"}, on(1))
    assert propagation.of_batch(told(pen), ZONE) is None
    assert propagation.of_batch(told(sown()), ZONE) is None


def test_germination_is_told_from_running_totals() -> None:
    """Rule K-1."""
    pen = sown()
    for day, total in ((5, 0), (7, 10), (9, 30), (13, 40)):
        pen.write("emerged", {"total": total, "abnormal": total // 20}, on(day))
    figures = germination(pen)
    assert figures == {
        "sown": 50,
        "abnormal": 2,
        "curve": [
            {"day": 4, "total": 0},
            {"day": 6, "total": 10},
            {"day": 8, "total": 30},
            {"day": 12, "total": 40},
        ],
        "percent": 80.0,
        "first_day": 6,
        "last_day": 12,
        "half_day": 7.0,
        "mean_days": 8.5,
    }


def test_a_lower_total_adds_nothing_and_of_a_day_the_later_count_stands() -> None:
    """Rule K-1."""
    pen = sown(20)
    for at, total in ((on(5), 8), (on(5, "10:00"), 9), (on(7), 6), (on(9), 99)):
        pen.write("emerged", {"total": total}, at)
    figures = germination(pen)
    assert [(one["day"], one["total"]) for one in figures["curve"]] == [(4, 9), (6, 9), (8, 20)]
    assert figures["percent"] == 100.0
    assert figures["abnormal"] is None


def test_as_long_as_nothing_came_up_there_is_no_day() -> None:
    pen = sown()
    pen.write("emerged", {"total": 0}, on(9))
    figures = germination(pen)
    assert (figures["percent"], figures["half_day"], figures["mean_days"]) == (0.0, None, None)


def test_of_no_seed_there_is_no_share() -> None:
    pen = sown(0)
    pen.write("emerged", {"total": 3}, on(9))
    assert germination(pen)["percent"] is None


def worked(pen: Pen, plants: int, day: int = 1, **body: Any) -> str:
    return pen.write("worked", {"method": "grafted", "plants": plants, **body}, on(day))


def take(pen: Pen) -> dict[str, Any]:
    found = propagation.of_batch(told(pen), ZONE)
    assert found is not None
    shares: dict[str, Any] = found["take"]
    return shares


def stood(alive: int = 100) -> Pen:
    pen = Pen()
    batch = {"id": "t5", "label": "T5", "crop": "mango"}
    pen.write("taken_on", {"batch": batch, "alive": alive, "method": "full"}, on(1, "06:00"))
    return pen


def test_a_grafting_that_nobody_counted_has_no_share() -> None:
    pen = stood()
    worked(pen, 40)
    assert take(pen) == {"worked": 40, "all": None, "by_rootstock": [], "by_operator": []}


def test_shares_by_diameter_and_by_operator_with_their_intervals() -> None:
    """Rules K-2, K-3."""
    pen = stood()
    thick = worked(pen, 40, operator="w2", rootstock_mm=7)
    thin = worked(pen, 40, 2, operator="w1", rootstock_mm=3.5)
    worked(pen, 20, 3, operator="w1", took=15)
    pen.write("took", {"took": 1, "failed": 39, "graft": thick}, on(20))
    pen.write("took", {"took": 32, "failed": 8, "graft": thick}, on(22))
    pen.write("took", {"took": 20, "failed": 20, "graft": thin}, on(22))
    shares = take(pen)
    assert shares["worked"] == 100
    assert (shares["all"]["took"], shares["all"]["of"], shares["all"]["percent"]) == (67, 100, 67.0)
    assert [(one["name"], one["took"], one["of"]) for one in shares["by_rootstock"]] == [
        ("", 15, 20),
        ("0-4", 20, 40),
        ("6-8", 32, 40),
    ]
    assert [(one["name"], one["took"]) for one in shares["by_operator"]] == [("w1", 35), ("w2", 32)]
    thick_share = shares["by_rootstock"][2]
    assert (thick_share["percent"], thick_share["low"], thick_share["high"]) == (80.0, 65.2, 89.5)


def test_a_count_that_names_no_grafting_is_of_the_last_before_it() -> None:
    """Rule K-2."""
    pen = stood()
    pen.write("took", {"took": 9, "failed": 0}, on(1, "07:00"))
    worked(pen, 10)
    worked(pen, 10, 2)
    pen.write("took", {"took": 6, "failed": 4}, on(20))
    assert [(one.took, one.failed) for one in propagation.grafts(told(pen))] == [
        (None, None),
        (6, 4),
    ]


def test_what_was_taken_from_a_batch_is_no_graft_of_its_own() -> None:
    pen = stood()
    pen.write(
        "worked",
        {"method": "budded", "plants": 10, "scion": "t5"},
        on(2),
        about=("t6", "t5"),
    )
    assert propagation.grafts(told(pen)) == []


def test_where_all_counted_are_none_there_is_no_share() -> None:
    pen = stood()
    graft = worked(pen, 10)
    pen.write("took", {"took": 0, "failed": 0, "graft": graft}, on(20))
    assert take(pen)["all"] is None


@pytest.mark.parametrize(
    ("millimetres", "name"),
    [(0, "0-4"), (3.99, "0-4"), (4, "4-6"), (6, "6-8"), (7.99, "6-8"), (8, "8-"), (None, None)],
)
def test_classes_of_the_diameter(millimetres: float | None, name: str | None) -> None:
    assert propagation.class_of(millimetres) == name


def test_a_count_of_a_grafting_that_was_corrected_stays_with_it() -> None:
    """Rule K-2."""
    pen = stood()
    first = worked(pen, 40)
    pen.write("took", {"took": 30, "failed": 10, "graft": first}, on(20))
    right = {"method": "grafted", "plants": 42}
    pen.write("worked", right, on(1), corrects=first)
    assert [(one.plants, one.took) for one in propagation.grafts(told(pen))] == [(42, 30)]


def test_cuttings_with_roots_are_at_most_those_that_were_set() -> None:
    pen = Pen()
    pen.write("stuck", {"batch": {"id": "t5", "label": "T5"}, "cuttings": 60}, on(1))
    assert propagation.rooted(told(pen)) is None
    pen.write("rooted", {"total": 45, "callused": 5}, on(25))
    pen.write("rooted", {"total": 20}, on(26))
    assert propagation.rooted(told(pen)) == (60, 45)
    pen.write("rooted", {"total": 90}, on(27))
    assert propagation.rooted(told(pen)) == (60, 60)


def test_cuttings_taken_from_a_batch_are_none_of_its_own() -> None:
    pen = stood()
    body = {"batch": {"id": "t6", "label": "T6"}, "cuttings": 60, "parents": ["t5"]}
    pen.write("stuck", body, on(2), about=("t6", "t5"))
    pen.write("rooted", {"total": 5}, on(25))
    assert propagation.rooted(told(pen)) is None


@pytest.mark.parametrize("case", VECTORS["came"], ids=lambda case: case["name"])
def test_the_phone_tells_seed_that_comes_up_as_the_office_does(case: dict[str, Any]) -> None:
    pen = sown(case["sown"])
    for day, total, abnormal in case["counts"]:
        odd = {} if abnormal is None else {"abnormal": abnormal}
        pen.write("emerged", {"total": total, **odd}, after(day))
    came = propagation.came_up(told(pen), ZONE)
    if came is None:
        assert case["told"] is None
        return
    figures = came.as_json()
    assert case["told"] == {
        "curve": [[one["day"], one["total"]] for one in figures["curve"]],
        **{key: figures[key] for key in ("abnormal", "percent")},
        "first": figures["first_day"],
        "last": figures["last_day"],
        "half": figures["half_day"],
    }


@pytest.mark.parametrize("case", VECTORS["take"], ids=lambda case: case["name"])
def test_the_phone_tells_what_took_as_the_office_does(case: dict[str, Any]) -> None:
    pen = stood()
    for i, (plants, operator, mm, took, failed) in enumerate(case["grafts"]):
        who = {} if operator is None else {"operator": operator}
        thick = {} if mm is None else {"rootstock_mm": mm}
        graft = worked(pen, plants, i + 1, **who, **thick)
        if took is not None:
            pen.write("took", {"took": took, "failed": failed, "graft": graft}, after(30 + i))
    shares = take(pen)
    every = shares["all"]
    figures = every and [every[key] for key in ("took", "of", "percent", "low", "high")]
    assert figures == case["all"]
    for key in ("rootstock", "operator"):
        found = [[one["name"], one["took"], one["of"]] for one in shares[f"by_{key}"]]
        assert found == case[key]
