"""A result that says a pest is there, of a sample that no suspicion was behind (rule E-10)."""

from typing import Any

import pytest

from nursery.domain import doubtful, exposure, gates, telling
from nursery.domain.exposure import Incident
from nursery.domain.gate import Act, Answer
from tests.domain.house import TERMS, TRAYS, House, day, day_2, instant, term

NOW = instant("2031-05-17 08:00")


def result(
    house: House, verdict: str = "confirmed", at: str = "2031-05-16 10:20", **more: Any
) -> str:
    body = {"sample": "S-09", "verdict": verdict, "pest": "blackfly", **more}
    return house.add("resulted", "t4", at, body)


def sampled(house: House, about: tuple[str, ...] = ("t4",), **more: Any) -> None:
    house.add("sampled", about, "2031-05-04 09:30", {"sample": "S-09", "plants": 1, **more})


def routine(**more: Any) -> House:
    """T4 was sampled as the permit asks, and nobody had seen anything."""
    house = day_2()
    sampled(house, **more)
    return house


def incidents(house: House) -> tuple[Incident, ...]:
    return exposure.incidents(house.book())


def held(found: Incident) -> list[str]:
    return [one.batch for one in found.held]


def blocked(house: House) -> set[Answer]:
    book = house.book()
    asked = gates.of_batch(book.batches["t4"], book, NOW).items()
    return {gate.answer for act, gate in asked if act is not Act.TREATING}


@pytest.mark.parametrize("verdict", ["reported", "presumptive", "confirmed"])
def test_a_routine_sample_that_proves_a_pest_holds_the_whole_room_at_once(verdict: str) -> None:
    house = routine()
    found_it = result(house, verdict)
    (found,) = incidents(house)
    assert (found.id, found.kind, found.pest, found.verdict) == (
        found_it,
        "find",
        "blackfly",
        verdict,
    )
    assert (found.rooms, held(found), found.provisional) == (("room",), list(TRAYS), True)
    assert blocked(house) == {Answer.NO}


def test_who_worked_there_is_looked_for_elsewhere_since_the_last_clean_look_before_the_sample() -> (
    None
):
    house = day_2()
    house.add("watered", "citrus", "2031-05-03 09:00", {"minutes": 40}, by="w1")
    sampled(house)
    house.looked("2031-05-11 07:30")
    result(house)
    (found,) = incidents(house)
    assert found.since == instant("2031-03-24 07:30")
    assert [one.place for one in found.ring] == ["citrus"]


def test_it_is_asked_about_until_the_authority_lifts_it() -> None:
    house = routine()
    found_it = result(house)

    def asked() -> list[str]:
        book = house.book()
        told = doubtful.of_batch(book.batches["t4"], book)
        return [one.id for one in told if one.code == "pest_result" and one.blocks]

    assert asked() == [f"pest_result:{found_it}"]
    for doubt in (f"pest_result:{found_it}", f"suspicion:{found_it}"):
        house.add("settled", "t4", "2031-05-16 12:00", {"doubt": doubt, "reason": "soot"})
    assert asked() == [f"pest_result:{found_it}"]
    assert held(incidents(house)[0]) == list(TRAYS)
    lift = house.order(TRAYS, "2031-06-06 09:00", "lift", "LF-12", lifts=found_it)
    (found,) = incidents(house)
    assert (asked(), held(found), found.open, found.lifted_by) == ([], [], False, lift)


def test_the_authority_is_told_as_of_any_find() -> None:
    house = routine()
    notify = term("tell", "notify", {"event": "find", "whom": "P", "within_hours": 2})
    terms = [*TERMS, notify]
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
    result(house)
    asked = telling.notifications(house.book(), day("2031-05-01"), day("2031-05-31"))
    assert [one.opens_at for one in asked] == [instant("2031-05-16 10:20")]


def listing(*pests: str) -> House:
    house = routine()
    terms = [*TERMS, term("l", "listed", {"pests": list(pests)})]
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
    return house


PESTS: dict[str, tuple[tuple[str, ...], str | None, bool]] = {
    "a listed pest": (("blackfly",), "blackfly", True),
    "a pest on no list": (("greening",), "blackfly", False),
    "a pest that the paper does not name": (("greening",), None, True),
    "any pest where nothing is listed": ((), "blackfly", True),
}


@pytest.mark.parametrize(("pests", "pest", "holds"), PESTS.values(), ids=PESTS.keys())
def test_what_counts_is_what_is_listed(
    pests: tuple[str, ...], pest: str | None, holds: bool
) -> None:
    house = listing(*pests) if pests else routine()
    result(house, pest=pest)
    assert bool(incidents(house)) is holds


def test_without_conditions_a_pest_on_no_list_holds_nothing() -> None:
    house = routine()
    row = {"name": "V", "zone": "Etc/GMT-10", "conditions": False}
    house.row("nursery", "veshmere", row)
    result(house)
    assert incidents(house) == ()


