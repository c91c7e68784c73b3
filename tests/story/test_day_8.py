"""Day 8, February and 9 March 2032: toughening, grading, and whether to plant or wait."""

from typing import Any

import pytest

from nursery.ops.demo import names as n
from tests.story.reading import Reading

pytestmark = pytest.mark.django_db


def bodies(reading: Reading, batch: str, kind: str) -> list[dict[str, Any]]:
    return [
        line["entry"]["body"] for line in reading.timelines[batch] if line["entry"]["kind"] == kind
    ]


def test_236_are_alive_on_9_march_by_tray(told: dict[str, Reading]) -> None:
    noon = told["9 March, noon"]
    assert noon.total() == 236 == 241 - 5
    assert noon.alive() == [50, 52, 45, 0, 43, 38]
    assert noon.stock[n.MIXED]["alive"] == 8


def test_the_grades_of_each_tray_are_its_living_plants(told: dict[str, Reading]) -> None:
    noon, evening = told["9 March, noon"], told["evening 8"]
    sums = {"a": 0, "b": 0, "c": 0}
    for pot in n.POTS:
        [grade] = bodies(evening, pot, "graded")
        assert sum(grade.values()) == noon.stock[pot]["alive"]
        sums = {name: plants + grade[name] for name, plants in sums.items()}
    assert sums == {"a": 214, "b": 15, "c": 7}
    assert sum(sums.values()) == 236


def test_what_was_culled_has_left_and_the_account_balances(told: dict[str, Reading]) -> None:
    ledger = told["evening 8"].ledger()
    assert {way: plants for way, plants in ledger.items() if plants and way != "in"} == {
        "alive": 229, "died": 22, "culled": 12, "sampled": 5, "destroyed": 50,
    }  # fmt: skip
    assert ledger["in"] == 318


def test_nothing_of_the_day_needs_a_look(told: dict[str, Reading]) -> None:
    assert told["evening 8"].needs["doubts"] == []
