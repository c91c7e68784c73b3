"""Whom to tell of arrivals, finds and breaches, and how soon."""

from typing import Any

import pytest

from nursery.domain import checks
from nursery.domain.due_check import Check
from tests.domain.house import TERMS, House, day, instant, term, with_terms

SOON = [
    term(f"tell-{event}", "notify", {"event": event, "whom": "authority", "within_hours": hours})
    for event, hours in (("arrival", 24), ("find", 2), ("breach", 4))
]


def house_with(*terms: dict[str, Any]) -> House:
    house = with_terms(*TERMS, *terms)
    house.arrive("2031-03-03 07:30")
    house.count("t1", 54, "2031-03-03 08:10")
    return house


def wanted(house: House, event: str, first: str = "2031-03-03", last: str = "2031-06-01") -> Check:
    due = checks.due(house.book(), day(first), day(last))
    (check,) = (c for c in due if c.kind == "notify" and c.params["event"] == event)
    return check


def tell(house: House, about: Any, at: str) -> str:
    body = {"who": "Plant Health Service", "how": "telephone", "what": "said"}
    return house.add("told", about, at, body)


def test_an_arrival_is_told_once_for_all_its_trays() -> None:
    """Rule C-11."""
    house = house_with(*SOON)
    check = wanted(house, "arrival")
    assert (check.opens_at, check.due_by) == (
        instant("2031-03-03 07:30"),
        instant("2031-03-04 07:30"),
    )
    assert (check.open, check.term, check.source) == (True, "tell-arrival", "CQ-118")
    said = tell(house, ("t1", "t2"), "2031-03-03 11:45")
    tell(house, "t1", "2031-03-04 11:45")
    done = wanted(house, "arrival")
    assert (done.answered_by, done.params["told"]) == (said, "Plant Health Service")


def test_what_was_told_before_or_of_something_else_answers_nothing() -> None:
    house = house_with(*SOON)
    tell(house, "t1", "2031-03-03 07:29")
    tell(house, "citrus", "2031-03-03 08:29")
    assert wanted(house, "arrival").open


@pytest.mark.parametrize("about", ["t4", "room", "t1"])
def test_a_find_is_told_of_its_plants_its_room_or_what_stands_there(about: str) -> None:
    house = house_with(*SOON)
    house.find("t4", "2031-05-04 07:20")
    assert wanted(house, "find").due_by == instant("2031-05-04 09:20")
    said = tell(house, about, "2031-05-04 07:52")
    assert wanted(house, "find").answered_by == said


def test_a_breach_is_told_for_the_plants_of_its_room() -> None:
    house = house_with(*SOON)
    house.arrive("2031-03-04 07:30", ["s1"], place="shade")
    house.add("breached", "room", "2031-08-13 05:40", {"what": "tear"})
    check = wanted(house, "breach", "2031-08-13", "2031-08-14")
    assert (check.subject, check.due_by) == ("room", instant("2031-08-13 09:40"))
    tell(house, "s1", "2031-08-13 06:00")
    assert wanted(house, "breach", "2031-08-13", "2031-08-14").open


def test_nobody_is_told_where_no_term_asks_for_it() -> None:
    house = house_with()
    house.find("t4", "2031-05-04 07:20")
    due = checks.due(house.book(), day("2031-03-03"), day("2031-06-01"))
    assert [one for one in due if one.kind == "notify"] == []


def test_what_is_told_in_time_is_over_after_its_day() -> None:
    house = house_with(*SOON)
    tell(house, "t1", "2031-03-03 11:45")
    due = checks.due(house.book(), day("2031-03-04"), day("2031-06-01"))
    assert [one for one in due if one.kind == "notify"] == []
