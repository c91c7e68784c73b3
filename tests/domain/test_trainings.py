"""Trainings at a door: told or in the way of going in, never of going out (rule O-5)."""

import json
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import gates, outlook, trainings
from nursery.domain.gate import Act, Answer, Gate
from nursery.domain.place import Place
from tests.domain.house import House, day_1, instant

VECTORS: list[dict[str, Any]] = json.loads(
    (Path(__file__).parents[1] / "vectors/untrained.json").read_text(encoding="utf-8")
)
NOW = instant("2031-03-03 12:00")
HYGIENE = {"what": "Hygiene", "until": "2031-03-02"}


def house(case: dict[str, Any], **person: Any) -> House:
    told = day_1()
    names = [f"seat-{i}" for i in range(len(case["places"]))]
    for name, around, body in zip(names, [*names[1:], "veshmere"], case["places"], strict=True):
        told.row("place", name, {"name": name, "kind": "room", "parent": around, **body})
    body = {"name": "Ana", "role": "worker", "trainings": case["trainings"], **person}
    told.row("person", "p-1", body)
    return told


def entering(told: House, place: str = "seat-0", person: str | None = "p-1") -> Gate:
    book = told.book()
    return gates.answer(Act.ENTERING, book.places.get(place) or Place(place), book, NOW, person)


@pytest.mark.parametrize("case", VECTORS, ids=lambda case: case["name"])
def test_the_office_stops_whom_the_phone_stops(case: dict[str, Any]) -> None:
    """Rule O-5."""
    told = house(case)
    book = told.book()
    assert [list(one) for one in trainings.wanted("seat-0", book)] == case["wanted"]
    stopping = [lack[:3] for lack in case["lacks"] if lack[3]]
    found = list(trainings.against("p-1", "seat-0", book.day(NOW), book))
    assert [[one.code, one.params["what"], one.params["day"]] for one in found] == stopping
    assert entering(told).answer is (Answer.NO if stopping else Answer.YES)
    leaving = gates.answer(Act.LEAVING, Place("seat-0"), book, NOW, "p-1")
    assert leaving.answer is Answer.YES


STRICT = {"places": [{"trainings": ["Hygiene"], "training_stops": True}], "trainings": [HYGIENE]}
NOT_YET = {**STRICT, "trainings": [{"what": "Hygiene", "since": "2031-03-04"}]}


def test_it_is_said_what_is_lacking_since_when_and_what_opens_the_door() -> None:
    gate = entering(house(STRICT))
    about = {"name": "Ana", "what": "Hygiene", "day": "2031-03-02"}
    assert (gate.code, gate.params) == ("training_ended", about)
    assert gate.opens is not None
    assert (gate.opens.code, gate.opens.params) == ("when_trained", about)
    assert entering(house(NOT_YET)).code == "training_not_yet"


@pytest.mark.parametrize(
    ("told", "person"),
    [
        (house(STRICT), None),
        (house(STRICT), "nobody"),
        (house(STRICT, erased="2031-03-01"), "p-1"),
    ],
    ids=["a visitor", "no row", "erased"],
)
def test_of_whom_nothing_is_known_nothing_is_said(told: House, person: str | None) -> None:
    assert entering(told, person=person).answer is Answer.YES


def test_a_strict_room_is_told_to_phones_for_each_person() -> None:
    told = outlook.compose(house(STRICT).book(), NOW)["places"]["seat-0"]
    assert told["entering"]["answer"] == "yes", "a visitor"
    assert told["people"]["p-1"]["reason"] == "training_ended"
    lax = {**STRICT, "places": [{"trainings": ["Hygiene"]}]}
    assert outlook.compose(house(lax).book(), NOW)["places"]["seat-0"]["people"] == {}


def test_a_place_that_nobody_typed_wants_nothing() -> None:
    assert trainings.wanted("nowhere", house(STRICT).book()) == []
