"""Crop profiles that growers start from (rules X-1 to X-3)."""

import json
from importlib import resources
from typing import Any

import pytest

from nursery.domain import profiles
from nursery.domain.profiles import Figure, Profile
from nursery.domain.reference.fields import PEST_CODE


def shipped() -> list[dict[str, Any]]:
    text = resources.files("nursery.domain.reference").joinpath("crops.json").read_text("utf-8")
    found: list[dict[str, Any]] = json.loads(text)
    return found


EVERY = [profiles.read(raw) for raw in shipped()]


def changed(**given: Any) -> Profile:
    return profiles.read({**shipped()[0], **given})


def test_thirteen_crops_are_shipped_under_names_of_their_own() -> None:
    assert len({one.id for one in EVERY}) == len(EVERY) == 13


@pytest.mark.parametrize("profile", EVERY, ids=lambda one: one.id)
def test_each_is_whole(profile: Profile) -> None:
    assert {*profile.name} == {"en", "es"}
    assert all(pest.code is None or PEST_CODE.fullmatch(pest.code) for pest in profile.pests)
    assert profile.from_memory > 0
    program = profile.program()
    assert [step.shade_percent for step in program.steps] == [*profile.shade]
    assert all(step.days >= 5 for step in program.steps)


def test_avocado_is_as_the_trade_has_it() -> None:
    # The trade's list of crops, row 1: 50 -> 30 -> 0 % over 6 to 8 weeks, stem of 8 mm, 2 flushes.
    [avocado] = [one for one in EVERY if one.id == "avocado"]
    assert avocado.least["collar_mm"].low == 8
    assert avocado.least["flushes"] == Figure(2, None, "farming magazine on avocado, part 3")
    assert [(s.shade_percent, s.days) for s in avocado.program().steps] == [
        (50, 21),
        (30, 21),
        (0, 21),
    ]
    assert avocado.program().steps[-1].wind == "exposed"
    assert avocado.nursery_weeks.middle == 50


def test_a_figure_without_a_range_is_its_own_middle() -> None:
    assert Figure(3).middle == 3


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"made_by": "magic"}, "made_by"),
        ({"least": {}}, "least"),
        ({"least": {"weight_kg": {"low": 1}}}, "least"),
        ({"shade": [30, 50]}, "shadiest"),
        ({"shade": []}, "at least one"),
        ({"litres": {"low": 3, "high": 2}}, "rise"),
        ({"litres": {"low": -1}}, "0 or more"),
    ],
)
def test_what_cannot_be_is_refused(given: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        changed(**given)
