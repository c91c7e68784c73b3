"""A fold that goes on gives what folding everything anew gives, or says that it cannot go on."""

from collections.abc import Iterator
from datetime import timedelta
from random import Random
from typing import Any

import pytest

from nursery.domain import entry, fold
from nursery.domain.batch import Batch
from nursery.domain.entry import Entry
from nursery.domain.fold import Going
from nursery.domain.place import Place
from tests.domain.pen import Pen
from tests.domain.test_vectors import CASES

GROWERS = frozenset({"w1"})


def begun(ident: str, entries: list[Entry], *, place: bool) -> Going:
    state = Place(ident) if place else Batch(ident)
    going = Going(state, entries, GROWERS)
    going.end()
    return going


def anew(ident: str, entries: list[Entry], *, place: bool) -> dict[str, Any]:
    state = fold.place(ident, entries) if place else fold.batch(ident, entries, GROWERS)
    return state.as_json()


def subjects(case: dict[str, Any]) -> Iterator[tuple[str, list[Entry], bool]]:
    told = [entry.read(raw) for raw in case["entries"]]
    for shelf, place in (("batches", False), ("places", True)):
        for ident in case.get(shelf, {}):
            yield ident, [one for one in told if ident in one.about], place


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_in_parts_of_any_size_as_in_one(case: dict[str, Any]) -> None:
    for ident, told, place in subjects(case):
        random = Random(ident)
        for shuffled in (False, True, True):
            if shuffled:
                random.shuffle(told)
            going, rest = begun(ident, [], place=place), list(told)
            while rest:
                size = random.randint(1, len(rest))
                part, rest = rest[:size], rest[size:]
                known = [one for one in told if one.id in going.ids]
                if len({one.id for one in part}) == size and going.goes_on(part):
                    going.on(part)
                    going.end()
                else:
                    going = begun(ident, [*known, *part], place=place)
                whole = [one for one in told if one.id in going.ids]
                assert going.state.as_json() == anew(ident, whole, place=place)


def test_most_of_the_vectors_go_on_one_by_one_in_the_order_of_what_happened() -> None:
    """So that the test above does not only fold anew."""
    went = stayed = 0
    for case in CASES:
        for ident, told, place in subjects(case):
            once = {one.id: one for one in told}.values()
            going = begun(ident, [], place=place)
            for one in sorted(once, key=lambda one: (one.occurred_at, one.id)):
                if going.goes_on([one]):
                    going.on([one])
                    going.end()
                    went += 1
                else:
                    stayed += 1
                    break
    assert went > 3 * stayed > 0


def pen() -> Pen:
    made = Pen()
    made.arrive()
    made.count(54, "08:00")
    return made


def test_a_state_that_went_on_can_be_ended_again() -> None:
    made = pen()
    going = begun("t5", made.entries, place=False)
    once = going.state.as_json()
    going.reopen()
    going.end()
    assert going.state.as_json() == once
    going.on([])
    going.end()
    assert going.state.as_json() == once


def later(made: Pen, **changed: Any) -> Entry:
    last = made.entries[-1]
    at = last.occurred_at + timedelta(hours=1)
    return last._replace(**{"id": "f" * 36, "occurred_at": at, **changed})


def test_what_comes_after_goes_on() -> None:
    made = pen()
    assert begun("t5", made.entries, place=False).goes_on([later(made)])
    assert begun("t5", [], place=False).goes_on(made.entries)


@pytest.mark.parametrize("what", ["corrects", "late", "known", "awaited"])
def test_what_reaches_back_does_not(what: str) -> None:
    made = pen()
    first, last = made.entries[0], made.entries[-1]
    new = {
        "corrects": later(made, corrects=first.id),
        "late": later(made, occurred_at=last.occurred_at - timedelta(minutes=1)),
        "known": later(made, id=last.id),
        "awaited": later(made),
    }[what]
    told = list(made.entries)
    if what == "awaited":  # its correction came first
        told.append(last._replace(id="0" * 36, corrects=new.id))
    assert not begun("t5", told, place=False).goes_on([new])
