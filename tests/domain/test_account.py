"""What was counted, lost, sent and planted: every plant is somewhere."""

from collections.abc import Callable
from itertools import permutations
from typing import Any

import pytest

from nursery.domain import fold
from nursery.domain.batch import Batch
from nursery.domain.ledger import Ledger
from tests.domain.pen import Pen

Story = Callable[[Pen], Any]


def folded(pen: Pen, batch: str = "t5") -> Batch:
    """Return the state, which is the same in every order of arrival (rule B-2)."""
    states = [fold.batch(batch, arrival).as_json() for arrival in permutations(pen.entries)]
    assert all(state == states[0] for state in states)
    return fold.batch(batch, pen.entries)


def open_doubts(state: Batch) -> list[str]:
    return [doubt.code for doubt in state.doubts if doubt.settled_by is None]


def terms(state: Batch) -> dict[str, int]:
    return {name: plants for name, plants in state.ledger.as_json().items() if plants}


def test_an_arrival_alone_has_no_living_figure() -> None:
    """Rule L-1: the certificate's figure never opens an account."""
    pen = Pen()
    pen.arrive(alive=None)
    state = folded(pen)
    assert (state.alive, state.stated, terms(state)) == (None, 54, {})


def test_what_left_before_the_first_count_had_come_in() -> None:
    """Rule L-1."""
    pen = Pen()
    pen.arrive(alive=None)
    pen.lose(4, "07:45")
    pen.count(50, "08:00")
    assert terms(folded(pen)) == {"in": 54, "alive": 50, "died": 4}


@pytest.mark.parametrize("fate", ["died", "culled", "sampled", "destroyed", "stolen"])
def test_each_fate_has_its_line(fate: str) -> None:
    """Rule L-3."""
    pen = Pen()
    pen.arrive()
    pen.lose(3, "09:00", fate)
    assert terms(folded(pen)) == {"in": 54, "alive": 51, fate: 3}


def test_more_lost_than_lived_is_below_zero_and_doubted() -> None:
    """Rule L-3."""
    pen = Pen()
    pen.arrive(alive=48)
    pen.lose(50, "09:00")
    state = folded(pen)
    assert (state.alive, open_doubts(state), state.closed) == (-2, ["below_zero"], False)


def test_a_count_that_the_account_cannot_explain_leaves_a_difference() -> None:
    """Rule L-2."""
    pen = Pen()
    first = pen.arrive()
    pen.lose(1, "09:00")
    last = pen.count(51, "15:00", saw=first)
    state = folded(pen)
    assert terms(state) == {"in": 54, "alive": 51, "died": 1, "difference": 2}
    assert [doubt.id for doubt in state.doubts] == [f"difference:{last}"]
    assert state.blocking


def settle(pen: Pen, doubt: str, at: str = "16:00", **more: Any) -> str:
    return pen.write("settled", {"doubt": doubt, "reason": "said so", **more}, at, phone=3)


def test_a_difference_is_put_down_to_a_fate_plant_by_plant() -> None:
    """Rule L-9."""
    pen = Pen()
    last = pen.count(52, "15:00", saw=pen.arrive())
    settle(pen, f"difference:{last}", plants=1, fate="stolen")
    state = folded(pen)
    assert (terms(state)["stolen"], open_doubts(state)) == (1, ["difference"])
    settle(pen, f"difference:{last}", "16:01", plants=1)
    state = folded(pen)
    assert terms(state) == {"in": 54, "alive": 52, "stolen": 1, "settled": 1}
    assert open_doubts(state) == []


def test_too_many_are_put_down_to_a_fate_as_well() -> None:
    pen = Pen()
    first = pen.arrive()
    pen.lose(1, "09:00")
    last = pen.count(54, "15:00", saw=first)
    settle(pen, f"difference:{last}", plants=-1, fate="died")
    assert terms(folded(pen)) == {"in": 54, "alive": 54}


def test_what_was_put_down_and_turns_up_again_is_a_new_difference() -> None:
    """Rule L-9."""
    pen = Pen()
    last = pen.count(52, "15:00", saw=pen.arrive())
    settle(pen, f"difference:{last}", plants=2, fate="stolen")
    again = pen.count(54, "17:00", saw=last)
    state = folded(pen)
    assert terms(state)["difference"] == -2
    assert [doubt.id for doubt in state.doubts] == [f"difference:{again}"]


