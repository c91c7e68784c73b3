"""Samples: on their way until a result names them (rule H-8)."""

from typing import Any

import pytest

from nursery.domain import checks, doubtful, outlook, samples
from nursery.domain.due_check import Check
from nursery.domain.samples import IN_TRANSIT
from tests.domain.house import House, day, day_2, day_3, instant


def taken(house: House, name: str, *about: str, corrects: str | None = None, **more: Any) -> str:
    body = {"sample": name, "plants": 1, **more}
    return house.add("sampled", about, "2031-05-04 09:44", body, corrects=corrects)


def result(house: House, name: str, verdict: str, at: str, *about: str) -> str:
    return house.add("resulted", about, at, {"sample": name, "verdict": verdict})


def test_a_sample_without_a_result_is_in_transit_and_names_its_find() -> None:
    house = day_3()
    find = next(entry.id for entry in house.entries if entry.kind == "found")
    taken(house, "S-03", "t4", found=find, laboratory="Orrin")
    [one] = samples.of_book(house.book())["t4"]
    assert (one.sample, one.state, one.find, one.result) == ("S-03", IN_TRANSIT, find, None)
    assert one.at == instant("2031-05-04 09:44")


def test_a_find_that_was_corrected_is_named_by_its_line() -> None:
    house = day_3()
    find = next(entry for entry in house.entries if entry.kind == "found")
    mended = house.add(
        "found", "t4", "2031-05-04 07:20", {"suspicion": True, "plants": 2}, corrects=find.id
    )
    taken(house, "S-03", "t4", found=mended)
    assert samples.of_book(house.book())["t4"][0].find == find.id


@pytest.mark.parametrize(
    ("results", "state"),
    [
        ([], IN_TRANSIT),
        ([("S-03", "negative", "2031-05-16 10:20")], "negative"),
        ([("S-03", "presumptive", "2031-05-10 08:00"), ("S-03", "confirmed", "2031-05-16 10:20")],
         "confirmed"),
        ([("S-04", "confirmed", "2031-05-16 10:20")], IN_TRANSIT),
    ],
)  # fmt: skip
def test_the_latest_result_that_names_a_sample_is_its_state(
    results: list[tuple[str, str, str]], state: str
) -> None:
    house = day_3()
    taken(house, "S-03", "t4", "t5")
    for name, verdict, at in results:
        result(house, name, verdict, at, "t4")
    found = samples.of_book(house.book())
    assert [found[tray][0].state for tray in ("t4", "t5")] == [state, state]


def test_the_outlook_ships_samples_and_the_traps_of_a_room() -> None:
    house = day_3()
    taken(house, "S-03", "t4")
    made = outlook.compose(house.book(), instant("2031-05-04 18:00"))
    [one] = made["batches"]["t4"]["samples"]
    assert (one["sample"], one["state"], one["at"]) == (
        "S-03", "in_transit", "2031-05-03T23:44:00.000Z",
    )  # fmt: skip
    told = [place["traps"] for place in made["places"].values() if place["traps"] is not None]
    assert [(t["number"], t["area"], t["by_other_area"], t["have"]) for t in told] == [
        (5, "floor", 4, 5)
    ]


def test_a_trap_that_was_replaced_when_found_wet_asks_for_nothing_more() -> None:
    house = day_2()
    wet = {"answer": "not_readable", "why": "wet", "replaced": True}
    house.add("trapped", "trap-a", "2031-03-25 07:06", wet)
    due = checks.due(house.book(), day("2031-03-25"), day("2031-03-30"))
    asked = {check.subject for check in due if check.kind == "replace_trap" and check.open}
    assert "trap-a" not in asked
    assert asked


