"""What falls due, what answered it, and how many traps a room needs."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from nursery.domain import checks, conditions, reference, rounds
from nursery.domain.due_check import Check, ident, periods
from nursery.domain.kinds.shape import Count
from nursery.domain.terms import Area, Rounding, Traps
from tests.domain.house import (
    PAPER,
    ROWS,
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


def due(house: House, first: str, last: str, kind: str | None = None) -> list[Check]:
    found = checks.due(house.book(), day(first), day(last))
    return [check for check in found if kind is None or check.kind == kind]


def by_subject(found: list[Check]) -> dict[str, Check]:
    assert len({check.subject for check in found}) == len(found)
    return {check.subject: check for check in found}


def test_day_1_makes_five_trap_checks_for_its_week() -> None:
    """Rule C-5; the story, day 1."""
    found = due(day_1(), "2031-03-03", "2031-03-09", "trap")
    traps = ["trap-a", "trap-b", "trap-door", "trap-vent-1", "trap-vent-2"]
    assert sorted(check.subject for check in found) == traps
    assert {check.due_by for check in found} == {instant("2031-03-09 23:59:59.999")}
    assert {check.answered_by for check in found} == {None}


def test_day_1_asks_for_official_inspection_1_while_flushing() -> None:
    """Rule C-7; the story, day 1."""
    found = due(day_1(), "2031-03-03", "2031-03-09", "inspection")
    assert [check.params for check in found] == [{"number": 1, "active_growth": True}] * 6
    assert {check.due_by for check in found} == {instant("2031-08-30 23:59:59.999")}


def test_day_2_answers_four_traps_and_asks_to_replace_the_fifth_next_day() -> None:
    """Rules C-5, P-3; the story, day 2: vent 2 was not read, and is not zero."""
    found = by_subject(due(day_2(), "2031-03-24", "2031-03-30", "trap"))
    read = {name for name, check in found.items() if check.answered_by is not None}
    assert read == {"trap-a", "trap-b", "trap-door", "trap-vent-1"}
    vent = found["trap-vent-2"]
    assert vent.open
    (replace,) = due(day_2(), "2031-03-24", "2031-03-30", "replace_trap")
    assert (replace.subject, replace.due_by) == ("trap-vent-2", instant("2031-03-25 23:59:59.999"))
    assert replace.params == {"not_readable": vent.params["not_readable"], "why": "wet"}


def test_day_2_has_looked_over_every_tray_with_person_and_minutes() -> None:
    """Rule C-3; the story, day 2."""
    house = day_2()
    found = by_subject(due(house, "2031-03-24", "2031-03-30", "look_over"))
    looks = {one.id: one for one in house.entries if one.kind == "looked"}
    assert sorted(found) == list(TRAYS)
    for check in found.values():
        look = looks[str(check.answered_by)]
        assert (look.author, look.body.minutes) == ("w1", 9)


def test_day_3_asks_for_a_look_at_the_citrus() -> None:
    """Rule E-6; the story, day 3: look-over due, the authority decides."""
    house = day_3()
    (check,) = due(house, "2031-05-04", "2031-05-10", "look_elsewhere")
    assert (check.subject, check.params["people"], check.open) == ("citrus", ["w2"], True)
    assert check.due_by == instant("2031-05-04 23:59:59.999")
    (later,) = due(house, "2031-06-01", "2031-06-07", "look_elsewhere")
    assert later.id == check.id


def test_a_room_with_the_same_tools_is_looked_over_too() -> None:
    """Rule E-11."""
    house = day_3()
    for place, kind in (("room", "room"), ("shade", "house")):
        row = {"name": place, "kind": kind, "parent": "veshmere", "shares": ["red pruner"]}
        house.row("place", place, row)
    found = by_subject(due(house, "2031-05-04", "2031-05-10", "look_elsewhere"))
    assert (found["shade"].params["people"], found["shade"].params["things"]) == (
        [],
        ["red pruner"],
    )


def test_a_look_at_the_place_itself_answers_it() -> None:
    house = day_3()
    house.add("looked", "citrus", "2031-05-03 08:00", {"answer": "nothing"}, by="w1")
    house.add("looked", "citrus", "2031-05-05 08:00", {"answer": "not_looked"}, by="w1")
    look = house.add("looked", "citrus", "2031-05-06 08:00", {"answer": "nothing"}, by="w1")
    (check,) = due(house, "2031-05-04", "2031-05-10", "look_elsewhere")
    assert check.answered_by == look
    assert due(house, "2031-05-07", "2031-05-10", "look_elsewhere") == []


def test_a_look_at_everything_that_grows_there_answers_it() -> None:
    house = day_3()
    for name in ("lemon", "fig"):
        new = {"id": name, "label": name, "place": "citrus"}
        house.add("sown", name, "2031-01-05 08:00", {"batch": new, "seeds": 9})
    first = house.add("looked", "lemon", "2031-05-05 08:00", {"answer": "nothing"}, by="w1")
    assert due(house, "2031-05-04", "2031-05-10", "look_elsewhere")[0].open
    last = house.add("looked", "fig", "2031-05-05 09:00", {"answer": "nothing"}, by="w1")
    (check,) = due(house, "2031-05-04", "2031-05-10", "look_elsewhere")
    assert check.answered_by == last != first


def test_a_mis_tap_asks_for_no_look_elsewhere() -> None:
    house = day_3()
    find = next(one.id for one in house.entries if one.kind == "found")
    body = {"doubt": f"suspicion:{find}", "reason": "a drop of water"}
    house.add("settled", "t4", "2031-05-04 08:00", body)
    assert due(house, "2031-05-04", "2031-05-10", "look_elsewhere") == []


def test_thirty_eight_weeks_from_3_march_to_23_november() -> None:
    """Rule C-1; the story, day 7: the week of the release, which came on a Monday, asks nothing."""
    house = day_1()
    house.release(TRAYS, "2031-11-24 08:30")
    found = due(house, "2031-03-03", "2031-12-31", "look_over")
    weeks = [check.params["week_of"] for check in found if check.subject == "t1"]
    assert (len(weeks), weeks[0], weeks[-1]) == (38, "2031-03-03", "2031-11-17")


def test_ids_stay_whatever_days_are_asked_for_and_whatever_comes_in() -> None:
    """Rule C-1."""
    whole = {check.id for check in due(day_2(), "2031-03-03", "2031-04-30")}
    assert {check.id for check in due(day_2(), "2031-03-26", "2031-03-27")} <= whole
    assert {check.id for check in due(day_1(), "2031-03-24", "2031-03-30")} <= whole
    assert all(len(name) <= 64 for name in whole)


def look(house: House, at: str, answer: str = "nothing", **more: Any) -> str:
    return house.add("looked", "t1", at, {"answer": answer, **more}, by="w1")


def week(house: House, monday: str = "2031-03-10") -> Check:
    (check,) = [c for c in due(house, monday, monday, "look_over") if c.subject == "t1"]
    return check


ANSWERS: dict[str, tuple[str, str, bool]] = {
    "on its first minute": ("2031-03-10 00:00", "nothing", True),
    "on its last": ("2031-03-16 23:59", "nothing", True),
    "the evening before": ("2031-03-09 23:59", "nothing", False),
    "after it": ("2031-03-17 00:00", "nothing", False),
    "with a find": ("2031-03-12 08:00", "found", True),
    "without looking": ("2031-03-12 08:00", "not_looked", False),
}


@pytest.mark.parametrize(("at", "answer", "counts"), ANSWERS.values(), ids=ANSWERS.keys())
def test_a_look_answers_the_week_in_which_it_was_made(at: str, answer: str, counts: bool) -> None:
    """Rules C-1, C-4: in days of the nursery's zone; a blank is no answer."""
    house = day_1()
    entry = look(house, at, answer)
    assert (week(house).answered_by == entry) is counts


