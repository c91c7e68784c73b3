"""What holds of every history: order and repetition change nothing, and nothing raises."""

import json
import sys
from contextlib import suppress
from itertools import pairwise, permutations
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from nursery.domain import entry, fold, kinds
from nursery.domain.doubts import WEIGHTS
from nursery.domain.entry import Entry, Unreadable
from nursery.domain.families import families
from nursery.domain.kinds.common import Withdrawn
from nursery.domain.timeline import standing
from tests.domain.pen import Pen
from tests.properties.strategies import BODIES, SUBJECTS, admitted, histories, json_values


def everything(entries: list[Entry]) -> bytes:
    """Return the states of all subjects, as a batch and as a place, as bytes."""
    states = [
        look(subject, entries).as_json()
        for subject in SUBJECTS
        for look in (fold.batch, fold.place)
    ]
    return json.dumps(states).encode()


# A thousand in CI (sync requirement 14).
MANY = min(5 * settings().max_examples, 5000)


@settings(max_examples=MANY)
@given(histories, st.randoms(use_true_random=False))
def test_no_order_of_arrival_and_no_repetition_changes_a_byte(
    history: list[dict[str, Any]], chance: Any
) -> None:
    """Rules B-1 and B-2 (sync requirement 14); even of two texts under one id."""
    entries = [entry.read(raw) for raw in history]
    again = entries + chance.choices(entries, k=len(entries)) if entries else []
    chance.shuffle(again)
    assert everything(again) == everything(entries)


@given(admitted)
def test_a_fold_says_nothing_that_has_no_weight_and_keeps_its_ledger(
    history: list[dict[str, Any]],
) -> None:
    entries = [entry.read(raw) for raw in history]
    for subject in SUBJECTS:
        state = fold.batch(subject, entries)
        terms = state.ledger.as_json()
        assert terms.pop("in") == sum(terms.values())
        assert {doubt.code for doubt in state.doubts} <= set(WEIGHTS)
        assert len({doubt.id for doubt in state.doubts}) == len(state.doubts)
        assert set(state.settled) >= {d.id for d in state.doubts if d.settled_by is not None}
    families({subject: fold.batch(subject, entries) for subject in SUBJECTS})


@given(json_values)
@example({"id": 5})
def test_any_json_is_an_entry_or_is_none(raw: object) -> None:
    with suppress(Unreadable):
        entry.read(raw)


@given(
    st.sampled_from(sorted(BODIES)), st.dictionaries(st.text(max_size=6), json_values, max_size=4)
)
def test_any_body_is_read_or_kept_unread(kind: str, body: dict[str, Any]) -> None:
    assert kinds.read(kind, 1, body) is not None


@given(st.sampled_from(sorted(BODIES)), st.data())
def test_a_body_that_fits_its_kind_is_read(kind: str, data: st.DataObject) -> None:
    assert type(kinds.read(kind, 1, data.draw(BODIES[kind]))) is kinds.KINDS[kind]


@st.composite
def correction_sets(draw: st.DrawFn) -> list[Entry]:
    """One loss and up to four corrections of it, some of which saw another, some withdrawals."""
    pen = Pen()
    first = pen.lose(1, "09:00")
    known = [first]
    for k in range(draw(st.integers(1, 4))):
        saw = draw(st.sampled_from(known))
        body = {"count": k + 2, "fate": "died", "saw": saw}
        kind = "withdrawn" if draw(st.booleans()) else "lost"
        known.append(pen.write(kind, body, "09:00", corrects=first, phone=k % 3 + 1))
    return pen.entries


@given(correction_sets())
def test_the_greatest_id_of_a_line_stands_in_every_order(entries: list[Entry]) -> None:
    """Rules B-3, B-4 and B-6 (sync requirement 16)."""
    last = max(entries, key=lambda e: e.id)
    apart = [later.id for earlier, later in pairwise(entries[1:]) if later.saw != earlier.id]
    for arrival in permutations(entries):
        told = standing(arrival)
        expected = [] if isinstance(last.body, Withdrawn) else [last.body]
        assert [e.body for e in told.entries] == expected
        assert [doubt.entries[-1] for doubt in told.doubts] == apart
        assert {doubt.code for doubt in told.doubts} <= {"contested"}