def test_a_result_of_a_sample_that_nobody_took_is_kept_and_asked_about() -> None:
    """Rule H-9."""
    house = day_3()
    taken(house, "S-03", "t4")
    result(house, "S-30", "confirmed", "2031-05-16 10:20", "t4")
    result(house, "S-03", "negative", "2031-05-16 10:21", "t5")
    book = house.book()
    found = [d for d in doubtful.of_batch(book.batches["t4"], book) if d.code == "unknown_sample"]
    assert [(d.params["sample"], d.params["verdict"], d.blocks) for d in found] == [
        ("S-30", "confirmed", True)
    ]
    assert not [
        d for d in doubtful.of_batch(book.batches["t5"], book) if d.code == "unknown_sample"
    ]
    settled = {"doubt": found[0].id, "reason": "another nursery's"}
    house.add("settled", "t4", "2031-05-16 11:00", settled)
    book = house.book()
    again = [d for d in doubtful.of_batch(book.batches["t4"], book) if d.code == "unknown_sample"]
    assert [d.blocks for d in again] == [False]


def due(house: House, first: str = "2031-05-01", last: str = "2031-05-31") -> list[Check]:
    found = checks.due(house.book(), day(first), day(last))
    return [check for check in found if check.kind == "result"]


def test_a_result_is_due_on_its_day_and_overdue_until_it_comes() -> None:
    """Rule C-14."""
    house = day_3()
    taken(house, "S-03", "t4", "t5", result_due="2031-05-16", laboratory="Orrin")
    assert due(house, "2031-05-01", "2031-05-15") == []
    (check,) = due(house)
    assert (check.subject, check.opens_at) == ("t4", instant("2031-05-16 00:00"))
    assert instant("2031-05-16 23:59") < check.due_by < instant("2031-05-17 00:00")
    assert check.params == {"sample": "S-03", "laboratory": "Orrin", "on": "2031-05-16"}
    (overdue,) = due(house, "2031-07-01", "2031-07-31")
    assert (overdue.id, overdue.open) == (check.id, True)


@pytest.mark.parametrize(
    ("name", "verdict", "at", "open_"),
    [
        ("S-03", "negative", "2031-05-16 10:20", False),
        ("S-03", "reported", "2031-05-20 10:20", False),
        ("S-04", "negative", "2031-05-16 10:20", True),
    ],
)
def test_only_a_result_that_names_the_sample_answers(
    name: str, verdict: str, at: str, open_: bool
) -> None:
    house = day_3()
    taken(house, "S-03", "t4", result_due="2031-05-16")
    came = result(house, name, verdict, at, "t4")
    (check,) = due(house)
    assert check.open is open_
    assert check.answered_by == (None if open_ else came)
    assert len(due(house, "2031-06-01", "2031-06-30")) == int(open_)


def test_a_result_that_came_before_its_day_is_never_due() -> None:
    house = day_3()
    taken(house, "S-03", "t4", result_due="2031-05-16")
    result(house, "S-03", "negative", "2031-05-10 10:20", "t4")
    assert due(house, "2031-05-16", "2031-05-31") == []


def test_where_no_day_is_said_nothing_is_due_and_a_correction_puts_it_off() -> None:
    house = day_3()
    first = taken(house, "S-03", "t4")
    assert due(house) == []
    taken(house, "S-03", "t4", result_due="2031-05-16", corrects=first)
    (check,) = due(house)
    taken(house, "S-03", "t4", result_due="2031-05-20", corrects=first)
    (later,) = due(house)
    assert (check.params["on"], later.params["on"]) == ("2031-05-16", "2031-05-20")
    assert later.id != check.id


def test_a_day_before_the_sample_was_taken_is_due_at_once() -> None:
    house = day_3()
    taken(house, "S-03", "t4", result_due="2031-05-01")
    (check,) = due(house)
    assert check.opens_at == check.due_by == instant("2031-05-04 09:44")


def test_the_outlook_ships_the_day_and_the_check() -> None:
    house = day_3()
    taken(house, "S-03", "t4", result_due="2031-05-05")
    taken(house, "S-04", "t4")
    made = outlook.compose(house.book(), instant("2031-05-07 18:00"))
    told = {one["sample"]: one["result_due"] for one in made["batches"]["t4"]["samples"]}
    assert told == {"S-03": "2031-05-05", "S-04": None}
    assert [one["params"]["sample"] for one in made["checks"] if one["kind"] == "result"] == [
        "S-03"
    ]
