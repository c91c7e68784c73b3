"""How the field stands, read at the office: the six-month count of the story, whole and sampled."""

import json
from datetime import timedelta
from typing import Any

import pytest

from tests.api.conftest import NOW, Cast
from tests.domain import count_scenes as scenes
from tests.phone import Writer

PLANTED_AT = NOW - timedelta(days=185)
FIELD = "field"


def put(cast: Cast, kind: str, ident: str, body: dict[str, Any], rev: int = 0) -> None:
    path = f"/api/v1/rows/{kind}/{ident}"
    text = json.dumps({"rev": rev, "body": body})
    answer = cast.grower.put(path, text, content_type="application/json")
    assert answer.status_code == 200, answer.content


@pytest.fixture
def field(cast: Cast, writer: Writer) -> str:
    """The three terraces as they were planted, a tray for each batch."""
    put(cast, "place", FIELD, {"name": "Terraces", "kind": "block"})
    put(cast, "crop", "lime", {"name": "Lime"})
    trays = [
        {"id": name, "label": name.upper(), "crop": "lime", "stated": plants}
        for name, plants in scenes.PLANTS.items()
    ]
    at = PLANTED_AT - timedelta(days=1)
    body = {"consignment": "c-1", "batches": trays}
    texts = [writer.write("received", list(scenes.PLANTS), body, at)]
    for name, plants in scenes.PLANTS.items():
        counted = {"method": "full", "alive": plants, "saw": None}
        texts.append(writer.write("counted", [name], counted, at))
    for terrace in scenes.HOLES:
        place = {"name": terrace, "kind": "terrace", "parent": FIELD, "short": terrace.upper()}
        put(cast, "place", terrace, place)
        put(cast, "layout", terrace, scenes.layout(terrace, crop="lime"))
        for batch, body in scenes.planted(terrace):
            about = [batch, f"{terrace}.{body['row']}"]
            texts.append(writer.write("planted", about, body, PLANTED_AT))
    push(cast, *texts)
    return FIELD


def push(cast: Cast, *texts: str) -> None:
    answer = cast.phone.push(*texts)
    assert answer.status_code == 200, answer.content
    assert {one["status"] for one in answer.json()["results"]} == {"stored"}


def survey(cast: Cast, writer: Writer, terrace: str, *rows: str) -> None:
    bodies = [one for one in scenes.surveyed(terrace) if not rows or one["row"] in rows]
    push(
        cast,
        *(writer.write("surveyed", [f"{terrace}.{one['row']}"], one, NOW) for one in bodies),
    )


def standing(cast: Cast, ident: str) -> Any:
    answer = cast.grower.get(f"/api/v1/blocks/{ident}/standing")
    assert answer.status_code == 200, answer.content
    return answer.json()


def of(found: dict[str, Any]) -> tuple[int, ...]:
    return tuple(found[what] for what in ("planted", "alive", "dead", "missing", "rootstock_only"))


def test_day_ten_196_of_214_live(cast: Cast, writer: Writer, field: str) -> None:
    for terrace in scenes.HOLES:
        survey(cast, writer, terrace)
    found = standing(cast, field)
    assert of(found["first"]) == of(found["standing"]) == (214, 196, 12, 4, 2)
    by = {name: one["items"] for name, one in found["groups"].items()}
    assert [(one["key"], *of(one)[:2]) for one in by["block"]] == [
        ("tr3", 72, 68),
        ("tr4", 72, 67),
        ("tr5", 70, 61),
    ]
    rows = {one["key"]: one for one in by["row"]}
    assert of(rows["tr5.5"])[:2] == (10, 1)
    assert {one["key"]: one["planted"] for one in by["batch"]} == {
        "t1": 45,
        "t2": 50,
        "t3": 43,
        "t5": 41,
        "t6": 27,
        "u": 8,
    }
    assert found["first"]["causes"] == {"drought": 12, "unknown": 6}


