"""A trace through the API: from whatever is suspect to everything that may be of it."""

import json
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


SUSPECT = ["batch:b-t2", "batch:b-t5"]
CALL = {
    "of": SUSPECT,
    "reference": "CALL-13-9",
    "asked_by": "Sarrow plant health",
    "reason": "the budwood behind trays T2 and T5 is suspect",
}


def post(cast: Cast, path: str, body: object) -> Any:
    return cast.grower.post(f"/api/v1/{path}", json.dumps(body), content_type="application/json")


def answer_of(cast: Cast, act: str, batch: str) -> str:
    told = cast.grower.get("/api/v1/may", {"act": act, "subject": batch}).json()
    return str(told["answer"])


def test_one_act_holds_what_stands_in_the_nursery_and_in_the_field(cast: Cast) -> None:
    """Rule N-6: no cuttings and no sending, from a batch that is all planted as well."""
    assert "b-u" in {one["id"] for one in cast.grower.get("/api/v1/batches").json()["items"]}
    answer = post(cast, "trace/hold", CALL)
    assert (answer.status_code, answer.json()) == (201, {"batches": ["b-t2", "b-t5", "b-u"]})
    told = traced(cast, *SUSPECT)
    for batch in ("b-t2", "b-t5", "b-u"):
        [hold] = told["held"][batch]
        assert (hold["reference"], hold["paper"]) == ("CALL-13-9", False)
        for act in ("taking", "sending"):
            assert answer_of(cast, act, batch) != "yes"
    assert [one["asked_by"] for one in told["calls"]] == ["Sarrow plant health"]
    planted_out = cast.grower.get("/api/v1/batches/b-u").json()
    assert (planted_out["alive"], planted_out["closed"]) == (0, False)
    assert list(planted_out["holds"]) == ["CALL-13-9"]
