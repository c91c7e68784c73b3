"""Day 4b, 27 May and 6 June 2031: the second treatment, inspection 1, and the hold lifted."""

import pytest

from nursery.ops.demo import names as n
from nursery.services.demo import W2
from tests.story.reading import Reading, said

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("moment", ["27 May", "evening 4b"])
def test_the_clock_runs_from_27_may_without_an_if(told: dict[str, Reading], moment: str) -> None:
    for clock in told[moment].clocks(n.SPARED):
        assert (clock["started_on"], clock["earliest"]) == ("2031-05-27", "2031-11-23")
        assert clock["only_if"] is None


def test_re_entry_after_the_second_treatment(told: dict[str, Reading]) -> None:
    assert told["27 May"].room()["reentry_until"] == "2031-05-27T18:50:00.000Z"


def test_until_the_visit_the_release_would_miss_inspection_1(
    told: dict[str, Reading], four_b: Reading
) -> None:
    def missing(reading: Reading) -> set[int]:
        return {
            reason["params"]["number"]
            for clock in reading.clocks(n.SPARED)
            for reason in clock["unmet"]
            if reason["code"] == "inspection_missing"
        }

    assert missing(told["5 June"]) == {1, 2}
    assert missing(four_b) == {2}


def test_251_were_seen_in_active_growth(four_b: Reading) -> None:
    seen = [
        look
        for tray in n.SPARED
        for look in four_b.records[tray]["inspections"]
    ]  # fmt: skip
    assert sum(look["plants"] for look in seen) == 251 == four_b.total()
    assert all(look["active_growth"] and look["answer"] == "nothing" for look in seen)


def test_potting_is_shut_until_the_lift_and_then_asks_for_consent(
    told: dict[str, Reading], four_b: Reading
) -> None:
    for tray in n.SPARED:
        assert told["5 June"].gate(tray, "potting")["reason"] == "held_by_find"
        assert said(four_b.gate(tray, "potting")) == ("no", "consent_missing")
        assert four_b.forecast(tray)["held"] == []


def test_the_lift_answers_the_find_and_closes_the_incident(four_b: Reading) -> None:
    [incident] = four_b.outlook["incidents"]
    assert not incident["open"]
    assert four_b.doubts("suspicion") == []
    assert four_b.needs["doubts"] == []


def test_w2_may_go_in_again(told: dict[str, Reading], four_b: Reading) -> None:
    assert said(told["5 June"].room()["people"][W2.id]) == ("no", "not_admitted")
    assert four_b.room()["entering"]["answer"] == "yes"


def test_tray_4_owes_no_look_over_once_it_is_gone(told: dict[str, Reading]) -> None:
    for moment in ("27 May", "evening 4b", "evening 5"):
        assert n.T4 not in {check["subject"] for check in told[moment].checks("look_over")}
