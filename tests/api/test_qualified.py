"""What ends of trainings and licences is looked at by the grower: soon before, and after."""

import json
from datetime import timedelta
from typing import Any

from tests.api.conftest import NOW, Cast

TODAY = NOW.date()


def person(cast: Cast, ident: str, **body: Any) -> None:
    whole = {"rev": 0, "body": {"name": ident, "role": "worker", **body}}
    at = f"/api/v1/rows/person/{ident}"
    answer = cast.grower.put(at, json.dumps(whole), content_type="application/json")
    assert answer.status_code == 200, answer.content


def paper(what: str, days: int) -> dict[str, str]:
    return {"what": what, "until": (TODAY + timedelta(days=days)).isoformat()}


def ends(cast: Cast) -> list[tuple[str, str, int]]:
    found = cast.grower.get("/api/v1/needs-a-look").json()["papers"]
    return [(one["name"], one["kind"], one["days"]) for one in found]


def test_papers_that_end_within_60_days_or_have_ended_need_a_look(cast: Cast) -> None:
    """Rule O-6."""
    person(cast, "ana", licences=[paper("Spraying", 60)], trainings=[paper("Hygiene", -3)])
    person(cast, "bo", licences=[paper("Spraying", 61)], trainings=[{"what": "Ladders"}])
    person(cast, "cy", licences=[paper("Spraying", -9)], until=paper("", -1)["until"])
    assert ends(cast) == [("ana", "training", -3), ("ana", "licence", 60)]


def test_the_nursery_says_how_many_days_ahead(cast: Cast) -> None:
    person(cast, "ana", licences=[paper("Spraying", 9)], trainings=[paper("Hygiene", 10)])
    body = {"name": "V", "zone": "Etc/GMT-10", "ends_days": 9}
    answer = cast.grower.put(
        "/api/v1/rows/nursery/veshmere",
        json.dumps({"rev": 0, "body": body}),
        content_type="application/json",
    )
    assert answer.status_code == 200, answer.content
    assert ends(cast) == [("ana", "licence", 9)]


def test_a_strict_room_is_open_to_whoever_has_its_training(cast: Cast) -> None:
    """Rule O-5."""
    room = {"name": "Mist", "kind": "room", "trainings": ["Hygiene"], "training_stops": True}
    answer = cast.grower.put(
        "/api/v1/rows/place/mist",
        json.dumps({"rev": 0, "body": room}),
        content_type="application/json",
    )
    assert answer.status_code == 200, answer.content
    person(cast, "ana", trainings=[paper("hygiene", 0)])
    person(cast, "bo", trainings=[paper("Hygiene", -1)])
    told = cast.grower.get("/api/v1/people/papers").json()["people"]
    assert {one["id"]: one["rooms"] for one in told} == {"ana": ["Mist"], "bo": []}
    assert {one["id"]: one["lacks"] for one in told} == {"ana": [], "bo": ["Hygiene"]}
