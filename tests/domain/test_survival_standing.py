"""The field as the office reads it on day 10 of the story, and after the gaps were filled."""

from typing import Any

import pytest

from nursery.domain.field import due_counts, standing
from tests.domain import count_scenes as scenes
from tests.domain.house import House, day

PLANTED, COUNTED, FILLED = "2032-03-12 09:00", "2032-09-13 09:00", "2032-10-01 08:00"
TODAY = day("2032-10-01")
LIME = "lime"


def house(**more: Any) -> House:
    """Three terraces as planted, their trays free of any law."""
    told = House()
    told.row("place", "field", {"name": "Terraces", "kind": "block"})
    for name, plants in scenes.PLANTS.items():
        new = {"id": name, "label": name.upper(), "crop": LIME}
        body = {"batch": new, "alive": plants, "method": "full"}
        told.add("taken_on", name, "2032-03-01 09:00", body)
    for terrace in scenes.HOLES:
        place = {"name": terrace, "kind": "terrace", "parent": "field", "short": terrace.upper()}
        told.row("place", terrace, place)
        told.row("layout", terrace, scenes.layout(terrace, **{"crop": LIME, **more}))
        for batch, planted in scenes.planted(terrace):
            told.add("planted", (batch, f"{terrace}.{planted['row']}"), PLANTED, planted)
    return told


def survey(told: House, terrace: str, *rows: str) -> None:
    for body in scenes.surveyed(terrace):
        if not rows or body["row"] in rows:
            told.add("surveyed", f"{terrace}.{body['row']}", COUNTED, body)


def counted() -> House:
    told = house()
    for terrace in scenes.HOLES:
        survey(told, terrace)
    return told


def read(told: House, place: str = "field") -> dict[str, Any]:
    found = standing.of_place(place, told.book(), TODAY)
    assert found is not None
    return found


def sums(found: dict[str, Any]) -> tuple[int, ...]:
    return tuple(found[key] for key in ("planted", "alive", "dead", "missing", "rootstock_only"))


def test_214_are_196_and_12_and_4_and_2() -> None:
    """Rules F-4, F-5."""
    found = read(counted())
    assert sums(found["first"]) == (214, 196, 12, 4, 2)
    assert found["first"]["causes"] == {"drought": 12, "unknown": 6}
    [point] = found["curve"]["points"]
    assert point[:2] == [185, pytest.approx(196 / 214)]
    assert point[2] < 196 / 214 < point[3]
    assert (found["curve"]["looked_at"], found["curve"]["until"]) == (214, 185)


def test_who_is_gone_is_told_by_each_group_and_groups_are_compared() -> None:
    """Rule F-6: terrace 5 lost twice as many, which may still be chance; row 5 is none."""
    groups = read(counted())["groups"]
    gone = {
        name: {one["key"]: one["planted"] - one["alive"] for one in groups[name]["items"]}
        for name in groups
    }
    assert gone["block"] == {"tr3": 4, "tr4": 5, "tr5": 9}
    assert {row: n for row, n in gone["row"].items() if n > 1} == {"tr3.5": 2, "tr5.5": 9}
    assert gone["batch"] == {"t1": 1, "t2": 4, "t3": 1, "t5": 3, "t6": 9, "u": 0}
    assert gone["crop"] == {LIME: 18}
    assert gone["day"] == {"2032-03-12": 18}
    assert groups["crop"]["test"] is None
    assert groups["block"]["test"]["p"] > 0.05
    assert groups["row"]["test"]["p"] < 0.001


def block(told: House, name: str) -> dict[str, Any]:
    [found] = read(told, name)["blocks"]
    return dict(found)


