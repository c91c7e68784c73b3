"""Who did what a record tells: written without a PIN, or on somebody else's tile (B-10, B-14)."""

from typing import Any

import pytest

from nursery.domain import fold
from tests.domain.pen import Pen

SEEN = {"answer": "nothing", "plants": 53, "minutes": 8}


def settle(pen: Pen, of: str, by: str | None = None, *, phone: int = 2, **more: Any) -> str:
    body = {"doubt": f"unconfirmed:{of}", "reason": "asked", "by": by}
    return pen.write("settled", body, "12:00", phone=phone, **more)


def test_the_growers_word_closes_what_was_written_without_a_pin() -> None:
    pen = Pen()
    pen.arrive()
    look = pen.write("looked", SEEN, "09:00", confirmed=False)
    said = settle(pen, look)
    state = fold.batch("t5", pen.entries)
    [doubt] = [doubt for doubt in state.doubts if doubt.code == "unconfirmed"]
    assert (doubt.settled_by, doubt.params) == (said, {"author": "w1"})
    assert [one.by for one in state.record.looks] == ["w1"]


@pytest.mark.parametrize("confirmed", [False, True], ids=["without a PIN", "by another's PIN"])
def test_that_was_me_puts_the_doer_in_the_tiles_place_and_keeps_both(confirmed: bool) -> None:
    pen = Pen()
    pen.arrive()
    look = pen.write("looked", SEEN, "09:00", confirmed=confirmed)
    settle(pen, look, "w2")
    state = fold.batch("t5", pen.entries)
    assert [one.by for one in state.record.looks] == ["w2"]
    written = [doubt.params["author"] for doubt in state.doubts if doubt.code == "unconfirmed"]
    assert written == ([] if confirmed else ["w1"])


def test_who_was_somewhere_follows_the_doer() -> None:
    pen = Pen()
    went = pen.write("entered", {}, "07:00", about=("room-1",), confirmed=False)
    body = {"doubt": f"unconfirmed:{went}", "reason": "wrong tile", "by": "w2"}
    pen.write("settled", body, "12:00", about=("room-1",), phone=2)
    state = fold.place("room-1", pen.entries)
    assert [visit.who for visit in state.inside] == ["w2"]
    assert [one.who for one in state.record.presence] == ["w2"]


def test_a_name_given_without_a_pin_changes_nothing() -> None:
    pen = Pen()
    pen.arrive()
    look = pen.write("looked", SEEN, "09:00", confirmed=False)
    settle(pen, look, "w2", confirmed=False)
    assert [one.by for one in fold.batch("t5", pen.entries).record.looks] == ["w1"]