def test_an_accepted_difference_stays_in_sight_and_blocks_no_more() -> None:
    """Rule L-9: a count that finds the same, or a loss, opens nothing new."""
    pen = Pen()
    last = pen.count(52, "15:00", saw=pen.arrive())
    settled = settle(pen, f"difference:{last}")
    pen.lose(1, "17:00")
    pen.count(51, "18:00", saw=last)
    state = folded(pen)
    assert terms(state)["difference"] == 2
    assert [doubt.settled_by for doubt in state.doubts] == [settled]
    assert not state.blocking


def test_a_settled_difference_looks_like_no_loss_between_two_counts() -> None:
    """Two counts made apart that agree, with a difference settled between them, still agree."""
    pen = Pen()
    first = pen.arrive()
    last = pen.count(52, "10:00", saw=first)
    settle(pen, f"difference:{last}", "10:30", plants=2, fate="stolen")
    pen.count(52, "11:00", saw=first, phone=2)
    assert open_doubts(folded(pen)) == []


# Two counts and perhaps a third, of a tray counted 53 in the morning: `a` at 10:00, `b` at 10:40,
# `c` at 11:30. Each says what it found and which count it saw.
MORNING, A, B = "morning", "a", "b"
SAW: dict[str, tuple[list[tuple[int, str | None]], int, list[str]]] = {
    "one count that saw the morning's": ([(52, MORNING)], 52, ["difference"]),
    "two apart that agree": ([(53, MORNING), (53, MORNING)], 53, []),
    "two apart that differ": ([(52, MORNING), (53, MORNING)], 53, ["disagreement"]),
    "two apart that saw nothing": ([(52, None), (53, None)], 53, ["disagreement", "disagreement"]),
    "a recount that saw": ([(52, MORNING), (53, A)], 53, []),
    "the earlier by order saw the later": ([(52, B), (53, MORNING)], 53, []),
    "settled by who saw the later": ([(52, MORNING), (53, MORNING), (53, B)], 53, []),
    "settled by who saw the earlier": ([(52, MORNING), (53, MORNING), (53, A)], 53, []),
    "settled with a third figure": ([(52, MORNING), (53, MORNING), (51, B)], 51, ["difference"]),
    "who saw the earlier and differs from the later": (
        [(52, MORNING), (53, MORNING), (52, A)],
        52,
        ["difference", "disagreement"],
    ),
    "a third who saw neither": (
        [(52, MORNING), (53, MORNING), (53, MORNING)],
        53,
        ["disagreement"],
    ),
}


@pytest.mark.parametrize(("counts", "alive", "doubts"), SAW.values(), ids=SAW.keys())
def test_counts_made_apart_disagree_and_recounts_do_not(
    counts: list[tuple[int, str | None]], alive: int, doubts: list[str]
) -> None:
    """Rules L-5 and L-6, in every order of arrival (sync requirement 15)."""
    pen = Pen()
    names: dict[str | None, str | None] = {None: None, MORNING: pen.arrive(alive=53)}
    hours = dict(zip((A, B, "c"), ("10:00", "10:40", "11:30"), strict=True))
    # A count may name one that stands after it by order, so names are given out first.
    for k, name in enumerate(hours):
        raw = pen.raw("counted", {}, hours[name], phone=k + 1)
        names[name] = raw["id"][:-12] + f"{k + 100:012x}"
    for k, ((found, saw), name) in enumerate(zip(counts, hours, strict=False)):
        pen.count(found, hours[name], saw=names[saw], phone=k + 1, id=names[name])
    state = folded(pen)
    assert (state.alive, open_doubts(state)) == (alive, doubts)


def test_counts_four_hours_apart_are_two_counts() -> None:
    """Rule L-5."""
    pen = Pen()
    pen.arrive()
    pen.count(53, "12:00:00.001", phone=2)
    assert open_doubts(folded(pen)) == ["difference"]


def test_what_died_between_two_counts_is_no_disagreement() -> None:
    pen = Pen()
    pen.arrive()
    pen.lose(2, "08:30")
    pen.count(52, "09:00", phone=2)
    assert open_doubts(folded(pen)) == []


def test_a_corrected_count_saw_what_its_original_saw() -> None:
    """The correction names the head of its line; that is no count made apart."""
    pen = Pen()
    first = pen.arrive()
    second = pen.count(53, "09:00", saw=first, phone=2)
    pen.write(
        "counted",
        {"method": "full", "alive": 54, "saw": second},
        "09:00",
        corrects=second,
        phone=2,
    )
    # The third had the uncorrected count on screen: it saw that line.
    pen.count(54, "09:30", saw=second, phone=3)
    assert open_doubts(folded(pen)) == []


