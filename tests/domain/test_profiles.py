"""Crop profiles that growers start from (rules X-1 to X-3)."""

import json
from importlib import resources
from typing import Any

import pytest

from nursery.domain import profiles
from nursery.domain.profiles import Amiss, Figure, Profile
from nursery.domain.reference.fields import PEST_CODE
from nursery.domain.season_sheet import growth


def shipped() -> list[dict[str, Any]]:
    text = resources.files("nursery.domain.reference").joinpath("crops.json").read_text("utf-8")
    found: list[dict[str, Any]] = json.loads(text)
    return found


EVERY = [profiles.read(raw) for raw in shipped()]


def changed(**given: Any) -> Profile:
    return profiles.read({**shipped()[0], **given})


def test_thirteen_crops_are_shipped_under_names_of_their_own() -> None:
    assert len({one.id for one in EVERY}) == len(EVERY) == 13


def test_every_smallest_size_that_a_profile_may_ask_can_be_measured_on_a_plant() -> None:
    assert {*growth.MEASURES} == {*profiles.MEASURES}
    [vanilla] = [one for one in EVERY if one.id == "vanilla"]
    asked = {name: of.low for name, of in vanilla.least.items()}
    assert growth.Growth({}, asked, growth.NOT_ENOUGH).asked == {"height_cm": 60, "nodes": 6}


@pytest.mark.parametrize("profile", EVERY, ids=lambda one: one.id)
def test_each_is_whole(profile: Profile) -> None:
    assert {*profile.name} == {"en", "es"}
    assert all(pest.code is None or PEST_CODE.fullmatch(pest.code) for pest in profile.pests)
    assert profile.from_memory > 0
    assert profile.container in ("pot", "air_pot", "bag", "tray")
    assert len(profile.water_days) == len(profile.shade)
    assert {"growth_from", "growth_to"} <= {*profile.warmth_c}
    program = profile.program()
    assert [step.shade_percent for step in program.steps] == [*profile.shade]
    assert all(step.days >= 5 for step in program.steps)
    waits = [step.water_every_days for step in program.steps]
    assert waits == [figure.middle for figure in profile.water_days]


def test_avocado_is_as_the_trade_has_it() -> None:
    # The trade's list of crops, row 1: 50 -> 30 -> 0 % over 6 to 8 weeks, stem of 8 mm, 2 flushes.
    [avocado] = [one for one in EVERY if one.id == "avocado"]
    assert avocado.least["collar_mm"].low == 8
    assert avocado.least["flushes"] == Figure(2, None, "farming magazine on avocado, part 3")
    assert [(s.shade_percent, s.days) for s in avocado.program().steps] == [
        (50, 21),
        (30, 21),
        (0, 21),
    ]
    assert avocado.program().steps[-1].wind == "exposed"
    assert avocado.nursery_weeks.middle == 50


@pytest.mark.parametrize(
    ("crop", "checks", "feeds"),
    [
        # The trade's table of weeks; common practice, no source.
        (
            "coffee",
            [(), ("scorch", "roots"), ("scorch", "wilt"), ("scorch", "roots", "pests")],
            ["as_before", "no_nitrogen", "no_feed", "no_feed"],
        ),
        ("citrus", [(), ("scorch", "roots", "pests")], ["as_before", "no_feed"]),
        ("vanilla", [()], [None]),
    ],
)
def test_a_program_asks_at_each_step_what_the_trade_asks(
    crop: str, checks: list[tuple[str, ...]], feeds: list[str | None]
) -> None:
    """Rule U-12."""
    [profile] = [one for one in EVERY if one.id == crop]
    steps = profile.program().steps
    assert [step.checks for step in steps] == checks
    assert [step.feed for step in steps] == feeds


