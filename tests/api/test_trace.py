"""A trace through the API: from whatever is suspect to everything that may be of it."""

import json
from datetime import timedelta
from typing import Any

import pytest

from nursery.domain.trace_start import Start
from nursery.paper import trace as paper
from nursery.paper import typeset
from nursery.services import clock, trace, words
from tests.api import trace_scene as scene
from tests.api.conftest import Cast
from tests.phone import Writer


@pytest.fixture(autouse=True)
def the_call(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: scene.CALLED)
    scene.fill(cast)


def traced(cast: Cast, *of: str) -> Any:
    answer = cast.grower.get("/api/v1/trace", {"of": list(of)})
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_the_suspect_trays_and_the_mixed_pots_are_99_positions_and_a_reserve(cast: Cast) -> None:
    told = traced(cast, "batch:b-t2", "batch:b-t5")
    assert (told["asked"], told["made"]) == (["b-t2", "b-t5"], ["b-u"])
    sums = told["sums"]
    assert (sums["positions"], sums["alive"], sums["gone"]) == (99, 92, 7)
    assert (sums["reserve"], told["reserve"]) == (4, {"b-t2": 2, "b-t5": 2})
    assert (sums["sent"], told["sent"]) == (0, [])
    assert told["ended"]["b-t2"] == {"died": 1, "sampled": 1}
    assert told["names"]["block"] == {"terrace-4": "TR4"}


SUSPECT = ["batch:b-t2", "batch:b-t5"]
CALL = {
    "of": SUSPECT,
    "reference": "CALL-13-9",
    "asked_by": "Sarrow plant health",
    "reason": "the budwood behind trays T2 and T5 is suspect",
}


def post(cast: Cast, path: str, body: object) -> Any:
    return cast.grower.post(f"/api/v1/{path}", json.dumps(body), content_type="application/json")


def answer_of(cast: Cast, act: str, batch: str) -> str:
    told = cast.grower.get("/api/v1/may", {"act": act, "subject": batch}).json()
    return str(told["answer"])


def test_one_act_holds_what_stands_in_the_nursery_and_in_the_field(cast: Cast) -> None:
    """Rule N-6: no cuttings and no sending, from a batch that is all planted as well."""
    assert "b-u" in {one["id"] for one in cast.grower.get("/api/v1/batches").json()["items"]}
    answer = post(cast, "trace/hold", CALL)
    assert (answer.status_code, answer.json()) == (201, {"batches": ["b-t2", "b-t5", "b-u"]})
    told = traced(cast, *SUSPECT)
    for batch in ("b-t2", "b-t5", "b-u"):
        [hold] = told["held"][batch]
        assert (hold["reference"], hold["paper"]) == ("CALL-13-9", False)
        for act in ("taking", "sending"):
            assert answer_of(cast, act, batch) != "yes"
    assert [one["asked_by"] for one in told["calls"]] == ["Sarrow plant health"]
    planted_out = cast.grower.get("/api/v1/batches/b-u").json()
    assert (planted_out["alive"], planted_out["closed"]) == (0, False)
    assert list(planted_out["holds"]) == ["CALL-13-9"]


def test_who_was_told_and_that_the_paper_is_waited_for_stand_with_the_hold(cast: Cast) -> None:
    post(cast, "trace/hold", CALL)
    body = {"who": "P", "how": "phone", "what": "trace", "reference": "CALL-13-9"}
    told = {"kind": "told", "about": ["b-t2", "b-t5", "b-u"], "body": body}
    assert post(cast, "records", told).status_code == 201
    of_another = {**told, "body": {**body, "reference": "LF-12"}}
    assert post(cast, "records", of_another).status_code == 201
    assert [(one["who"], one["how"]) for one in traced(cast, *SUSPECT)["told"]] == [("P", "phone")]
    doubts = cast.grower.get("/api/v1/batches/b-t2").json()["doubts"]
    assert [one["code"] for one in doubts] == ["no_paper"]