def test_an_estimate_overrules_no_count() -> None:
    """Rule L-7."""
    pen = Pen()
    pen.arrive()
    pen.write("counted", {"method": "estimate", "alive": 40}, "09:00", phone=2)
    state = folded(pen)
    assert (state.alive, state.estimate, open_doubts(state)) == (54, 40, [])
    pen.count(54, "10:00")
    assert folded(pen).estimate is None


def test_an_estimate_opens_an_account_that_the_first_count_opens_anew() -> None:
    """Rule L-7."""
    pen = Pen()
    pen.arrive(alive=None)
    pen.write("counted", {"method": "estimate", "alive": 50}, "08:00")
    pen.lose(3, "09:00")
    state = folded(pen)
    assert (state.alive, state.estimated, terms(state)["in"]) == (47, True, 50)
    pen.count(51, "10:00")
    state = folded(pen)
    assert (state.alive, state.estimated, terms(state)["in"]) == (51, False, 54)


def test_stock_taken_on_by_estimate_says_so() -> None:
    pen = Pen()
    body = {"batch": {"id": "k1", "label": "K1"}, "alive": 120, "method": "estimate"}
    pen.write("taken_on", body, about=("k1",))
    assert folded(pen, "k1").estimated


TRAYS = {
    "as many as cells": ({"alive": 54, "cells": 54}, []),
    "more than its cells": ({"alive": 62, "cells": 54}, ["count_over_cells"]),
    "more than the cells it came with": ({"alive": 62}, ["count_over_cells"]),
    "a larger tray": ({"alive": 62, "cells": 77}, []),
}


def test_plants_in_pots_have_no_cells() -> None:
    """Rule L-12."""
    pen = Pen()
    pen.arrive(alive=None)
    pen.write("potted", {"container": "pot_2_5_l"}, "07:45")
    pen.count(62, "08:00")
    assert open_doubts(folded(pen)) == []


@pytest.mark.parametrize(("body", "doubts"), TRAYS.values(), ids=TRAYS.keys())
def test_more_plants_than_cells_are_doubted(body: dict[str, int], doubts: list[str]) -> None:
    """Rule L-12."""
    pen = Pen()
    pen.arrive(alive=None)
    pen.write("counted", {"method": "full", **body})
    assert open_doubts(folded(pen)) == doubts


TAPS: dict[str, tuple[str, dict[str, Any], dict[str, Any], list[str]]] = {
    "the same count within ten seconds": ("counted", {}, {}, ["twice"]),
    "the same count after ten seconds": ("counted", {}, {"at": "09:00:10"}, []),
    "another figure": ("counted", {"alive": 52}, {}, ["difference"]),
    "from another phone": ("counted", {}, {"phone": 2}, []),
    "the same loss within ten seconds": ("lost", {}, {}, ["twice"]),
    "another cause": ("lost", {"cause": "dry"}, {}, []),
    "the same sending": ("sent", {}, {}, ["twice"]),
    "the same return": ("returned", {}, {}, ["more_returned", "more_returned", "twice"]),
}
TAPPED: dict[str, dict[str, Any]] = {
    "counted": {"method": "full", "alive": 54, "saw": None},
    "lost": {"count": 2, "fate": "died"},
    "sent": {"receiver": "n-2", "plants": [{"id": "t5", "count": 2}]},
    "returned": {"sender": "n-2", "plants": [{"id": "t5", "count": 2}]},
}


@pytest.mark.parametrize(("kind", "other", "how", "doubts"), TAPS.values(), ids=TAPS.keys())
def test_a_double_tap_is_asked_about_and_never_dropped(
    kind: str, other: dict[str, Any], how: dict[str, Any], doubts: list[str]
) -> None:
    """Rule B-8."""
    pen = Pen()
    pen.arrive(alive=None)
    pen.count(54, "07:59")
    body = TAPPED[kind]
    first = pen.write(kind, {**body, "saw": pen.entries[-1].id}, "09:00")
    pen.write(kind, {**body, **other, "saw": first}, how.pop("at", "09:00:09"), **how)
    assert open_doubts(folded(pen)) == doubts
    assert folded(pen).facts == 4


