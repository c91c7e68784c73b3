"""Levels of the planting day are the grower's, and the risk of a dry spell is that of the odds."""

import json
from datetime import timedelta
from typing import Any

import pytest

from nursery.domain.weather import invented
from nursery.services import season
from nursery.store.models import ForecastRow
from tests.api.conftest import NOW, Cast
from tests.phone import Writer

NURSERY, ON, BLOCK = "veshmere", "2031-03-05", "tr-1"


def site(cast: Cast, rev: int = 0, **planting: Any) -> Any:
    body = {"rev": rev, "body": {"latitude": -17, "planting": planting}}
    path = "/api/v1/rows/site/site"
    return cast.grower.put(path, json.dumps(body), content_type="application/json")


@pytest.fixture
def booked(cast: Cast, writer: Writer, tray: str) -> str:
    """A planting day for one tray, with a forecast of heat."""
    place = {"rev": 0, "body": {"name": "Block", "kind": "terrace", "holes": 50}}
    path = f"/api/v1/rows/place/{BLOCK}"
    assert cast.grower.put(path, place, content_type="application/json").status_code == 200
    sky = [{"on": ON, "high_c": 33}]
    cast.phone.push(
        writer.write("booked", [tray], {"act": "planting", "on": ON}, NOW),
        writer.write("forecast", [BLOCK], {"days": sky}, NOW),
    )
    return tray


def judged(cast: Cast, what: str) -> Any:
    [group] = cast.grower.get("/api/v1/planting").json()["items"]
    return next(one for one in group["checks"] if one["what"] == what)


def test_a_level_of_the_grower_s_moves_its_check_and_emptied_it_is_usual(
    cast: Cast, booked: str
) -> None:
    usual = cast.grower.get("/api/v1/planting/levels").json()
    assert (usual["usual"]["heat_go_c"], usual["sources"]["heat_go_c"]) == (32, "trade")
    assert (usual["usual"]["wind_no_kmh"], usual["sources"]["wind_no_kmh"]) == (40, "own")
    assert judged(cast, "heat")["colour"] == "wait"
    assert site(cast, heat_go_c=34).status_code == 200
    assert judged(cast, "heat")["colour"] == "go"
    assert site(cast, 1, heat_go_c=30, heat_no_c=32.5).status_code == 200
    assert judged(cast, "heat")["colour"] == "no"
    assert judged(cast, "heat")["params"] == {"go": 30, "no": 32.5, "value": 33}
    assert site(cast, 2).status_code == 200
    assert judged(cast, "heat")["colour"] == "wait"


def test_seedlings_raised_here_have_a_planting_day_under_the_name_of_their_crop(
    cast: Cast, booked: str, writer: Writer
) -> None:
    row = {"rev": 0, "body": {"name": "Papaya"}}
    path = "/api/v1/rows/crop/papaya"
    taken = cast.grower.put(path, json.dumps(row), content_type="application/json")
    assert taken.status_code == 200
    new = {"id": "s-1", "label": "S1", "crop": "papaya"}
    cast.phone.push(
        writer.write("sown", ["s-1"], {"batch": new, "seeds": 60}, NOW - timedelta(days=90)),
        writer.write("emerged", ["s-1"], {"total": 45}, NOW - timedelta(days=40)),
        writer.write("booked", ["s-1"], {"act": "planting", "on": ON}, NOW),
    )
    groups = cast.grower.get("/api/v1/planting").json()["items"]
    assert [one["batches"] for one in groups] == [[booked], ["s-1"]]
    assert (groups[1]["id"], groups[1]["name"], groups[1]["on"]) == ("papaya", "Papaya", ON)
    assert [one["id"] for one in groups[1]["blocks"]] == [BLOCK]


BAD = {
    "a share in percent": ({"dry_spell_no": 50}, "row_impossible", "planting.dry_spell_no"),
    "no before go": ({"wind_no_kmh": 20}, "row_impossible", "planting.wind_no_kmh"),
    "a word": ({"heat_go_c": "hot"}, "row_unreadable", "planting.heat_go_c"),
    "half a day": ({"wet_days": 1.5}, "row_unreadable", "planting.wet_days"),
}


@pytest.mark.parametrize(("levels", "code", "field"), BAD.values(), ids=BAD.keys())
def test_a_level_that_cannot_be_is_refused_by_its_field_and_changes_nothing(
    cast: Cast, booked: str, levels: dict[str, Any], code: str, field: str
) -> None:
    assert site(cast, heat_go_c=34).status_code == 200
    refused = site(cast, 1, **levels)
    assert refused.status_code == 422
    told = refused.json()
    assert (told["code"], told["params"]["field"]) == (code, field)
    assert judged(cast, "heat")["colour"] == "go"


def weather(cast: Cast, text: str) -> None:
    query = {"name": "Own", "invented": "true"}
    path = "/api/v1/weather/own"
    taken = cast.grower.put(path, text, content_type="text/csv", query_params=query)
    assert taken.status_code == 200
    season.materialise(NURSERY, NOW)


def test_the_risk_of_a_dry_spell_is_that_of_years_on_record_and_says_so(
    cast: Cast, booked: str
) -> None:
    site(cast)
    assert judged(cast, "dry_spell")["colour"] == "cannot_tell"
    weather(cast, invented.csv(7, 2001, 9))
    assert judged(cast, "dry_spell")["colour"] == "cannot_tell"
    weather(cast, invented.csv(7, 2001, 12))
    found = judged(cast, "dry_spell")
    assert (found["params"]["years"], found["params"]["invented"]) == (12, True)
    kept = json.loads(ForecastRow.objects.get(kind="dry_spell").text)
    assert found["params"]["value"] == kept["risks"]["risk"]["03-05"]
    assert found["colour"] != "cannot_tell"
    season.materialise(NURSERY, NOW)
    assert json.loads(ForecastRow.objects.get(kind="dry_spell").text) == kept
    assert cast.grower.delete("/api/v1/weather/own").status_code == 204
    season.materialise(NURSERY, NOW)
    assert judged(cast, "dry_spell")["colour"] == "cannot_tell"


def test_a_typed_risk_counts_before_that_of_the_odds(
    cast: Cast, booked: str, writer: Writer
) -> None:
    site(cast)
    weather(cast, invented.csv(7, 2001, 12))
    readings = {"readings": [{"what": "dry_spell_percent", "value": 12}]}
    cast.phone.push(writer.write("read", [BLOCK], readings, NOW))
    assert judged(cast, "dry_spell")["params"] == {"go": 0.3, "no": 0.5, "value": 0.12}