def test_not_looked_is_told_apart_with_its_reason() -> None:
    """Rule C-4."""
    house = day_1()
    blank = look(house, "2031-03-12 08:00", "not_looked", why="lights off")
    check = week(house)
    assert (check.answered_by, check.skipped_by, check.why) == (None, blank, "lights off")
    assert not check.open
    done = look(house, "2031-03-13 08:00")
    check = week(house)
    assert (check.answered_by, check.skipped_by, check.why) == (done, None, None)


def test_a_week_not_done_is_shown_with_its_reason_and_may_be_accepted() -> None:
    """Rule C-4; the story, days 6 and 7: neither blank nor nil."""
    house = day_1()
    name = week(house).id
    said = house.add("skipped", TRAYS, "2031-03-17 08:00", {"check": name, "reason": "screen"})
    body = {"what": "week", "reference": "AC-5", "week_of": "2031-03-10", "photo": PAPER}
    accepted = house.add("accepted", TRAYS, "2031-11-20 08:00", body)
    check = week(house)
    assert (check.skipped_by, check.why, check.accepted_by) == (said, "screen", accepted)
    assert check.as_json()["accepted_by"] == accepted
    assert week(house, "2031-03-17").accepted_by is None


GONE: dict[str, tuple[str, bool, int]] = {
    "plants that died out in a week owe nothing for it": ("lost", False, 1),
    "but what was done in it stands": ("lost", True, 2),
    "released plants owe nothing for the week": ("released", False, 1),
    "and what was done before it stands": ("released", True, 2),
}


