"""Which counts made apart disagree, by the vectors that the phone is held to as well."""

import json
from pathlib import Path
from random import Random
from typing import Any

import pytest

from nursery.domain import entry, fold

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parents[1] / "vectors/apart.json").read_text(encoding="utf-8")
)

# By hand: of each case that is not drawn by chance, how many pairs of counts stay open.
BY_HAND = {
    "one count that saw the morning's": 0,
    "two apart that agree": 0,
    "two apart that differ": 1,
    "two apart that saw nothing": 2,
    "a recount that saw": 0,
    "the earlier by order saw the later": 0,
    "settled by who saw the later": 0,
    "settled by who saw the earlier": 0,
    "settled with a third figure": 0,
    "who saw the earlier and differs from the later": 1,
    "a third who saw neither": 1,
    "four hours apart are two counts": 0,
    "four hours and not a millisecond more are one telling": 1,
    "what died between two counts is no disagreement": 0,
    "a corrected count saw what its original saw": 0,
    "an estimate neither disagrees nor ends a disagreement": 1,
    "settled with a reason": 0,
    "one of two taken back": 0,
    "a correction whose record is not there counts as it stands": 1,
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_counts_made_apart_disagree_as_their_vector_has_it(case: dict[str, Any]) -> None:
    """Rules L-5 and L-6, whatever arrives first."""
    read = [entry.read(raw) for raw in case["entries"]]
    for arrival in (read, read[::-1], Random(1).sample(read, len(read))):
        doubts = fold.batch("t5", arrival).doubts
        found = [one.id for one in doubts if one.code == "disagreement" and not one.settled_by]
        assert found == case["open"]


def test_the_cases_of_the_vectors_were_worked_out_by_hand() -> None:
    told = {case["name"]: len(case["open"]) for case in CASES if "drawn" not in case["name"]}
    assert told == BY_HAND
