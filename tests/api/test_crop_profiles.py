"""Crops to start from, and the grower's own copy of one (rules X-1 to X-4)."""

import json
from typing import Any

import pytest

from nursery.services import templates
from tests.api.conftest import Cast


def put(cast: Cast, body: dict[str, Any], rev: int = 0) -> Any:
    said = json.dumps({"body": body, "rev": rev})
    return cast.grower.put("/api/v1/rows/crop/lime", said, content_type="application/json")


def kept(cast: Cast) -> dict[str, Any]:
    [row] = cast.grower.get("/api/v1/rows/crop").json()["items"]
    found: dict[str, Any] = row["body"]
    return found


def test_thirteen_crops_to_start_from_are_told_to_readers(cast: Cast) -> None:
    told = cast.grower.get("/api/v1/crop-profiles").json()["items"]
    assert len(told) == 13
    assert {*told[0]["name"]} == {"en", "es"}
    assert told[0]["litres"] == {"low": 3, "high": 5, "source": None}


def test_a_copy_stays_as_it_was_when_what_is_shipped_changes(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    [lime] = [one for one in templates.crop_profiles() if one["id"] == "finger_lime"]
    assert put(cast, {"name": "Lime", "profile": lime}).status_code == 200
    before = kept(cast)["profile"]
    changed = [{**lime, "litres": {"low": 9, "high": None, "source": "a later book"}}]
    monkeypatch.setattr(templates, "crop_profiles", lambda: changed)
    told = cast.grower.get("/api/v1/crop-profiles").json()["items"]
    assert told[0]["litres"]["low"] == 9
    assert kept(cast)["profile"] == before
    assert before["litres"] == {"low": 2.5, "high": 3, "source": None}


@pytest.mark.parametrize(
    ("given", "status", "field"),
    [
        ({"litres": {"low": 6, "own": True}}, 200, None),
        ({"litres": {"low": -6}}, 422, "profile.litres"),
        ({"least": {"height_cm": {"low": "tall"}}}, 422, "profile.least.height_cm"),
        ({"shade": [0, 50]}, 422, "profile.shade"),
        ({"made_by": None}, 422, "profile.made_by"),
    ],
)
def test_what_cannot_be_is_named_by_its_field(
    cast: Cast, given: dict[str, Any], status: int, field: str | None
) -> None:
    avocado = templates.crop_profiles()[0]
    answer = put(cast, {"name": "Pear", "profile": {**avocado, **given}})
    assert answer.status_code == status, answer.content
    if field is not None:
        assert answer.json()["params"]["field"] == field