def test_a_negative_result_holds_nothing() -> None:
    house = routine()
    result(house, "negative")
    assert incidents(house) == ()


def test_a_sample_that_nobody_took_holds_what_its_result_is_about() -> None:
    house = day_2()
    result(house)
    (found,) = incidents(house)
    assert (found.about, held(found)) == (("t4",), list(TRAYS))


def test_all_that_was_sampled_is_held_whatever_the_result_names() -> None:
    house = day_2()
    house.add("moved", "t1", "2031-03-30 08:00", {"to": "shade"})
    sampled(house, ("t1", "t4"))
    result(house)
    (found,) = incidents(house)
    assert (found.about, found.rooms) == (("t1", "t4"), ("room", "shade"))


def test_a_trap_that_was_sampled_holds_its_room() -> None:
    house = day_2()
    sampled(house, ("trap-a",))
    result(house)
    assert held(incidents(house)[0]) == list(TRAYS)


def test_a_second_result_of_the_sample_opens_no_second_incident_and_is_told() -> None:
    house = routine()
    first = result(house, "presumptive", pest=None)
    result(house, "confirmed", "2031-05-20 10:00")
    (found,) = incidents(house)
    assert (found.id, found.verdict, found.pest) == (first, "confirmed", "blackfly")


def test_one_that_came_after_the_lift_holds_again() -> None:
    house = routine()
    result(house, "presumptive")
    house.order(TRAYS, "2031-05-18 09:00", "lift", "LF-11")
    assert held(incidents(house)[0]) == []
    second = result(house, "confirmed", "2031-05-20 10:00")
    old, new = incidents(house)
    assert (held(old), new.id, held(new)) == ([], second, list(TRAYS))


def test_a_suspicion_that_holds_the_same_plants_is_enough() -> None:
    house = day_2()
    find = house.find("t4", "2031-05-04 07:20")
    sampled(house)
    result(house)
    assert [one.id for one in incidents(house)] == [find]


OTHERS: dict[str, dict[str, Any]] = {
    "of another plant": {"tray": "t1", "at": "2031-05-04 07:20"},
    "after the sample": {"tray": "t4", "at": "2031-05-04 10:00"},
}


@pytest.mark.parametrize("other", OTHERS.values(), ids=OTHERS.keys())
def test_a_suspicion_that_the_sample_was_not_of_is_not(other: dict[str, Any]) -> None:
    house = day_2()
    house.find(other["tray"], other["at"])
    sampled(house)
    found_it = result(house)
    assert found_it in [one.id for one in incidents(house)]


def test_a_sample_taken_for_a_find_that_the_authority_lifted_since_holds_again() -> None:
    house = day_2()
    find = house.find("t4", "2031-05-04 07:20")
    sampled(house, found=find)
    house.order(TRAYS, "2031-05-10 09:00", "lift", "LF-11")
    found_it = result(house)
    old, new = incidents(house)
    assert (old.id, held(old), new.id, held(new)) == (find, [], found_it, list(TRAYS))


SLIPS: dict[str, tuple[str, dict[str, Any], bool]] = {
    "a worker takes it back": ("withdrawn", {"by": "w1"}, True),
    "a worker writes it negative": ("resulted", {"by": "w1"}, True),
    "the grower's name without a PIN": ("withdrawn", {"confirmed": False}, True),
    "the grower takes it back": ("withdrawn", {}, False),
    "the grower writes it negative": ("resulted", {}, False),
}


@pytest.mark.parametrize(("kind", "how", "holds"), SLIPS.values(), ids=SLIPS.keys())
def test_a_slip_in_a_result_is_the_growers_to_mend(
    kind: str, how: dict[str, Any], holds: bool
) -> None:
    house = routine()
    found_it = result(house)
    body = {"sample": "S-09", "verdict": "negative"} if kind == "resulted" else {}
    house.add(kind, "t4", "2031-05-16 11:00", body, corrects=found_it, **how)
    assert [one.id for one in incidents(house)] == ([found_it] if holds else [])


def test_a_result_that_the_grower_corrects_to_another_pest_is_told_as_corrected() -> None:
    house = routine()
    found_it = result(house, pest="midge")
    body = {"sample": "S-09", "verdict": "confirmed", "pest": "blackfly"}
    house.add("resulted", "t4", "2031-05-16 11:00", body, corrects=found_it)
    (found,) = incidents(house)
    assert (found.id, found.pest) == (found_it, "blackfly")


def test_after_the_release_it_stops_what_would_still_leave() -> None:
    house = routine()
    house.release(("t4",), "2031-05-10 08:30", count=53)
    result(house)
    book = house.book()
    assert gates.answer(Act.SENDING, book.batches["t4"], book, NOW).answer is Answer.NO
