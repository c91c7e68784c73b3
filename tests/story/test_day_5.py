"""Day 5, Wed 30 Jul 2031: potting on inside quarantine, and pots of which nobody knows the tray."""

import pytest

from nursery.ops.demo import names as n
from tests.story.reading import Reading, said

pytestmark = pytest.mark.django_db

GROUP = (n.T3, n.T5, n.MIXED)


def test_potting_waits_for_permission_p_31_and_pruning_still_does(
    told: dict[str, Reading], four_b: Reading, five: Reading
) -> None:
    assert said(four_b.gate(n.T1, "potting")) == ("no", "consent_missing")
    assert said(told["permission to pot"].gate(n.T1, "potting")) == ("yes", "allowed_inside")
    assert said(five.gate(n.T1, "pruning")) == ("no", "consent_missing")


def test_243_are_alive(five: Reading) -> None:
    assert five.total() == 243 == 251 - 3 - 5
    assert five.alive() == [51, 52, 48, 0, 43, 41]
    assert five.stock[n.MIXED]["alive"] == 8


def test_318_are_243_alive_15_dead_5_culled_5_sampled_50_destroyed(five: Reading) -> None:
    ledger = five.ledger()
    assert {way: plants for way, plants in ledger.items() if plants and way != "in"} == {
        "alive": 243, "died": 15, "culled": 5, "sampled": 5, "destroyed": 50,
    }  # fmt: skip
    assert ledger["in"] == 318


def test_each_tray_alone_balances_in_and_out_and_cull(five: Reading) -> None:
    for tray in (n.T1, n.T2, n.T6):
        ledger = five.stock[tray]["ledger"]
        out = sum(v for way, v in ledger.items() if way not in ("in", "alive", "difference"))
        assert (ledger["in"], ledger["difference"]) == (ledger["alive"] + out, 0)
    assert [five.stock[tray]["ledger"]["culled"] for tray in (n.T1, n.T6)] == [2, 3]


def test_over_the_group_of_t3_t5_and_u_it_balances(five: Reading) -> None:
    ledgers = [five.stock[batch]["ledger"] for batch in GROUP]
    total = {way: sum(ledger[way] for ledger in ledgers) for way in ledgers[0]}
    assert (total["in"], total["alive"], total["mixed"], total["difference"]) == (108, 99, 0, 0)
    assert five.doubts("group_difference") == []


def test_u_may_be_of_either_tray_and_arithmetic_alone_says_five_and_three(five: Reading) -> None:
    assert set(five.stock[n.MIXED]["parents"]) == {n.T3, n.T5}
    assert [five.stock[tray]["ledger"]["mixed"] for tray in (n.T3, n.T5)] == [5, 3]
    assert five.stock[n.MIXED]["one_of_parents"]


def test_u_stays_in_the_room_but_is_no_source_of_scions(five: Reading) -> None:
    assert five.gate(n.MIXED, "moving_inside")["answer"] == "yes"
    gate = five.outlook["batches"][n.MIXED]["gates"]
    [taking] = [one for one in gate if one["act"] == "taking"]
    assert taking["answer"] == "no"


def test_u_has_the_clock_of_its_trays_and_owes_no_second_look_this_week(five: Reading) -> None:
    clock = five.forecast(n.MIXED)["clock"]
    assert (clock["started_on"], clock["earliest"]) == ("2031-05-27", "2031-11-23")
    weeks = {c["params"]["week_of"] for c in five.checks("look_over") if c["subject"] == n.MIXED}
    assert "2031-07-28" not in weeks


def test_243_pots_at_18_a_square_metre_take_13_5_of_15(five: Reading) -> None:
    assert five.room()["benches"] == {"m2": 15.0, "taken": 13.5}
    assert five.total() / 18 == 13.5


def test_pots_are_full_about_late_january_five_weeks_before_the_first_of_march(
    five: Reading,
) -> None:
    told = {one["code"]: one["params"] for one in five.forecast(n.T1)["season"]}
    assert "2032-01-20" <= told["pots_full"]["on"] <= "2032-01-31"
    assert (told["pots_full_before"]["n"], told["pots_full_before"]["first"]) == (5, "2032-03-01")


def test_30_root_balls_were_classed(five: Reading, told: dict[str, Reading]) -> None:
    bodies = [
        line["entry"]["body"]
        for tray in n.TRAYS
        for line in five.timelines[tray]
        if line["entry"]["kind"] == "plugged"
    ]
    sums = [sum(body[name] for body in bodies) for name in ("none", "few", "many")]
    assert sums == [21, 6, 3]


def test_the_dead_and_culled_are_kept_for_the_officer(five: Reading) -> None:
    assert five.kept() == 2 + 3 + 5