@pytest.mark.parametrize(("how", "looked", "weeks"), GONE.values(), ids=GONE.keys())
def test_plants_that_go_within_a_week(how: str, looked: bool, weeks: int) -> None:
    """Rule C-3."""
    house = day_1()
    look(house, "2031-03-05 08:00")
    if looked:
        look(house, "2031-03-11 08:00")
    if how == "lost":
        house.add("lost", "t1", "2031-03-12 08:00", {"count": 53, "fate": "destroyed"})
    else:
        house.release(("t1",), "2031-03-12 08:00")
    found = [c for c in due(house, "2031-03-01", "2031-04-30", "look_over") if c.subject == "t1"]
    assert len(found) == weeks


@pytest.mark.parametrize("every_days", [None, 1, 3, 10, 28])
def test_plants_that_are_gone_are_left_out_only_once_their_last_period_is_over(
    every_days: int | None,
) -> None:
    """Rules C-1 to C-3; the reference looks through the periods of all plants."""
    says = {} if every_days is None else {"every_days": every_days}
    house = with_terms(term("look", "look_over", says))
    house.arrive("2031-03-03 07:30", ["t1", "t2"])
    for name, on in (("t1", "2031-03-12"), ("t2", "2031-04-03")):
        house.count(name, 5, "2031-03-03 08:00")
        house.looked(f"{on} 07:00", [name])
        house.add("lost", name, f"{on} 08:00", {"count": 5, "fate": "destroyed"})
    told = 0
    for n in range(60):
        quick, whole = house.book(), house.book()
        whole.given(conditions.longest_period, 1000)
        days = day("2031-03-03") + timedelta(days=n), day("2031-06-01")
        found = list(rounds.look_overs(quick, *days))
        assert found == list(rounds.look_overs(whole, *days))
        told += len(found)
    assert told > 0


def test_every_three_days_counts_from_arrival_and_a_late_look_moves_nothing() -> None:
    """Rule C-2."""
    house = with_terms(term("look", "look_over", {"every_days": 3}))
    house.arrive("2031-03-03 07:30", ["t1"])
    look(house, "2031-03-05 08:00")
    look(house, "2031-03-08 08:00")
    found = due(house, "2031-03-04", "2031-03-12", "look_over")
    periods_of = [(c.params["week_of"], c.answered_by is not None) for c in found]
    assert periods_of == [
        ("2031-03-03", True),
        ("2031-03-06", True),
        ("2031-03-09", False),
        ("2031-03-12", False),
    ]


