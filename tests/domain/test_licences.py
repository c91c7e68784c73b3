"""Who may treat where a licence is wanted, and what is doubted of what was done (rule O-4)."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import doubtful, licences, people_ends
from nursery.domain.kinds.shape import Name
from nursery.domain.people_ends import Held
from nursery.domain.reference import Paper, Person, Role
from tests.domain.house import House, day_1

VECTORS: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "vectors/qualified.json").read_text(encoding="utf-8")
)
ROW = {"name": "Oil and soap", "licensed": True}
GOOD = {"what": "Spraying", "number": "L-7", "since": "2029-01-01", "until": "2031-05-17"}


def day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def papers(some: list[dict[str, str]]) -> tuple[Paper, ...]:
    return tuple(
        Paper(Name(one["what"]), since=day(one.get("since")), until=day(one.get("until")))
        for one in some
    )


@pytest.mark.parametrize("case", VECTORS["licences"], ids=lambda case: case["name"])
def test_a_licence_stands_as_in_the_vectors(case: dict[str, Any]) -> None:
    person = Person(Name("p"), "P", Role.WORKER, licences=papers(case["papers"]))
    held = people_ends.licence(person, date.fromisoformat(case["on"]))
    assert held == (Held(case["held"]), day(case["day"]))


@pytest.mark.parametrize("case", VECTORS["trainings"], ids=lambda case: case["name"])
def test_a_training_stands_as_in_the_vectors(case: dict[str, Any]) -> None:
    person = Person(Name("p"), "P", Role.WORKER, trainings=papers(case["papers"]))
    held = people_ends.training(person, case["asked"], date.fromisoformat(case["on"]))
    assert held == (Held(case["held"]), day(case["day"]))


@pytest.mark.parametrize("case", VECTORS["may"]["days"], ids=lambda case: case["on"])
def test_who_may_on_a_day_works_here_and_has_a_licence_in_date(case: dict[str, Any]) -> None:
    on = date.fromisoformat(case["on"])
    people = [
        Person(
            Name(one["id"]),
            one["name"],
            Role.WORKER,
            since=day(one.get("since")),
            until=day(one.get("until")),
            licences=papers(one.get("licences", [])),
        )
        for one in VECTORS["may"]["people"]
    ]
    who = {
        one.id
        for one in people
        if people_ends.works(one, on) and people_ends.licence(one, on)[0] is Held.IN_DATE
    }
    assert who == set(case["who"])


def house(row: dict[str, Any] | None = ROW, *papers_of: dict[str, Any], **more: Any) -> House:
    told = day_1()
    if row is not None:
        told.row("product", "soap", row)
    told.row("person", "g", {"name": "Gil", "role": "grower", "licences": [*papers_of], **more})
    return told


def treated(told: House, start: str = "2031-05-16T20:00:00.000Z", **more: Any) -> House:
    body = {
        "product": "soap",
        "started_at": start,
        "ended_at": start,
        "reentry_until": "2031-05-20T18:50:00.000Z",
        "operator": "g",
        "licence": "L-7",
        **more,
    }
    told.add("treated", "room", "2031-05-18 06:50", body)
    return told


def booked(told: House, about: str | tuple[str, ...] = "room", **more: Any) -> House:
    body = {"act": "treatment", "on": "2031-05-18", "product": "oil and soap", "operator": "g"}
    told.add("booked", about, "2031-05-16 06:50", {**body, **more})
    return told


def doubts(told: House, subject: str = "room") -> list[tuple[str, dict[str, Any]]]:
    book = told.book()
    if subject in book.batches:
        found = doubtful.of_batch(book.batches[subject], book)
    else:
        found = doubtful.of_place(book.places[subject], book)
    return [(one.code, one.params) for one in found if one.code.endswith("unlicensed")]


@pytest.mark.parametrize(
    ("told", "on"),
    [
        # 20:00 in UTC is the morning of the 17th there: the day is the nursery's.
        (treated(house(ROW, GOOD)), None),
        (treated(house(ROW, GOOD), "2031-05-17T20:00:00.000Z"), "2031-05-18"),
        (treated(house(ROW)), "2031-05-17"),
        (treated(house({"name": "Soap"})), None),
        (treated(house(None)), None),
        (treated(house(None), order="Q-09"), "2031-05-17"),
        (treated(house(ROW, erased="2031-06-01")), None),
        (treated(house(ROW), operator="nobody"), None),
    ],
    ids=["good", "over", "none", "none wanted", "no row", "ordered", "erased", "unknown"],
)
def test_what_was_done_without_a_licence_in_date_is_kept_and_noted(
    told: House, on: str | None
) -> None:
    """Rule O-4."""
    expected = [] if on is None else [("operator_unlicensed", {"name": "Gil", "on": on})]
    assert doubts(told) == expected


def test_where_no_licence_was_written_that_alone_is_asked() -> None:
    assert doubts(treated(house(ROW), licence=None)) == []


@pytest.mark.parametrize(
    ("told", "n"),
    [
        (booked(house(ROW, GOOD)), 1),
        (booked(house(ROW, GOOD), on="2031-05-17"), 0),
        (booked(house(ROW, GOOD), act="watering"), 0),
        (booked(house(ROW, GOOD), operator=None), 0),
        (booked(house(ROW, GOOD), product=None), 0),
        (booked(house(ROW, GOOD), product=None, order="Q-09"), 1),
    ],
    ids=["over by then", "last day", "another act", "nobody", "no product", "an order"],
)
def test_a_treatment_planned_for_somebody_without_a_licence_is_noted(told: House, n: int) -> None:
    assert [code for code, _ in doubts(told)] == ["booked_unlicensed"] * n


def test_a_booking_for_plants_and_their_room_is_asked_about_once() -> None:
    both = booked(house(ROW), ("room", "t1"))
    assert (len(doubts(both)), doubts(both, "t1")) == (1, [])
    assert len(doubts(booked(house(ROW), ("t1",)), "t1")) == 1


@pytest.mark.parametrize(
    ("on", "until"), [("2031-05-17", "2031-05-17"), ("2031-05-18", None), ("2028-12-31", None)]
)
def test_the_licence_of_a_day_is_told_with_its_number(on: str, until: str | None) -> None:
    found = licences.in_date("g", date.fromisoformat(on), house(ROW, GOOD).book())
    expected = {"what": "Spraying", "number": "L-7", "until": until}
    assert found == (None if until is None else expected)


def test_of_nobody_no_licence_is_told_and_of_two_the_longer() -> None:
    book = house(ROW, GOOD, {"what": "Fumigation"}).book()
    on = date(2031, 5, 1)
    assert licences.in_date(None, on, book) is None
    assert licences.in_date("nobody", on, book) is None
    longest = licences.in_date("g", on, book)
    assert longest == {"what": "Fumigation", "number": None, "until": None}
