"""What calendars are told: grouped so that it can be read, the same thing however its day moves."""

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import diary
from nursery.domain.diary import Event, Told
from tests.domain.house import House, day, day_1, day_2, day_3, instant

AT = "2031-03-25 08:00"
WEEKS = {"name": "V", "zone": "Etc/GMT-10", "planting": [{"first": "10-01", "last": "11-15"}]}


def ahead(house: House, at: str = AT, code: str = "") -> list[Event]:
    found = diary.ahead(house.book(), instant(at))
    return [one for one in found if not code or one.code == code]


def test_a_week_of_look_overs_in_a_room_is_one_thing_on_its_last_day() -> None:
    """Rule D-1."""
    looks = [one for one in ahead(day_2()) if one.params.get("check") == "look_over"]
    assert looks[0].params == {
        "check": "look_over",
        "place": "room",
        "n": 6,
        "labels": ["T1", "T2", "T3", "T4", "T5", "T6"],
    }
    assert (looks[0].first, looks[0].last) == (day("2031-04-06"), day("2031-04-06"))
    assert (looks[0].opens, looks[0].rings, looks[0].forecast) == (day("2031-03-31"), 1, False)
    assert [one.first for one in looks[1:3]] == [day("2031-04-13"), day("2031-04-20")]


def test_many_labels_are_some_of_them_and_their_number() -> None:
    house = House()
    house.arrive("2031-03-03 07:30", [f"t{n}" for n in range(1, 13)])
    one = next(one for one in ahead(house) if one.params.get("check") == "look_over")
    assert (one.params["n"], len(one.params["labels"])) == (12, diary.MOST_NAMES)


def test_a_check_of_a_place_has_no_labels() -> None:
    trap = next(one for one in ahead(day_2()) if one.params.get("check") == "trap")
    assert (trap.params["n"], trap.params["labels"], trap.params["place"]) == (0, [], "room")


def test_what_was_done_or_explained_is_ahead_no_more() -> None:
    house = day_2()
    before = {one.uid for one in ahead(house, "2031-03-31 06:00")}
    house.looked("2031-03-31 07:30")
    gone = before - {one.uid for one in ahead(house, "2031-03-31 08:00")}
    assert len(gone) == 1


def test_an_official_visit_is_drawn_over_its_days_or_on_its_last() -> None:
    """Rule D-1: the second inspection has a week, the first half a year."""
    last, first = ahead(day_1(), "2031-06-25 08:00", "visit")
    assert (first.last, first.first, first.opens) == (
        day("2031-08-30"), day("2031-08-30"), day("2031-03-03"),
    )  # fmt: skip
    assert (last.last - last.first).days == 7
    assert (last.opens, last.rings) == (last.first, 3)


def test_a_visit_stays_the_same_thing_when_the_release_moves() -> None:
    """Rule D-2."""
    house = day_1()
    before = ahead(house, "2031-06-25 08:00", "visit")
    for tray in ("t1", "t2", "t3", "t4", "t5", "t6"):
        house.order(tray, "2031-06-01 09:00", "extend", "X-1", days=14)
    after = ahead(house, "2031-06-25 08:00", "visit")
    assert [one.uid for one in before] == [one.uid for one in after]
    assert [one.last for one in before] < [one.last for one in after]


def test_re_entry_has_an_hour_and_is_told_until_then() -> None:
    house = day_1()
    house.row("product", "soap", {"name": "Soap", "reentry_hours": 12})
    body = {
        "product": "soap",
        "started_at": "2031-05-17T05:10:00.000Z",
        "ended_at": "2031-05-17T06:50:00.000Z",
        "reentry_until": "2031-05-17T18:50:00.000Z",
    }
    house.add("treated", "room", "2031-05-17 16:50", body)
    (one,) = ahead(house, "2031-05-17 17:00", "reentry")
    assert (one.at, one.params) == (instant("2031-05-18 04:50"), {"place": "room"})
    assert one.first == one.last == day("2031-05-18")
    assert ahead(house, "2031-05-18 05:00", "reentry") == []


@pytest.mark.parametrize(
    ("ends", "at", "told"),
    [
        ("2031-06-30", AT, True),
        ("2031-03-25", AT, True),
        ("2031-03-24", AT, False),
        ("2033-06-30", AT, False),
        (None, AT, False),
    ],
)
def test_a_permit_is_told_by_its_last_day(ends: str | None, at: str, told: bool) -> None:
    house = day_1()
    house.row("permit", "p-2", {"reference": "P-2", "holder": "G", "valid_to": ends})
    found = ahead(house, at, "permit")
    assert [(one.first.isoformat(), one.params) for one in found] == (
        [(ends, {"reference": "P-2"})] if told else []
    )


def test_planting_weeks_are_the_same_thing_when_they_are_set_anew() -> None:
    """Rule D-2."""
    house = day_1()
    house.row("nursery", "veshmere", WEEKS)
    (before,) = ahead(house, AT, "weeks")
    assert (before.first, before.last) == (day("2031-10-01"), day("2031-11-15"))
    later = {**WEEKS, "planting": [{"first": "10-08", "last": "11-20"}]}
    house.row("nursery", "veshmere", later)
    (after,) = ahead(house, AT, "weeks")
    assert (after.uid, after.first) == (before.uid, day("2031-10-08"))
    assert [one.first.year for one in ahead(house, "2031-11-10 08:00", "weeks")] == [2031, 2032]