def test_an_order_lifted_holds_nothing_more(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    post(cast, "trace/hold", CALL)
    monkeypatch.setattr(clock, "now", lambda: scene.CALLED + timedelta(hours=1))
    lift = {"act": "lift", "reference": "LF-20", "lifts": "CALL-13-9", "photo": "f-1"}
    about = ["b-t2", "b-t5", "b-u"]
    assert (
        post(cast, "records", {"kind": "ordered", "about": about, "body": lift}).status_code == 201
    )
    assert traced(cast, *SUSPECT)["held"] == {}


def test_what_left_nothing_behind_cannot_be_held(cast: Cast) -> None:
    answer = post(cast, "trace/hold", {**CALL, "of": ["batch:b-none"]})
    assert (answer.status_code, answer.json()["code"]) == (422, "nothing_to_hold")
    answer = post(cast, "trace/drills", {"of": ["batch:b-none"], "seconds": 9})
    assert (answer.status_code, answer.json()["code"]) == (422, "nothing_to_hold")


def test_a_drill_is_kept_with_the_time_it_took_and_can_be_taken_back(cast: Cast) -> None:
    assert cast.grower.get("/api/v1/trace/drills").json() == {"items": []}
    ident = post(cast, "trace/drills", {"of": SUSPECT, "seconds": 372}).json()["id"]
    [drill] = cast.grower.get("/api/v1/trace/drills").json()["items"]
    assert (drill["seconds"], drill["positions"], drill["reserve"]) == (372, 99, 4)
    assert (drill["by"], drill["about"]) == ("p-g", ["b-t2", "b-t5", "b-u"])
    post(cast, "trace/hold", CALL)
    assert len(cast.grower.get("/api/v1/trace/drills").json()["items"]) == 1
    assert traced(cast, *SUSPECT)["calls"][0]["reference"] == "CALL-13-9"
    assert ident == drill["id"]
    later = scene.CALLED + timedelta(minutes=1)
    taken_back = Writer("b").write("withdrawn", drill["about"], {}, later, corrects=ident)
    receipt = cast.phone.push(taken_back, install="i-b").json()
    assert [one["status"] for one in receipt["results"]] == ["stored"]
    assert cast.grower.get("/api/v1/trace/drills").json() == {"items": []}


@pytest.mark.parametrize(
    ("called", "expected"),
    [
        ("t2", ["batch:b-t2"]),
        ("sarrow", ["supplier:Sarrow Budworks"]),
        ("liners", ["consignment:c-1"]),
        ("TR4-31", ["position:terrace-4/31"]),
        ("terrace 4-s2", ["position:terrace-4/S2"]),
        ("pruner", ["thing:pruner 1"]),
        ("worker", ["person:p-w"]),
        ("quar", ["place:room"]),
        ("TR9-31", []),
        ("none-such", []),
        ("  ", []),
    ],
)
def test_what_is_suspect_is_found_by_what_people_call_it(
    cast: Cast, called: str, expected: list[str]
) -> None:
    told = cast.grower.get("/api/v1/trace/starts", {"called": called}).json()["items"]
    assert [one["start"] for one in told] == expected


@pytest.mark.parametrize(
    ("of", "asked"),
    [
        ("consignment:c-1", ["b-t1", "b-t2", "b-t5"]),
        ("supplier:Sarrow Budworks", ["b-t1", "b-t2", "b-t5"]),
        ("place:bench", ["b-t1", "b-t2", "b-t5", "b-u"]),
        ("place:terrace-4", ["b-t1", "b-t2", "b-t5", "b-u"]),
        ("thing:pruner 1", ["b-t1", "b-t2", "b-t5", "b-u"]),
        ("person:p-w", ["b-t1", "b-t2", "b-t5", "b-u"]),
        ("person:p-nobody", []),
        ("position:terrace-4/31", ["b-t2"]),
        ("position:terrace-4/95", ["b-u"]),
    ],
)
def test_a_trace_begins_with_whatever_is_suspect(cast: Cast, of: str, asked: list[str]) -> None:
    """Rule N-4, through the part of the book that is read for it."""
    assert traced(cast, of)["asked"] == asked


def test_back_people_rooms_and_tools_are_listed(cast: Cast) -> None:
    told = traced(cast, "batch:b-u")
    assert (told["back"], told["consignments"]) == (["b-t1", "b-t5"], ["c-1"])
    assert told["names"]["supplier"] == {"c-1": "Sarrow Budworks"}
    assert [one["who"] for one in told["people"]] == ["p-w", "p-w1"]
    assert [one["place"] for one in told["rooms"]] == ["room"]
    assert told["things"] == [{"thing": "pruner 1", "rooms": ["room"]}]


@pytest.mark.parametrize(
    "of", [[], ["tray:b-t2"], ["batch:"], [f"batch:b-{n}" for n in range(201)]]
)
def test_what_no_trace_begins_with_is_turned_down(cast: Cast, of: list[str]) -> None:
    answer = cast.grower.get("/api/v1/trace", {"of": of})
    assert (answer.status_code, answer.json()["code"]) == (400, "body_misfit")


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_trace_of_the_call_is_one_page(cast: Cast, language: str) -> None:
    post(cast, "trace/hold", CALL)
    answer = cast.grower.get("/api/v1/trace.pdf", {"of": SUSPECT, "language": language})
    assert answer.content.startswith(b"%PDF")
    assert b"pdfuaid" in answer.content
    told = trace.of("veshmere", [Start.read(one) for one in SUSPECT], scene.CALLED)
    sheet, on = paper.composed(told, language)
    assert [figure for figure, _ in sheet["sums"]][:4] == ["99", "92", "7", "4"]
    assert len(typeset.pictures(paper.TEMPLATE, sheet, on, 20)) == 1
    rows = sheet["sections"][0]["rows"]
    assert [row[1:] for row in rows] == [
        ["T2", "50", "47", "1–50"],
        ["T5", "41", "38", "51–91"],
        ["U", "8", "7", "92–99"],
    ]
    assert "CALL-13-9" in sheet["holds"][0]


@pytest.mark.parametrize(("language", "says"), [("en", "a find"), ("es", "un hallazgo")])
def test_a_find_that_holds_stands_on_paper_with_what_ends_it(
    cast: Cast, language: str, says: str
) -> None:
    """Rules E-4, G-3: no order is named where there is none."""
    find = {"kind": "found", "about": ["b-t2"], "body": {"suspicion": True}}
    assert post(cast, "records", find).status_code == 201
    told = trace.of("veshmere", [Start.read("batch:b-t2")], clock.now() + timedelta(hours=1))
    [hold, *_] = told["held"]["b-t2"]
    assert (hold["by"], hold["paper"], hold["orders"]) == ("find", False, [])
    [line] = paper.composed(told, language)[0]["holds"]
    assert says in line
    assert hold["reference"] not in line
    voice = words.say(language, "reason.when_lifted_here", {})
    assert voice in line
    post(cast, "trace/hold", {**CALL, "of": ["batch:b-t2"]})
    told = trace.of("veshmere", [Start.read("batch:b-t2")], clock.now() + timedelta(hours=1))
    lines = paper.composed(told, language)[0]["holds"]
    assert sum("CALL-13-9" in one for one in lines) == 1


def test_a_batch_is_found_by_a_label_that_it_bore_once(cast: Cast) -> None:
    later = scene.CALLED - timedelta(minutes=1)
    told = {"old": "T2", "new": "T2B"}
    text = Writer("b").write("relabelled", ["b-t2"], told, later)
    assert cast.phone.push(text, install="i-b").json()["results"][0]["status"] == "stored"
    answer = cast.grower.get("/api/v1/trace/starts", {"called": "t2"}).json()["items"]
    assert answer == [{"start": "batch:b-t2", "kind": "batch", "says": "T2B"}]
    again = Writer("c").write("relabelled", ["b-t2"], {"old": "T2B", "new": "N7"}, scene.CALLED)
    assert cast.phone.push(again, install="i-c").json()["results"][0]["status"] == "stored"
    answer = cast.grower.get("/api/v1/trace/starts", {"called": "t2"}).json()["items"]
    assert answer == [{"start": "batch:b-t2", "kind": "batch", "says": "N7", "was": "T2"}]
