"""May this be done now? The answers of the story, and of each barrier alone."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from nursery.domain import gates, reentry
from nursery.domain.book import Book
from nursery.domain.gate import OF_BATCHES, Act, Gate
from nursery.domain.place import Place
from nursery.domain.reason import Reason
from tests.domain.house import (
    PAPER,
    TRAYS,
    House,
    day,
    day_1,
    day_2,
    day_3,
    instant,
    term,
    with_terms,
)

Tell = Callable[[House], Any]
MAY_4 = "2031-05-04 07:30"


def ask(house: House, act: str, at: str, subject: str = "t1", person: str | None = None) -> Gate:
    book = house.book()
    if subject in house.rows["place"]:
        place = book.places.get(subject, Place(subject))
        return gates.answer(Act(act), place, book, instant(at), person)
    return gates.answer(Act(act), house.batch(subject), book, instant(at), person)


def told(found: Gate) -> tuple[str, str]:
    return found.answer.value, found.code


def parts(found: Gate) -> list[str]:
    return [part.code for part in found.parts]


HELD = (
    "moving",
    "moving_inside",
    "potting",
    "pruning",
    "taking",
    "sending",
    "planting",
    "releasing",
)


@pytest.mark.parametrize("tray", TRAYS)
@pytest.mark.parametrize("act", HELD)
def test_day_3_stops_every_act_on_every_tray(act: str, tray: str) -> None:
    """Rule G-3; the story, day 3."""
    found = ask(day_3(), act, MAY_4, tray)
    assert told(found) == ("no", "held_provisionally")
    assert found.params["place"] == "room"
    assert found.opens is not None
    assert found.opens.code == "when_lifted"
    assert not found.override_allowed


def test_day_3_lets_only_those_in_whom_the_authority_admits() -> None:
    """Rule G-9; the story, day 3: only W1 and G until P readmits W2."""
    house = day_3()
    assert told(ask(house, "entering", MAY_4, "room", "w2")) == ("yes", "free_to_enter")
    house.order("room", "2031-05-04 09:30", "hold", "EM-77", admits=["w1", "g"])
    at = "2031-05-05 07:00"
    answers = {who: told(ask(house, "entering", at, "bench", who)) for who in ("w1", "w2", "g")}
    assert answers == {
        "w1": ("yes", "free_to_enter"),
        "w2": ("no", "not_admitted"),
        "g": ("yes", "free_to_enter"),
    }
    nobody = ask(house, "entering", at, "room")
    assert (told(nobody), nobody.params["people"]) == (("no", "not_admitted"), ["W1", "G"])
    let_in = {"what": "person", "reference": "LF-12", "person": "w2"}
    house.add("accepted", "room", "2031-06-06 09:00", let_in)
    assert told(ask(house, "entering", "2031-06-07 07:00", "room", "w2")) == (
        "wait",
        "paper_missing",
    )
    house.add("accepted", "room", "2031-06-06 09:00", {**let_in, "photo": PAPER})
    assert told(ask(house, "entering", "2031-06-07 07:00", "room", "w2"))[0] == "yes"
    house.order("room", "2031-06-08 09:00", "lift", "LF-13", lifts="EM-77")
    assert told(ask(house, "entering", "2031-06-08 10:00", "room", "stranger"))[0] == "yes"


def test_leaving_is_always_free() -> None:
    """Rule G-1: no gate hinders leaving, whatever holds."""
    house = treated(day_3(), until="2031-05-18 04:50")
    house.order("room", "2031-05-04 09:30", "hold", "EM-77", admits=["g"])
    assert told(ask(house, "leaving", "2031-05-17 17:00", "room", "w2")) == (
        "yes",
        "leaving_is_free",
    )


@pytest.mark.parametrize(
    ("act", "subject"), [("entering", "t1"), ("leaving", "t1"), ("sending", "room")]
)
def test_an_act_is_asked_of_what_it_is_done_to(act: str, subject: str) -> None:
    with pytest.raises(ValueError, match=act):
        ask(day_1(), act, MAY_4, subject)


INSIDE = {
    "moving": ("no", "not_released"),
    "moving_inside": ("yes", "allowed_inside"),
    "potting": ("no", "consent_missing"),
    "pruning": ("no", "consent_missing"),
    "taking": ("no", "consent_missing"),
    "sending": ("no", "not_released"),
    "planting": ("no", "not_released"),
    "releasing": ("no", "inspection_missing"),
    "treating": ("yes", "allowed_inside"),
}


def test_day_2_answers_for_every_act_on_a_tray_in_quarantine() -> None:
    """Rules G-4, G-5."""
    house = day_2()
    book = house.book()
    found = gates.of_batch(book.batches["t1"], book, instant("2031-03-24 12:00"))
    assert {act.value: told(gate) for act, gate in found.items()} == INSIDE
    assert tuple(found) == OF_BATCHES
    assert found[Act.MOVING].as_json() == {
        "answer": "no",
        "reason": "not_released",
        "params": {"earliest": "2031-08-30", "if": None},
        "opens": {"code": "when_released", "params": {"earliest": "2031-08-30"}},
        "opens_at": None,
        "valid_until": "2031-03-25T02:00:00.000Z",
        "override_allowed": False,
    }


def test_a_batch_without_conditions_is_free_for_every_act() -> None:
    """Rule G-4: quarantine is a condition, not the frame."""
    house = day_1()
    house.row("consignment", "c-1", {"name": "Liners", "without_conditions": True})
    book = house.book()
    found = gates.of_batch(book.batches["t1"], book, instant(MAY_4))
    assert {told(gate) for gate in found.values()} == {("yes", "no_conditions")}


def test_without_a_day_of_release_no_day_is_told() -> None:
    house = day_1()
    house.order("t1", "2031-05-16 10:20", "restart", "Q-09", after_treatment=2)
    assert told(ask(house, "sending", "2031-05-16 11:00")) == ("no", "not_released_no_day")


def consent(house: House, act: str, **more: Any) -> None:
    body = {"what": act, "reference": "P-31", "photo": PAPER, **more}
    house.add("accepted", TRAYS, "2031-03-20 09:00", body)


@pytest.mark.parametrize("act", ["potting", "pruning", "taking"])
def test_consent_opens_the_act_that_it_names(act: str) -> None:
    """Rule G-5."""
    house = day_1()
    consent(house, act)
    assert told(ask(house, act, "2031-03-24 12:00")) == ("yes", "allowed_inside")
    others = {"potting", "pruning", "taking"} - {act}
    assert {told(ask(house, one, "2031-03-24 12:00"))[0] for one in others} == {"no"}


def test_a_permit_may_want_consent_for_moving_inside_the_room_too() -> None:
    """Rule G-5."""
    asked = term("ask", "consent", {"acts": ["moving_inside"]})
    house = with_terms(term("days", "growing_days", {"days": 180}), asked)
    house.arrive("2031-03-03 07:30")
    assert told(ask(house, "moving_inside", MAY_4)) == ("no", "consent_missing")
    assert told(ask(house, "moving_inside", MAY_4, "t2"))[0] == "no"
    consent(house, "moving_inside")
    assert told(ask(house, "moving_inside", MAY_4)) == ("yes", "allowed_inside")


def test_an_act_that_the_permit_says_nothing_of_is_allowed_inside() -> None:
    """Rule G-5: but taking multiplies the plants."""
    house = with_terms(term("days", "growing_days", {"days": 180}))
    house.arrive("2031-03-03 07:30")
    assert told(ask(house, "potting", MAY_4)) == ("yes", "allowed_inside")
    assert told(ask(house, "taking", MAY_4)) == ("no", "consent_missing")


def test_plants_of_a_lost_label_are_no_source_of_cuttings() -> None:
    """Rule G-6; nor is what comes of them."""
    house = day_1()
    consent(house, "taking")
    body = {
        "parents": [{"id": "t3", "left": 48}, {"id": "t5", "left": 45}],
        "children": [{"id": "u", "label": "U", "count": 8, "place": "bench"}],
    }
    house.add("mixed", ("t3", "t5", "u"), "2031-04-30 10:40", body)
    stuck = {
        "batch": {"id": "cut", "label": "CUT", "place": "bench"},
        "cuttings": 9,
        "parents": ["u"],
    }
    house.add("stuck", ("cut", "u"), "2031-05-01 09:00", stuck)
    for name in ("u", "cut"):
        assert "identity_uncertain" in parts(ask(house, "taking", MAY_4, name))
    assert told(ask(house, "moving_inside", MAY_4, "u")) == ("yes", "allowed_inside")


def test_nothing_can_be_done_to_plants_that_are_not() -> None:
    house = day_1()
    house.add("lost", "t1", "2031-03-20 09:00", {"count": 53, "fate": "died", "kept": True})
    assert told(ask(house, "moving_inside", MAY_4)) == ("no", "nothing_alive")


def ready(house: House) -> House:
    """Let everything be met that a release of T1 asks for, on 30 August."""
    for date in ("2031-06-06", "2031-08-27"):
        body = {"inspector": "P", "answer": "nothing", "plants": 53, "active_growth": True}
        house.add("inspected", "t1", f"{date} 09:00", body)
    for week in range(26):
        monday = day("2031-03-03") + timedelta(weeks=week)
        house.looked(f"{monday.isoformat()} 08:30", ["t1"])
    return house


def test_the_notice_waits_for_its_day_and_is_due_on_its_morning() -> None:
    """Rules G-4, Q-1: release is possible from the morning of day 180."""
    house = ready(day_1())
    before = ask(house, "releasing", "2031-08-29 23:59")
    assert told(before) == ("wait", "days_to_go")
    assert before.opens_at == instant("2031-08-30 00:00")
    assert before.opens == Reason("when_day_comes", {"earliest": "2031-08-30"})
    assert told(ask(house, "releasing", "2031-08-30 00:00")) == ("yes", "release_due")


def test_the_notice_comes_too_late_after_the_last_inspection() -> None:
    """Rule Q-8; the story, day 7."""
    found = ask(ready(day_1()), "releasing", "2031-09-04 08:00")
    assert told(found) == ("no", "inspection_too_old")
    assert (found.params["days"], found.params["limit"]) == (8, 7)


def test_after_the_release_plants_may_go() -> None:
    """Rule G-4."""
    house = ready(day_1())
    house.release(("t1",), "2031-08-30 08:30", count=53, plants=[{"id": "t1", "count": 53}])
    at = "2031-08-30 09:00"
    assert {told(ask(house, act, at)) for act in HELD} == {("yes", "released")}
    assert ask(house, "sending", at).params == {"notice": "RN-204"}


def test_a_release_without_the_picture_of_its_notice_lets_nothing_out() -> None:
    """Rule G-8."""
    house = ready(day_1())
    house.release(("t1",), "2031-08-30 08:30", photo=None)
    at = "2031-08-30 09:00"
    answers = {act: told(ask(house, act, at)) for act in HELD}
    waits = {"moving", "sending", "planting", "taking"}
    assert {act for act, answer in answers.items() if answer == ("wait", "paper_missing")} == waits
    assert ask(house, "sending", at).params["ref"] == "RN-204"


PAPERS: dict[str, tuple[str, dict[str, Any], str, str | None]] = {
    "a consent": ("accepted", {"what": "potting", "reference": "P-31"}, "potting", "P-31"),
    "a lift": ("ordered", {"act": "lift", "reference": "LF-12"}, "moving_inside", "LF-12"),
    "the day that was named": (
        "opened",
        {"on": "2031-03-03", "permit": "cq-118"},
        "releasing",
        "CQ-118",
    ),
}


@pytest.mark.parametrize(("kind", "body", "act", "ref"), PAPERS.values(), ids=PAPERS.keys())
def test_what_rests_on_a_paper_waits_for_its_picture(
    kind: str, body: dict[str, Any], act: str, ref: str | None
) -> None:
    """Rule G-8."""
    house = day_1()
    house.add(kind, "t1", "2031-03-20 09:00", body)
    found = ask(house, act, MAY_4)
    missing = [part for part in found.parts if part.code == "paper_missing"]
    assert [part.params["ref"] for part in missing] == [ref]
    assert act == "releasing" or told(found) == ("wait", "paper_missing")


def test_a_parents_paper_counts_for_its_child() -> None:
    """Rule G-8."""
    house = day_1()
    house.release(("t1",), "2031-08-30 08:30", photo=None)
    split = {
        "parents": [{"id": "t1", "left": 40}],
        "children": [{"id": "a", "label": "A", "count": 13, "place": "shade"}],
    }
    house.add("split", ("t1", "a"), "2031-09-01 09:00", split)
    assert told(ask(house, "sending", "2031-09-02 09:00", "a")) == ("wait", "paper_missing")


def miscount(house: House) -> str:
    house.count("t1", 52, "2031-08-30 07:00")
    return "difference"


def contest(house: House) -> str:
    lost = house.add("lost", "t1", "2031-08-28 07:00", {"count": 1, "fate": "died"})
    for plants in (2, 3):
        body = {"count": plants, "fate": "died"}
        house.add("lost", "t1", "2031-08-28 08:00", body, corrects=lost, by=f"w{plants - 1}")
    house.count("t1", 50, "2031-08-29 07:00")
    return "contested"


def twin_label(house: House) -> str:
    house.arrive("2031-08-29 07:30", ["t7"])
    house.add("relabelled", "t7", "2031-08-29 08:00", {"old": "T7", "new": "t 1"})
    return "label_twice"


DOUBTS: dict[str, tuple[Tell, str, str]] = {
    "a figure shuts the release": (miscount, "releasing", "wait"),
    "and lets released plants go": (miscount, "sending", "yes"),
    "a contested record shuts the release": (contest, "releasing", "wait"),
    "and stops what leaves": (contest, "sending", "wait"),
    "so does one label on two trays": (twin_label, "planting", "wait"),
    "which hinders nothing inside": (twin_label, "moving_inside", "yes"),
}


@pytest.mark.parametrize(("tell", "act", "answer"), DOUBTS.values(), ids=DOUBTS.keys())
def test_blocking_doubts(tell: Tell, act: str, answer: str) -> None:
    """Rule G-7."""
    house = ready(day_1())
    if act != "releasing":
        house.release(("t1",), "2031-08-28 06:30")
    code = tell(house)
    found = ask(house, act, "2031-08-30 09:00")
    assert found.answer.value == answer
    doubts = [part.params["code"] for part in found.parts if part.code == "doubt_open"]
    assert (code in doubts) is (answer == "wait")


def test_plants_lost_between_trays_shut_the_release_of_each() -> None:
    """Rules G-7, L-4."""
    house = ready(day_1())
    body = {
        "parents": [{"id": "t1", "left": 48}, {"id": "t5", "left": 47}],
        "children": [{"id": "u", "label": "U", "count": 7, "place": "bench"}],
    }
    house.add("mixed", ("t1", "t5", "u"), "2031-08-28 10:40", body)
    found = ask(house, "releasing", "2031-08-30 09:00")
    doubts = [part.params["code"] for part in found.parts if part.code == "doubt_open"]
    assert doubts == ["group_difference"]


def newer(house: House) -> None:
    house.add("held_by_law", "t1", "2031-03-20 09:00", {})


def unreadable(house: House) -> None:
    house.add("ordered", "t1", "2031-03-20 09:00", {"act": "hold"})


@pytest.mark.parametrize("tell", [newer, unreadable])
@pytest.mark.parametrize("free", [True, False])
@pytest.mark.parametrize("act", HELD)
def test_what_nobody_can_read_opens_nothing(tell: Tell, act: str, free: bool) -> None:
    """Rule G-2: it may be an order to hold, conditions or none."""
    house = day_1()
    if free:
        house.row("consignment", "c-1", {"name": "Liners", "without_conditions": True})
    tell(house)
    found = ask(house, act, MAY_4)
    assert "cannot_read" in parts(found)
    assert found.answer.value in ("cannot_tell", "no")


def test_a_batch_that_nothing_brought_in_cannot_be_told_of() -> None:
    """Rule G-2."""
    house = House()
    house.count("t9", 5, "2031-03-20 09:00")
    assert told(ask(house, "moving_inside", MAY_4, "t9")) == ("cannot_tell", "cannot_read")


def test_a_permit_that_nobody_typed_cannot_be_told_of() -> None:
    """Rules G-2, Q-3."""
    house = day_1()
    house.rows["permit"].clear()
    assert told(ask(house, "moving_inside", MAY_4)) == ("cannot_tell", "permit_unknown")
    found = ask(house, "releasing", MAY_4)
    assert told(found) == ("cannot_tell", "permit_unknown")


def treated(house: House, until: str | None, about: tuple[str, ...] = (*TRAYS, "room")) -> House:
    """Spray on Saturday 17 May 2031, 16:30 to 16:50."""
    body = {
        "product": "soap",
        "started_at": "2031-05-17T06:30:00.000Z",
        "ended_at": "2031-05-17T06:50:00.000Z",
    }
    if until is not None:
        moment = instant(until).strftime("%Y-%m-%dT%H:%M:%S.000Z")
        body["reentry_until"] = moment
    house.add("treated", about, "2031-05-17 16:50", body)
    return house


@pytest.mark.parametrize("about", [("room",), ("bench",), ("veshmere",), ("t1",)])
@pytest.mark.parametrize("place", ["room", "bench", "trap-a"])
def test_nobody_enters_before_re_entry_is_over(about: tuple[str, ...], place: str) -> None:
    """Rule P-2; the story, day 4: the dawn task of the 18th waits until 04:50."""
    house = treated(day_1(), "2031-05-18 04:50", about)
    before = ask(house, "entering", "2031-05-18 04:49", place, "w1")
    assert (told(before), before.opens_at) == (("wait", "reentry"), instant("2031-05-18 04:50"))
    assert before.params == {"until": "2031-05-17T18:50:00.000Z"}
    assert told(ask(house, "entering", "2031-05-18 04:50", place, "w1")) == ("yes", "free_to_enter")


def test_re_entry_of_one_room_shuts_no_other() -> None:
    house = treated(day_1(), "2031-05-18 04:50")
    assert told(ask(house, "entering", "2031-05-17 17:00", "shade"))[0] == "yes"


def test_plants_that_were_moved_leave_the_poison_where_it_was() -> None:
    house = day_1()
    house.add("moved", "t1", "2031-05-01 08:00", {"to": "shade"})
    house.add("moved", "t1", "2031-05-18 03:00", {"to": "bench"})
    treated(house, "2031-05-18 04:50", ("t1",))
    at = "2031-05-18 04:00"
    assert told(ask(house, "entering", at, "shade"))[0] == "wait"
    assert told(ask(house, "entering", at, "bench"))[0] == "yes"


def test_plants_in_a_room_under_re_entry_wait_as_well() -> None:
    """Rule P-2: but a notice is typed at the desk."""
    house = treated(day_1(), "2031-05-18 04:50")
    at = "2031-05-17 17:00"
    assert told(ask(house, "moving_inside", at)) == ("wait", "reentry")
    assert "reentry" not in parts(ask(house, "releasing", at))


def test_the_latest_of_several_re_entry_times_counts() -> None:
    """Rule P-2."""
    house = treated(day_1(), "2031-05-18 04:50")
    treated(house, "2031-05-18 02:00")
    treated(house, "2031-05-19 02:00", ("bench",))
    found = ask(house, "entering", "2031-05-18 05:00", "room")
    assert found.opens_at == instant("2031-05-19 02:00")


def test_a_treatment_that_states_no_re_entry_shuts_until_somebody_says() -> None:
    """Rules P-2, G-2."""
    house = treated(day_1(), None)
    treated(house, "2031-05-18 04:50")
    found = ask(house, "entering", "2031-05-17 17:00", "room")
    assert told(found) == ("wait", "reentry_unknown")
    assert (found.opens_at, parts(found)) == (None, ["reentry_unknown", "reentry"])
    entry = found.params["treatment"]
    assert reentry.of_rooms(house.book())["room"].unknown == (entry,)
    settled = {"doubt": f"reentry_missing:{entry}", "reason": "the label states none"}
    house.add("settled", (*TRAYS, "room"), "2031-05-17 17:05", settled)
    assert told(ask(house, "entering", "2031-05-18 05:00", "room"))[0] == "yes"


def test_a_wait_is_over_with_the_last_of_its_waits() -> None:
    """Rule G-1."""
    house = treated(ready(day_1()), "2031-05-18 04:50")
    house.order("t1", "2031-05-01 09:00", "extend", "E-1", photo=None, days=0)
    found = ask(house, "moving_inside", "2031-05-17 17:00")
    assert (found.answer.value, found.opens_at) == ("wait", None)
    assert set(parts(found)) == {"paper_missing", "reentry"}


def test_a_place_that_nobody_described_cannot_be_told_of() -> None:
    """Rule G-2."""
    book = Book(day_1().book().zone, {}, {}, {}, [])
    found = gates.answer(Act.ENTERING, Place("attic"), book, instant(MAY_4))
    assert told(found) == ("cannot_tell", "unknown_place")


def test_a_record_about_a_place_that_nobody_can_read_shuts_it() -> None:
    """Rule G-2."""
    house = day_1()
    house.add("fumigated", "room", "2031-03-20 09:00", {})
    assert told(ask(house, "entering", MAY_4, "room")) == ("cannot_tell", "cannot_read")


def test_a_note_about_a_place_shuts_nothing() -> None:
    house = day_1()
    house.add("watered", "room", "2031-03-20 09:00", {}, confirmed=False)
    assert told(ask(house, "entering", MAY_4, "room")) == ("yes", "free_to_enter")


HOLDS: dict[str, tuple[list[tuple[str | tuple[str, ...], dict[str, Any]]], bool]] = {
    "an order about the tray": ([("t1", {"act": "hold", "ref": "H-1"})], True),
    "an order about another tray": ([("t2", {"act": "hold", "ref": "H-1"})], False),
    "an order about the room": ([("room", {"act": "hold", "ref": "H-1"})], True),
    "an order about the nursery": ([("veshmere", {"act": "hold", "ref": "H-1"})], True),
    "an order about another room": ([("shade", {"act": "hold", "ref": "H-1"})], False),
    "one that was lifted": (
        [
            ("t1", {"act": "hold", "ref": "H-1"}),
            ("t1", {"act": "lift", "ref": "L", "lifts": "H-1"}),
        ],
        False,
    ),
    "one of two that was lifted": (
        [
            ("t1", {"act": "hold", "ref": "H-1"}),
            ("t1", {"act": "hold", "ref": "H-2"}),
            ("t1", {"act": "lift", "ref": "L", "lifts": "H-1"}),
        ],
        True,
    ),
    "two that were lifted at once": (
        [
            ("t1", {"act": "hold", "ref": "H-1"}),
            ("room", {"act": "hold", "ref": "H-2"}),
            (("t1", "room"), {"act": "lift", "ref": "L"}),
        ],
        False,
    ),
    "an order about the room, lifted for the tray": (
        [
            ("room", {"act": "hold", "ref": "H-1"}),
            ("t1", {"act": "lift", "ref": "L", "lifts": "H-1"}),
        ],
        False,
    ),
    "an order about the room, and a lift of another for the tray": (
        [
            ("room", {"act": "hold", "ref": "H-1"}),
            ("t1", {"act": "lift", "ref": "L", "lifts": "H-9"}),
        ],
        True,
    ),
    "an order to do something else": ([("t1", {"act": "extend", "ref": "H-1", "days": 3})], False),
}


@pytest.mark.parametrize(("orders", "holds"), HOLDS.values(), ids=HOLDS.keys())
def test_orders_to_hold(
    orders: list[tuple[str | tuple[str, ...], dict[str, Any]]], holds: bool
) -> None:
    """Rules G-3, H-3."""
    house = day_1()
    for hour, (about, order) in enumerate(orders):
        house.order(about, f"2031-03-20 {10 + hour}:00", **order)
    found = ask(house, "moving_inside", MAY_4)
    assert (found.answer.value == "no") is holds
    if holds:
        assert found.code in ("held_by_order", "held_by_place_order")


def test_what_was_moved_out_of_a_held_room_stays_held() -> None:
    """Rule G-3."""
    house = day_1()
    house.add("moved", "t2", "2031-03-19 10:00", {"to": "shade"})
    house.order("room", "2031-03-20 10:00", "hold", "H-1")
    house.add("moved", "t1", "2031-03-20 11:00", {"to": "shade"})
    assert told(ask(house, "moving_inside", MAY_4)) == ("no", "held_by_place_order")
    assert told(ask(house, "moving_inside", MAY_4, "t2"))[0] == "yes"


def kin(house: House, kind: str, at: str) -> None:
    body = {
        "parents": [{"id": "t1", "left": 43}],
        "children": [{"id": "kid", "label": "KID", "count": 10, "place": "shade"}],
    }
    house.add(kind, ("t1", "kid"), at, body)


KIN: dict[str, tuple[str, str, str | None, bool]] = {
    "held when it was born": ("split", "2031-03-21 09:00", None, True),
    "though its parent was freed later": ("split", "2031-03-21 09:00", "t1", True),
    "until it is freed itself": ("split", "2031-03-21 09:00", "kid", False),
    "not held, born before": ("split", "2031-03-19 09:00", None, False),
    "held, as it may be of its parent": ("mixed", "2031-03-19 09:00", None, True),
    "free, born after the lift": ("split", "2031-03-23 09:00", "t1", False),
}


@pytest.mark.parametrize(("kind", "born", "freed", "holds"), KIN.values(), ids=KIN.keys())
def test_children_inherit_holds_at_birth(
    kind: str, born: str, freed: str | None, holds: bool
) -> None:
    """Rules G-3, E-5."""
    house = day_1()
    house.order("t1", "2031-03-20 10:00", "hold", "H-1")
    if freed is not None:
        house.add("noted", "kid", "2031-03-18 09:00", {"text": "seed"}, by="g")
        house.order(freed, "2031-03-22 10:00", "lift", "L-1")
    kin(house, kind, born)
    found = ask(house, "moving_inside", MAY_4, "kid")
    assert ("held_by_order" in parts(found)) is holds


def test_a_rule_says_how_long_a_phones_answer_is_good() -> None:
    """Rule G-10."""
    house = with_terms(term("age", "gate_age", {"hours": 6}))
    house.arrive("2031-03-03 07:30")
    now = instant(MAY_4)
    assert ask(house, "moving", MAY_4).valid_until == now + timedelta(hours=6)
    assert ask(house, "entering", MAY_4, "bench").valid_until == now + timedelta(hours=6)
    assert ask(house, "entering", MAY_4, "shade").valid_until == now + gates.FRESH
    assert ask(day_1(), "moving", MAY_4).valid_until == now + gates.FRESH


def test_a_breach_stops_what_stands_in_its_room() -> None:
    """Rule E-7; the story, day 6."""
    house = day_1()
    house.add("breached", "room", "2031-08-13 05:40", {"what": "tear"}, by="w1")
    found = ask(house, "moving_inside", "2031-08-13 06:00")
    assert told(found) == ("no", "held_by_breach")
    assert found.opens == Reason("when_decided")


def test_an_ordered_hold_of_a_find_is_told_with_its_order() -> None:
    house = day_3()
    house.order(TRAYS, "2031-05-16 10:20", "treat", "Q-09", times=2)
    found = ask(house, "moving_inside", "2031-05-16 11:00")
    assert (told(found), found.params["reference"]) == (("no", "held_by_find"), "Q-09")