def test_a_newer_term_asks_from_the_first_period_that_begins_under_it() -> None:
    """Rules C-3, T-1."""
    newer = term("fast", "look_over", {"every_days": 1}, since="2031-03-12", reaches_running=True)
    house = with_terms(term("look", "look_over", {}), newer)
    house.arrive("2031-03-03 07:30", ["t1"])
    found = due(house, "2031-03-10", "2031-03-14", "look_over")
    assert sorted((c.term, c.params["week_of"]) for c in found) == [
        ("fast", "2031-03-12"),
        ("fast", "2031-03-13"),
        ("fast", "2031-03-14"),
        ("look", "2031-03-10"),
    ]


def own(
    ident: str, rule: str, says: dict[str, Any], **where: Any
) -> tuple[str, str, dict[str, Any]]:
    return "due_rule", ident, {"term": term(ident, rule, says, source="own rule"), **where}


def without_permit(*rules: tuple[str, str, dict[str, Any]]) -> House:
    house = House([*ROWS, *rules])
    for name, place, crop in (("lemon", "citrus", "lemon"), ("fig", "shade", "fig")):
        new = {"id": name, "label": name, "place": place, "crop": crop}
        house.add("sown", name, "2031-03-03 08:00", {"batch": new, "seeds": 9})
    return house


WHERE: dict[str, tuple[dict[str, Any], list[str]]] = {
    "of the whole nursery": ({}, ["fig", "lemon"]),
    "of a place": ({"places": ["citrus"]}, ["lemon"]),
    "of all that is inside a place": ({"places": ["veshmere"]}, ["fig", "lemon"]),
    "of a crop": ({"crops": ["fig"]}, ["fig"]),
    "of a crop that stands elsewhere": ({"crops": ["fig"], "places": ["citrus"]}, []),
}


@pytest.mark.parametrize(("where", "subjects"), WHERE.values(), ids=WHERE.keys())
def test_a_rule_of_the_nurserys_own(where: dict[str, Any], subjects: list[str]) -> None:
    """Rule T-4: it needs no permit."""
    house = without_permit(own("scout", "look_over", {}, **where))
    found = due(house, "2031-03-03", "2031-03-09", "look_over")
    assert sorted(check.subject for check in found) == subjects


def test_a_rule_of_the_nurserys_own_begins_on_its_date() -> None:
    """Rule T-4."""
    rule = ("due_rule", "scout", {"term": term("scout", "look_over", {}, since="2031-03-20")})
    house = without_permit(rule)
    assert due(house, "2031-03-03", "2031-03-16", "look_over") == []
    assert len(due(house, "2031-03-24", "2031-03-30", "look_over")) == 2


def trap(house: House, at: str, answer: str = "read", where: str = "trap-a", **more: Any) -> str:
    return house.add("trapped", where, at, {"answer": answer, **more}, by="w1")


def test_a_trap_out_of_use_is_not_read() -> None:
    """Rule C-5."""
    house = day_1()
    row = {"name": "A", "kind": "trap", "parent": "room"}
    house.row("place", "trap-a", {**row, "since": "2031-03-20", "until": "2031-04-10"})
    weeks = [
        c.params["week_of"]
        for c in due(house, "2031-03-03", "2031-04-30", "trap")
        if c.subject == "trap-a"
    ]
    assert weeks == ["2031-03-17", "2031-03-24", "2031-03-31"]


def test_traps_of_a_room_are_read_while_plants_under_conditions_stand_in_it() -> None:
    """Rule C-5."""
    house = day_1()
    house.release(TRAYS, "2031-03-24 08:30")
    found = due(house, "2031-02-01", "2031-04-30", "trap")
    assert sorted({c.params["week_of"] for c in found}) == [
        "2031-03-03",
        "2031-03-10",
        "2031-03-17",
    ]


def test_a_trap_is_skipped_with_a_reason() -> None:
    """Rule C-4."""
    house = day_1()
    check = by_subject(due(house, "2031-03-03", "2031-03-03", "trap"))["trap-a"]
    said = house.add(
        "skipped", "trap-a", "2031-03-08 08:00", {"check": check.id, "reason": "wasps"}
    )
    check = by_subject(due(house, "2031-03-03", "2031-03-03", "trap"))["trap-a"]
    assert (check.skipped_by, check.why, check.answered_by) == (said, "wasps", None)