@pytest.mark.parametrize(
    ("crop", "warmth", "tropical", "cold"),
    [
        # The crop's own cold where it is known, else the usual one, and none for cold lands.
        ("coffee", None, True, 4),
        ("banana", None, True, 12),
        ("avocado", None, True, 8),
        ("apple", None, False, 8),
        ("native_conifer", None, False, 8),
        ("apple", {}, True, 8),
        ("apple", {"growth_from": {"low": 5}, "chill_below": {"low": 2}}, True, 2),
    ],
)
def test_a_program_stops_for_the_cold_that_hurts_the_crop(
    crop: str, warmth: dict[str, Any] | None, tropical: bool, cold: float
) -> None:
    """Rule U-12."""
    [raw] = [one for one in shipped() if one["id"] == crop]
    profile = profiles.read(raw if warmth is None else {**raw, "warmth_c": warmth})
    limits = profile.program().limits
    assert (limits.tropical, limits.cold_c) == (tropical, cold)


def test_a_figure_without_a_range_is_its_own_middle() -> None:
    assert Figure(3).middle == 3


@pytest.mark.parametrize(
    ("given", "field", "says"),
    [
        ({"made_by": "magic"}, "made_by", "made_by"),
        ({"made_by": None}, "made_by", "missing"),
        ({"botanical": "  "}, "botanical", "characters"),
        ({"name": {"en": 3}}, "name", "characters"),
        ({"least": {}}, "least", "least"),
        ({"least": {"weight_kg": {"low": 1}}}, "least", "least"),
        ({"least": {"height_cm": {"low": "tall"}}}, "least.height_cm", "number"),
        ({"shade": [30, 50]}, "shade", "shadiest"),
        ({"shade": []}, "shade", "at least one"),
        ({"shade": ["dark"]}, "shade", "numbers"),
        ({"shade_own": 1}, "shade_own", "true or false"),
        ({"water_days": [{"low": 1}]}, "water_days", "each shade"),
        ({"water_days": [{"low": 1}, {"low": -1}]}, "water_days.1", "0 or more"),
        ({"warmth_c": {"frost": {"low": 1}}}, "warmth_c", "warmth_c"),
        (
            {"warmth_c": {"growth_from": {"low": 30}, "growth_to": {"low": 20}}},
            "warmth_c",
            "rise",
        ),
        ({"stages": {"waiting": {"low": 1}}}, "stages", "stages"),
        ({"spacing_m": [[{"low": 1}, {"high": 2}]]}, "spacing_m.0.1", "low"),
        ({"spacing_m": [[{"low": 1}]]}, "spacing_m", "unpack"),
        ({"pests": [{"code": "X"}]}, "pests", "name"),
        ({"growth": {"height_cm": {"ages_days": [0]}}}, "growth.height_cm", "mean"),
        ({"litres": {"low": 3, "high": 2}}, "litres", "rise"),
        ({"litres": {"low": -1}}, "litres", "0 or more"),
        ({"litres": {"low": 1, "source": " "}}, "litres", "source"),
        ({"litres": {"low": 1, "weight": 2}}, "litres", "weight"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(
    given: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(Amiss, match=says) as amiss:
        changed(**given)
    assert amiss.value.field == field


def test_a_figure_that_a_grower_changed_is_their_own_and_no_longer_from_memory() -> None:
    before = changed()
    after = changed(
        litres={"low": 6, "high": None, "source": None, "own": True},
        shade=[60, 30, 0],
        shade_own=True,
    )
    assert after.litres == Figure(6, own=True)
    assert after.from_memory == before.from_memory - 2


def test_a_curve_that_nobody_typed_is_from_memory() -> None:
    least = {"height_cm": {"low": 45}, "flushes": {"low": 2}, "leaves": {"low": 0}}
    before = changed(least=least)
    assert before.usual_curves == ("height_cm", "flushes")
    curve = {"ages_days": [0, 200], "mean": [2, 45], "spread": [1, 6], "error": 0.7}
    after = changed(least=least, growth={"height_cm": curve})
    assert after.usual_curves == ("flushes",)
    assert after.from_memory == before.from_memory - 1
