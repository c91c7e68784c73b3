"""A trace through the API: from whatever is suspect to everything that may be of it."""

from typing import Any

import pytest

from nursery.services import clock
from tests.api import trace_scene as scene
from tests.api.conftest import Cast


@pytest.fixture(autouse=True)
def the_call(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: scene.CALLED)
    scene.fill(cast)


def traced(cast: Cast, *of: str) -> Any:
    answer = cast.grower.get("/api/v1/trace", {"of": list(of)})
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_the_suspect_trays_and_the_mixed_pots_are_99_positions_and_a_reserve(cast: Cast) -> None:
    told = traced(cast, "batch:b-t2", "batch:b-t5")
    assert (told["asked"], told["made"]) == (["b-t2", "b-t5"], ["b-u"])
    sums = told["sums"]
    assert (sums["positions"], sums["alive"], sums["gone"]) == (99, 92, 7)
    assert (sums["reserve"], told["reserve"]) == (4, {"b-t2": 2, "b-t5": 2})
    assert (sums["sent"], told["sent"]) == (0, [])
    assert told["ended"]["b-t2"] == {"died": 1, "sampled": 1}
    assert told["names"]["block"] == {"terrace-4": "TR4"}
