"""Day 7, 20-26 Nov 2031: the final inspection, the notice, the bag, and the empty room."""

from datetime import date
from typing import Any

import pytest

from nursery.ops.demo import names as n
from tests.story.reading import Reading, said

pytestmark = pytest.mark.django_db


def test_241_are_alive(told: dict[str, Reading]) -> None:
    inspected = told["20 November"]
    assert inspected.total() == 241 == 243 - 2
    assert inspected.alive() == [50, 52, 47, 0, 43, 41]
    assert inspected.stock[n.MIXED]["alive"] == 8


@pytest.mark.parametrize("moment", ["20 November", "released", "evening 7"])
def test_318_are_241_alive_17_dead_5_culled_5_sampled_50_destroyed(
    told: dict[str, Reading], moment: str
) -> None:
    ledger = told[moment].ledger()
    assert {way: plants for way, plants in ledger.items() if plants and way != "in"} == {
        "alive": 241, "died": 17, "culled": 5, "sampled": 5, "destroyed": 50,
    }  # fmt: skip
    assert ledger["in"] == 318


def test_of_38_weeks_37_are_done_and_one_is_not(told: dict[str, Reading]) -> None:
    looks = told["released"].file["looks"]
    assert {name: looks[name] for name in ("over", "done", "not_done")} == {
        "over": 38, "done": 37, "not_done": 1,
    }  # fmt: skip
    weeks = looks["weeks"]
    assert (weeks[0]["from"], weeks[-1]["from"]) == ("2031-03-03", "2031-11-17")
    assert [week["from"] for week in weeks if week["answer"] == "not_done"] == ["2031-09-22"]
    assert {week["answer"] for week in weeks} == {"nothing", "found", "not_done"}


def test_all_241_were_seen_and_inspection_2_is_met(told: dict[str, Reading]) -> None:
    inspected = told["20 November"]
    seen = [one for pot in n.POTS for one in inspected.records[pot]["inspections"]]
    assert sum(one["plants"] for one in seen if one["at"] > "2031-11") == 241
    for clock in inspected.clocks(n.POTS):
        met = [reason for reason in clock["met"] if reason["code"] == "inspected"]
        assert [(m["params"]["number"], m["params"]["on"]) for m in met] == [
            (1, "2031-06-06"), (2, "2031-11-20"),
        ]  # fmt: skip
        assert clock["unmet"] == []


def test_53_would_notice_one_in_twenty_but_the_permit_says_all(
    told: dict[str, Reading],
) -> None:
    [account] = [c for c in told["20 November"].consignments.values() if c["id"] == "con-1"]
    plan = account["plans"]["inspection"]
    assert (plan["lot"], plan["number"], plan["to_notice"]) == (241, 241, 53)


def test_the_colony_of_an_unlisted_pest_holds_nothing(told: dict[str, Reading]) -> None:
    inspected = told["20 November"]
    assert [i["kind"] for i in inspected.outlook["incidents"]] == ["find", "breach"]
    assert inspected.forecast(n.T2)["held"] == []


def test_the_earliest_release_is_a_sunday_and_the_notice_waits_for_its_day(
    told: dict[str, Reading],
) -> None:
    inspected = told["20 November"]
    assert date.fromisoformat(inspected.forecast(n.T1)["clock"]["earliest"]).weekday() == 6
    gate = inspected.gate(n.T1, "releasing")
    assert inspected.forecast(n.T1)["clock"]["notice_from"] == "2031-11-24"
    assert said(gate) == ("wait", "days_to_go")
    assert gate["opens_at"] == "2031-11-22T14:00:00.000Z"
    assert said(told["before the notice"].gate(n.T1, "releasing")) == ("yes", "release_due")


def test_on_the_20th_it_is_said_that_the_limit_lapses_on_the_27th(
    told: dict[str, Reading],
) -> None:
    for clock in told["20 November"].clocks(n.POTS):
        [lapse] = clock["lapses"]
        assert (lapse["code"], lapse["params"]["last"]) == ("inspection_lapses", "2031-11-27")
        assert (lapse["params"]["next"], lapse["params"]["days"]) == ("2031-11-28", 8)


@pytest.mark.parametrize("pot", n.POTS)
def test_before_the_notice_moving_one_pot_is_refused_and_after_it_is_free(
    told: dict[str, Reading], pot: str
) -> None:
    for act in ("moving", "sending", "planting"):
        assert said(told["before the notice"].gate(pot, act)) == ("no", "not_released")
        assert said(told["released"].gate(pot, act)) == ("yes", "released")


def test_the_notice_is_for_241_and_nothing_about_it_is_odd(seven: Reading) -> None:
    released = [seven.stock[pot]["released"] for pot in n.POTS]
    assert {(one["notice"], one["count"]) for one in released} == {("RN-204", 241)}
    assert sum(one["said"] for one in released) == 241
    assert seven.needs["doubts"] == []


def test_the_bag_had_7_dead_and_5_culled_and_was_burned_before_a_witness(
    told: dict[str, Reading], seven: Reading
) -> None:
    bags: dict[str, int] = {}
    for batch in told["20 November"].stock.values():
        for fate, plants in batch["bag"].items():
            bags[fate] = bags.get(fate, 0) + plants
    assert bags == {"died": 7, "culled": 5}
    assert seven.kept() == 0
    [burned] = [
        line["entry"]["body"]
        for line in seven.timelines[n.T1]
        if line["entry"]["kind"] == "disposed"
    ]
    assert (burned["method"], burned["witness"]) == ("burned", "Maro Hestel")


def test_the_room_is_not_emptied_while_plants_and_the_bag_are_in_it(
    told: dict[str, Reading],
) -> None:
    room = told["released"].room()
    assert (room["all_out"]["in_bag"], len(room["all_out"]["plants"])) == (12, 6)
    for act in ("emptying", "accepting"):
        assert said(room[act]) == ("no", "room_has_plants")


def test_241_stand_in_the_shade_house(seven: Reading) -> None:
    places = {seven.stock[pot]["place"] for pot in n.POTS}
    assert places == {n.SHADE_HOUSE}
    assert sum(seven.stock[pot]["alive"] for pot in n.POTS) == 241


def test_the_room_accepts_from_3_december_and_only_once_checked(seven: Reading) -> None:
    room: dict[str, Any] = seven.room()
    assert room["all_out"]["accepts_from"] == "2031-12-03T00:00:00.000Z"
    assert said(room["accepting"]) == ("wait", "stays_empty")
    assert said(room["emptying"]) == ("yes", "free_to_empty")
    assert room["doubts"] == []