def test_from_every_fifth_row_survival_has_an_error() -> None:
    """Rules F-10, F-11: of six rows the third is asked for, of one row no error can be told."""
    told = house(count_every=5)
    survey(told, "tr3", "3")
    found = block(told, "tr3")
    assert [row["number"] for row in found["rows"] if row["chosen"]] == [3]
    assert found["estimate"] == {"share": 1.0, "error": None, "low": None, "high": None}
    told = house(count_every=2)
    survey(told, "tr4")
    assert block(told, "tr4")["estimate"]["error"] == 0.0
    told = house(count_every=2)
    for row in ("1", "3", "5"):
        survey(told, "tr3", row)
    found = block(told, "tr3")["estimate"]
    assert found["share"] == pytest.approx(33 / 36)
    assert 0 < found["low"] < found["share"] < found["high"] == 1.0


def test_counts_that_are_due_are_told_and_one_that_was_done_is_not() -> None:
    """Rule F-10."""
    due = block(house(), "tr3")
    asked = {"months": 6, "on": "2032-09-12", "due": True, "skipped": None}
    assert (due["turn"], due["count"]) == (asked, None)
    done = block(counted(), "tr3")
    assert done["turn"] == {"months": 12, "on": "2033-03-12", "due": False, "skipped": None}
    assert done["count"] == {"first": "2032-09-13", "last": "2032-09-13"}


def test_the_last_month_counted_no_count_is_left() -> None:
    """Rule F-10."""
    told = house(count_months=[6])
    survey(told, "tr3")
    assert block(told, "tr3")["turn"] is None


def test_what_stands_elsewhere_than_planned_is_named_by_position() -> None:
    """Rule F-12."""
    told = house()
    found = block(told, "tr4")["meant"]
    moved = [{"position": p, "meant": "t3", "planted": "t1"} for p in ("1", "2")]
    assert (found["planned"], found["as_planned"], found["others"]) == (72, 70, moved)
    assert (found["empty"], found["unplanned"]) == ([], [])
    assert block(told, "tr5")["meant"]["as_planned"] == 70


def test_holes_that_were_planned_and_not_planted_and_the_other_way_round() -> None:
    """Rule F-12."""
    told = House()
    told.row("place", "tr9", {"name": "TR9", "kind": "terrace"})
    rows = [{"number": 1, "first": 1, "holes": 4}]
    meant = [{"batch": "t1", "first": 1, "last": 2}]
    told.row("layout", "tr9", {"rows": rows, "meant": meant})
    body = {"block": "tr9", "row": "1", "positions": ["2", "3"]}
    told.add("planted", ("t1", "tr9.1"), PLANTED, body)
    found = block(told, "tr9")["meant"]
    assert (found["as_planned"], found["empty"], found["unplanned"]) == (1, ["1"], ["3"])


NINE = ["61", "62", "63", "64", "65", "67", "68", "69", "70"]


def reserve(found: dict[str, Any]) -> dict[str, tuple[int, str | None]]:
    return {one["batch"]: (one["plants"], one["why"]) for one in found["reserve"]}


def test_nine_of_eighteen_gaps_are_filled_where_they_lie_together() -> None:
    """Rules F-7, F-8, F-13."""
    found = block(counted(), "tr5")["filling"]
    assert (found["holes"], found["left"]) == (NINE, [])
    assert reserve(found) == {name: (plants, None) for name, plants in scenes.RESERVE.items()}
    assert (found["free"], found["short"]) == (11, 0)
    other = block(counted(), "tr4")["filling"]
    assert (other["holes"], other["left"]) == ([], ["3", "20", "30", "45", "60"])


def test_plants_that_a_hold_touches_are_no_reserve_and_two_are_short() -> None:
    """Rule F-13."""
    told = counted()
    told.order(("t2", "t5", "u"), "2032-09-13 14:20", "hold", "Q-7")
    found = block(told, "tr5")["filling"]
    assert reserve(found) == {
        "t1": (3, None),
        "t2": (2, "held"),
        "t5": (2, "held"),
        "t6": (4, None),
    }
    assert (found["free"], found["short"]) == (7, 2)