def test_from_every_second_row_survival_comes_with_its_error(
    cast: Cast, writer: Writer, field: str
) -> None:
    put(cast, "layout", "tr3", scenes.layout("tr3", crop="lime", count_every=2), rev=1)
    survey(cast, writer, "tr3", "1", "3", "5")
    [block] = standing(cast, "tr3")["blocks"]
    told = block["estimate"]
    assert [row["number"] for row in block["rows"] if row["chosen"]] == [1, 3, 5]
    assert told["share"] == pytest.approx(33 / 36)
    assert 0.6 < told["low"] < told["share"] < told["high"] <= 1
    assert block["turn"]["due"] is False


NINE = ["61", "62", "63", "64", "65", "67", "68", "69", "70"]


def test_nine_gaps_and_seven_plants_once_the_call_holds_four(
    cast: Cast, writer: Writer, field: str
) -> None:
    survey(cast, writer, "tr5")
    push(cast, writer.write("ordered", ["t2", "t5", "u"], {"act": "hold", "reference": "Q"}, NOW))
    [block] = standing(cast, "tr5")["blocks"]
    filling = block["filling"]
    assert filling["holes"] == NINE
    held = {one["batch"]: one["why"] for one in filling["reserve"]}
    assert {name for name, why in held.items() if why == "held"} == {"t2", "t5"}
    assert sum(one["plants"] for one in filling["reserve"] if one["why"] == "held") == 4


def may(cast: Cast, act: str, batch: str) -> tuple[str, str]:
    told = cast.grower.get("/api/v1/may", {"act": act, "subject": batch}).json()
    return told["answer"], told["reason"]


@pytest.mark.parametrize("about", ["tr5", FIELD])
def test_an_order_about_a_block_reaches_what_stands_in_its_rows(
    cast: Cast, writer: Writer, field: str, about: str
) -> None:
    """Rule F-29: of T6 plants stand in terrace 5, T2 in terrace 4 alone."""
    push(cast, writer.write("ordered", [about], {"act": "hold", "reference": "EM-9"}, NOW))
    for act in ("moving", "taking", "sending", "planting"):
        assert may(cast, act, "t6") == ("no", "held_by_ground_order")
    assert (may(cast, "sending", "t2")[1] == "held_by_ground_order") is (about == FIELD)
    reserve = standing(cast, "tr5")["blocks"][0]["filling"]["reserve"]
    assert {one["batch"]: one["why"] for one in reserve}["t6"] == "held"
    push(cast, writer.write("ordered", [about], {"act": "lift", "reference": "L-1"}, NOW))
    assert may(cast, "sending", "t6")[1] != "held_by_ground_order"


def test_plants_that_fill_gaps_are_new_ones_and_leave_the_curve_alone(
    cast: Cast, writer: Writer, field: str
) -> None:
    for terrace in scenes.HOLES:
        survey(cast, writer, terrace)
    before = standing(cast, field)
    for batch, holes in (("t1", NINE[:3]), ("t6", NINE[3:7])):
        body = {"block": "tr5", "row": "5", "positions": holes}
        push(cast, writer.write("refilled", [batch, "tr5.5"], body, NOW))
    after = standing(cast, field)
    assert (after["first"], after["curve"]) == (before["first"], before["curve"])
    assert (after["filled"], after["standing"]["alive"]) == (7, 203)
    tr5 = after["blocks"][2]
    assert (tr5["filling"]["holes"], tr5["filling"]["left"]) == (NINE[7:], [])


def test_a_look_at_a_position_that_nobody_planted_is_kept_and_shown(
    cast: Cast, writer: Writer, field: str
) -> None:
    seen = [{"position": "99", "state": "dead", "cause": None}]
    body = {"block": "tr5", "row": "5", "seen": seen}
    push(cast, writer.write("surveyed", ["tr5.5"], body, NOW))
    [block] = standing(cast, "tr5")["blocks"]
    assert [doubt["code"] for doubt in block["doubts"]] == ["looked_at_nothing"]
    shown = cast.grower.get("/api/v1/doubts").json()["items"]
    assert "tr5.5" in [one["subject"] for one in shown]


