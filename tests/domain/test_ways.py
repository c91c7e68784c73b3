"""Plants that go from batch to batch: split, pricked out, mixed, joined, grafted, stuck."""

from typing import Any

import pytest

from nursery.domain import fold
from nursery.domain.batch import Batch
from nursery.domain.families import families
from nursery.domain.ledger import of_group, of_whole_group
from tests.domain.pen import Pen


def states(pen: Pen, *names: str) -> dict[str, Batch]:
    return {name: fold.batch(name, pen.entries) for name in names}


def terms(state: Batch) -> dict[str, int]:
    return {name: plants for name, plants in state.ledger.as_json().items() if plants}


def part(
    pen: Pen, kind: str, left: dict[str, int], given: dict[str, int], **child: Any
) -> dict[str, Batch]:
    """Let parents, with so many left each, give to children so many each."""
    body = {
        "parents": [{"id": name, "left": plants} for name, plants in left.items()],
        "children": [
            {"id": name, "label": name.upper(), "count": plants, **child}
            for name, plants in given.items()
        ],
    }
    about = tuple(dict.fromkeys([*left, *given]))
    pen.write(kind, body, "10:40", about=about)
    return states(pen, *about)


@pytest.mark.parametrize("kind", ["split", "pricked"])
def test_a_split_balances_in_parent_and_children(kind: str) -> None:
    """Rule L-11: a child has no opening balance."""
    pen = Pen()
    pen.arrive()
    told = part(pen, kind, {"t5": 20}, {"a": 30, "b": 4}, place="bench-2", cells=40)
    assert terms(told["t5"]) == {"in": 54, "alive": 20, "split": 34}
    assert terms(told["a"]) == {"alive": 30, "split": -30}
    assert (told["a"].parents, told["a"].place, told["a"].cells) == (["t5"], "bench-2", 40)
    assert not any(state.blocking for state in told.values())
    (family,) = families(told)
    assert (family.ledger.came_in, family.ledger.alive, family.ledger.difference) == (54, 54, 0)


def test_a_split_that_does_not_add_up_is_the_parents_difference() -> None:
    pen = Pen()
    pen.arrive()
    told = part(pen, "split", {"t5": 20}, {"a": 33})
    assert terms(told["t5"])["difference"] == 1
    (family,) = families(told)
    assert (family.ledger.difference, family.doubts) == (1, ())


def test_a_batch_that_nobody_counted_is_opened_by_its_split() -> None:
    pen = Pen()
    pen.arrive(alive=None)
    told = part(pen, "split", {"t5": 20}, {"a": 34})
    assert terms(told["t5"]) == {"in": 54, "alive": 20, "split": 34}


def test_labels_lost_balance_over_the_group_and_assert_no_tray() -> None:
    """Rule L-4, with the figures of the story: T3 53 to 48, T5 46 to 43, U 8."""
    pen = Pen()
    pen.arrive("t3", alive=53)
    pen.arrive("t5", alive=46)
    told = part(pen, "mixed", {"t3": 48, "t5": 43}, {"u": 8})
    assert not any(state.blocking for state in told.values())
    assert (told["u"].parents, told["u"].one_of_parents) == (["t3", "t5"], True)
    (family,) = families(told)
    assert (family.batches, family.doubts) == (("t3", "t5", "u"), ())
    assert family.ledger.came_in == family.ledger.alive == 99


def test_what_gets_lost_in_the_mixing_is_the_groups_difference() -> None:
    """Rule L-4: 53 + 46 = 99; 48 + 43 + 7 = 98."""
    pen = Pen()
    pen.arrive("t3", alive=53)
    pen.arrive("t5", alive=46)
    told = part(pen, "mixed", {"t3": 48, "t5": 43}, {"u": 7})
    assert not any(state.blocking for state in told.values())
    (family,) = families(told)
    (doubt,) = family.doubts
    assert (doubt.id, doubt.params["plants"]) == ("group_difference:t3:t5:u", 1)
    assert family.ledger.difference == 1
    assert doubt.blocks
    settled = {"doubt": doubt.id, "reason": "one fell behind the bench"}
    pen.write("settled", settled, "11:00", about=("t3", "t5", "u"))
    (family,) = families(states(pen, "t3", "t5", "u"))
    assert not family.doubts[0].blocks


def test_parents_that_nobody_counted_open_the_group_with_what_they_gave() -> None:
    pen = Pen()
    pen.arrive("t3", alive=None)
    pen.arrive("t5", alive=None)
    told = part(pen, "mixed", {"t3": 48, "t5": 43}, {"u": 8})
    (family,) = families(told)
    assert (family.ledger.came_in, family.ledger.alive, family.doubts) == (99, 99, ())