def test_plants_in_quarantine_are_no_reserve_until_they_are_released() -> None:
    """Rule F-13: the crop is that of what is meant for the block, where the layout names none."""
    told = House()
    told.arrive("2031-03-03 07:30", ("t1", "t2"))
    for tray in ("t1", "t2"):
        told.count(tray, 40, "2031-03-03 08:10")
    told.row("place", "tr9", {"name": "TR9", "kind": "terrace"})
    rows = [{"number": 1, "first": 1, "holes": 4}]
    meant = [{"batch": "t1", "first": 1, "last": 2}, {"batch": "x", "first": 3, "last": 4}]
    told.row("layout", "tr9", {"rows": rows, "meant": meant})
    found = block(told, "tr9")["filling"]
    assert reserve(found) == dict.fromkeys(("t1", "t2"), (40, "not_released"))
    told.release(("t1",), "2031-11-26 09:00", count=40)
    assert reserve(block(told, "tr9")["filling"])["t1"] == (40, None)


def refilled() -> House:
    told = counted()
    for batch, holes in (("t6", NINE[:4]), ("t1", NINE[4:7]), ("t2", NINE[7:])):
        body = {"block": "tr5", "row": "5", "positions": holes}
        told.add("refilled", (batch, "tr5.5"), FILLED, body)
    return told


def test_plants_that_fill_gaps_never_enter_the_first_planting_s_survival() -> None:
    """Rules F-1, F-5: nor do they when they live on at the count after twelve months."""
    before, after = read(counted()), read(refilled())
    assert after["first"] == before["first"]
    assert after["curve"] == before["curve"]
    assert after["groups"] == before["groups"]
    assert sums(after["standing"]) == (214, 205, 6, 2, 1)
    assert after["filled"] == 9
    told = refilled()
    seen = [{"position": str(p), "state": "alive"} for p in range(61, 71)]
    later = {"block": "tr5", "row": "5", "seen": seen}
    told.add("surveyed", "tr5.5", "2033-03-12 09:00", later)
    found = read(told)
    assert sums(found["first"]) == (214, 196, 12, 4, 2)
    [tr5] = [one for one in found["blocks"] if one["id"] == "tr5"]
    assert [row["alive"] for row in tr5["rows"]] == [15, 15, 15, 15, 1]
    assert tr5["filling"]["holes"] == []


def test_each_that_fills_a_gap_has_its_own_batch_and_day() -> None:
    """Rule F-1."""
    told = refilled().book()
    place = told.places["tr5.5"].phone()["positions"]
    assert {name: place[name]["batch"] for name in ("61", "65", "70")} == {
        "61": "t6",
        "65": "t1",
        "70": "t2",
    }
    assert {place[name]["at"][:10] for name in NINE} == {"2032-09-30"}
    assert not any(place[name]["first"] for name in NINE)
    assert place["66"]["first"]


def test_a_living_plant_with_a_cause_was_harmed_and_lives() -> None:
    """Rule F-4."""
    told = counted()
    seen = [{"position": "1", "state": "alive", "cause": "felling"}]
    body = {"block": "tr3", "row": "1", "seen": seen}
    told.add("surveyed", "tr3.1", "2032-09-14 09:00", body)
    found = read(told)
    assert (found["harmed"], found["first"]["alive"]) == (1, 196)


def test_a_look_at_a_position_that_nobody_planted_is_kept_and_doubted() -> None:
    """Rule F-3."""
    told = house()
    seen = [{"position": "99", "state": "dead"}]
    told.add("surveyed", "tr5.5", COUNTED, {"block": "tr5", "row": "5", "seen": seen})
    [doubt] = block(told, "tr5")["doubts"]
    assert (doubt["code"], doubt["params"]) == ("looked_at_nothing", {"position": "99"})


def test_a_position_outside_the_layout_belongs_to_no_row() -> None:
    told = house()
    body = {"block": "tr5", "row": "5", "positions": ["99"]}
    told.add("planted", ("t1", "tr5.5"), PLANTED, body)
    keys = {one["key"]: one["planted"] for one in read(told, "tr5")["groups"]["row"]["items"]}
    assert keys["tr5."] == 1


