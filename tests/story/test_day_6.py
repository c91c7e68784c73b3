"""Day 6, Wed 13 Aug 2031: the storm night, its hold and its order; and the week of 22 September."""

from typing import Any

import pytest

from nursery.ops.demo import names as n
from tests.story.reading import Reading, said

pytestmark = pytest.mark.django_db

INSIDE = ("moving", "moving_inside", "potting", "sending")


def breach(reading: Reading) -> dict[str, object]:
    [one] = [i for i in reading.outlook["incidents"] if i["kind"] == "breach"]
    incident: dict[str, object] = one
    return incident


def test_the_exposure_up_to_the_patch_is_13_hours_25_minutes(
    told: dict[str, Reading], six: Reading
) -> None:
    for reading in (told["storm"], six):
        told_of_it = breach(reading)["breach"]
        assert isinstance(told_of_it, dict)
        assert told_of_it["minutes"] == 13 * 60 + 25
        assert told_of_it["size_cm"] == 35


def test_the_breach_holds_its_room_until_the_authority_decides(
    told: dict[str, Reading], six: Reading
) -> None:
    for pot in n.POTS:
        for act in INSIDE:
            assert said(told["storm"].gate(pot, act)) == ("no", "held_by_breach")
        assert six.forecast(pot)["held"] == []
    assert breach(told["storm"])["open"]
    assert not breach(six)["open"]


def test_a_breach_is_another_kind_than_a_find_and_exposes_nobody(six: Reading) -> None:
    assert {one["kind"] for one in six.outlook["incidents"]} == {"find", "breach"}
    assert (breach(six)["exposed"], breach(six)["ring"]) == ([], [])


def test_the_report_tells_people_weather_the_gap_and_what_was_done(six: Reading) -> None:
    told_of_it = breach(six)["breach"]
    assert isinstance(told_of_it, dict)
    report = told_of_it["report"]
    assert (report["reference"], report["extra_traps"], len(report["people"])) == ("IN-12", 3, 2)
    assert report["gap_from"] == "2031-08-12T12:10:00.000Z"
    assert report["weather"]
    assert report["moved"]


def test_three_more_traps_hang_and_are_read(six: Reading, told: dict[str, Reading]) -> None:
    assert six.room()["traps"]["have"] == 5 + 3
    open_then = [c for c in told["28 August"].checks("trap") if c["due_by"] < "2031-08-28"]
    assert open_then == []


def test_all_243_are_looked_over_on_the_days_of_the_order(
    six: Reading, told: dict[str, Reading]
) -> None:
    def asked(reading: Reading) -> set[tuple[str, str]]:
        return {(c["subject"], c["params"]["on"]) for c in reading.checks("ordered_look")}

    later = {(pot, on) for pot in n.POTS for on in ("2031-08-27", "2031-09-10")}
    assert asked(six) == later
    assert asked(told["28 August"]) == {(pot, "2031-09-10") for pot in n.POTS}
    assert asked(told["week not done"]) == set()
    looked = [
        look["plants"]
        for pot in n.POTS
        for look in six.records[pot]["looks"]
        if look["at"][:10] >= "2031-08-12" and look["at"] > "2031-08-12T20"
    ]
    assert sum(looked) == 243


def test_the_clock_was_not_restarted_and_the_release_not_moved(five: Reading, six: Reading) -> None:
    for before, after in zip(five.clocks(n.POTS), six.clocks(n.POTS), strict=True):
        assert after["started_on"] == before["started_on"] == "2031-05-27"
        assert after["earliest"] == before["earliest"] == "2031-11-23"


def test_nothing_is_released_before_the_28_day_check(
    six: Reading, told: dict[str, Reading]
) -> None:
    def missing(reading: Reading) -> list[str]:
        clock = reading.forecast(n.T1)["clock"]
        return [r["params"]["on"] for r in clock["unmet"] if r["code"] == "ordered_look_missing"]

    assert missing(six) == ["2031-08-27", "2031-09-10"]
    assert missing(told["28 August"]) == ["2031-09-10"]
    assert missing(told["week not done"]) == []
    floor = [r for r in six.forecast(n.T1)["clock"]["reasons"] if r["code"] == "not_before"]
    assert floor == [{"code": "not_before", "params": {"reference": "BO-3", "on": "2031-09-10"}}]


def test_the_authority_was_told_at_ten_past_seven_under_in_12(six: Reading) -> None:
    [told] = [
        line["entry"]
        for line in six.timelines[n.T1]
        if line["entry"]["kind"] == "told" and line["entry"]["body"].get("reference") == "IN-12"
    ]
    assert told["occurred_at"] == "2031-08-12T21:10:00.000Z"


def test_the_week_of_22_september_is_not_done_with_its_reason(
    told: dict[str, Reading], ids: dict[str, str]
) -> None:
    at_its_end = week_of_the_screen(told["week not done"])
    assert (at_its_end["answer"], at_its_end["done"]) == ("not_done", 0)
    assert {one["batch"] for one in at_its_end["not_done"]} == set(n.POTS)
    assert {one["why"] for one in at_its_end["not_done"]} == {
        "north screen replaced, told under RP-3"
    }
    assert {one["accepted"] for one in at_its_end["not_done"]} == {None}


def test_the_authority_accepted_that_week_in_writing(told: dict[str, Reading]) -> None:
    later = week_of_the_screen(told["20 November"])
    assert later["answer"] == "not_done"
    assert {one["accepted"] for one in later["not_done"]} == {"AC-5"}


def week_of_the_screen(reading: Reading) -> dict[str, Any]:
    [week] = [week for week in reading.file["looks"]["weeks"] if week["from"] == "2031-09-22"]
    return dict(week)