REPLACED: dict[str, tuple[dict[str, Any], bool]] = {
    "by a new one": ({"answer": "not_readable", "replaced": True}, True),
    "and could be read after all": ({"answer": "read"}, True),
    "and could not be read again": ({"answer": "not_readable"}, False),
}


@pytest.mark.parametrize(("later", "done"), REPLACED.values(), ids=REPLACED.keys())
def test_an_unreadable_trap_is_to_be_replaced(later: dict[str, Any], done: bool) -> None:
    """Rule C-5."""
    house = day_1()
    first = trap(house, "2031-03-05 08:00", "not_readable")
    second = house.add("trapped", "trap-a", "2031-03-06 08:00", later)
    found = {
        c.params["not_readable"]: c for c in due(house, "2031-03-05", "2031-03-09", "replace_trap")
    }
    assert (found[first].answered_by == second) is done
    assert due(house, "2031-02-01", "2031-03-04", "replace_trap") == []
    later_on = due(house, "2031-03-20", "2031-03-26", "replace_trap")
    assert (first in {c.params["not_readable"] for c in later_on}) is not done


def test_a_replacement_is_skipped_with_a_reason() -> None:
    house = day_1()
    trap(house, "2031-03-05 08:00", "not_readable")
    (check,) = due(house, "2031-03-05", "2031-03-05", "replace_trap")
    body = {"check": check.id, "reason": "none in stock"}
    said = house.add("skipped", "trap-a", "2031-03-06 08:00", body)
    (check,) = due(house, "2031-03-05", "2031-03-05", "replace_trap")
    assert (check.skipped_by, check.why) == (said, "none in stock")


def test_where_no_term_says_so_an_unreadable_trap_is_only_noted() -> None:
    house = with_terms(term("read", "trap_reading", {}))
    house.arrive("2031-03-03 07:30")
    trap(house, "2031-03-05 08:00", "not_readable")
    assert due(house, "2031-03-05", "2031-03-09", "replace_trap") == []


def test_an_instrument_is_read_in_the_room_at_its_places_or_its_plants() -> None:
    """Rule C-8."""
    house = with_terms(
        term("ph", "reading", {"what": "ph"}), term("ec", "reading", {"what": "ec_ms_cm"})
    )
    house.arrive("2031-03-03 07:30")
    ph = {"readings": [{"what": "ph", "value": 6.1}]}
    done = house.add("read", "t3", "2031-03-05 08:00", ph)
    house.add("read", "bench", "2031-03-06 08:00", ph)
    ec = next(c for c in due(house, "2031-03-03", "2031-03-09", "reading") if c.term == "ec")
    said = house.add("skipped", "room", "2031-03-09 08:00", {"check": ec.id, "reason": "battery"})
    found = {c.params["what"]: c for c in due(house, "2031-03-03", "2031-03-09", "reading")}
    assert (found["ph"].subject, found["ph"].answered_by) == ("room", done)
    assert (found["ec_ms_cm"].skipped_by, found["ec_ms_cm"].why) == (said, "battery")


def inspect(house: House, at: str, **more: Any) -> str:
    body = {"inspector": "P", "answer": "nothing", "plants": 53, "active_growth": True, **more}
    return house.add("inspected", "t1", at, body)


def test_nothing_is_asked_of_a_batch_that_nothing_brought_in() -> None:
    house = without_permit(own("scout", "look_over", {}))
    house.count("ghost", 5, "2031-03-03 08:00")
    found = due(house, "2031-03-03", "2031-03-09", "look_over")
    assert sorted(check.subject for check in found) == ["fig", "lemon"]


def test_the_last_inspection_opens_seven_days_before_the_release() -> None:
    """Rule C-7."""
    house = day_1()
    first = inspect(house, "2031-06-06 09:00")
    found = [c for c in due(house, "2031-08-01", "2031-08-31", "inspection") if c.subject == "t1"]
    assert [(c.params["number"], c.opens_at) for c in found] == [(2, instant("2031-08-23 00:00"))]
    found = [c for c in due(house, "2031-06-01", "2031-06-30", "inspection") if c.subject == "t1"]
    assert [(c.params["number"], c.answered_by) for c in found] == [(1, first)]


