"""Shelter trees by row: how many stand, what took the others, what thinning took (rule F-32)."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.field import trees
from nursery.domain.field.trees import TreeRow
from nursery.domain.kinds.field import Standing
from nursery.domain.occupants import Field, Occupant, Sight
from tests.domain.house import House, day, instant

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/trees.json").read_text("utf-8"))
CASES: dict[str, Any] = VECTORS["cases"]


def house(told: list[Any]) -> House:
    found = House()
    found.row("place", "tr4", {"name": "Terrace 4", "kind": "terrace"})
    found.row("layout", "tr4", {"rows": VECTORS["rows"]})
    for on, kind, about, body in told:
        found.add(kind, about, f"{on} 08:00", body)
    return found


def rows(found: House) -> tuple[TreeRow, ...]:
    book = found.book()
    return trees.of_block(book.row("layout", "tr4"), book)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_what_stands_of_each_row(case: dict[str, Any]) -> None:
    """Rule F-32."""
    assert [one.as_json() for one in rows(house(case["told"]))] == case["rows"]


def test_a_record_about_block_and_row_tells_once() -> None:
    found = house([])
    body = {"block": "tr4", "rows": ["2"], "percent": 50}
    found.add("thinned", ("tr4", "tr4.2"), "2034-10-01 08:00", body)
    assert rows(found)[0].standing == 15


def test_one_that_was_withdrawn_took_nothing() -> None:
    found = house([])
    body = {"block": "tr4", "rows": ["2"], "percent": 50}
    wrong = found.add("thinned", "tr4", "2034-10-01 08:00", body)
    found.add("withdrawn", "tr4", "2034-10-02 08:00", {}, corrects=wrong)
    assert rows(found)[0].standing == 30


looks = st.tuples(
    st.integers(1, 30).map(lambda n: f"S{n}"), st.sampled_from(["alive", "dead", "missing"])
)
steps = st.lists(st.one_of(looks, st.floats(0.5, 100)), max_size=25)


@given(some=steps)
def test_planted_are_standing_and_lost_and_felled(some: list[Any]) -> None:
    """Rule F-32: unless more are told of as lost than thinning had left, and then none stands."""
    told = []
    for one in some:
        if isinstance(one, float):
            body: dict[str, Any] = {"block": "tr4", "rows": ["2"], "percent": one}
            told.append(("2034-10-01", "thinned", "tr4", body))
        else:
            seen = [{"position": one[0], "state": one[1]}]
            body = {"block": "tr4", "row": "2", "seen": seen}
            told.append(("2034-10-01", "surveyed", "tr4.2", body))
    row = rows(house(told))[0]
    taken = sum(one.trees for one in row.felled)
    assert all(one.trees >= 0 for one in row.felled)
    assert 0 <= row.standing <= row.planted
    assert row.standing == max(0, row.planted - row.lost - taken)


def plant(position: str, state: Standing, cause: str | None) -> Occupant:
    sight = Sight(day("2034-10-01"), state, cause, "e-1")
    at = instant("2032-03-12 08:00")
    return Occupant(position, "t1", day("2032-03-12"), "e-0", True, at, (sight,))


def test_felling_harms_plants_of_the_crop_and_takes_some() -> None:
    some = [
        plant("1", Standing.ALIVE, "felling"),
        plant("2", Standing.DEAD, "felling"),
        plant("3", Standing.ALIVE, None),
        plant("4", Standing.DEAD, "drought"),
    ]
    told = Field({one.position: (one,) for one in some})
    assert trees.crop_harmed(told) == {"harmed": 1, "lost": 1}