def test_a_seedbed_lets_in_what_comes_up() -> None:
    """Rule L-8."""
    pen = Pen()
    bed = {"id": "s1", "label": "S1", "place": "bed-1"}
    pen.write("sown", {"batch": bed, "seeds": 40}, "07:00", about=("s1",))
    state = folded(pen, "s1")
    assert (state.alive, state.stage, state.seeds) == (None, "seed", 40)
    pen.write("emerged", {"total": 25}, "08:00", about=("s1",))
    pen.write("emerged", {"total": 24}, "09:00", about=("s1",))
    state = folded(pen, "s1")
    assert (state.alive, state.stage, state.emerged) == (25, "seedlings", 25)
    seen = pen.count(30, "10:00", about=("s1",))
    assert terms(folded(pen, "s1")) == {"in": 30, "alive": 30}
    pen.count(45, "11:00", saw=seen, about=("s1",))
    assert terms(folded(pen, "s1")) == {"in": 40, "alive": 45, "difference": -5}


def test_a_seedbed_counted_before_it_was_seen_coming_up_counts_nothing_twice() -> None:
    """Rule L-8."""
    pen = Pen()
    pen.write("sown", {"batch": {"id": "s1", "label": "S1"}, "seeds": 40}, "07:00", about=("s1",))
    pen.count(25, "08:00", about=("s1",))
    pen.write("emerged", {"total": 30}, "09:00", about=("s1",))
    state = folded(pen, "s1")
    assert (terms(state), state.stage) == ({"in": 30, "alive": 30}, "seedlings")


def test_a_seedbed_with_nothing_up_is_open_until_it_is_thrown_away() -> None:
    """Rule L-10."""
    pen = Pen()
    pen.write("sown", {"batch": {"id": "s1", "label": "S1"}, "seeds": 40}, "07:00", about=("s1",))
    pen.write("emerged", {"total": 0}, "07:30", about=("s1",))
    assert folded(pen, "s1").alive is None
    pen.count(0, "08:00", about=("s1",))
    state = folded(pen, "s1")
    assert (state.stage, state.closed) == ("seed", False)
    pen.write("disposed", {"what": "seedbed", "method": "compost"}, "09:00", about=("s1",))
    state = folded(pen, "s1")
    assert (state.stage, state.closed) == ("closed", True)


def test_sent_and_returned_are_one_way() -> None:
    pen = Pen()
    pen.arrive()
    others = [{"id": "t5", "count": 30}, {"id": "t6", "count": 9}]
    pen.write("sent", {"receiver": "n-2", "plants": others}, "09:00")
    pen.write("returned", {"sender": "n-2", "plants": [{"id": "t5", "count": 6}]}, "10:00")
    assert terms(folded(pen)) == {"in": 54, "alive": 30, "sent": 24}


def test_more_back_than_were_sent_is_doubted() -> None:
    """Rule L-13."""
    pen = Pen()
    pen.arrive()
    pen.write("returned", {"sender": "n-2", "plants": [{"id": "t5", "count": 6}]}, "10:00")
    state = folded(pen)
    assert (terms(state), open_doubts(state)) == (
        {"in": 54, "alive": 60, "sent": -6},
        ["more_returned"],
    )


def test_a_batch_planted_to_the_last_lives_in_the_field() -> None:
    """Rule L-10: it is not closed."""
    pen = Pen()
    pen.arrive(alive=3)
    pen.write("planted", {"block": "tr3", "positions": ["1", "2"]}, "09:00")
    assert folded(pen).stage == "growing_on"
    pen.write("refilled", {"block": "tr3", "positions": ["3"]}, "10:00")
    state = folded(pen)
    assert (state.alive, state.stage, state.closed) == (0, "planted", False)
    assert terms(state) == {"in": 3, "planted": 3}


def test_the_bag_keeps_a_dead_batch_open_and_gives_up_the_dead_first() -> None:
    """Rule L-10."""
    pen = Pen()
    pen.arrive(alive=5)
    pen.write("lost", {"count": 2, "fate": "died", "kept": True}, "09:00")
    pen.write("lost", {"count": 3, "fate": "culled", "kept": True}, "10:00")
    state = folded(pen)
    assert (state.bag, state.closed) == ({"died": 2, "culled": 3}, False)
    burned = {"what": "bag", "method": "burned", "plants": [{"id": "t5", "count": 3}]}
    pen.write("disposed", burned, "11:00")
    assert folded(pen).bag == {"died": 0, "culled": 2}
    pen.write("disposed", burned, "12:00")
    state = folded(pen)
    assert (state.bag, state.closed) == ({"died": 0, "culled": 0}, True)


def test_a_ledger_tells_its_terms_and_its_difference() -> None:
    told = Ledger(came_in=318, alive=241, died=17, culled=5, sampled=5, destroyed=50).as_json()
    assert (told["in"], told["difference"], "came_in" in told) == (318, 0, False)