def no_inspection_is_due(house: House) -> bool:
    return not [
        c for c in due(house, "2031-06-01", "2031-06-30", "inspection") if c.subject == "t1"
    ]


def test_no_inspection_is_due_without_a_day_of_release() -> None:
    """Rule C-7."""
    house = day_1()
    house.order("t1", "2031-05-16 10:20", "restart", "Q-09", after_treatment=2)
    assert no_inspection_is_due(house)


def test_no_inspection_is_due_for_plants_that_are_gone_or_released() -> None:
    house = day_1()
    house.add("lost", "t1", "2031-05-16 08:00", {"count": 53, "fate": "destroyed"})
    assert no_inspection_is_due(house)
    house = day_1()
    house.release(("t1",), "2031-05-16 08:00")
    assert no_inspection_is_due(house)


def test_the_next_treatment_of_a_course_is_due_when_it_counts() -> None:
    """Rule C-7."""
    house = day_1()
    house.order("t1", "2031-05-16 10:20", "treat", "Q-09", times=2, interval_days=10)
    (check,) = due(house, "2031-05-16", "2031-05-20", "treatment")
    assert (check.params, check.opens_at) == (
        {"reference": "Q-09", "number": 1, "of": 2},
        instant("2031-05-16 00:00"),
    )
    body = {
        "product": "soap",
        "started_at": "2031-05-17T06:30:00.000Z",
        "ended_at": "2031-05-17T06:50:00.000Z",
        "order": "Q-09",
    }
    house.add("treated", "t1", "2031-05-17 16:50", body)
    house.add(
        "booked",
        "t1",
        "2031-05-17 17:00",
        {"act": "treatment", "on": "2031-05-28", "order": "Q-09"},
    )
    assert due(house, "2031-05-18", "2031-05-26", "treatment") == []
    (check,) = due(house, "2031-05-18", "2031-05-27", "treatment")
    assert (check.opens_at, check.due_by) == (
        instant("2031-05-27 00:00"),
        instant("2031-05-28 23:59:59.999"),
    )
    house.add("lost", "t1", "2031-05-18 08:00", {"count": 53, "fate": "destroyed"})
    assert due(house, "2031-05-20", "2031-05-30", "treatment") == []


def test_a_course_that_is_done_asks_for_no_more() -> None:
    house = day_1()
    house.order("t1", "2031-05-16 10:20", "treat", "Q-09")
    body = {
        "product": "soap",
        "started_at": "2031-05-17T06:30:00.000Z",
        "ended_at": "2031-05-17T06:50:00.000Z",
        "order": "Q-09",
    }
    house.add("treated", "t1", "2031-05-17 16:50", body)
    assert due(house, "2031-05-16", "2031-05-30", "treatment") == []


def room(**more: Any) -> reference.Place:
    raw = {"name": "Room", "kind": "room", "floor_m2": 24, "bench_m2": 15, "doors": 1, "vents": 2}
    row = reference.read("place", "room", {**raw, **more})
    assert isinstance(row, reference.Place)
    return row


def rule(area: Area = Area.FLOOR, m2: float = 15, door: int = 1, vent: int = 1) -> Traps:
    return Traps(m2, area, Count(door), Count(vent))


WANTED: dict[str, tuple[Traps, dict[str, Any], tuple[int, int, int | None]]] = {
    "by floor, the story": (rule(), {}, (5, 2, 4)),
    "by bench": (rule(Area.BENCH), {}, (4, 1, 5)),
    "none at openings": (rule(door=0, vent=0), {}, (2, 2, 1)),
    "exactly two shares": (rule(), {"floor_m2": 30}, (5, 2, 4)),
    "a little more than two": (rule(), {"floor_m2": 30.01}, (6, 3, 4)),
    "decimals that no binary fraction holds": (rule(m2=1.4), {"floor_m2": 4.2}, (6, 3, 14)),
    "the other area unmeasured": (rule(), {"bench_m2": None}, (5, 2, None)),
}


