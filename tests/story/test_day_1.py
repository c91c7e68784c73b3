"""Day 1, Mon 3 Mar 2031: arrival. Every figure as the acceptance story has it."""

import pytest

from nursery.ops.demo import names as n
from tests.story.reading import Reading

pytestmark = pytest.mark.django_db


def test_318_came_in_and_318_are_307_alive_7_dead_and_4_sampled(one: Reading) -> None:
    ledger = one.ledger()
    assert ledger["in"] == 318
    assert {way: plants for way, plants in ledger.items() if plants and way != "in"} == {
        "alive": 307, "died": 7, "sampled": 4,
    }  # fmt: skip


def test_each_tray_has_its_figure(one: Reading) -> None:
    assert one.alive() == [53, 53, 53, 54, 50, 44]
    assert [one.stock[tray]["ledger"]["in"] for tray in n.TRAYS] == [54, 54, 54, 54, 54, 48]
    assert {one.stock[tray]["ledger"]["difference"] for tray in n.TRAYS} == {0}


def test_the_certificate_is_never_the_opening_balance(one: Reading) -> None:
    consignment = one.consignments["con-1"]
    assert (consignment["stated"], consignment["counted"]) == (324, 318)


def test_short_6_is_a_notice_and_no_difference_of_the_ledger(one: Reading) -> None:
    assert one.notices() == {"short": 6}
    assert one.ledger()["difference"] == 0
    assert one.doubts("difference") == []
    assert one.needs["doubts"] == []


def test_the_clock_starts_on_3_march_and_release_is_possible_from_30_august(one: Reading) -> None:
    clocks = [one.forecast(tray)["clock"] for tray in n.TRAYS]
    assert {(c["started_on"], c["earliest"]) for c in clocks} == {("2031-03-03", "2031-08-30")}
    assert {c["only_if"] for c in clocks} == {None}


def test_official_inspection_1_is_due_while_the_plants_grow(one: Reading) -> None:
    due = [check for check in one.checks("inspection") if check["params"]["number"] == 1]
    assert {check["subject"] for check in due} == set(n.TRAYS)
    assert all(check["params"]["active_growth"] for check in due)
    assert all(check["opens_at"] == "2031-03-02T14:00:00.000Z" for check in due)


def test_five_traps_are_asked_for_by_floor_and_it_says_so(one: Reading) -> None:
    traps = one.outlook["places"][n.QUARANTINE]["traps"]
    assert (traps["number"], traps["area"], traps["m2"], traps["by_other_area"]) == (
        5, "floor", 24.0, 4,
    )  # fmt: skip
    assert (traps["over_plants"], traps["at_doors"], traps["at_vents"]) == (2, 1, 2)


def test_each_of_the_five_traps_has_a_check_this_week(one: Reading) -> None:
    this_week = [c for c in one.checks("trap") if c["params"]["week_of"] == "2031-03-03"]
    assert {check["subject"] for check in this_week} == set(n.TRAPS)
    assert len(this_week) == 5


def test_goods_are_counted_before_the_permit_is_typed_and_no_gate_opens(before: Reading) -> None:
    assert before.total() == 307
    clock = before.forecast(n.T1)["clock"]
    assert (clock["known"], clock["earliest"], clock["started_on"]) == (False, None, "2031-03-03")
    answers = {gate["act"]: gate["answer"] for gate in before.forecast(n.T1)["gates"]}
    assert "yes" not in answers.values()
    assert answers["potting"] == answers["releasing"] == "cannot_tell"


def test_typing_permit_and_consignment_later_matches_what_was_counted(one: Reading) -> None:
    consignment = one.consignments["con-1"]
    assert consignment["arrived"] == list(n.TRAYS)
    assert one.forecast(n.T1)["clock"]["permits"] == ["cq-118"]


def test_what_was_written_without_signal_keeps_its_time_and_arrives_four_hours_later(
    one: Reading,
) -> None:
    arrival = next(x for x in one.timelines[n.T1] if x["entry"]["kind"] == "received")
    assert arrival["entry"]["occurred_at"] == "2031-03-02T21:30:00.000Z"
    assert arrival["received_at"][:16] == "2031-03-03T01:36"


def test_two_people_counted_tray_6_and_agree(one: Reading) -> None:
    counts = [x["entry"] for x in one.timelines[n.T6] if x["entry"]["kind"] == "counted"]
    assert {(entry["author"], entry["body"]["alive"]) for entry in counts} == {
        ("p-w1", 48), ("p-w2", 48),
    }  # fmt: skip
    assert one.doubts("disagreement") == []


def test_the_seven_dead_were_shown_and_burned_so_the_bag_is_empty(one: Reading) -> None:
    assert [sum(one.stock[tray]["bag"].values()) for tray in n.TRAYS] == [0] * 6
    kinds = [x["entry"]["kind"] for x in one.timelines[n.T5]]
    assert kinds.index("shown") < kinds.index("disposed")


def test_the_arrival_notice_says_short_6_and_7_dead(one: Reading) -> None:
    told = [x["entry"]["body"] for x in one.timelines[n.T1] if x["entry"]["kind"] == "told"]
    assert [body["what"] for body in told] == ["arrival: short 6, 7 dead"]


def test_crops_without_a_permit_have_no_clock_and_their_gate_says_no_conditions(
    one: Reading,
) -> None:
    for batch in (n.OPEN_CITRUS, n.SEEDBED):
        assert one.forecast(batch)["clock"] is None
        gate = one.gate(batch, "sending")
        assert (gate["answer"], gate["reason"]) == ("yes", "no_conditions")
