"""The advice on toughening by the vectors that the phone is held to as well (rules U-1 to U-5)."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.program import Limits, Program, Step, Wind
from nursery.domain.toughening import Seen, Sky, Standing, advise
from tests.domain import toughened_scenes

FILE = Path(__file__).parents[1] / "vectors" / "toughening.json"
CASES: list[dict[str, Any]] = json.loads(FILE.read_text(encoding="utf-8"))


def program(raw: dict[str, Any]) -> Program:
    steps = tuple(
        Step(
            Name(one["id"]),
            one["shade_percent"],
            Count(one["days"]),
            one["sun_hours"],
            one["water_every_days"],
            Wind(one["wind"]),
            one["feed"],
            tuple(one["checks"]),
        )
        for one in raw["steps"]
    )
    return Program(Name("p"), "P", steps, "vectors", Limits(**raw["limits"]))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_advice_is_that_of_the_vector(case: dict[str, Any]) -> None:
    steps, seen = program(case["program"]), case["seen"]
    sky: dict[str, Any] = {
        name: tuple(said) if isinstance(said, list) else said for name, said in case["sky"].items()
    }
    found = advise(
        steps,
        Standing(case["at"], date.fromisoformat(case["since"])),
        date.fromisoformat(case["today"]),
        Seen(**{**seen, "checks": frozenset(seen["checks"])}),
        Sky(**sky),
    )
    assert {
        "doing": found.doing.value,
        "step": steps.place(found.to.id),
        "reasons": json.loads(json.dumps([one.as_json() for one in found.reasons])),
        "on": None if found.on is None else found.on.isoformat(),
    } == case["advice"]


def test_the_stored_records_of_phones_lead_where_the_office_says_now() -> None:
    """Rules U-5, U-8 and U-9."""
    assert toughened_scenes.FILE.read_text(encoding="utf-8") == toughened_scenes.text(), (
        "python -m tests.domain.toughened_scenes"
    )
