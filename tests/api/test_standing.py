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