def test_a_place_without_layout_is_unknown(cast: Cast, field: str) -> None:
    answer = cast.grower.get("/api/v1/blocks/nowhere/standing")
    assert (answer.status_code, answer.json()["code"]) == (404, "unknown")


def test_traps_of_a_block_tell_zero_from_not_read_and_when_to_act(
    cast: Cast, writer: Writer, field: str
) -> None:
    put(cast, "pest", "fly", {"name": "Fly", "act_from": 0.5})
    for name in ("a", "b", "gone"):
        row = {"name": name, "kind": "trap", "parent": "tr5", "since": "2031-02-21"}
        more = {"until": "2031-03-01"} if name == "gone" else {}
        put(cast, "place", f"trap-{name}", row | more)
    read = {"answer": "read", "catches": [{"pest": "fly", "count": 6}]}
    push(
        cast,
        writer.write("trapped", ["trap-a"], read, NOW),
        writer.write("trapped", ["trap-b"], {"answer": "not_readable", "why": "wet"}, NOW),
    )
    answer = cast.grower.get(f"/api/v1/blocks/{field}/traps")
    assert answer.status_code == 200, answer.content
    found = answer.json()
    assert {one["trap"]: one["read"] for one in found["traps"]} == {
        "trap-a": True,
        "trap-b": False,
    }
    # Ten days: the trap that could not be read adds none.
    assert found["pests"] == [
        {"pest": "fly", "caught": 6, "index": 0.6, "level": 0.5, "reached": True}
    ]
    gone = cast.grower.get("/api/v1/blocks/nowhere/traps")
    assert (gone.status_code, gone.json()["code"]) == (404, "unknown")


def asked(cast: Cast, path: str) -> Any:
    answer = cast.grower.get(f"/api/v1/blocks/{path}")
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_a_trap_of_a_block_says_where_it_hangs_and_whether_the_layout_knows_that(
    cast: Cast, writer: Writer, field: str
) -> None:
    """Rule F-19."""
    for name, hangs_at in (("a", "64"), ("b", "999"), ("c", None)):
        row = {"name": name, "kind": "trap", "parent": "tr5", "hangs_at": hangs_at}
        put(cast, "place", f"trap-{name}", row)
    push(cast, writer.write("trapped", ["trap-a"], {"answer": "read"}, NOW))
    found = asked(cast, "tr5/traps")
    told = {one["trap"]: (one["block"], one["hangs_at"], one["known"]) for one in found["traps"]}
    assert told == {
        "trap-a": ("tr5", "64", True),
        "trap-b": ("tr5", "999", False),
        "trap-c": ("tr5", None, False),
    }
    assert [one["state"] for one in found["traps"]] == ["zero", "never", "never"]


def test_a_place_that_is_no_trap_hangs_nowhere(cast: Cast, field: str) -> None:
    text = json.dumps({"rev": 0, "body": {"name": "B", "kind": "bench", "hangs_at": "64"}})
    answer = cast.grower.put("/api/v1/rows/place/b", text, content_type="application/json")
    assert (answer.status_code, answer.json()["code"]) == (422, "row_impossible")


def test_scouting_tells_plants_seen_finds_and_how_surely_a_pest_would_have_been_found(
    cast: Cast, writer: Writer, field: str
) -> None:
    """Rules F-20 to F-22."""
    put(cast, "pest", "fly", {"name": "Fly"})
    put(cast, "pest", "bug", {"name": "Bug", "noticed": 0.05, "seen": 0.8})
    nothing = {"answer": "nothing", "plants": 15}
    found = {"suspicion": False, "pest": "fly", "plants": 2, "positions": ["63", "64"]}
    push(
        cast,
        writer.write("looked", ["tr5.1"], nothing, NOW),
        writer.write("looked", ["tr5.5"], {"answer": "found", "plants": 10}, NOW),
        writer.write("found", ["tr5.5", "t6"], found, NOW),
        writer.write("looked", ["tr3.2"], {"answer": "nothing"}, NOW),
    )
    told = asked(cast, "tr5/scouting")
    assert (told["lot"], told["seen"], told["untold"]) == (70, 25, 0)
    [find] = told["finds"]
    assert (find["row"], find["positions"], find["pest"]) == (5, ["63", "64"], "fly")
    bug, fly = told["pests"]
    assert (fly["confidence"], fly["named"]) == (None, True)
    assert 0 < bug["confidence"] < 1
    whole = asked(cast, f"{field}/scouting?since=2031-01-01")
    assert (whole["lot"], whole["seen"], whole["untold"]) == (214, 25, 1)
    assert whole["since"] == "2031-01-01"