@pytest.mark.parametrize(("says", "size", "wanted"), WANTED.values(), ids=WANTED.keys())
def test_traps_wanted(
    says: Traps, size: dict[str, Any], wanted: tuple[int, int, int | None]
) -> None:
    """Rule C-6: the answer says which area it used, and what the other would give."""
    found = checks.traps_wanted(room(**size), says)
    assert found is not None
    assert (found.number, found.over_plants, found.by_other_area) == wanted
    assert found.as_json()["area"] == says.area.value


ROUNDED = {"up": (25.0, 2), "nearest": (22.0, 1), "down": (29.0, 1)}


@pytest.mark.parametrize("how", ROUNDED)
def test_a_share_that_is_not_whole_is_rounded_as_the_text_says(how: str) -> None:
    """Rule C-6."""
    m2, over = ROUNDED[how]
    says = replace(rule(), rounding=Rounding(how))
    found = checks.traps_wanted(room(floor_m2=m2), says)
    assert found is not None
    assert found.over_plants == over


def test_half_a_share_is_rounded_up_to_the_nearest_and_any_room_has_a_trap() -> None:
    """Rule C-6."""
    nearest = replace(rule(), rounding=Rounding.NEAREST)
    down = replace(rule(), rounding=Rounding.DOWN)
    for says, m2, over in ((nearest, 22.5, 2), (nearest, 3.0, 1), (down, 3.0, 1)):
        found = checks.traps_wanted(room(floor_m2=m2), says)
        assert found is not None
        assert found.over_plants == over


def test_no_number_of_traps_without_the_area_that_the_rule_counts() -> None:
    assert checks.traps_wanted(room(floor_m2=None), rule()) is None


def test_periods_before_the_anchor_are_none() -> None:
    assert list(periods(None, day("2031-05-01"), day("2031-03-01"), day("2031-04-01"))) == []


def test_an_id_depends_on_term_subject_and_period() -> None:
    names = {
        ident("trap", *parts)
        for parts in (("a", "b", "c"), ("a", "b", "d"), ("a", "x", "c"), ("y", "b", "c"))
    }
    assert len(names) == 4


@pytest.mark.parametrize(
    ("looked", "owed"),
    [
        ((("t3", "nothing"), ("t5", "found")), False),
        ((("t3", "nothing"),), True),
        ((("t3", "nothing"), ("t5", "not_looked")), True),
        ((), True),
    ],
)
def test_in_the_week_of_its_birth_a_batch_has_what_all_its_parents_had(
    looked: tuple[tuple[str, str], ...], owed: bool
) -> None:
    """Rule C-3; the story, day 5: the mixed pots were looked over as trays on Monday."""
    house = day_1()
    for tray, answer in looked:
        house.looked("2031-07-28 07:30", (tray,), answer)
    mixed = {
        "parents": [{"id": "t3", "left": 48}, {"id": "t5", "left": 47}],
        "children": [{"id": "u", "label": "U", "count": 8, "place": "bench"}],
    }
    house.add("mixed", ("t3", "t5", "u"), "2031-07-30 10:40", mixed)
    found = checks.due(house.book(), day("2031-07-28"), day("2031-08-10"))
    weeks = {
        c.params["week_of"]: c.open for c in found if (c.kind, c.subject) == ("look_over", "u")
    }
    assert weeks == {"2031-07-28": owed, "2031-08-04": True}


def test_a_batch_of_which_one_parent_is_unknown_has_no_look_but_its_own() -> None:
    house = day_1()
    house.looked("2031-07-28 07:30", ("t3",))
    cuttings = {"batch": {"id": "k", "label": "K", "place": "bench"}, "cuttings": 5}
    house.add("stuck", "k", "2031-07-30 09:00", {**cuttings, "parents": ["t3", "lost"]})
    found = checks.due(house.book(), day("2031-07-28"), day("2031-08-01"))
    assert [c.open for c in found if (c.kind, c.subject) == ("look_over", "k")] == [True]
