"""What the record of a subject keeps, and that it is read as it was written."""

import json
from typing import Any

from nursery.domain import exposure, kept_record, record
from tests.domain.house import House, day_3, instant


def told_of_everything() -> House:
    house = day_3()
    house.order("t1", "2031-05-16 10:20", "treat", "Q-09", times=2, interval_days=10, admits=["g"])
    body = {
        "product": "soap",
        "started_at": "2031-05-17T06:30:00.000Z",
        "ended_at": "2031-05-17T06:50:00.000Z",
    }
    house.add("treated", ("t1", "room"), "2031-05-17 16:50", body)
    seen = {"inspector": "P", "answer": "nothing", "plants": 53, "photo": "p"}
    house.add("inspected", "t1", "2031-06-06 09:00", seen)
    accepted = {"what": "week", "reference": "AC-5", "week_of": "2031-03-10"}
    house.add("accepted", "t1", "2031-06-06 09:10", accepted)
    house.add("booked", "t1", "2031-06-06 09:20", {"act": "treatment", "on": "2031-06-07"})
    house.add("skipped", "t1", "2031-06-06 09:30", {"check": "c-1", "reason": "rain"})
    worked = {"method": "budded", "plants": 3, "scion": "t2"}
    house.add("worked", ("t1", "t2"), "2031-06-06 10:00", worked)
    return house


def test_a_record_is_read_as_it_was_written() -> None:
    """Rule H-1."""
    book = told_of_everything().book()
    kept = [state.record for state in book.batches.values()]
    kept += [state.record for state in book.places.values()]
    assert [kept_record.read(json.loads(json.dumps(one.as_json()))) for one in kept] == kept


def test_what_is_absent_is_not_written() -> None:
    assert record.Record().as_json() == {}
    look = day_3().batch("t1").record.as_json()["looks"][0]
    assert set(look) == {"entry", "at", "by", "answer", "minutes"}


def test_an_inspection_is_kept_with_what_lived_then_and_whether_its_paper_is_there() -> None:
    (seen,) = told_of_everything().batch("t1").record.inspections
    assert (seen.alive, seen.plants, seen.paper) == (53, 53, True)


def test_a_reading_is_kept_figure_by_figure() -> None:
    book = day_3().book()
    figures = [(one.what, one.value) for one in book.places["bench"].record.figures]
    assert figures == [("ec_ms_cm", 0.9), ("ph", 6.1)]


def write(house: House, at: str, by: str, kind: str = "noted", **body: Any) -> None:
    house.add(kind, "shade", at, body or {"text": "x"}, by=by)


def test_people_are_present_by_day_between_their_first_and_last_record() -> None:
    """Rule H-1; what is written at a desk says nothing of who stood where."""
    house = House()
    write(house, "2031-05-02 11:00", "w1", "watered", minutes=1)
    write(house, "2031-05-02 12:00", "w2", "watered", minutes=1)
    write(house, "2031-05-02 13:00", "w1", "watered", minutes=1)
    write(house, "2031-05-03 11:00", "w1", "watered", minutes=1)
    write(house, "2031-05-03 12:00", "g")
    write(house, "2031-05-03 13:00", "g", "entered", person="w2")
    write(house, "2031-05-03 14:00", "g", "entered", visitor={"name": "Ana"})
    seen = house.book().places["shade"].record.presence
    assert [(one.who, one.since, one.until) for one in seen] == [
        ("w1", instant("2031-05-02 11:00"), instant("2031-05-02 13:00")),
        ("w2", instant("2031-05-02 12:00"), instant("2031-05-02 12:00")),
        ("w1", instant("2031-05-03 11:00"), instant("2031-05-03 11:00")),
        ("w2", instant("2031-05-03 13:00"), instant("2031-05-03 13:00")),
        ("Ana", instant("2031-05-03 14:00"), instant("2031-05-03 14:00")),
    ]


def test_what_stood_on_a_sheet_was_done_by_who_wrote_it_there() -> None:
    """Rule I-3: the typist was not in the room."""
    house = day_3()
    sheet = {"by": "w2", "photo": "photo-1"}
    at = "2031-05-05 09:00"
    house.add("looked", "t1", at, {"answer": "nothing", "sheet": sheet}, by="g")
    house.add("trapped", "trap-a", at, {"answer": "read", "sheet": sheet}, by="g")
    body = {"count": 1, "fate": "died", "sheet": sheet}
    house.add("lost", "t1", at, body, by="g")
    look = house.batch("t1").record.looks[-1]
    assert (look.by, look.typed_by) == ("w2", "g")
    trap = house.book().places["trap-a"].record.traps[-1]
    assert (trap.by, trap.typed_by) == ("w2", "g")
    here = [one.who for one in house.batch("t1").record.presence if one.since == instant(at)]
    assert here == ["w2"]


def test_who_writes_for_themselves_typed_nothing_in() -> None:
    house = day_3()
    assert {one.typed_by for one in house.batch("t1").record.looks} == {None}
    house.add("found", "t1", "2031-05-05 09:00", {"suspicion": True, "sheet": {"by": "w2"}}, by="g")
    incident = house.book().once(exposure.incidents)[-1]
    assert incident.by == "w2"