@pytest.mark.parametrize("since", ["yesterday", "2031-13-01", ""])
def test_a_day_that_is_none_is_said(cast: Cast, field: str, since: str) -> None:
    answer = cast.grower.get(f"/api/v1/blocks/tr5/scouting?since={since}")
    assert (answer.status_code, answer.json()["params"]) == (400, {"field": "since"})


@pytest.mark.parametrize("what", ["scouting", "pressure"])
def test_what_nobody_described_has_neither(cast: Cast, field: str, what: str) -> None:
    answer = cast.grower.get(f"/api/v1/blocks/nowhere/{what}")
    assert (answer.status_code, answer.json()["code"]) == (404, "unknown")


def weather(cast: Cast, ident: str, days: int, *, high: int, invented: bool = False) -> None:
    first = NOW.date() - timedelta(days=days)
    lines = [f"{first + timedelta(days=n)},15,{high}" for n in range(days)]
    lines.append(f"{NOW.date()},,")
    text = "\n".join(["date,tmin (C),tmax (C)", *lines])
    query = f"name={ident}&invented={'true' if invented else 'false'}"
    path = f"/api/v1/weather/{ident}?{query}"
    answer = cast.grower.put(path, text, content_type="text/csv")
    assert answer.status_code in {200, 201}, answer.content


def test_pressure_counts_degree_days_by_measured_weather_before_invented(
    cast: Cast, writer: Writer, field: str
) -> None:
    """Rules F-23 and F-24."""
    biofix = (NOW - timedelta(days=30)).date().isoformat()
    its = {"lower_c": 10, "generation_dd": 80, "source": "a paper", "biofix": biofix}
    put(cast, "pest", "fly", {"name": "Fly", "develops": its})
    put(cast, "pest", "bug", {"name": "Bug"})
    told = asked(cast, "tr5/pressure")
    assert (told["series"], told["invented"]) == (None, False)
    assert told["pests"][0]["counted"]["as_of"] is None
    weather(cast, "dream", 40, high=35, invented=True)
    assert asked(cast, "tr5/pressure")["invented"] is True
    weather(cast, "station", 40, high=25)
    told = asked(cast, "tr5/pressure")
    assert (told["series"], told["invented"]) == ("station", False)
    [fly] = told["pests"]
    counted = fly["counted"]
    assert counted["degree_days"] == pytest.approx(10 * counted["sky_days"])
    assert 29 <= counted["sky_days"] <= 31
    assert (counted["generation"], counted["missing"]) == (4, 0)
    assert len(counted["done"]) == 3


@pytest.mark.parametrize(
    ("odd", "field_name"),
    [
        ({"noticed": 0}, "noticed"),
        ({"seen": 1.5}, "seen"),
        ({"develops": {"lower_c": 10, "generation_dd": 0, "source": "a"}}, "generation_dd"),
        ({"develops": {"lower_c": 10, "upper_c": 9, "generation_dd": 9, "source": "a"}}, "upper_c"),
        ({"develops": {"lower_c": 99, "generation_dd": 9, "source": "a"}}, "lower_c"),
        ({"develops": {"lower_c": 9, "generation_dd": 9, "source": " "}}, "source"),
    ],
)
def test_what_no_pest_can_have_is_said_by_its_field(
    cast: Cast, odd: dict[str, Any], field_name: str
) -> None:
    text = json.dumps({"rev": 0, "body": {"name": "Fly", **odd}})
    answer = cast.grower.put("/api/v1/rows/pest/fly", text, content_type="application/json")
    assert answer.json()["code"] == "row_impossible", answer.content
    assert answer.json()["params"]["field"].endswith(field_name)
