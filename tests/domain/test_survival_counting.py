"""When survivors are counted, in which rows, and what some rows tell of a block."""

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from nursery.domain.field import counting
from nursery.domain.field.counting import RowCount
from nursery.domain.kinds.field import Standing
from nursery.domain.occupants import Field, Occupant, Sight
from nursery.domain.reference import read
from nursery.domain.reference.layouts import Layout
from tests.domain.house import instant

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/survey.json").read_text("utf-8"))
PLANTED = date(2032, 3, 12)
THREE_WEEKS = timedelta(days=21)


def layout(rows: int, every: int = 1, holes: int = 2) -> Layout:
    some: list[dict[str, Any]] = [
        {"number": n, "first": (n - 1) * holes + 1, "holes": holes} for n in range(1, rows + 1)
    ]
    shelter = {"number": rows + 1, "first": 1, "holes": 9, "stands": "shelter"}
    found = read("layout", "tr5", {"rows": [*some, shelter], "count_every": every})
    assert isinstance(found, Layout)
    return found


@pytest.mark.parametrize("case", VECTORS["sampled"].values(), ids=VECTORS["sampled"].keys())
def test_which_rows_a_count_asks_for(case: dict[str, Any]) -> None:
    """Rule F-10."""
    assert list(counting.sampled(layout(case["rows"], case["every"]))) == case["chosen"]


@pytest.mark.parametrize("case", VECTORS["turns"].values(), ids=VECTORS["turns"].keys())
def test_which_count_is_due_or_comes_next(case: dict[str, Any]) -> None:
    """Rule F-10."""
    planted, today = date.fromisoformat(case["planted"]), date.fromisoformat(case["today"])
    counted = None if case["counted"] is None else date.fromisoformat(case["counted"])
    found = counting.turn(planted, case["months"], counted, today, timedelta(case.get("days", 21)))
    told = found and {"months": found.months, "on": found.on.isoformat(), "due": found.due}
    assert told == case["turn"]


def plant(position: int, *looks: tuple[str, Standing], first: bool = True) -> Occupant:
    seen = tuple(Sight(date.fromisoformat(on), state, None, f"e-{on}") for on, state in looks)
    at = instant("2032-03-12 08:00")
    return Occupant(str(position), "t1", PLANTED, "e-0", first, at, seen)


def field(*plants: Occupant) -> Field:
    return Field({one.position: (one,) for one in plants})


ALIVE, DEAD = Standing.ALIVE, Standing.DEAD


def test_looks_with_a_short_pause_are_one_count() -> None:
    """Rule F-10."""
    assert counting.last_count(field(plant(1)), THREE_WEEKS) is None
    looks = [("2032-06-12", ALIVE), ("2032-09-01", ALIVE), ("2032-09-20", ALIVE)]
    days = counting.last_count(
        field(plant(1, *looks), plant(2, ("2032-10-05", ALIVE))), THREE_WEEKS
    )
    assert days == (date(2032, 9, 1), date(2032, 10, 5))


def test_a_row_is_counted_whole_once_each_plant_that_lived_was_looked_at() -> None:
    """Rule F-11: a plant that was gone before is not looked at again."""
    early, late = "2032-06-12", "2032-09-13"
    told = field(
        plant(1, (early, DEAD)),
        plant(2, (late, ALIVE)),
        plant(3, (early, ALIVE)),
        plant(4, (late, DEAD)),
        plant(5, first=False),
    )
    rows = counting.row_counts(told, layout(3))
    assert rows == (
        RowCount(1, chosen=True, planted=2, alive=1, open=0),
        RowCount(2, chosen=True, planted=2, alive=1, open=1),
        RowCount(3, chosen=True, planted=0, alive=0, open=0),
    )
    assert [row.whole for row in rows] == [True, False, False]
    assert counting.missing(rows) == {2: 1}
    nobody_looked = counting.row_counts(field(plant(1)), layout(1))
    assert nobody_looked == (RowCount(1, chosen=True, planted=1, alive=1, open=1),)


def row(number: int, alive: int, *, chosen: bool = True, open_: int = 0) -> RowCount:
    return RowCount(number, chosen, planted=10, alive=alive, open=open_)


def test_every_row_counted_is_the_count_itself() -> None:
    """Rule F-11."""
    found = counting.estimate([row(1, 9), row(2, 6, chosen=False)])
    assert found is not None
    assert (found.share, found.error, found.low) == (0.75, 0.0, 0.75)


def test_a_row_that_somebody_counted_as_well_says_nothing_of_the_others() -> None:
    """Rule F-11: the worst row was looked at because it was the worst."""
    rows = [
        row(1, 9),
        row(2, 0, chosen=False),
        row(3, 7),
        row(4, 10, chosen=False, open_=10),
        RowCount(5, chosen=True, planted=0, alive=0, open=0),
    ]
    found = counting.estimate(rows)
    assert found is not None
    assert found.share == 0.8
    assert found.error is not None
    # Two of the four rows that are planted: spread 2 between them, over 2 rows and 10 plants.
    assert found.error == pytest.approx((0.5 * 2 / 2) ** 0.5 / 10)


def test_as_long_as_no_row_that_was_asked_for_is_done_nothing_is_estimated() -> None:
    """Rule F-11."""
    assert counting.estimate([row(1, 10, open_=4), row(2, 10, chosen=False)]) is None
