"""A plan worked back from the field is asked, and writes nothing (rules Y-1 to Y-4)."""

import json
from typing import Any

import pytest

from nursery.services import templates
from nursery.store.models import FeedRow
from tests.api.conftest import Cast

ASKED = {"crop": "cacao", "plants": 1000, "first": "2032-10-05", "last": "2032-11-12"}


def ask(cast: Cast, **given: Any) -> Any:
    said = json.dumps({**ASKED, **given})
    return cast.grower.post("/api/v1/plans/backward", said, content_type="application/json")


@pytest.fixture
def cacao(cast: Cast) -> None:
    [profile] = [one for one in templates.crop_profiles() if one["id"] == "cacao"]
    said = json.dumps({"body": {"name": "Cacao", "profile": profile}, "rev": 0})
    put = cast.grower.put("/api/v1/rows/crop/cacao", said, content_type="application/json")
    assert put.status_code == 200, put.content


@pytest.mark.usefixtures("cacao")
def test_it_says_how_many_to_start_and_by_when_and_leaves_no_trace(cast: Cast) -> None:
    before = FeedRow.objects.count()
    told = ask(cast).json()
    assert told["start"]["middle"] == 1389
    assert told["start"]["sure"] > 1389
    assert {one["from"] for one in told["start"]["stages"]} == {"practice"}
    days = {one["act"]: one for one in told["days"]}
    # 26 weeks, 182 days, for nine of ten batches; six weeks of toughening.
    assert (days["sow"]["on"], days["sow"]["until"]) == ("2032-04-06", "2032-05-14")
    assert days["toughen"]["on"] == "2032-08-24"
    assert not days["sow"]["past"]
    assert told["missing"] == ["pot", "inspection"]
    assert FeedRow.objects.count() == before


@pytest.mark.usefixtures("cacao")
def test_forward_from_a_release_it_says_the_first_day_after_toughening(cast: Cast) -> None:
    told = ask(cast, release="2032-10-01").json()
    days = {one["act"]: one["on"] for one in told["days"]}
    assert days == {"toughen": "2032-10-01", "ready": "2032-11-12", "plant": "2032-11-12"}


def test_a_crop_without_a_profile_says_so(cast: Cast) -> None:
    told = ask(cast, crop="never-heard").json()
    assert told["missing"] == ["profile", "program", "pot", "inspection"]
    assert [one["act"] for one in told["days"]] == ["plant"]


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"plants": 0}, "plants"),
        ({"certainty": 1}, "certainty"),
        ({"certainty": "nan"}, "certainty"),
        ({"last": "2032-10-01"}, "last"),
        ({"first": "0001-01-01"}, "last"),
        ({"lost": {"field": 2}}, "lost"),
        ({"first": "soon"}, "first"),
    ],
)
def test_what_cannot_be_is_named(cast: Cast, given: dict[str, Any], field: str) -> None:
    answer = ask(cast, **given)
    assert answer.status_code == 400
    assert answer.json()["params"]["field"] == field