def test_what_is_laid_out_and_not_planted_has_no_curve_and_no_turn() -> None:
    told = House()
    told.row("place", "tr9", {"name": "TR9", "kind": "terrace"})
    told.row("layout", "tr9", {"rows": [{"number": 1, "first": 1, "holes": 4}]})
    found = read(told, "tr9")
    assert sums(found["first"]) == (0, 0, 0, 0, 0)
    assert found["curve"] == {"looked_at": 0, "until": None, "points": []}
    [only] = found["blocks"]
    assert (only["turn"], only["estimate"]) == (None, None)


def test_once_none_is_left_a_curve_has_no_interval() -> None:
    told = House()
    told.row("layout", "tr9", {"rows": [{"number": 1, "first": 1, "holes": 1}]})
    told.row("place", "tr9", {"name": "TR9", "kind": "terrace"})
    body = {"block": "tr9", "row": "1", "positions": ["1"]}
    told.add("planted", ("t1", "tr9.1"), PLANTED, body)
    seen = [{"position": "1", "state": "dead"}]
    told.add("surveyed", "tr9.1", COUNTED, {"block": "tr9", "row": "1", "seen": seen})
    assert read(told, "tr9")["curve"]["points"] == [[185, 0.0, None, None]]


def test_a_place_without_any_layout_has_no_standing() -> None:
    assert standing.of_place("shade", House().book(), TODAY) is None


def test_what_was_filled_before_anybody_planted_it_is_no_first_planting() -> None:
    """Rules F-1, F-5."""
    told = house()
    body = {"block": "tr5", "row": "5", "positions": ["71"]}
    told.add("refilled", ("t6", "tr5.5"), FILLED, body)
    found = read(told, "tr5")
    assert (found["first"]["planted"], found["standing"]["planted"], found["filled"]) == (70, 71, 1)


def test_shelter_trees_are_summed_by_row_and_cause_with_what_felling_did_to_the_crop() -> None:
    """Rule F-32."""
    rows = [
        *scenes.layout("tr3")["rows"],
        {"number": 9, "first": 1, "holes": 30, "stands": "shelter", "species": "pigeon pea"},
    ]
    told = house()
    told.row("layout", "tr3", scenes.layout("tr3", crop=LIME, rows=rows))
    seen = [{"position": f"S{n}", "state": "dead", "cause": "drought"} for n in (1, 2)]
    told.add("surveyed", "tr3.9", COUNTED, {"block": "tr3", "row": "9", "seen": seen})
    told.add("thinned", "tr3", COUNTED, {"block": "tr3", "rows": ["9"], "percent": 50})
    hit = [{"position": "1", "state": "alive", "cause": "felling"}]
    told.add("surveyed", "tr3.1", COUNTED, {"block": "tr3", "row": "1", "seen": hit})
    [block] = read(told, "tr3")["blocks"]
    [row] = block["shelter"]["rows"]
    assert (row["planted"], row["causes"], row["standing"]) == (30, {"drought": 2}, 14)
    assert [one["trees"] for one in row["felled"]] == [14]
    assert block["shelter"]["crop"] == {"harmed": 1, "lost": 0}


def test_a_count_that_was_skipped_is_not_due_and_tells_why() -> None:
    """Rule F-30."""
    told = house(count_months=[6])
    [block] = read(told, "tr3")["blocks"]
    assert (block["turn"]["due"], block["turn"]["skipped"]) == (True, None)
    layout = told.book().row("layout", "tr3")
    name = due_counts.named(layout, 6, day("2032-09-12"))
    told.add("skipped", "tr3", COUNTED, {"check": name, "reason": "flood"})
    [block] = read(told, "tr3")["blocks"]
    assert block["turn"] == {"months": 6, "on": "2032-09-12", "due": False, "skipped": "flood"}
    survey(told, "tr3", "1")
    assert read(told, "tr3")["blocks"][0]["turn"] is None
