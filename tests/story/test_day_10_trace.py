"""Day 10, Monday 13 September 2032: the supplier's authority calls, and a trace answers."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from nursery.domain.field import plan
from nursery.domain.field.filling import filling
from nursery.domain.reference.layouts import Layout
from nursery.ops.demo import names as n
from nursery.ops.demo.play import API, Teller
from nursery.services import demo
from tests.story.reading import (
    Reading,
    add,
    going_on,
    may,
    read,
    record,
    said,
    standing,
    there,
    told_until,
)

pytestmark = pytest.mark.django_db

_, TR4, TR5 = n.TERRACES
SUSPECT = (n.T2, n.T5, n.MIXED)


@pytest.fixture(scope="module")
def evening(story: Any, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, there("2032-09-13T18:00")) as teller:
        yield teller


@pytest.fixture
def teller(evening: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, evening) as teller:
        yield teller


def trace(teller: Teller, *of: str) -> dict[str, Any]:
    asked = "&".join(f"of={one}" for one in of)
    found: dict[str, Any] = teller.office.ask("GET", f"{API}/trace?{asked}")
    return found


def test_t2_t5_and_the_mixed_pots_are_in_the_trace(teller: Teller) -> None:
    found = trace(teller, f"batch:{n.T2}", f"batch:{n.T5}")
    assert (found["asked"], found["made"]) == ([n.T2, n.T5], [n.MIXED])
    sums = found["sums"]
    assert (sums["positions"], sums["alive"], sums["gone"]) == (99, 92, 7)
    assert (sums["reserve"], found["reserve"]) == (4, {n.T2: 2, n.T5: 2})
    by_batch = Counter(one["batch"] for block in found["field"] for one in block["plants"])
    assert by_batch == {n.T2: 50, n.T5: 41, n.MIXED: 8}
    assert {block["block"] for block in found["field"]} == set(n.TERRACES)


def test_earlier_outflows_are_told_and_nobody_outside_has_any(teller: Teller) -> None:
    found = trace(teller, f"batch:{n.T2}", f"batch:{n.T5}")
    assert found["ended"] == {n.T2: {"died": 1, "sampled": 1}, n.T5: {"died": 8}}
    assert (found["sent"], found["sums"]["receivers"]) == ([], 0)
    assert (found["back"], found["consignments"]) == ([n.T3], ["con-1"])


def test_people_tools_and_rooms_are_listed(teller: Teller) -> None:
    found = trace(teller, f"batch:{n.T2}", f"batch:{n.T5}")
    assert {one["who"] for one in found["people"]} == {demo.W1.id, demo.W2.id, demo.G.id}
    rooms = {one["place"]: (one["since"], one["until"]) for one in found["rooms"]}
    assert rooms == {
        n.QUARANTINE: ("2031-03-03", "2031-11-24"), n.SHADE_HOUSE: ("2031-11-24", None),
    }  # fmt: skip
    assert {one["thing"] for one in found["things"]} == {
        "drip line Q", "lens Q", "hose SH", "knives SH",
    }  # fmt: skip


def test_a_trace_may_begin_with_the_position_in_which_one_stands(teller: Teller) -> None:
    assert trace(teller, f"position:{TR4}/17")["asked"] == [n.T2]
    assert trace(teller, f"position:{TR4}/31")["asked"] == [n.T3]


def test_the_call_is_kept_as_reported_and_the_service_was_told(
    told: dict[str, Reading], ids: dict[str, str]
) -> None:
    after = told["told of the call"]
    for pot in SUSPECT:
        [order] = [one for one in after.timelines[pot] if one["entry"]["id"] == ids["reported"]]
        assert order["entry"]["body"]["act"] == "hold"
        assert order["entry"]["body"].get("photo") is None
        assert after.timelines[pot][-1]["entry"]["kind"] == "told"
    assert {doubt["entries"][0] for doubt in after.doubts("no_paper")} == {ids["reported"]}
    assert len(after.doubts("no_paper")) == len(SUSPECT)
    assert [item["subject"] for item in after.needs["doubts"]] == sorted(SUSPECT)


def test_all_99_are_on_hold_and_nobody_may_lift_cut_or_send_one(
    told: dict[str, Reading], teller: Teller
) -> None:
    after = told["told of the call"]
    held = [one for one in after.firsts if after.stock[one.batch]["holds"]]
    assert (len(held), sum(one.lives for one in held)) == (99, 92)
    assert {ref for pot in SUSPECT for ref in after.stock[pot]["holds"]} == {"BW-31"}
    for pot in SUSPECT:
        for act in ("moving", "sending", "planting", "taking"):
            answer, reason = said(may(teller, act, pot))
            assert (act, answer, reason) == (act, "no", "held_by_order")
    assert said(may(teller, "sending", n.T1)) == ("yes", "released")


def test_watering_and_scouting_of_a_held_terrace_go_on(teller: Teller) -> None:
    at = there("2032-09-14T07:00")
    look = record("looked", n.T2, answer="nothing", plants=2, minutes=4)
    add(teller, n.ROOM_PHONE, demo.W1.id, at, look)
    add(teller, n.ROOM_PHONE, demo.W1.id, at, record("watered", TR4, minutes=12))
    after = read(teller, there("2032-09-14T08:00"))
    assert {item["subject"] for item in after.needs["doubts"]} == set(SUSPECT)
    assert after.doubts("against_hold") == []


def test_seven_are_left_for_nine_gaps_so_two_are_short(teller: Teller) -> None:
    found = standing(teller, TR5)["blocks"][0]["filling"]
    assert (len(found["holes"]), found["left"]) == (9, [])
    assert (found["free"], found["short"]) == (7, 2)
    held = {one["batch"]: one["plants"] for one in found["reserve"] if one["why"] == "held"}
    assert held == {n.T2: 2, n.T5: 2}


def test_before_the_call_none_was_short(told: dict[str, Reading]) -> None:
    counted = told["counted"]
    layout: Layout = counted.whole.row("layout", TR5)
    found = filling(counted.fields[TR5], plan.places(layout), layout.fill, counted.total())
    assert (len(found.holes), found.reserve, found.short) == (9, 11, 0)


def test_of_38_weekly_look_overs_none_is_blank(told: dict[str, Reading]) -> None:
    """All that was written of them is chained and as it was: the story's end looks for that."""
    looks = told["told of the call"].file["looks"]
    assert {name: looks[name] for name in ("over", "done", "not_done")} == {
        "over": 38, "done": 37, "not_done": 1,
    }  # fmt: skip
    assert (looks["weeks"][0]["from"], looks["weeks"][-1]["to"]) == ("2031-03-03", "2031-11-23")
    assert looks == told["released"].file["looks"]
    [week] = [one for one in looks["weeks"] if one["answer"] == "not_done"]
    assert week["from"] == "2031-09-22"
    assert {one["batch"] for one in week["not_done"]} == set(n.POTS)
    assert {(one["why"], one["accepted"]) for one in week["not_done"]} == {
        ("north screen replaced, told under RP-3", "AC-5"),
    }  # fmt: skip


def test_a_batch_of_the_reserve_is_no_batch_to_fill_with_while_it_is_held(teller: Teller) -> None:
    seat = f"{TR5}.5"
    body = {"block": TR5, "row": "5", "positions": ["69"]}
    add(
        teller, n.ROOM_PHONE, demo.W1.id, there("2032-09-14T07:00"),
        record("refilled", (n.T2, seat), **body),
    )  # fmt: skip
    after = read(teller, there("2032-09-14T08:00"), book=True)
    assert [doubt["params"]["held_by"] for doubt in after.doubts("against_hold")] == [["BW-31"]]
    assert after.fields[TR5].standing["69"].batch == n.T2
