"""The layout of a block through the API: worked out, kept, and handed out as files."""

import csv
import io
import json
import subprocess
import sys
from typing import Any

import pytest

from nursery.services import clock
from tests.api import trace_scene as scene
from tests.api.conftest import Cast
from tests.domain.test_laid_out import BOW_TIE, SQUARE, TURNED

BLOCK = "terrace-4"
TYPED = {"way": "typed", "counts": [12, 12, 10], "in_row_m": 4, "between_m": 2}
GROUND = {"way": "ground", "in_row_m": 4, "between_m": 2, "outline": SQUARE}


@pytest.fixture(autouse=True)
def the_field(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: scene.CALLED)
    scene.fill(cast)


def ask(cast: Cast, body: object, block: str = BLOCK) -> Any:
    path = f"/api/v1/blocks/{block}/layout"
    return cast.grower.post(path, json.dumps(body), content_type="application/json")


def keep(cast: Cast, ident: str, body: object, kind: str = "layout") -> Any:
    path = f"/api/v1/rows/{kind}/{ident}"
    return cast.grower.put(path, json.dumps({"body": body}), content_type="application/json")


def test_typed_rows_are_worked_out_kept_and_read_again(cast: Cast) -> None:
    made = ask(cast, TYPED)
    assert made.status_code == 200, made.content
    body, figures = made.json()["body"], made.json()["figures"]
    assert (figures["rows"], figures["positions"]) == (3, 34)
    assert (figures["per_hectare"], figures["on_area"]) == (1250, None)
    assert (figures["at_hand"], figures["short"]) == (None, None)
    assert keep(cast, BLOCK, body).status_code == 200
    kept = cast.grower.get(f"/api/v1/rows/layout/{BLOCK}").json()
    assert [row["first"] for row in kept["body"]["rows"]] == [1, 13, 25]


def test_ground_tells_its_area_and_how_many_plants_are_short(cast: Cast) -> None:
    figures = ask(cast, {**GROUND, "crop": "finger-lime"}).json()["figures"]
    assert figures["area_m2"] == pytest.approx(3600, rel=1e-3)
    assert figures["on_area"] == pytest.approx(figures["positions"] * 10_000 / 3600, rel=1e-3)
    assert figures["short"] == figures["positions"] - figures["at_hand"]


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"outline": BOW_TIE}, "ground_crosses"),
        ({"outline": TURNED}, "ground_swapped"),
        ({"in_row_m": 0.05, "between_m": 0.05}, "ground_crowded"),
        ({"set_back_m": 40}, "ground_empty"),
    ],
)
def test_ground_that_cannot_be_is_said_in_words_and_nothing_is_kept(
    cast: Cast, more: dict[str, Any], code: str
) -> None:
    keep(cast, "site", {"latitude": 18.4}, "site")
    before = cast.grower.get("/api/v1/rows/layout").json()
    answer = ask(cast, {**GROUND, **more})
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert "Nothing was saved" in answer.json()["detail"]
    assert cast.grower.get("/api/v1/rows/layout").json() == before


def test_a_block_that_is_no_place_is_not_laid_out(cast: Cast) -> None:
    assert ask(cast, TYPED, "nowhere").status_code == 404
    for form in ("csv", "geojson"):
        answer = cast.grower.get(f"/api/v1/blocks/nowhere/positions.{form}")
        assert (answer.status_code, answer.json()["code"]) == (404, "unknown")


def test_a_table_of_positions_says_who_stands_there(cast: Cast) -> None:
    keep(cast, BLOCK, ask(cast, {**TYPED, "counts": [200]}).json()["body"])
    text = cast.grower.get(f"/api/v1/blocks/{BLOCK}/positions.csv").content.decode()
    rows = list(csv.DictReader(io.StringIO(text)))
    assert len(rows) == 200
    assert {row["state"] for row in rows} >= {"alive"}
    assert all(row["batch"] for row in rows if row["state"])


def test_no_cell_of_the_table_begins_a_formula(cast: Cast) -> None:
    tree = {"number": 1, "first": 1, "holes": 1, "stands": "shelter", "species": "=HYPERLINK(1)"}
    assert keep(cast, BLOCK, {"rows": [tree]}).status_code == 200
    text = cast.grower.get(f"/api/v1/blocks/{BLOCK}/positions.csv").content.decode()
    [row] = csv.DictReader(io.StringIO(text))
    assert row["species"] == "'=HYPERLINK(1)"


def test_positions_on_ground_are_points(cast: Cast) -> None:
    keep(cast, BLOCK, ask(cast, GROUND).json()["body"])
    answer = cast.grower.get(f"/api/v1/blocks/{BLOCK}/positions.geojson")
    assert answer["Content-Type"] == "application/geo+json"
    [first, *_] = answer.json()["features"]
    assert first["geometry"]["coordinates"] == pytest.approx([-70.2, 18.5], abs=1e-4)
    assert (first["properties"]["position"], first["properties"]["row"]) == ("1", 1)


def test_the_office_starts_without_the_libraries_of_maps() -> None:
    code = (
        "import os, sys, django;"
        "os.environ.setdefault('DJANGO_SETTINGS_MODULE', 'config.settings'); django.setup();"
        "import nursery.api.urls;"
        "print([m for m in ('shapely', 'numpy', 'pyproj') if m in sys.modules])"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
