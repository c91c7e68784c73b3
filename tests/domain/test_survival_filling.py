"""Which gaps are filled: the cases that the phone's twin is held to as well."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from nursery.domain.field import plan
from nursery.domain.field.filling import filling
from nursery.domain.kinds.field import Standing
from nursery.domain.occupants import Field, Occupant, Sight
from nursery.domain.reference import read
from nursery.domain.reference.layouts import Layout, Rule
from tests.domain.house import day, instant

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/filling.json").read_text("utf-8"))
PLANTED = instant("2032-03-12 08:00")
DEAD = Sight(day("2032-09-13"), Standing.DEAD, None, "e-9")
ALIVE = Sight(day("2033-03-13"), Standing.ALIVE, None, "e-10")


def occupants(name: str, case: dict[str, Any]) -> tuple[Occupant, ...]:
    first = Occupant(name, "t1", day("2032-03-12"), "e-1", first=True, at=PLANTED)
    if name in case["gone"]:
        return (replace(first, seen=(DEAD,)),)
    if name in case["filled"]:
        return (replace(first, seen=(DEAD,)), replace(first, batch="t6", first=False))
    return (first,)


def told(case: dict[str, Any]) -> tuple[Field, Layout]:
    rows = [
        {"number": n, "first": first, "holes": holes}
        for n, (first, holes) in enumerate(case["rows"], start=1)
    ]
    layout = read("layout", "tr5", {"rows": rows})
    assert isinstance(layout, Layout)
    names = [name for row in layout.rows for name in plan.names(row)]
    return Field({name: occupants(name, case) for name in names}), layout


@pytest.mark.parametrize("case", VECTORS.values(), ids=VECTORS.keys())
def test_which_gaps_are_filled(case: dict[str, Any]) -> None:
    """Rules F-7, F-8."""
    field, layout = told(case)
    found = filling(field, plan.places(layout), Rule(case["rule"]), 0)
    assert (list(found.holes), list(found.left)) == (case["holes"], case["left"])


def test_a_gap_that_was_filled_and_counted_since_leaves_the_rest_of_its_group() -> None:
    """Rule F-7."""
    field, layout = told(VECTORS["a group half filled goes on being filled"])
    positions = {
        name: (*some[:-1], replace(some[-1], seen=(ALIVE,))) if len(some) > 1 else some
        for name, some in field.positions.items()
    }
    found = filling(Field(positions), plan.places(layout), Rule.CLUSTERS, 0)
    assert (found.holes, found.left) == (("69", "70"), ())
