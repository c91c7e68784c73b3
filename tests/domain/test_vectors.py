"""The vectors that both folds are held to: entries in, the phone's part of the state out.

Besides the comparison with the stored states, the figures of the vectors stand here once more as
they were worked out by hand, and each ledger is added up apart from the code that keeps it.
"""

import json
from itertools import permutations
from pathlib import Path
from random import Random
from typing import Any

import pytest

from nursery.domain import entry, fold, kinds
from nursery.domain.kinds.common import Unread

VECTORS = Path(__file__).parents[1] / "vectors"
CASES: list[dict[str, Any]] = [
    case
    for file in sorted((VECTORS / "folds").glob("*.json"))
    for case in json.loads(file.read_text(encoding="utf-8"))
]
each_case = pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
ENTRIES = sorted((VECTORS / "entries").glob("*.json"))

# By hand: case -> batch -> (alive, in, open difference).
BY_HAND: dict[str, dict[str, tuple[int | None, int, int]]] = {
    "an arrival without a count has no living figure": {"t5": (None, 0, 0)},
    "one loss": {"t5": (50, 54, 0)},
    "a loss sent twice counts once": {"t5": (50, 54, 0)},
    "a loss before the first count is added back to what came in": {"t5": (50, 54, 0)},
    "a corrected loss replaces the first": {"t5": (53, 54, 0)},
    "of two corrections made apart the greater id stands and they never add up": {
        "t5": (50, 54, 0)
    },
    "a correction may change the moment": {"t5": (54, 56, 0)},
    "more lost than lived shows below zero": {"t5": (-2, 48, 0)},
    "culled, sampled, destroyed and stolen each have their line": {"t5": (44, 54, 0)},
    "a withdrawn loss never happened": {"t5": (54, 54, 0)},
    "a withdrawn loss can be corrected back": {"t5": (52, 54, 0)},
    "of two counts made apart the later by order is the figure": {"t3": (53, 54, 1)},
    "a recount that saw the count simply supersedes": {"t3": (52, 54, 2)},
    "an estimate overrules no count": {"t5": (54, 54, 0)},
    "an estimate opens an account that nobody counted": {"t5": (47, 50, 0)},
    "the first count after an estimate opens the account again": {"t5": (51, 54, 0)},
    "a difference put down to a fate": {"t5": (52, 54, 0)},
    "a difference put down before the count that opens the account": {"t5": (52, 54, 0)},
    "a difference of too many put down to a fate": {"t5": (54, 54, 0)},
    "a difference accepted as it is stays in sight": {"t5": (52, 54, 2)},
    "stock taken on by estimate is opened again by its first count": {"k1": (118, 123, 0)},
    "seed sown has no plants until it comes up": {"s1": (77, 80, 0)},
    "seed of which nothing is up yet is not closed": {"s1": (None, 0, 0)},
    "a seedbed counted with nothing up is not closed": {"s1": (0, 0, 0)},
    "seed thrown away before any came up is closed": {"s1": (0, 0, 0)},
    "no more come up than were sown": {"s1": (45, 40, -5)},
    "a split balances in parent and children": {"t5": (20, 54, 0), "t5b": (34, 0, 0)},
    "a split that does not add up leaves the difference with the parent": {
        "t5": (20, 54, 1),
        "t5b": (33, 0, 0),
    },
    "labels lost: eight pots of two possible parents": {
        "t3": (48, 53, 0),
        "t5": (43, 46, 0),
        "u": (8, 0, 0),
    },
    "a parent named twice is one parent, and a batch is none of its own": {"q1": (70, 60, 0)},
    "joined into a batch that nobody counted yet": {"t3": (0, 20, 0), "t5": (50, 30, 0)},
    "sent out and come back": {"t5": (30, 54, 0)},
    "planted until none is left": {"t5": (0, 3, 0)},
    "a correction that cannot be read leaves its original standing": {"t5": (51, 54, 0)},
    "a loss counts whoever it was": {"t5": (53, 54, 0)},
    "day 1: 318 counted, 307 alive, 7 dead, 4 sampled": {
        "t1": (53, 54, 0),
        "t2": (53, 54, 0),
        "t3": (53, 54, 0),
        "t4": (54, 54, 0),
        "t5": (50, 54, 0),
        "t6": (44, 48, 0),
    },
    "day 2: 305 alive after the recount of T3": {
        "t1": (53, 54, 0),
        "t2": (53, 54, 0),
        "t3": (53, 54, 0),
        "t4": (54, 54, 0),
        "t5": (48, 54, 0),
        "t6": (44, 48, 0),
    },
}


@each_case
def test_the_fold_gives_what_the_vector_says(case: dict[str, Any]) -> None:
    read = [entry.read(raw) for raw in case["entries"]]
    growers = case.get("growers", ())
    for arrival in (read, read[::-1], Random(1).sample(read, len(read))):
        batches = {name: fold.batch(name, arrival, growers).phone() for name in case["batches"]}
        places = {name: fold.place(name, arrival).phone() for name in case["places"]}
        assert (batches, places) == (case["batches"], case["places"])


@each_case
def test_every_ledger_of_a_vector_adds_up(case: dict[str, Any]) -> None:
    for batch in case["batches"].values():
        terms = dict(batch["ledger"])
        assert terms.pop("in") == sum(terms.values())


@each_case
def test_the_figures_of_a_vector_were_worked_out_by_hand(case: dict[str, Any]) -> None:
    for name, figures in BY_HAND.get(case["name"], {}).items():
        state = case["batches"][name]
        ledger = state["ledger"]
        assert (state["alive"], ledger["in"], ledger["difference"]) == figures


def test_every_figure_by_hand_belongs_to_a_vector() -> None:
    assert set(BY_HAND) <= {case["name"] for case in CASES}


def test_a_small_vector_gives_the_same_in_every_order() -> None:
    small = [case for case in CASES if len(case["entries"]) <= 5]
    assert len(small) > 40
    for case in small:
        read = [entry.read(raw) for raw in case["entries"]]
        for name, state in case["batches"].items():
            assert all(
                fold.batch(name, arrival, case.get("growers", ())).phone() == state
                for arrival in permutations(read)
            )


@pytest.mark.parametrize("file", ENTRIES, ids=lambda file: file.stem)
def test_a_stored_example_is_read_for_ever(file: Path) -> None:
    raw = json.loads(file.read_text(encoding="utf-8"))
    read = entry.read(raw)
    assert file.stem == f"{read.kind}.{read.v}"
    assert type(read.body) is kinds.KINDS[read.kind]
    assert not isinstance(read.body, Unread)