def test_the_earliest_release_is_a_forecast_of_plants_that_share_it() -> None:
    """Rule D-4."""
    found = ahead(day_3(), "2031-05-05 08:00", "release")
    assert {one.forecast for one in found} == {True}
    assert sorted(label for one in found for label in one.params["labels"]) == [
        "T1", "T2", "T3", "T4", "T5", "T6",
    ]  # fmt: skip
    assert len({(one.first, one.uid) for one in found}) == len(found)


def test_what_is_released_closed_gone_or_free_has_none() -> None:
    house = day_1()
    house.arrive("2031-03-03 07:30", ["own"], consignment=None)
    house.release(("t1",), "2031-09-02 09:00")
    house.add("lost", "t2", "2031-09-02 09:00", {"count": 53, "fate": "destroyed"})
    labels = [
        label
        for one in ahead(house, "2031-04-01 08:00", "release")
        for label in one.params["labels"]
    ]
    assert {"T1", "T2", "OWN"}.isdisjoint(labels)
    assert ahead(house, "2032-09-03 08:00", "release") == []


# What has changed since

NOW = instant("2031-03-25 08:00")
LATER = NOW + timedelta(days=1)
TODAY = date(2031, 3, 25)
VISIT = Event("u-1", "visit", TODAY, TODAY + timedelta(days=7), {"check": "inspection"})


def told(
    before: Sequence[Told], *events: Event, at: datetime = LATER, today: date = TODAY
) -> list[Told]:
    return diary.told(before, events, at, today)


def test_what_is_told_again_unchanged_keeps_its_number_and_moment() -> None:
    first = told([], VISIT, at=NOW)
    assert first == [Told(VISIT, 0, NOW)]
    assert told(first, VISIT) == first


def test_a_change_raises_the_number_by_one() -> None:
    """Rule D-2."""
    moved = replace(VISIT, last=VISIT.last + timedelta(days=3))
    (one,) = told(told([], VISIT, at=NOW), moved)
    assert one == Told(moved, 1, LATER)


def test_what_falls_away_is_cancelled_once_until_its_day_is_over_and_may_come_back() -> None:
    """Rule D-3."""
    first = told([], VISIT, at=NOW)
    cancelled = told(first)
    assert cancelled == [Told(VISIT, 1, LATER, cancelled=True)]
    assert told(cancelled, at=LATER + timedelta(days=1)) == cancelled
    assert told(cancelled, VISIT) == [Told(VISIT, 2, LATER)]
    assert told(cancelled, today=VISIT.last + timedelta(days=1)) == []
    assert told(first, today=VISIT.last + timedelta(days=1)) == []


def test_what_is_kept_is_read_back_the_same() -> None:
    whole = replace(
        VISIT, params={"n": 2, "labels": ["T1"]}, at=NOW, opens=TODAY, rings=3, forecast=True
    )
    for one in (Told(VISIT, 0, NOW), Told(whole, 4, LATER, cancelled=True)):
        assert diary.read(json.loads(json.dumps(one.as_json()))) == one


@given(st.lists(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 2)), max_size=4), max_size=8))
def test_a_number_never_falls_and_rises_with_every_change(
    story: list[list[tuple[int, int]]],
) -> None:
    """Rule D-2, for any story of things that come, move, fall away and come back."""
    known: list[Told] = []
    seen: dict[str, tuple[int, str]] = {}
    for step, things in enumerate(story):
        days = dict(things)
        events = [
            replace(VISIT, uid=f"u-{uid}", last=VISIT.last + timedelta(days=shift))
            for uid, shift in days.items()
        ]
        known = told(known, *events, at=NOW + timedelta(hours=step))
        for one in known:
            body = json.dumps([one.event.as_json(), one.cancelled])
            number, before = seen.get(one.event.uid, (-1, ""))
            assert one.sequence == (number if body == before else number + 1)
            seen[one.event.uid] = (one.sequence, body)
        assert {one.event.uid for one in known if not one.cancelled} == {f"u-{uid}" for uid in days}


@pytest.mark.parametrize(
    ("until", "told"),
    [("2031-03-25", True), ("2031-03-24", False), ("2032-04-28", True), ("2032-04-29", False)],
)
def test_the_last_day_of_a_licence_stands_in_the_calendar(until: str, told: bool) -> None:
    """Rule O-6."""
    house = House()
    house.row("person", "w1", {"name": "Wil", "role": "worker", "licences": [
        {"what": "Spraying", "until": until},
    ]})  # fmt: skip
    found = ahead(house, AT, "licence")
    assert [(one.first, one.last, one.rings) for one in found] == (
        [(day(until), day(until), 30)] if told else []
    )
    assert [one.params for one in found] == [{"name": "Wil", "what": "Spraying"}] * told


def test_a_training_that_is_given_again_is_the_same_thing_on_another_day() -> None:
    """Rule D-2."""
    house = House()
    uids = set()
    for until in ("2031-05-01", "2031-06-01"):
        papers = [{"what": "Hygiene", "until": until}]
        house.row("person", "w1", {"name": "Wil", "role": "worker", "trainings": papers})
        uids |= {one.uid for one in ahead(house, AT, "training")}
    assert len(uids) == 1
