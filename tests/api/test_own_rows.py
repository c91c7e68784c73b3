"""Rows that the grower of an own nursery types: everybody reads them, nobody else writes."""

import json
from typing import Any

import pytest
from django.test import Client

from tests.api.conftest import Cast

SPANISH = {"language": "es", "text": "Escama espinosa"}
ROWS: dict[str, dict[str, Any]] = {
    "pest": {
        "name": "Spiny scale",
        "called": [SPANISH],
        "code": "SCALSP",
        "botanical": "Coccus fictus",
        "hosts": ["lime"],
        "since": "2031-01-01",
    },
    "crop": {
        "name": "Lime",
        "called": [{"language": "es", "text": "Lima"}],
        "botanical": "Citrus fictus",
        "cultivar": "Ember",
        "pots": [{"container": "1 L", "source": "Own records", "full_days": 180, "per_m2": 18.5}],
        "since": "2031-01-01",
    },
    "checklist": {
        "name": "Weekly look-over",
        "version": 1,
        "items": [{"id": "top", "says": [{"language": "en", "text": "Top"}], "plants": 4}],
        "since": "2031-01-01",
    },
    "program": {
        "name": "Six weeks",
        "steps": [
            {"id": "shade_50", "shade_percent": 50, "days": 6, "checks": ["scorch", "wilt"]},
            {"id": "mornings", "shade_percent": 30, "sun_hours": 5, "wind": "lee", "feed": "none"},
        ],
        "limits": {"scorch_share": 0.1, "heat_c": 33},
        "source": "Own rules",
        "crops": ["lime"],
        "since": "2031-01-01",
    },
}
LINE = ROWS["checklist"]["items"][0]
POT = ROWS["crop"]["pots"][0]
HALF, OPEN = ROWS["program"]["steps"]
KINDS = pytest.mark.parametrize("kind", ROWS)


def put(caller: Client, kind: str, rev: int, **more: Any) -> Any:
    body = {name: value for name, value in {**ROWS[kind], **more}.items() if value is not None}
    asked = json.dumps({"rev": rev, "body": body})
    return caller.put(f"/api/v1/rows/{kind}/one", asked, content_type="application/json")


@KINDS
def test_a_row_is_written_closed_and_read_by_everybody_of_the_nursery(
    cast: Cast, kind: str
) -> None:
    assert put(cast.grower, kind, 0).status_code == 200
    assert put(cast.grower, kind, 1, until="2031-02-28").json()["rev"] == 2
    body = {**ROWS[kind], "until": "2031-02-28"}
    for reader in (cast.grower, cast.phone, cast.inspector):
        assert reader.get(f"/api/v1/rows/{kind}/one").json()["body"] == body
    pulled = [line["e"] for line in cast.phone.pull() if line.get("type") == kind]
    assert pulled[-1] == body
    assert cast.stranger.get(f"/api/v1/rows/{kind}").json()["items"] == []


@KINDS
@pytest.mark.parametrize(
    ("who", "status"), [("phone", 403), ("inspector", 401), ("nobody", 401), ("revoked", 403)]
)
def test_only_a_grower_writes_one(cast: Cast, kind: str, who: str, status: int) -> None:
    assert put(getattr(cast, who), kind, 0).status_code == status
    assert cast.grower.get(f"/api/v1/rows/{kind}").json()["items"] == []