def test_parents_that_were_only_estimated_open_the_group_as_well() -> None:
    """Rules L-4 and L-7: about 50 and about 40 were 53 and 46."""
    pen = Pen()
    for name, about in (("t3", 50), ("t5", 40)):
        pen.arrive(name, alive=None)
        pen.write("counted", {"method": "estimate", "alive": about}, about=(name,))
    told = part(pen, "mixed", {"t3": 48, "t5": 43}, {"u": 8})
    (family,) = families(told)
    assert (family.ledger.came_in, family.ledger.alive, family.doubts) == (99, 99, ())


def test_a_group_with_a_parent_that_is_not_there_is_not_asserted() -> None:
    pen = Pen()
    pen.arrive("t3", alive=53)
    pen.arrive("t5", alive=46)
    told = part(pen, "mixed", {"t3": 48, "t5": 43}, {"u": 7})
    del told["t5"]
    assert families(told) == []


def test_groups_that_share_a_batch_are_one() -> None:
    pen = Pen()
    for name in ("a", "b", "c", "d", "e"):
        pen.arrive(name, alive=10)
    part(pen, "split", {"d": 5}, {"y": 5})
    part(pen, "split", {"a": 5}, {"x": 5})
    part(pen, "mixed", {"b": 8, "c": 8}, {"z": 4})
    told = part(pen, "joined", {"x": 0, "z": 0}, {"w": 9})
    told = states(pen, "a", "b", "c", "d", "e", "w", "x", "y", "z")
    groups = families(told)
    assert [family.batches for family in groups] == [("a", "b", "c", "w", "x", "z"), ("d", "y")]
    assert [family.ledger.difference for family in groups] == [0, 0]


def test_two_batches_join_into_a_new_one() -> None:
    pen = Pen()
    pen.arrive("t3", alive=20)
    pen.arrive("t5", alive=30)
    told = part(pen, "joined", {"t3": 0, "t5": 0}, {"w": 50}, stage="toughening", crop="lime")
    assert (told["w"].alive, told["w"].stage, told["w"].crop) == (50, "toughening", "lime")
    assert (told["w"].one_of_parents, told["t3"].closed) == (False, True)


def test_a_batch_that_plants_join_keeps_its_own_account() -> None:
    """Rule L-11."""
    pen = Pen()
    pen.arrive("t3", alive=20)
    pen.arrive("t5", alive=30)
    told = part(pen, "joined", {"t3": 0}, {"t5": 20})
    assert terms(told["t5"]) == {"in": 30, "alive": 50, "joined": -20}
    assert (told["t5"].parents, told["t5"].place) == (["t3"], "room-1")


def test_a_batch_that_plants_join_before_it_is_counted_stays_uncounted() -> None:
    """Rule L-11: 50 counted afterwards means that 30 had come in."""
    pen = Pen()
    pen.arrive("t3", alive=20)
    pen.arrive("t5", alive=None)
    assert part(pen, "joined", {"t3": 0}, {"t5": 20})["t5"].alive is None
    pen.count(50, "11:00")
    assert terms(fold.batch("t5", pen.entries)) == {"in": 30, "alive": 50, "joined": -20}


def test_a_child_may_name_its_own_parents() -> None:
    pen = Pen()
    for name in ("t3", "t5"):
        pen.arrive(name, alive=20)
    told = part(pen, "split", {"t3": 10, "t5": 10}, {"a": 10}, parents=["t3"])
    assert told["a"].parents == ["t3"]


def test_cuttings_come_in_as_they_are_set_and_leave_their_parent_whole() -> None:
    pen = Pen()
    pen.arrive("k1", alive=12)
    body = {"batch": {"id": "q1", "label": "Q1"}, "cuttings": 60, "parents": ["k1"]}
    pen.write("stuck", body, "09:00", about=("q1", "k1"))
    told = states(pen, "q1", "k1")
    assert (terms(told["q1"]), told["q1"].parents) == ({"in": 60, "alive": 60}, ["k1"])
    assert terms(told["k1"]) == {"in": 12, "alive": 12}


def test_a_grafted_batch_descends_from_its_scion() -> None:
    pen = Pen()
    pen.arrive("t5")
    pen.arrive("k1")
    for _ in range(2):
        pen.write("worked", {"method": "budded", "plants": 50, "scion": "k1"}, about=("t5", "k1"))
    told = states(pen, "t5", "k1")
    assert (told["t5"].parents, told["t5"].stage) == (["k1"], "grafted")
    assert (told["k1"].parents, told["k1"].stage) == ([], "growing_on")
    pen.write("worked", {"method": "grafted", "plants": 4}, about=("t5",))
    assert fold.batch("t5", pen.entries).parents == ["k1"]


def test_a_group_keeps_ways_that_a_whole_group_must_not_have() -> None:
    pen = Pen()
    pen.arrive()
    told = part(pen, "split", {"t5": 20}, {"a": 34})
    assert of_group([told["t5"].ledger]).difference == 0
    assert of_whole_group([told["t5"].ledger]).difference == 34
