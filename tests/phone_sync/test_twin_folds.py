"""The phone's fold and the office's give the same bytes, on histories that nobody thought of.

The histories are those of the laws of the fold, as a phone would write them: JSON of a browser has
no 1.0 beside 1, no number that is none, and none beyond 2^53.
"""

import json
import math
import os
import random
import subprocess
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from nursery.domain import entry, fold
from tests.properties.strategies import SUBJECTS, admitted
from tests.steps import FRONTEND

LONG = os.environ.get("NURSERY_TEST_PROFILE") == "long"
HISTORIES = 5000 if LONG else 400
LARGEST = 2**53 - 1
GROWERS = st.sets(st.sampled_from(("w1", "w2")))


def as_written(value: Any) -> Any:
    """Return what a browser's JSON makes of a value."""
    if isinstance(value, float):
        if not math.isfinite(value):
            return None
        return int(value) if value.is_integer() and abs(value) <= LARGEST else value
    if isinstance(value, int) and not isinstance(value, bool):
        return max(-LARGEST, min(LARGEST, value))
    if isinstance(value, dict):
        return {key: as_written(inner) for key, inner in value.items()}
    return [as_written(inner) for inner in value] if isinstance(value, list) else value


def generated() -> list[dict[str, Any]]:
    """Return as many histories as the run asks for, the same in every run."""
    found: list[dict[str, Any]] = []

    @settings(
        max_examples=HISTORIES,
        derandomize=True,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(admitted, GROWERS)
    def gather(history: list[dict[str, Any]], growers: set[str]) -> None:
        entries = [as_written(raw) for raw in history]
        found.append({"entries": entries, "subjects": SUBJECTS, "growers": sorted(growers)})

    gather()
    return found


def expected(history: dict[str, Any]) -> str:
    entries = [entry.read(raw) for raw in history["entries"]]
    growers = set(history["growers"])
    states = [
        {
            "batch": fold.batch(subject, entries, growers).phone(),
            "place": fold.place(subject, entries).phone(),
        }
        for subject in history["subjects"]
    ]
    told = {"read": len(entries), "states": states}
    return json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def test_both_folds_give_the_same_bytes_on_generated_histories() -> None:
    found = generated()
    shuffled = random.Random(1)
    for history in found:
        history["arrival"] = shuffled.sample(history["entries"], len(history["entries"]))
    lines = "".join(
        json.dumps({**history, "entries": history["arrival"]}) + "\n" for history in found
    )
    words = ["node", "tools/run.js", "src/testing/folds.ts"]
    done = subprocess.run(
        words,
        cwd=FRONTEND,
        input=lines,
        capture_output=True,
        text=True,
        check=True,
        timeout=3600 if LONG else 240,
    )
    told = done.stdout.splitlines()
    assert len(told) == len(found) >= HISTORIES // 2
    assert sum(len(history["entries"]) for history in found) > 4 * len(found)
    for history, line in zip(found, told, strict=True):
        assert line == expected(history), json.dumps(history["entries"], indent=1)
