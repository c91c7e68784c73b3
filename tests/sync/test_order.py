"""Whatever the order in which entries arrive, and in whatever pushes, the states are the same."""

import json
import random
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from nursery.services import rows
from tests.phone import Phone, Writer
from tests.sync.real import Real

pytestmark = pytest.mark.django_db

NOW = datetime(2040, 1, 1, tzinfo=UTC)
# The folds have tests of their own that try every order; these go through the whole push.
ORDERS = 12
VECTORS = Path(__file__).parent.parent / "vectors" / "folds"
CASES = {
    case["name"]: case
    for file in sorted(VECTORS.glob("*.json"))
    for case in json.loads(file.read_text())
    if case["entries"]
}


def arrive(
    texts: Sequence[str], most: int, places: Sequence[str] = (), growers: Sequence[str] = ()
) -> dict[str, Any]:
    """Push texts in this order, `most` at a time; return the kept states by subject."""
    server = Real(NOW)
    for ident in places:
        rows.put(server.ident, rows.Row("place", ident, None, {"name": "x", "kind": "room"}), NOW)
    for ident in growers:
        body = {"name": "x", "role": "grower"}
        rows.put(server.ident, rows.Row("person", ident, None, body), NOW)
    phone = Phone(Writer("a"), server)
    phone.snapshot()
    for start in range(0, len(texts), most):
        server.push(phone.envelope(texts[start : start + most]))
    return {state["id"]: state for state in server.states()}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_requirement_14_every_order_of_arrival_gives_the_states_of_the_vectors(
    case: dict[str, Any],
) -> None:
    """The vectors that both folds are held to, pushed shuffled and in pieces, some of it twice."""
    texts = [json.dumps(entry) for entry in case["entries"]]
    order = random.Random(case["name"])
    found = []
    for _ in range(2):
        some = order.sample(texts, len(texts)) + order.sample(texts, len(texts) // 2)
        growers = case.get("growers", ())
        found.append(arrive(some, order.randint(1, 12), [*case["places"]], growers))
    assert found[0] == found[1]
    for ident, wanted in (case["batches"] | case["places"]).items():
        assert {name: found[0][ident][name] for name in wanted} == wanted


class Two:
    """Two workers with a phone each, who write about one batch."""

    def __init__(self) -> None:
        self.ann, self.ben = Writer("ann", "p-ann", 1), Writer("ben", "p-ben", 2)
        batch = {"id": "b-1", "label": "T1", "stated": 54}
        self.texts = [
            self.ann.write("received", ["b-1"], {"consignment": "c-1", "batches": [batch]}, NOW)
        ]

    def write(
        self, who: Writer, kind: str, body: dict[str, Any], minutes: float, **more: Any
    ) -> str:
        at = NOW + timedelta(minutes=minutes)
        self.texts.append(who.write(kind, ["b-1"], body, at, **more))
        return str(json.loads(self.texts[-1])["id"])

    def count(self, who: Writer, alive: int, minutes: float, saw: str | None = None) -> str:
        body = {"method": "full", "alive": alive, "saw": saw}
        return self.write(who, "counted", body, minutes)

    def correct(self, who: Writer, lost: int, original: str, saw: str, minutes: float) -> str:
        body = {"count": lost, "fate": "died", "saw": saw}
        return self.write(who, "lost", body, minutes, corrects=original)

    def lose(self, who: Writer, lost: int, minutes: float) -> str:
        return self.write(who, "lost", {"count": lost, "fate": "died"}, minutes)

    def states(self) -> list[dict[str, Any]]:
        """Return the batch's state after many orders of arrival, one entry in a push."""
        orders = [*permutations(self.texts)]
        some = random.Random(1).sample(orders, min(ORDERS, len(orders)))
        return [arrive(order, 1)["b-1"] for order in some]


def open_codes(state: dict[str, Any]) -> list[str]:
    return [doubt["code"] for doubt in state["doubts"] if doubt["settled_by"] is None]


def test_requirement_15_two_counts_made_apart_that_differ_open_one_disagreement() -> None:
    two = Two()
    two.count(two.ann, 54, 10)
    two.count(two.ben, 53, 20)
    for state in two.states():
        assert open_codes(state).count("disagreement") == 1
        assert state["alive"] == 53


@pytest.mark.parametrize("alive", [54, 53])
def test_requirement_15_a_count_that_saw_the_other_opens_none(alive: int) -> None:
    """A recount, with signal or without: what its maker had on screen stands in the entry."""
    two = Two()
    first = two.count(two.ann, 54, 10)
    two.count(two.ben, alive, 20, saw=first)
    for state in two.states():
        assert "disagreement" not in open_codes(state)
        assert state["alive"] == alive


def test_requirement_15_two_counts_made_apart_that_agree_open_none() -> None:
    two = Two()
    two.count(two.ann, 54, 10)
    two.count(two.ben, 54, 20)
    assert all("disagreement" not in open_codes(state) for state in two.states())


def test_requirement_15_two_counts_hours_apart_are_no_disagreement() -> None:
    two = Two()
    two.count(two.ann, 54, 10)
    two.count(two.ben, 53, 10 + 5 * 60)
    assert all("disagreement" not in open_codes(state) for state in two.states())


def test_requirement_16_two_corrections_made_apart_are_contested_and_never_add_up() -> None:
    two = Two()
    two.count(two.ann, 54, 1)
    loss = two.lose(two.ann, 3, 10)
    two.correct(two.ann, 2, loss, loss, 20)
    two.correct(two.ben, 4, loss, loss, 30)
    for state in two.states():
        assert open_codes(state).count("contested") == 1
        assert state["alive"] == 50


def test_requirement_16_a_correction_that_saw_the_other_is_not_contested() -> None:
    two = Two()
    two.count(two.ann, 54, 1)
    loss = two.lose(two.ann, 3, 10)
    second = two.correct(two.ann, 2, loss, loss, 20)
    two.correct(two.ben, 4, loss, second, 30)
    for state in two.states():
        assert "contested" not in open_codes(state)
        assert state["alive"] == 50


def test_requirement_16_a_withdrawn_loss_can_be_corrected_back() -> None:
    two = Two()
    two.count(two.ann, 54, 1)
    loss = two.lose(two.ann, 3, 10)
    gone = two.write(two.ben, "withdrawn", {"saw": loss}, 20, corrects=loss)
    two.correct(two.ann, 3, loss, gone, 30)
    for state in two.states():
        assert "contested" not in open_codes(state)
        assert state["alive"] == 51


def test_requirement_16_a_correction_before_its_original_waits_for_it() -> None:
    two = Two()
    two.count(two.ann, 54, 1)
    loss = two.lose(two.ann, 3, 10)
    two.correct(two.ann, 1, loss, loss, 20)
    original = two.texts.pop(2)
    states = two.states()
    assert all("correction_without_original" in open_codes(state) for state in states)
    two.texts.append(original)
    for state in two.states():
        assert "correction_without_original" not in open_codes(state)
        assert state["alive"] == 53


# What may be told after the release of a batch, when it happened, and whether it shuts something.
FIND = ("found", {"suspicion": True, "symptom": "black spots", "plants": 1})
LOSS = ("lost", {"count": 2, "fate": "died"})
AFTERMATH = {
    "a find that happened before the release": (FIND, -60, "before_release"),
    "a find that happened after it": (FIND, 60, None),
    "a loss before it, so that the notice says another figure": (LOSS, -60, "released_differs"),
    "a loss after it": (LOSS, 60, None),
}


@pytest.mark.parametrize(("told", "minutes", "code"), AFTERMATH.values(), ids=AFTERMATH.keys())
def test_requirement_17_what_comes_late_about_a_release_is_doubted_and_the_release_stands(
    told: tuple[str, dict[str, Any]], minutes: int, code: str | None
) -> None:
    two = Two()
    two.count(two.ann, 54, 1)
    body = {
        "notice": "RN-1", "count": 54, "plants": [{"id": "b-1", "count": 54}],
        "conditions": "none", "photo": "f-1",
    }  # fmt: skip
    release = two.write(two.ann, "released", body, 24 * 60)
    two.write(two.ben, *told, 24 * 60 + minutes)
    for state in two.states():
        assert state["released"]["entry"] == release
        blocking = [doubt["code"] for doubt in state["doubts"] if doubt["weight"] == "blocking"]
        about_release = {"before_release", "released_differs"} & {*blocking}
        assert about_release == ({code} if code else set())