@st.composite
def households(draw: st.DrawFn) -> tuple[list[Entry], dict[str, int], int]:
    """Trays that lose plants, are counted, split, joined and mixed, and what is really in them."""
    pen = Pen()
    real = {}
    for name in ("a", "b", "c"):
        real[name] = draw(st.integers(0, 30))
        pen.arrive(name, alive=real[name])
    came_in = sum(real.values())
    for hour in range(10, 10 + draw(st.integers(0, 8))):
        way = draw(st.sampled_from(("lost", "counted", "split", "mixed", "joined")))
        parents = draw(st.permutations(sorted(real)))[
            : 1 if way in ("lost", "counted", "split") else 2
        ]
        if way == "counted":
            pen.count(real[parents[0]], f"{hour}:00", about=(parents[0],), saw=pen.entries[-1].id)
        elif way == "lost":
            dead = draw(st.integers(0, real[parents[0]]))
            real[parents[0]] -= dead
            pen.lose(dead, f"{hour}:00", about=(parents[0],))
        else:
            given_by = {name: draw(st.integers(0, real[name])) for name in parents}
            child = draw(st.sampled_from([*(n for n in real if n not in parents), f"new-{hour}"]))
            for name, plants in given_by.items():
                real[name] -= plants
            real[child] = real.get(child, 0) + sum(given_by.values())
            body = {
                "parents": [{"id": name, "left": real[name]} for name in parents],
                "children": [{"id": child, "label": child, "count": sum(given_by.values())}],
            }
            pen.write(way, body, f"{hour}:00", about=(*parents, child))
    return pen.entries, real, came_in


@given(households())
def test_a_group_with_all_its_parents_and_children_balances(
    household: tuple[list[Entry], dict[str, int], int],
) -> None:
    """Rules L-3, L-4 and L-11: what was written truly leaves no difference anywhere."""
    entries, real, came_in = household
    states = {name: fold.batch(name, entries) for name in real}
    assert {name: state.alive for name, state in states.items()} == real
    assert [doubt.code for state in states.values() for doubt in state.doubts] == []
    groups = families(states)
    for family in groups:
        assert (family.ledger.difference, family.doubts) == (0, ())
    alone = set(states) - {name for family in groups for name in family.batches}
    ledgers = [family.ledger for family in groups] + [states[name].ledger for name in alone]
    assert sum(ledger.came_in for ledger in ledgers) == came_in


HISTORIES = {
    "counts made apart": lambda k: ("counted", {"method": "full", "alive": k % 7, "saw": None}),
    "counts that saw something else": lambda k: (
        "counted",
        {"method": "full", "alive": k % 7, "saw": f"01c16e89-2e80-7000-8001-{k:012x}"},
    ),
    "finds and releases": lambda k: (
        ("found", {"suspicion": True})
        if k % 2
        else ("released", {"notice": f"RN-{k}", "count": 1, "photo": "f"})
    ),
    "holds and moves": lambda k: (
        ("ordered", {"act": "hold", "reference": f"Q-{k}", "photo": "f"})
        if k % 2
        else ("moved", {"to": f"bench-{k}"})
    ),
    "people going in and out": lambda k: (
        "left" if k % 3 else "entered",
        {"person": f"p-{k % 50}"},
    ),
    "looks and losses": lambda k: (
        ("looked", {"answer": "nothing"}) if k % 2 else ("lost", {"count": 1, "fate": "died"})
    ),
}


@pytest.mark.parametrize("body", HISTORIES.values(), ids=HISTORIES.keys())
@pytest.mark.parametrize("corrected", [False, True])
def test_a_history_four_times_as_long_gives_a_state_at_most_five_times_as_large(
    body: Any, corrected: bool
) -> None:
    """A state, its work and its doubts grow with the history, never with its square."""
    sizes = [measured(written(body, size, corrected=corrected)) for size in (300, 1200)]
    for small, large in zip(*sizes, strict=True):
        assert large < 5 * small


def written(body: Any, size: int, *, corrected: bool) -> list[Entry]:
    pen = Pen()
    pen.arrive()
    for k in range(size):
        kind, said = body(k)
        at = f"2031-{k // 600 % 12 + 1:02d}-{k // 24 % 25 + 1:02d}T{k % 24:02d}:00"
        if corrected and k % 4 == 3:
            pen.write(kind, said, at, corrects=pen.entries[-1].id, typed="2032-01-01T00:00")
        else:
            pen.write(kind, said, at)
    return pen.entries


def measured(entries: list[Entry]) -> tuple[int, int]:
    """Return how many calls the folds make, and how large the states are, in bytes."""
    calls = 0

    def call(_frame: object, event: str, _value: object) -> None:
        nonlocal calls
        calls += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(call)
    try:
        batch, place = fold.batch("t5", entries), fold.place("t5", entries)
    finally:
        sys.setprofile(before)
    return calls, len(json.dumps([batch.as_json(), place.as_json()]))
