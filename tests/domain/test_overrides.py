"""Signed exceptions: what the nursery alone asks of itself, for one act and one day (rule G-16)."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import doubtful, gates, outlook
from nursery.domain.gate import Act, Answer, Gate
from nursery.domain.place import Place
from tests.domain.house import TERMS, House, instant, term
from tests.domain.test_laws_of_holds import FEWER, NOW, Told, batches, house_of, seats, stories

SIGNED = "2031-06-02 07:00"
LATER = "2031-06-02 09:00"
REST = term("own", "all_out", {"empty_hours": 72})
STEPS = (("emptied", "2031-06-01 08:00"), ("cleaned", "2031-06-01 09:00"))


def resting(*steps: tuple[str, str], rest: dict[str, Any] = REST, permits: bool = False) -> House:
    """A room that plants of no permit have left; by its own rule it rests for three days."""
    house = House()
    if permits:
        terms = [*TERMS, rest]
        house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
        house.arrive("2031-03-03 07:30", ("a",))
    else:
        house.row("due_rule", "own", {"term": rest})
        house.row("consignment", "c-1", {"name": "Own", "without_conditions": True})
        house.arrive("2031-03-03 07:30", ("a",))
    house.count("a", 9, "2031-03-03 08:00")
    house.add("lost", "a", "2031-06-01 07:00", {"count": 9, "fate": "culled"})
    for kind, at in steps:
        house.add(kind, "room", at, {"product": "soap"} if kind == "cleaned" else {})
    return house


def sign(house: House, about: str = "room", at: str = SIGNED, **how: Any) -> str:
    body = {"act": how.pop("act", "accepting"), "reason": how.pop("reason", "the carrier is here")}
    return house.add("signed", about, at, body, **how)


def ask(house: House, at: str = LATER, act: str = "accepting", room: str = "room") -> Gate:
    book = house.book()
    return gates.answer(Act(act), book.places.get(room) or Place(room), book, instant(at))


def refused(house: House, about: str = "room") -> list[tuple[str, ...]]:
    book = house.book()
    if about in book.places:
        found = doubtful.of_place(book.places[about], book)
    else:
        found = doubtful.of_batch(book.batches[about], book)
    return [one.entries for one in found if one.code == "override_refused"]


WAITS = [
    ((), "not_emptied"),
    (STEPS[:1], "not_cleaned"),
    (STEPS, "stays_empty"),
]


@pytest.mark.parametrize(("steps", "code"), WAITS)
def test_the_rest_of_a_room_by_its_own_rule_may_be_signed_for(
    steps: tuple[tuple[str, str], ...], code: str
) -> None:
    house = resting(*steps)
    before = ask(house)
    assert (before.answer, before.code, before.override_allowed) == ("wait", code, True)
    sign(house)
    after = ask(house)
    about = {"who": "G", "reason": "the carrier is here", "code": code}
    assert (after.answer, after.code, after.params) == (Answer.YES, "overridden", about)
    assert refused(house) == []


def test_the_check_of_a_room_may_be_signed_for_too() -> None:
    house = resting(*STEPS)
    assert ask(house, "2031-06-04 10:00").code == "not_checked"
    sign(house, at="2031-06-04 09:30")
    assert ask(house, "2031-06-04 10:00").code == "overridden"


def test_it_is_good_for_its_day_and_no_answer_outlasts_that() -> None:
    house = resting(*STEPS)
    sign(house)
    assert ask(house).valid_until == instant("2031-06-03 00:00")
    assert ask(house, "2031-06-02 06:59").code == "stays_empty"
    assert ask(house, "2031-06-03 00:00").code == "stays_empty"


def test_it_is_good_for_its_act() -> None:
    house = resting(*STEPS)
    sign(house, act="emptying")
    assert ask(house).code == "stays_empty"
    assert len(refused(house)) == 1


def test_a_signature_at_a_bench_is_of_the_bench_alone() -> None:
    house = resting(*STEPS)
    sign(house, "bench")
    assert (ask(house).code, ask(house, room="bench").code) == ("stays_empty", "overridden")


HANDS: dict[str, dict[str, Any]] = {
    "a worker": {"by": "w1"},
    "the grower's tile without a PIN": {"confirmed": False},
    "the grower without a reason": {"reason": " "},
    "somebody nobody has typed": {"by": "stranger"},
}


@pytest.mark.parametrize("how", HANDS.values(), ids=HANDS.keys())
def test_nobody_but_the_grower_signs(how: dict[str, Any]) -> None:
    house = resting(*STEPS)
    signed = sign(house, **how)
    assert ask(house).code == "stays_empty"
    assert refused(house) == [(signed,)]


def test_nobody_signs_by_naming_the_grower_as_the_doer_afterwards() -> None:
    house = resting(*STEPS)
    signed = sign(house, by="w1")
    body = {"doubt": f"unconfirmed:{signed}", "reason": "it was G", "by": "g"}
    house.add("settled", "room", "2031-06-02 07:10", body, by="w1")
    assert (ask(house).code, refused(house)) == ("stays_empty", [(signed,)])


def test_what_a_permit_asks_for_is_never_signed_away() -> None:
    house = resting(*STEPS, permits=True)
    signed = sign(house)
    gate = ask(house)
    assert (gate.code, gate.override_allowed, refused(house)) == ("stays_empty", False, [(signed,)])


def test_an_order_that_holds_the_room_is_not_either() -> None:
    house = resting(*STEPS)
    house.order("room", "2031-06-01 10:00", "hold", "Q-1")
    sign(house)
    gate = ask(house)
    assert (gate.answer, gate.code) == (Answer.NO, "held_by_place_order")
    assert "overridden" in {part.code for part in gate.parts}


def test_plants_in_the_room_are_not_either() -> None:
    house = resting(*STEPS)
    house.add(
        "sown",
        "s",
        "2031-06-01 10:00",
        {"batch": {"id": "s", "label": "S", "place": "bench"}, "seeds": 9},
    )
    sign(house)
    assert ask(house).code == "room_has_plants"


BATCHES: dict[str, tuple[str, str, bool]] = {
    "moving what is not released": ("quarantine", "moving", True),
    "planting what was released": ("released", "planting", False),
    "sending what is held": ("held", "sending", True),
    "planting what no law holds": ("free", "planting", False),
    "something that is no gate's": ("quarantine", "plant", False),
}


@pytest.mark.parametrize(("state", "act", "odd"), BATCHES.values(), ids=BATCHES.keys())
def test_a_signature_about_plants_opens_no_gate_of_the_law(state: str, act: str, odd: bool) -> None:
    house = House()
    if state == "free":
        house.row("consignment", "c-1", {"name": "Own", "without_conditions": True})
    house.arrive("2031-03-03 07:30", ("a",))
    house.count("a", 9, "2031-03-03 08:00")
    if state in ("released", "held"):
        house.release(("a",), "2031-05-30 08:00", count=9)
    if state == "held":
        house.order("a", "2031-06-01 08:00", "hold", "Q-1")
    before = {
        one: gates.answer(Act(one), house.book().batches["a"], house.book(), instant(LATER))
        for one in ("moving", "sending", "planting")
    }
    signed = sign(house, "a", act=act)
    assert refused(house, "a") == ([(signed,)] if odd else [])
    book = house.book()
    assert {
        one: gates.answer(Act(one), book.batches["a"], book, instant(LATER)) for one in before
    } == before


def test_it_is_kept_in_the_record_of_its_room() -> None:
    house = resting(*STEPS)
    signed = sign(house)
    (kept,) = house.book().places["room"].record.signatures
    assert (kept.entry, kept.by, kept.act, kept.reason, kept.confirmed) == (
        signed,
        "g",
        "accepting",
        "the carrier is here",
        True,
    )


def test_the_outlook_tells_it_to_every_phone() -> None:
    house = resting(*STEPS)
    sign(house)
    told = outlook.compose(house.book(), instant(LATER))["places"]["room"]["accepting"]
    assert (told["answer"], told["reason"], told["override_allowed"]) == (
        "yes",
        "overridden",
        False,
    )


@FEWER
@given(stories, batches, seats, st.sampled_from(sorted(act.value for act in Act)))
def test_no_signature_opens_a_gate_that_has_a_hold_behind_it(
    story: list[Told], name: str, seat: str, act: str
) -> None:
    """Rules G-3, G-16: of no batch a signature changes any answer, of no place one under a hold."""
    house = house_of(story)
    room = house.book().rooms[seat]
    house.order(room, "2031-05-31 23:00", "hold", "Q-99")
    before = house.book()
    sign(house, name, "2031-06-01 07:00", act=act)
    sign(house, room, "2031-06-01 07:00", act=act)
    after = house.book()
    if name in before.batches:
        old = gates.of_batch(before.batches[name], before, NOW)
        new = gates.of_batch(after.batches[name], after, NOW)
        assert {a: g.answer for a, g in new.items()} == {a: g.answer for a, g in old.items()}
    gate = gates.answer(Act.ACCEPTING, after.places[room], after, NOW)
    assert gate.answer is Answer.NO
