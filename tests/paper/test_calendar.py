"""The calendar as iCalendar: read back by the `icalendar` library, and looked at line by line."""

from datetime import UTC, date, datetime, timedelta
from typing import Any, cast

import pytest
from icalendar import Calendar, Event

from nursery.domain import diary
from nursery.domain.diary import Told
from nursery.paper import calendar
from nursery.services.calendars import Feed

NOW = datetime(2031, 5, 4, 8, tzinfo=UTC)
TODAY = date(2031, 5, 4)
ODD = 'Room 1; north, "hot"\\cold\nback'


def event(code: str = "check", **more: Any) -> diary.Event:
    params = {"check": "look_over", "place": "Quarantine room", "n": 2, "labels": ["T1", "T2"]}
    whole: dict[str, Any] = {"uid": "a" * 32, "first": TODAY, "last": TODAY, "params": params}
    return diary.Event(**{**whole, "code": code, **more})


def made(*events: diary.Event, language: str = "en", **more: Any) -> Calendar:
    told = tuple(Told(one, more.get("sequence", 0), NOW) for one in events)
    if more.get("cancelled"):
        told = tuple(one._replace(cancelled=True) for one in told)
    feed = Feed("veshmere", "Veshmere", "Etc/GMT-10", language, TODAY, told)
    raw = calendar.ics(feed)
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    assert raw.count(b"\n") == raw.count(b"\r\n")
    return read(raw)


def read(raw: bytes) -> Calendar:
    found = Calendar.from_ical(raw)
    assert isinstance(found, Calendar)
    assert found.errors == []
    return found


def only(found: Calendar) -> Event:
    (one,) = found.walk("VEVENT")
    assert isinstance(one, Event)
    assert one.errors == []
    return one


def test_the_calendar_says_what_it_is() -> None:
    found = made()
    assert (found["VERSION"], found["METHOD"]) == ("2.0", "PUBLISH")
    assert found["NAME"] == found["X-WR-CALNAME"] == "Veshmere: what is due"
    assert cast("Any", found["REFRESH-INTERVAL"]).dt == timedelta(hours=6)


def test_days_are_whole_days_and_the_last_one_is_included() -> None:
    one = only(made(event(first=date(2031, 5, 28), last=date(2031, 5, 30), rings=3)))
    assert one["DTSTART"].params["VALUE"] == "DATE"
    assert (one.start, one.end) == (date(2031, 5, 28), date(2031, 5, 31))
    assert "TZID" not in one["DTSTART"].params


def rings(one: Event) -> list[timedelta]:
    """When the alarms of an event ring, counted from its beginning."""
    return [cast("Any", alarm["TRIGGER"]).dt for alarm in one.walk("VALARM")]


def test_an_alarm_rings_at_seven_in_the_morning_so_many_days_before() -> None:
    one = only(made(event(first=date(2031, 5, 28), rings=3)))
    assert [alarm["ACTION"] for alarm in one.walk("VALARM")] == ["DISPLAY"]
    midnight = datetime(2031, 5, 28, tzinfo=UTC)
    assert [midnight + span for span in rings(one)] == [datetime(2031, 5, 25, 7, tzinfo=UTC)]


def test_an_hour_stands_in_utc_and_rings_then() -> None:
    at = datetime(2031, 5, 27, 18, 50, tzinfo=UTC)
    one = only(made(event("reentry", at=at, params={"place": "Room 1"})))
    assert one.start == at
    assert one["DTSTART"].to_ical() == b"20310527T185000Z"
    assert "DTEND" not in one
    assert rings(one) == [timedelta()]


def test_names_with_every_sign_of_the_form_come_back_as_they_were() -> None:
    params = {"check": "trap", "place": ODD, "n": 1, "labels": ["T;1, \\n"]}
    one = only(made(event(params=params)))
    assert one["SUMMARY"] == f"Read the trap: {ODD}"
    assert str(one["DESCRIPTION"]).startswith("T;1, \\n\n")


def test_long_lines_are_folded_and_come_back_whole() -> None:
    place = "Ñandú-haus " * 30
    one = only(made(event(params={"check": "trap", "place": place, "n": 0, "labels": []})))
    assert place.strip() in str(one["SUMMARY"])


def test_each_thing_keeps_its_identity_and_no_two_nurseries_share_one() -> None:
    first = only(made(event()))
    again = only(made(event(last=date(2031, 6, 1)), sequence=3))
    assert first["UID"] == again["UID"]
    assert (first["SEQUENCE"], again["SEQUENCE"]) == (0, 3)
    feed = Feed("elsewhere", "E", "UTC", "en", TODAY, (Told(event(), 0, NOW),))
    assert only(read(calendar.ics(feed)))["UID"] != first["UID"]


def test_what_falls_away_is_cancelled_and_rings_no_more() -> None:
    one = only(made(event(rings=1), cancelled=True))
    assert one["STATUS"] == "CANCELLED"
    assert one["SUMMARY"] == "No longer due: Look-over: Quarantine room"
    assert one.walk("VALARM") == []


def test_a_forecast_is_tentative_and_says_as_of_when() -> None:
    one = only(made(event("release", forecast=True, rings=7)))
    assert one["STATUS"] == "TENTATIVE"
    assert "as of SUN 4 MAY" in str(one["DESCRIPTION"])


SAID = {
    "en": [
        ("check", "Look-over: Quarantine room", "T1 and T2"),
        ("visit", "Look-over: Quarantine room", "the authority"),
        ("reentry", "Re-entry allowed: Quarantine room", "label"),
        ("permit", "Permit CQ-118 ends", "last day"),
        ("weeks", "Planting weeks", "Until"),
        ("release", "Earliest release: Quarantine room", "authority"),
    ],
    "es": [
        ("check", "Revisión: Quarantine room", "T1 y T2"),
        ("visit", "Revisión: Quarantine room", "la autoridad"),
        ("reentry", "Se puede reingresar: Quarantine room", "etiqueta"),
        ("permit", "Vence el permiso CQ-118", "último día"),
        ("weeks", "Semanas de plantar", "Hasta"),
        ("release", "Liberación más temprana: Quarantine room", "autoridad"),
    ],
}


@pytest.mark.parametrize(
    ("language", "code", "title", "part"),
    [(language, *said) for language, every in SAID.items() for said in every],
)
def test_each_thing_is_told_in_the_language_of_the_address(
    language: str, code: str, title: str, part: str
) -> None:
    params = {**event().params, "reference": "CQ-118", "last": "2031-11-15"}
    one = only(made(event(code, params=params), language=language))
    assert one["SUMMARY"] == title
    assert one["SUMMARY"].params["LANGUAGE"] == language
    assert part in str(one["DESCRIPTION"])


def test_of_many_labels_some_are_named_and_the_others_counted() -> None:
    params = {"check": "look_over", "place": None, "n": 12, "labels": ["T1", "T2"]}
    one = only(made(event(params=params, opens=date(2031, 4, 28))))
    assert one["SUMMARY"] == "Look-over"
    assert str(one["DESCRIPTION"]).splitlines()[:2] == [
        "T1 and T2 and 10 more",
        "From MON 28 APR to SUN 4 MAY.",
    ]


@pytest.mark.parametrize("kind", ["licence", "training"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_end_of_a_paper_names_it_and_whose_it_is(kind: str, language: str) -> None:
    params = {"name": "Wil", "what": "Spraying"}
    one = only(made(event(kind, params=params, rings=30), language=language))
    assert "Spraying" in str(one["SUMMARY"])
    assert "Wil" in str(one["SUMMARY"])
    assert len(one.walk("VALARM")) == 1
