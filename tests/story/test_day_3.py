"""Day 3, Sun 4 May 2031: a suspicion, held at once; who shares the room; what may not be done."""

import pytest

from nursery.ops.demo import names as n
from nursery.services.demo import W1, W2, G
from tests.story.reading import Reading

pytestmark = pytest.mark.django_db

HELD = set(n.TRAYS)


def test_304_are_alive_and_tray_4_has_53(three: Reading) -> None:
    assert three.total() == 304
    assert three.alive() == [53, 53, 53, 53, 48, 44]
    ledger = three.ledger()
    assert (ledger["in"], ledger["died"], ledger["sampled"]) == (318, 9, 5)


def test_all_six_trays_are_held_as_soon_as_the_finder_has_signal(told: dict[str, Reading]) -> None:
    [incident] = told["find synced"].outlook["incidents"]
    assert set(incident["exposed"]) == {held["batch"] for held in incident["held"]} == HELD
    assert incident["provisional"]


def test_the_finder_alone_knows_of_the_hold_before_anybody_syncs(
    told: dict[str, Reading], ids: dict[str, str]
) -> None:
    [incident] = told["find synced"].outlook["incidents"]
    assert (incident["id"], incident["by"]) == (ids["black bodies"], W2.id)
    assert incident["at"] == "2031-05-03T21:20:00.000Z"


def test_the_authoritys_word_replaces_the_first_hold(three: Reading) -> None:
    [incident] = three.outlook["incidents"]
    assert {held["batch"] for held in incident["held"]} == HELD
    assert not incident["provisional"]
    assert all(held["references"] == ["EM-77"] for held in incident["held"])


def test_the_open_citrus_is_listed_for_looking_and_not_held(three: Reading) -> None:
    [incident] = three.outlook["incidents"]
    [outside] = incident["ring"]
    assert (outside["place"], outside["people"]) == (n.CITRUS_BLOCK, [W2.id])
    assert three.forecast(n.OPEN_CITRUS)["held"] == []
    assert three.gate(n.OPEN_CITRUS, "sending")["answer"] == "yes"
    [look] = three.checks("look_elsewhere")
    assert look["subject"] == n.CITRUS_BLOCK


def test_the_seedbed_where_nobody_of_the_room_worked_is_not_named(three: Reading) -> None:
    [incident] = three.outlook["incidents"]
    assert n.SHADE_HOUSE not in {outside["place"] for outside in incident["ring"]}
    assert three.forecast(n.SEEDBED)["held"] == []


@pytest.mark.parametrize("moment", ["find synced", "evening 3"])
@pytest.mark.parametrize("act", ["moving", "potting", "sending"])
@pytest.mark.parametrize("tray", n.TRAYS)
def test_no_tray_may_be_moved_potted_or_sent(
    told: dict[str, Reading], tray: str, act: str, moment: str
) -> None:
    gate = told[moment].gate(tray, act)
    assert gate["answer"] == "no"
    assert gate["reason"].startswith("held")


def test_before_the_find_moving_was_refused_for_another_reason(two: Reading) -> None:
    assert two.gate(n.T4, "moving")["reason"] == "not_released"


def test_sample_s_03_is_on_its_way(three: Reading, ids: dict[str, str]) -> None:
    samples = {sample["sample"]: sample for sample in three.forecast(n.T4)["samples"]}
    assert samples["S-03"]["state"] == "in_transit"
    assert samples["S-03"]["find"] == ids["black bodies"]


def test_the_sample_of_the_first_day_has_its_result(three: Reading) -> None:
    samples = {sample["sample"]: sample for sample in three.forecast(n.T1)["samples"]}
    assert samples["S-01"]["state"] == "negative"


def test_a_number_for_a_sunday_was_offered(three: Reading) -> None:
    assert three.at.weekday() == 6
    calls = three.rows["emergency_card"]["card"]["calls"]
    # The office's other number is answered on working days alone.
    assert {call["what"]: call["number"] for call in calls}["plant_health"] == "0550 118"


def test_the_authority_was_told_under_em_77(three: Reading) -> None:
    told = [x["entry"] for x in three.timelines[n.T4] if x["entry"]["kind"] == "told"]
    assert told[-1]["body"]["reference"] == "EM-77"
    assert told[-1]["occurred_at"] == "2031-05-03T21:52:00.000Z"


def test_only_two_people_may_go_in(three: Reading) -> None:
    room = three.outlook["places"][n.QUARANTINE]
    assert {who: gate["answer"] for who, gate in room["people"].items()} == {
        W1.id: "yes", G.id: "yes", W2.id: "no",
    }  # fmt: skip
    assert room["entering"]["answer"] == "no"


def test_each_trays_bag_for_the_officer_is_told(three: Reading) -> None:
    bags = {tray: sum(three.stock[tray]["bag"].values()) for tray in n.TRAYS}
    assert bags == dict.fromkeys(n.TRAYS, 0) | {n.T5: 2}


def test_the_find_needs_a_look_and_blocks(three: Reading, ids: dict[str, str]) -> None:
    [doubt] = three.doubts("suspicion")
    assert doubt["id"] == f"suspicion:{ids['black bodies']}"
    assert doubt["weight"] == "blocking"


def test_the_earliest_release_is_still_30_august(three: Reading) -> None:
    assert three.forecast(n.T4)["clock"]["earliest"] == "2031-08-30"
