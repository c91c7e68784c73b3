"""Day 9, Friday 12 March 2032: 214 trees in three terraces, a phone that dies, and rain."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from nursery.domain.occupants import Field
from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from nursery.services import demo
from tests.story.reading import Reading, add, going_on, may, read, record, said, there, told_until

pytestmark = pytest.mark.django_db

TR3, TR4, TR5 = n.TERRACES
BY_TRAY = {n.T1: 45, n.T2: 50, n.T3: 43, n.T5: 41, n.T6: 27, n.MIXED: 8}


def happened(reading: Reading, batch: str, kind: str) -> list[dict[str, Any]]:
    entries = (line["entry"] for line in reading.timelines[batch])
    return [entry for entry in entries if entry["kind"] == kind]


def batches(field: Field) -> Counter[str]:
    return Counter(one.batch for one in field.standing.values())


def planted(reading: Reading) -> Counter[str]:
    return sum((batches(field) for field in reading.fields.values()), Counter[str]())


def test_each_batch_has_its_tags_and_its_gate_is_open_before_it_goes_out(
    told: dict[str, Reading],
) -> None:
    morning = told["carried out"]
    for pot in n.POTS:
        [note] = happened(morning, pot, "noted")
        assert "tag" in note["body"]["text"]
        assert note["occurred_at"] < happened(morning, pot, "carried")[0]["occurred_at"]
        assert said(morning.gate(pot, "planting")) == ("yes", "released")


def test_214_and_8_spares_go_out_and_none_has_left_the_count_by_that(
    told: dict[str, Reading],
) -> None:
    morning = told["carried out"]
    out = {pot: morning.stock[pot]["out"] for pot in n.POTS}
    assert out == {n.T1: 47, n.T2: 52, n.T3: 45, n.T5: 43, n.T6: 27, n.MIXED: 8}
    assert sum(out.values()) == 214 + 8
    assert (morning.total(), morning.ledger()["planted"]) == (229, 0)


def test_the_morning_goes_by_the_three_signatures_of_9_march(told: dict[str, Reading]) -> None:
    [day] = told["carried out"].outlook["planting"]
    not_green = {one["key"]: one["colour"] for one in day["checks"] if one["colour"] != "go"}
    assert not_green == {"dry_spell": "wait", "nurse_row:terrace-5": "wait", "pots_full": "wait"}
    assert set(day["signed"]) == set(not_green)
    assert day["verdicts"] == dict.fromkeys(n.TERRACES, "go")


def test_while_rows_are_planted_the_holes_that_wait_are_judged_and_in_the_end_none(
    told: dict[str, Reading],
) -> None:
    for moment, left in (("phone dead", 70), ("rain", 10), ("evening 9", 0)):
        [day] = told[moment].outlook["planting"]
        planned = {one["id"]: one["planned"] for one in day["blocks"]}
        assert planned == {TR3: 0, TR4: 0, TR5: left}
        assert day["verdicts"] == dict.fromkeys(n.TERRACES, "go")
    assert told["counted"].outlook["planting"] == []


def test_214_stand_by_tray(told: dict[str, Reading]) -> None:
    evening = told["evening 9"]
    assert planted(evening) == BY_TRAY
    assert sum(BY_TRAY.values()) == 214 == evening.ledger()["planted"]
    for pot, plants in BY_TRAY.items():
        assert evening.stock[pot]["ledger"]["planted"] == plants


def test_each_terrace_is_full_and_everybody_in_it_is_of_the_first_planting(
    told: dict[str, Reading],
) -> None:
    fields = told["evening 9"].fields
    assert {name: len(field.standing) for name, field in fields.items()} == {
        TR3: 72, TR4: 72, TR5: 70,
    }  # fmt: skip
    for field in fields.values():
        assert field.doubts == ()
        assert all(one.first and one.lives for one in field.first)
        assert {one.on.isoformat() for one in field.first} == {"2032-03-12"}


def test_what_waits_and_what_left_make_241(told: dict[str, Reading]) -> None:
    released, evening = told["evening 7"], told["evening 9"]
    reserve = {pot: plants for pot in n.POTS if (plants := evening.stock[pot]["alive"])}
    assert reserve == {n.T1: 3, n.T2: 2, n.T5: 2, n.T6: 6}
    before, after = released.ledger(), evening.ledger()
    since = {way: after[way] - before[way] for way in ("planted", "culled", "died")}
    assert since == {"planted": 214, "culled": 9, "died": 5}
    assert released.total() == 241 == 13 + sum(since.values())
    assert evening.total() == sum(reserve.values()) == 13
    assert after["in"] == 318 == 13 + 214 + 14 + 22 + after["sampled"] + after["destroyed"]
    assert (evening.stock[n.T3]["stage"], evening.stock[n.MIXED]["stage"]) == ("planted",) * 2


def test_two_broke_on_the_way_and_spares_of_t1_stand_for_them(told: dict[str, Reading]) -> None:
    evening = told["evening 9"]
    broken = happened(evening, n.T3, "lost")[-1]["body"]
    assert (broken["count"], broken["fate"], broken["cause"], broken["carried"]) == (
        2, "culled", "broken_in_transit", True,
    )  # fmt: skip
    assert {at: evening.fields[TR4].standing[at].batch for at in ("15", "16")} == {
        "15": n.T1, "16": n.T1,
    }  # fmt: skip


def meant(reading: Reading, terrace: str, at: int) -> str:
    runs = reading.rows["layout"][terrace]["meant"]
    return next(str(one["batch"]) for one in runs if one["first"] <= at <= one["last"])


def test_three_of_terrace_5_are_found_on_terrace_4_and_the_plan_follows(
    told: dict[str, Reading],
) -> None:
    before, evening = told["not all back"], told["evening 9"]
    for at in (31, 32, 40):
        assert meant(before, TR4, at) == n.T2
        assert evening.fields[TR4].standing[str(at)].batch == meant(evening, TR4, at) == n.T3
    for at in (27, 28, 29):
        assert meant(before, TR5, at) == n.T3
        assert evening.fields[TR5].standing[str(at)].batch == meant(evening, TR5, at) == n.T2
    for terrace in n.TERRACES:
        for name, one in evening.fields[terrace].standing.items():
            assert meant(evening, terrace, int(name)) == one.batch


def test_walking_order_is_the_order_of_the_taps(told: dict[str, Reading]) -> None:
    for terrace in n.TERRACES:
        found = sorted(told["evening 9"].fields[terrace].first, key=lambda one: one.at)
        assert [int(one.position) for one in found] == list(range(1, len(found) + 1))


def test_terrace_3_is_planted_by_half_past_ten(told: dict[str, Reading]) -> None:
    at = sorted(one.at for one in told["evening 9"].fields[TR3].first)
    assert there("2032-03-12T06:00") <= at[0] < at[-1] <= there("2032-03-12T10:30")


def test_fourteen_positions_are_open_after_the_phone_died_and_are_asked_again(
    told: dict[str, Reading],
) -> None:
    assert TR5 not in told["phone dead"].fields
    evening = told["evening 9"]
    again = [one for one in evening.fields[TR5].first if one.at < there("2032-03-12T11:40")]
    assert sorted(int(one.position) for one in again) == list(range(1, 15))
    taps = {entry["id"]: entry for entry in happened(evening, n.T3, "planted")}
    assert {taps[one.entry]["device"] for one in again} == {"d-office"}
    assert {taps[one.entry]["author"] for one in again} == {demo.W2.id}


def test_rain_stops_before_61_and_the_last_ten_stand_by_four(told: dict[str, Reading]) -> None:
    rain, evening = told["rain"], told["not all back"]
    assert sorted(map(int, rain.fields[TR5].standing)) == list(range(1, 61))
    last = [one for one in evening.fields[TR5].first if int(one.position) > 60]
    assert len(last) == 10
    assert min(one.at for one in last) > there("2032-03-12T14:10")
    assert max(one.at for one in last) <= there("2032-03-12T16:00")


def test_six_spares_come_back_and_nothing_is_out(told: dict[str, Reading]) -> None:
    before, evening = told["not all back"], told["evening 9"]
    assert {pot: out for pot in n.POTS if (out := before.stock[pot]["out"])} == {
        n.T1: 2, n.T2: 2, n.T5: 2,
    }  # fmt: skip
    assert [evening.stock[pot]["out"] for pot in n.POTS] == [0] * 6


@pytest.mark.parametrize("moment", ["carried out", "phone dead", "rain", "evening 9"])
def test_nothing_of_the_day_needs_a_look(told: dict[str, Reading], moment: str) -> None:
    assert told[moment].needs["doubts"] == []


@pytest.fixture(scope="module")
def night(story: Any, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, there("2032-03-12T18:00")) as teller:
        yield teller


@pytest.fixture
def teller(night: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, night) as teller:
        yield teller


def tap(batch: str, terrace: str, row: str, at: str) -> Any:
    seat = f"{terrace}.{row}"
    return record("planted", (batch, seat), block=terrace, row=row, positions=[at])


def test_the_dead_phone_dries_out_and_sends_what_was_asked_again(teller: Teller) -> None:
    """One plant that two phones told of stands once, and has left its batch once."""
    add(teller, n.SECOND_PHONE, demo.W2.id, there("2032-03-12T10:44"), tap(n.T3, TR5, "1", "1"))
    after = read(teller, there("2032-03-12T18:10"), book=True)
    assert (planted(after), after.ledger()["planted"]) == (BY_TRAY, 214)
    assert [doubt["params"]["position"] for doubt in after.doubts("planted_twice")] == ["1"]
    assert after.stock[n.T3]["alive"] == 0


def test_another_batch_told_of_one_hole_is_kept_and_asked_about(teller: Teller) -> None:
    add(teller, n.ROOM_PHONE, demo.W1.id, there("2032-03-12T18:05"), tap(n.T6, TR5, "1", "2"))
    after = read(teller, there("2032-03-12T18:10"), book=True)
    [doubt] = after.doubts("planted_twice")
    assert doubt["params"] == {"position": "2", "before": n.T3, "batch": n.T6}
    assert after.fields[TR5].standing["2"].batch == n.T6
    assert after.stock[n.T6]["alive"] == 5


def test_plants_of_a_batch_that_is_held_are_kept_and_asked_about(teller: Teller) -> None:
    held = record("ordered", n.T6, act="hold", reference="H-1")
    add(teller, n.OFFICE_PHONE, demo.G.id, there("2032-03-12T18:05"), held)
    add(teller, n.ROOM_PHONE, demo.W1.id, there("2032-03-12T18:06"), tap(n.T6, TR5, "6", "71"))
    after = read(teller, there("2032-03-12T18:10"), book=True)
    assert said(may(teller, "planting", n.T6)) == ("no", "held_by_order")
    assert [doubt["params"]["held_by"] for doubt in after.doubts("against_hold")] == [["H-1"]]
    assert after.fields[TR5].standing["71"].batch == n.T6