# What is wrong with a row: the code, and the field that is named.
WRONG: dict[str, tuple[tuple[dict[str, Any], str, str], ...]] = {
    "pest": (
        ({"name": None}, "row_lacks", "name"),
        ({"name": "  "}, "row_impossible", "name"),
        ({"name": "x" * 65}, "row_impossible", "name"),
        ({"called": [SPANISH, SPANISH]}, "row_impossible", "called.language"),
        ({"called": [{"language": "es", "text": " "}]}, "row_impossible", "called.text"),
        ({"code": "no"}, "row_unreadable", "code"),
        ({"hosts": "lime"}, "row_unreadable", "hosts"),
        ({"since": "yesterday"}, "row_unreadable", "since"),
        ({"until": "2030-12-31"}, "row_impossible", "until"),
    ),
    "crop": (
        ({"name": " "}, "row_impossible", "name"),
        ({"called": [{"language": "es"}]}, "row_unreadable", "called.text"),
        ({"pots": [{"container": "1 L"}]}, "row_unreadable", "pots.source"),
        ({"pots": [POT, {**POT, "container": "1 l"}]}, "row_impossible", "pots"),
        ({"pots": [{**POT, "container": " "}]}, "row_impossible", "pots.container"),
        ({"pots": [{**POT, "full_days": 0}]}, "row_impossible", "pots.full_days"),
        ({"pots": [{**POT, "full_days": 99_999_999}]}, "row_impossible", "pots.full_days"),
        ({"pots": [{**POT, "full_days": 1.5}]}, "row_unreadable", "pots.full_days"),
        ({"pots": [{**POT, "per_m2": 0}]}, "row_unreadable", "pots.per_m2"),
        ({"until": "2030-12-31"}, "row_impossible", "until"),
    ),
    "checklist": (
        ({"name": " "}, "row_impossible", "name"),
        ({"version": None}, "row_lacks", "version"),
        ({"items": []}, "row_impossible", "items"),
        ({"items": [LINE, LINE]}, "row_impossible", "items"),
        ({"items": [{**LINE, "says": []}]}, "row_impossible", "items.says"),
        ({"items": [{"id": "top"}]}, "row_unreadable", "items.says"),
        ({"items": [{**LINE, "plants": -1}]}, "row_unreadable", "items.plants"),
        (
            {"items": [{**LINE, "says": [{"language": "en", "text": " "}]}]},
            "row_impossible",
            "items.says.text",
        ),
        ({"until": "2030-12-31"}, "row_impossible", "until"),
    ),
    "program": (
        ({"name": " "}, "row_impossible", "name"),
        ({"source": None}, "row_lacks", "source"),
        ({"steps": []}, "row_impossible", "steps"),
        ({"steps": [HALF, HALF]}, "row_impossible", "steps"),
        ({"steps": [OPEN, HALF]}, "row_impossible", "steps"),
        ({"steps": [{**HALF, "shade_percent": 101}]}, "row_impossible", "shade_percent"),
        ({"steps": [{**HALF, "days": 0}]}, "row_impossible", "days"),
        ({"steps": [{**HALF, "days": 400}]}, "row_impossible", "steps.days"),
        ({"steps": [{**HALF, "days": 5.5}]}, "row_unreadable", "steps.days"),
        ({"steps": [{**HALF, "sun_hours": 25}]}, "row_impossible", "steps.sun_hours"),
        ({"steps": [{**HALF, "water_every_days": 0}]}, "row_impossible", "steps.water_every_days"),
        ({"steps": [{**HALF, "wind": "storm"}]}, "row_unreadable", "steps.wind"),
        ({"steps": [{**HALF, "checks": ["taste"]}]}, "row_impossible", "steps.checks"),
        ({"limits": {"scorch_share": 5}}, "row_impossible", "limits.scorch_share"),
        ({"limits": {"heat_c": 350}}, "row_impossible", "limits.heat_c"),
        ({"until": "2030-12-31"}, "row_impossible", "until"),
    ),
}


@pytest.mark.parametrize(
    ("kind", "more", "code", "field"),
    [(kind, *wrong) for kind, every in WRONG.items() for wrong in every],
)
def test_what_cannot_be_is_turned_down_by_its_field(
    cast: Cast, kind: str, more: dict[str, Any], code: str, field: str
) -> None:
    put(cast.grower, kind, 0)
    answer = put(cast.grower, kind, 1, **more)
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert answer.json()["params"]["field"] == field
    assert field in answer.json()["detail"]
    assert cast.grower.get(f"/api/v1/rows/{kind}/one").json()["body"] == ROWS[kind]
