"""What a place is now: who is inside, when one may go in, what holds it, what its trap showed."""

from typing import Any

import pytest

from nursery.domain import fold
from nursery.domain.place import Place
from tests.domain.pen import Pen


def folded(pen: Pen) -> Place:
    return fold.place("room-1", pen.entries)


def write(pen: Pen, kind: str, body: dict[str, Any], at: str, **more: Any) -> str:
    return pen.write(kind, body, at, about=("room-1",), **more)


def inside(state: Place) -> list[tuple[str, int]]:
    return [(visit.who, visit.since.hour) for visit in state.inside]


def test_who_went_in_and_did_not_leave_is_inside() -> None:
    pen = Pen()
    visitor = {"visitor": {"name": "P", "firm": "Plant health"}}
    write(pen, "entered", {}, "07:00")
    write(pen, "entered", {"person": "g"}, "08:00")
    write(pen, "entered", visitor, "09:00", phone=2)
    write(pen, "left", {}, "10:00")
    state = folded(pen)
    assert inside(state) == [("g", 8), ("P, Plant health", 9)]
    write(pen, "left", visitor, "11:00")
    assert inside(folded(pen)) == [("g", 8)]
    assert [visit["until"] for visit in folded(pen).as_json()["visits"]] == [
        "2031-03-03T10:00:00.000Z",
        None,
        "2031-03-03T11:00:00.000Z",
    ]


def test_a_worker_and_a_visitor_of_one_name_are_two() -> None:
    pen = Pen()
    write(pen, "entered", {}, "07:00")
    write(pen, "entered", {"visitor": {"name": "w1"}}, "08:00")
    write(pen, "left", {"visitor": {"name": "w1"}}, "09:00")
    assert inside(folded(pen)) == [("w1", 7)]


def test_going_in_again_ends_the_visit_that_nobody_ended() -> None:
    """Rule P-1."""
    pen = Pen()
    write(pen, "entered", {}, "07:00")
    write(pen, "entered", {}, "09:00")
    state = folded(pen)
    assert (inside(state), len(state.visits), state.doubts) == ([("w1", 9)], 2, ())


def test_leaving_without_having_gone_in_is_noted() -> None:
    """Rule P-1."""
    pen = Pen()
    write(pen, "left", {"person": "g"}, "07:00")
    (doubt,) = folded(pen).doubts
    assert (doubt.code, doubt.params, doubt.blocks) == ("not_inside", {"who": "g"}, False)
    write(pen, "settled", {"doubt": doubt.id, "reason": "forgot"}, "08:00")
    assert folded(pen).doubts[0].settled_by is not None


def treat(pen: Pen, until: str | None, at: str, **more: Any) -> str:
    body = {
        "product": "oil-2",
        "started_at": "2031-03-03T06:30:00.000Z",
        "ended_at": "2031-03-03T06:50:00.000Z",
        "reentry_until": until and f"2031-03-03T{until}:00.000Z",
    }
    return write(pen, "treated", body, at, **more)


def test_the_latest_end_of_reentry_stands() -> None:
    """Rule P-2."""
    pen = Pen()
    treat(pen, "18:50", "06:50")
    treat(pen, "09:00", "07:50")
    treat(pen, None, "08:50")
    assert folded(pen).phone()["reentry_until"] == "2031-03-03T18:50:00.000Z"


def test_a_corrected_treatment_corrects_the_end_of_reentry() -> None:
    """Rule P-2: only treatments that stand count."""
    pen = Pen()
    first = treat(pen, "18:50", "06:50")
    treat(pen, "10:50", "06:50", corrects=first)
    assert folded(pen).phone()["reentry_until"] == "2031-03-03T10:50:00.000Z"


def test_a_trap_that_could_not_be_read_has_no_catches() -> None:
    """Rule P-3: not readable is not zero."""
    pen = Pen()
    write(pen, "trapped", {"answer": "read", "catches": []}, "08:00")
    assert (folded(pen).trap or {})["catches"] == {}
    write(pen, "trapped", {"answer": "not_readable", "why": "wet"}, "09:00")
    assert (folded(pen).trap or {})["catches"] is None
    caught = [{"pest": "thrips", "count": 3}]
    write(pen, "trapped", {"answer": "read", "catches": caught, "replaced": True}, "10:00")
    assert (folded(pen).trap or {})["catches"] == {"thrips": 3}


def test_a_room_is_held_until_it_is_lifted() -> None:
    """Rule H-3."""
    pen = Pen()
    for reference in ("Q-1", "Q-2"):
        write(pen, "ordered", {"act": "hold", "reference": reference}, "08:00")
    write(pen, "ordered", {"act": "extend", "reference": "Q-3", "days": 3}, "08:30")
    write(pen, "ordered", {"act": "lift", "reference": "L", "lifts": "Q-1"}, "09:00")
    assert list(folded(pen).holds) == ["Q-2"]
    write(pen, "ordered", {"act": "lift", "reference": "L"}, "10:00")
    assert folded(pen).holds == {}


def test_a_breach_is_open_until_it_is_mended() -> None:
    pen = Pen()
    torn = write(pen, "breached", {"what": "screen_torn"}, "05:40")
    other = write(pen, "breached", {"what": "door_open"}, "05:50")
    again = write(pen, "breached", {"what": "screen_torn", "size_cm": 35}, "05:40", corrects=torn)
    write(pen, "repaired", {"what": "tape", "breach": again}, "05:55")
    assert list(folded(pen).breaches) == [other]
    write(pen, "repaired", {"what": "shut"}, "06:00")
    assert folded(pen).breaches == {}


@pytest.mark.parametrize(
    ("kind", "body", "name"),
    [
        ("cleaned", {"product": "quat-4"}, "cleaned_at"),
        ("emptied", {}, "emptied_at"),
        ("readied", {}, "readied_at"),
        ("dosed", {"product": "copper", "percent": 1}, "dosed_at"),
        ("watered", {"minutes": 6}, "watered_at"),
    ],
)
def test_the_last_time_of_an_act_is_known(kind: str, body: dict[str, Any], name: str) -> None:
    pen = Pen()
    write(pen, kind, body, "08:00")
    write(pen, kind, body, "07:00")
    assert folded(pen).as_json()[name] == "2031-03-03T08:00:00.000Z"


def test_the_last_reading_of_each_figure_is_known() -> None:
    pen = Pen()
    figures = [{"what": "ec_ms_cm", "value": 0.9}, {"what": "ph", "value": 6.1}]
    write(pen, "read", {"readings": figures, "pots": 5}, "08:00")
    write(pen, "read", {"readings": [{"what": "ph", "value": 6.3}]}, "09:00")
    state = folded(pen)
    assert {what: figure["value"] for what, figure in state.readings.items()} == {
        "ec_ms_cm": 0.9,
        "ph": 6.3,
    }


def test_what_cannot_be_read_about_a_place_is_doubted() -> None:
    """Rule B-9."""
    pen = Pen()
    write(pen, "hummed", {}, "08:00")
    write(pen, "moved", {"to": "x"}, "08:00")
    assert [doubt.code for doubt in folded(pen).doubts] == ["newer_version"]


def test_a_place_without_entries_is_empty() -> None:
    assert fold.place("room-1", []).phone() == {
        "id": "room-1",
        "inside": [],
        "reentry_until": None,
        "holds": {},
        "positions": {},
        "left_empty": [],
    }
