"""Day 2, Mon 24 Mar 2031: a look-over without signal, and two counts of one tray."""

import pytest

from nursery.ops.demo import names as n
from tests.story.reading import Reading

pytestmark = pytest.mark.django_db


def test_305_are_alive_and_nobody_died_twice(two: Reading) -> None:
    assert two.total() == 305
    assert two.alive() == [53, 53, 53, 54, 48, 44]
    ledger = two.ledger()
    assert (ledger["in"], ledger["died"], ledger["sampled"]) == (318, 9, 4)
    assert ledger["difference"] == 0


def test_two_counts_of_tray_3_disagree_until_somebody_who_saw_one_counts_again(
    told: dict[str, Reading], ids: dict[str, str], two: Reading
) -> None:
    [doubt] = told["two counts of T3"].doubts("disagreement")
    assert doubt["params"] == {"first": 52, "second": 53}
    assert doubt["entries"] == [ids["52 in T3"], ids["53 in T3"]]
    assert two.doubts("disagreement") == []
    settled = {d["id"]: d["settled_by"] for d in two.stock[n.T3]["doubts"]}
    assert settled[doubt["id"]] == ids["recount of T3"]
    assert (two.stock[n.T3]["alive"], two.stock[n.T3]["ledger"]["died"]) == (53, 0)


def test_the_plant_that_one_of_them_missed_is_no_loss(told: dict[str, Reading]) -> None:
    apart = told["two counts of T3"]
    assert apart.stock[n.T3]["ledger"]["difference"] == 0
    assert apart.total() == 305


def test_the_two_dead_of_tray_5_are_kept_for_the_officer(two: Reading) -> None:
    bags = {tray: two.stock[tray]["bag"] for tray in n.TRAYS}
    assert bags[n.T5] == {"died": 2}
    assert [sum(bags[tray].values()) for tray in n.TRAYS] == [0, 0, 0, 0, 2, 0]


def test_a_wet_trap_is_not_read_and_not_zero(two: Reading) -> None:
    trap = two.places[n.TRAP_VENT_2]["trap"]
    assert (trap["answer"], trap["catches"]) == ("not_readable", None)
    open_now = [c for c in two.checks("trap") if c["params"]["week_of"] == "2031-03-24"]
    assert [(c["subject"], c["answered_by"]) for c in open_now] == [(n.TRAP_VENT_2, None)]


def test_the_other_traps_have_their_catch_and_an_empty_one_is_a_true_zero(two: Reading) -> None:
    catches = {trap: two.places[trap]["trap"]["catches"] for trap in n.TRAPS[:4]}
    assert catches == {
        n.TRAP_A: {n.THRIPS: 3},
        n.TRAP_B: {n.THRIPS: 1},
        n.TRAP_DOOR: {},
        n.TRAP_VENT_1: {n.GNATS: 11},
    }


def test_replacing_the_wet_trap_is_due_the_next_day(two: Reading, ids: dict[str, str]) -> None:
    [task] = two.checks("replace_trap")
    assert task["subject"] == n.TRAP_VENT_2
    assert task["params"]["not_readable"] == ids["vent-2 wet"]
    assert task["due_by"] == "2031-03-25T13:59:59.999Z"


def test_once_it_is_replaced_nothing_more_is_asked(told: dict[str, Reading]) -> None:
    after = told["the morning after"]
    assert after.checks("replace_trap") == []
    assert after.places[n.TRAP_VENT_2]["trap"]["catches"] is None


def test_trays_where_nothing_was_found_have_person_time_and_minutes(two: Reading) -> None:
    for tray in (n.T1, n.T2, n.T3, n.T4, n.T6):
        looks = [x["entry"] for x in two.timelines[tray] if x["entry"]["kind"] == "looked"]
        look = max(looks, key=lambda entry: entry["occurred_at"])
        assert (look["body"]["answer"], look["author"]) == ("nothing", "p-w1")
        assert "2031-03-23T21:10" <= look["occurred_at"] <= "2031-03-23T22:25:59"
        assert 9 <= look["body"]["minutes"] <= 13


def test_each_look_names_its_checklist_and_the_plants_under_the_lens(two: Reading) -> None:
    looks = [
        entry["body"]
        for tray in n.TRAYS
        for entry in (x["entry"] for x in two.timelines[tray])
        if entry["kind"] == "looked" and entry["occurred_at"] > "2031-03-23T20"
    ]
    assert {(look["checklist"], look["version"]) for look in looks} == {("weekly", 2)}
    plants = {
        name: sum(i["plants"] for look in looks for i in look["items"] if i["item"] == name)
        for name in ("under_leaves", "edge_plants")
    }
    assert plants == {"under_leaves": 20, "edge_plants": 8}


def test_every_tray_was_looked_over_this_week(two: Reading) -> None:
    weeks = {c["params"]["week_of"] for c in two.checks("look_over") if c["subject"] in n.TRAYS}
    assert min(weeks) == "2031-03-31"


def test_conductivity_and_acidity_of_five_pots_are_stored(two: Reading) -> None:
    readings = two.places[n.QUARANTINE]["readings"]
    assert {what: seen["value"] for what, seen in readings.items()} == {"ec_ms_cm": 0.9, "ph": 6.1}


def test_stem_rot_is_a_find_and_no_suspicion(two: Reading) -> None:
    assert two.outlook["incidents"] == []
    assert two.stock[n.T5]["finds"] == []
