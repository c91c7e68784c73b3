"""Products for treatments: the grower writes their rows, everybody else reads them."""

import json
from typing import Any

import pytest
from django.test import Client

from tests.api.conftest import NOW, Cast
from tests.phone import Writer

OIL = {
    "name": "Orrin white oil",
    "active": "paraffin oil; soap",
    "registration": "OR-1182",
    "reentry_hours": 12,
    "interval_days": 10,
    "litres_per_m2": 0.2,
    "per_litre": 1.5,
    "unit": "mL",
    "licensed": True,
    "cautions": "Harms bees: none in bloom.",
}
AT = "/api/v1/rows/product/product-oil"


def put(caller: Client, rev: int, **more: Any) -> Any:
    body = {name: value for name, value in {**OIL, **more}.items() if value is not None}
    return caller.put(AT, json.dumps({"rev": rev, "body": body}), content_type="application/json")


def test_a_row_is_written_changed_and_read_by_everybody_of_the_nursery(cast: Cast) -> None:
    assert put(cast.grower, 0).status_code == 200
    assert put(cast.grower, 1, interval_days=14).json()["rev"] == 2
    told = {"type": "product", "id": "product-oil", "rev": 2, "body": {**OIL, "interval_days": 14}}
    for reader in (cast.grower, cast.phone, cast.inspector):
        assert reader.get(AT).json() == told
        assert reader.get("/api/v1/rows/product").json()["items"] == [told]
    assert cast.stranger.get("/api/v1/rows/product").json()["items"] == []
    pulled = [line for line in cast.phone.pull() if line.get("type") == "product"]
    assert [(one["id"], one["rev"], one["e"]) for one in pulled][-1] == (
        "product-oil",
        2,
        told["body"],
    )


@pytest.mark.parametrize(
    ("who", "status"), [("phone", 403), ("inspector", 401), ("nobody", 401), ("revoked", 403)]
)
def test_only_a_grower_writes_one(cast: Cast, who: str, status: int) -> None:
    assert put(getattr(cast, who), 0).status_code == status
    assert cast.grower.get("/api/v1/rows/product").json()["items"] == []


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"name": None}, "row_lacks", "name"),
        ({"name": "  "}, "row_impossible", "name"),
        ({"reentry_hours": -1}, "row_impossible", "reentry_hours"),
        ({"reentry_hours": 1e11}, "row_impossible", "reentry_hours"),
        ({"reentry_hours": "half a day"}, "row_unreadable", "reentry_hours"),
        ({"interval_days": 1.5}, "row_unreadable", "interval_days"),
        ({"interval_days": 99_999_999}, "row_impossible", "interval_days"),
        ({"litres_per_m2": 0}, "row_impossible", "litres_per_m2"),
        ({"per_litre": -2}, "row_impossible", "per_litre"),
        ({"unit": "drops"}, "row_unreadable", "unit"),
    ],
)
def test_what_cannot_be_is_turned_down_by_its_field(
    cast: Cast, more: dict[str, Any], code: str, field: str
) -> None:
    put(cast.grower, 0)
    answer = put(cast.grower, 1, **more)
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert answer.json()["params"]["field"] == field
    assert field in answer.json()["detail"]
    assert cast.grower.get(AT).json()["body"] == OIL


def test_who_has_read_an_older_text_changes_nothing(cast: Cast) -> None:
    put(cast.grower, 0)
    put(cast.grower, 1, interval_days=14)
    assert put(cast.grower, 1, interval_days=7).status_code == 409
    assert cast.grower.get(AT).json()["body"]["interval_days"] == 14


def test_a_record_that_names_a_product_is_held_against_its_row(
    cast: Cast, tray: str, writer: Writer
) -> None:
    put(cast.grower, 0)
    body = {
        "product": OIL["name"],
        "started_at": "2031-03-03T01:00:00.000Z",
        "ended_at": "2031-03-03T01:20:00.000Z",
        "reentry_until": "2031-03-03T09:20:00.000Z",
        "litres": 2,
        "area_m2": 15,
        "operator": "p-g",
        "licence": "AP-204",
    }
    cast.phone.push(writer.write("treated", [tray], body, NOW))
    (item,) = [
        one
        for one in cast.grower.get("/api/v1/needs-a-look").json()["doubts"]
        if one["subject"] == tray
    ]
    found = {one["code"]: one["params"] for one in item["doubts"]}
    assert found["mix_differs"] == {"litres": 2, "wanted": 3}
    assert found["reentry_short"] == {"until": "2031-03-03T13:20:00.000Z"}
