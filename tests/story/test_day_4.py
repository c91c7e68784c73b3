"""Day 4, Fri 16 May 2031: confirmed, T4 destroyed, the clock again from the second treatment."""

from datetime import date, timedelta

import pytest

from nursery.ops.demo import names as n
from nursery.services.demo import W1, G
from tests.story.reading import Reading

pytestmark = pytest.mark.django_db


def test_the_report_confirms_the_listed_pest(told: dict[str, Reading]) -> None:
    [incident] = told["16 May"].outlook["incidents"]
    assert (incident["verdict"], incident["pest"]) == ("confirmed", n.BLACKFLY)
    assert incident["open"]


def test_251_are_alive_and_all_of_tray_4_is_gone(told: dict[str, Reading]) -> None:
    evening = told["16 May"]
    assert evening.total() == 251 == 304 - 3 - 50
    assert evening.alive() == [53, 53, 53, 0, 48, 44]
    assert evening.stock[n.T4]["ledger"]["died"] == 3
    assert evening.stock[n.T4]["ledger"]["destroyed"] == 50
    assert evening.stock[n.T4]["closed"]


def test_318_are_251_alive_12_dead_5_sampled_and_50_destroyed(four: Reading) -> None:
    ledger = four.ledger()
    assert {way: plants for way, plants in ledger.items() if plants and way != "in"} == {
        "alive": 251, "died": 12, "sampled": 5, "destroyed": 50,
    }  # fmt: skip
    assert ledger["in"] == 318 == 251 + (7 + 2 + 3) + (4 + 1) + 50


def test_the_three_dead_burned_with_the_tray_stay_dead_and_the_bag_has_the_two(
    four: Reading,
) -> None:
    assert four.stock[n.T4]["bag"] == {"died": 0}
    assert four.kept() == 2


def test_every_act_of_the_authority_has_the_picture_of_its_paper(four: Reading) -> None:
    assert four.doubts("no_paper") == []


def test_nothing_more_is_ordered_destroyed(four: Reading) -> None:
    unmet = {reason["code"] for clock in four.clocks(n.SPARED) for reason in clock["unmet"]}
    assert "destroy_open" not in unmet


def test_the_earliest_release_is_23_november_if_treatment_2_is_done_on_27_may(
    four: Reading,
) -> None:
    assert date(2031, 5, 27) + timedelta(days=180) == date(2031, 11, 23)
    for clock in four.clocks(n.SPARED):
        assert clock["earliest"] == "2031-11-23"
        assert clock["only_if"] == {
            "code": "if_treated",
            "params": {"number": 2, "reference": "Q-09", "on": "2031-05-27"},
        }


def test_that_is_85_days_later_than_before_the_order(three: Reading, four: Reading) -> None:
    before, after = (r.forecast(n.T1)["clock"]["earliest"] for r in (three, four))
    assert before == "2031-08-30"
    assert (date.fromisoformat(after) - date.fromisoformat(before)).days == 85


def test_the_main_planting_weeks_are_lost_and_the_next_are_named(
    three: Reading, four: Reading
) -> None:
    def told(reading: Reading) -> dict[str, dict[str, str]]:
        return {one["code"]: one["params"] for one in reading.forecast(n.T1)["season"]}

    assert "main_weeks_lost" not in told(three)
    lost = told(four)["main_weeks_lost"]
    assert (lost["first"], lost["last"]) == ("2031-10-01", "2031-11-15")
    assert (lost["next_first"], lost["next_last"]) == ("2032-03-01", "2032-03-31")


def test_the_order_says_by_how_much_it_moved_the_release(four: Reading) -> None:
    [moved] = four.forecast(n.T1)["clock"]["moved"]
    assert moved["code"] == "moved_later"
    about = {name: moved["params"][name] for name in ("from", "to", "n")}
    assert about == {"from": "2031-08-30", "to": "2031-11-23", "n": 85}


def test_the_treatment_is_told_in_full_and_nothing_about_it_is_odd(
    four: Reading, told: dict[str, Reading]
) -> None:
    [treatment] = four.places[n.QUARANTINE]["record"]["treatments"]
    assert (treatment["litres"], treatment["area_m2"], treatment["operator"]) == (3, 15, G.id)
    assert treatment["sign_posted_at"] < treatment["started_at"]
    assert four.room()["doubts"] == []
    assert told["16 May"].places[n.QUARANTINE]["record"].get("treatments") is None


def test_nobody_goes_in_before_ten_to_five_on_the_18th(told: dict[str, Reading]) -> None:
    evening = told["evening 4"].room()["people"][W1.id]
    assert (evening["answer"], evening["opens_at"]) == ("wait", "2031-05-17T18:50:00.000Z")
    assert told["dawn"].room()["people"][W1.id]["answer"] == "yes"


def test_what_is_planned_for_dawn_waits_with_it(told: dict[str, Reading]) -> None:
    room = told["evening 4"].places[n.QUARANTINE]["record"]
    assert [(one["act"], one["on"]) for one in room["bookings"]] == [("watering", "2031-05-18")]
    # Nobody waters before the door opens, and the day that it was planned for has begun by then.
    opens = told["evening 4"].room()["people"][W1.id]["opens_at"]
    assert "2031-05-17T14:00:00.000Z" < opens < "2031-05-18T14:00:00.000Z"


def test_a_phone_last_synced_on_the_16th_cannot_tell_on_the_18th(
    told: dict[str, Reading],
) -> None:
    heard = told["16 May"].room()
    for gate in (heard["entering"], *heard["people"].values()):
        assert gate["valid_until"] < "2031-05-17T18:50:00.000Z"
    # So the phone's twin says "cannot tell": `tests/vectors/gates.json`, the scene of that name.


def test_treatment_2_is_due_on_27_may_and_not_before(four: Reading) -> None:
    due = four.checks("treatment")
    assert {check["subject"] for check in due} == set(n.SPARED)
    assert {check["opens_at"] for check in due} == {"2031-05-26T14:00:00.000Z"}
    assert {check["params"]["number"] for check in due} == {2}
