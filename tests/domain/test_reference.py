"""Rows of reference data: what a row must say, and what no row may say."""

from datetime import date
from typing import Any

import pytest

from nursery.domain import reference
from nursery.domain.errors import Refusal
from nursery.domain.reference import PlaceKind, Role, TrapAt

DAYS = {
    "id": "days",
    "rule": "growing_days",
    "says": {"days": 180},
    "since": "2031-01-01",
    "source": "CQ-118, condition 1",
}

SOUND: dict[str, dict[str, Any]] = {
    "person": {
        "name": "Wara",
        "role": "worker",
        "language": "es",
        "tile": {"colour": "teal", "shape": "leaf"},
        "pin_hash": "ab" * 16,
        "pin_salt": "cd" * 8,
        "pin_rounds": 100_000,
        "since": "2030-01-01",
        "until": "2032-01-01",
    },
    "place": {
        "name": "Room 1",
        "kind": "room",
        "parent": "n",
        "short": "R1",
        "floor_m2": 24,
        "bench_m2": 15.0,
        "doors": 1,
        "vents": 2,
        "walk": 1,
    },
    "crop": {"name": "finger lime", "cultivar": "green pearl"},
    "program": {
        "name": "Six weeks",
        "steps": [{"id": "a", "shade_percent": 50}, {"id": "b", "shade_percent": 0, "wind": "lee"}],
        "source": "own",
        "limits": {"heat_c": 34},
        "crops": ["lime"],
    },
    "seed_lot": {
        "name": "Pods of May",
        "grams": 400,
        "seeds_per_kg": 900,
        "tested_on": "2031-05-02",
    },
    "site": {"latitude": -17, "soil": "clay", "rains": {"amount_mm": 25}, "cost_plant": 3.5},
    "layout": {
        "rows": [
            {"number": 1, "first": 1, "holes": 12, "path": [0, 0, 330, 0]},
            {"number": 2, "first": 1, "holes": 6, "stands": "shelter", "goes": 2},
        ],
        "in_row_m": 3.0,
        "meant": [{"batch": "t1", "first": 1, "last": 12}],
        "thinnings": [{"year": 2, "percent": 50}],
        "fill": "clusters",
    },
    "pest": {"name": "spiny blackfly", "code": "ALECSN", "hosts": ["citrus"]},
    "product": {
        "name": "Oil and soap",
        "active": "paraffin oil",
        "registration": "PR-2207",
        "reentry_hours": 12,
        "interval_days": 10,
        "litres_per_m2": 0.2,
        "per_litre": 1.5,
        "unit": "mL",
        "licensed": True,
        "cautions": "Harms bees.",
        "substances": [{"name": "paraffin oil", "dermal": 4, "eye": 3, "skin": 4}],
        "low_risk": True,
    },
    "permit": {
        "reference": "CQ-118",
        "holder": "Veshmere Terraces",
        "valid_from": "2031-01-01",
        "valid_to": "2032-12-31",
        "crops": ["finger-lime"],
        "place": "room-1",
        "terms": [DAYS],
    },
    "consignment": {
        "name": "PC-5521",
        "permit": "cq-118",
        "certificate": "PC-5521",
        "lines": [{"id": "1", "crop": "finger-lime", "stated": 324}],
    },
    "checklist": {
        "name": "weekly",
        "version": 2,
        "items": [
            {
                "id": "underside",
                "says": [{"language": "en", "text": "Under the leaves"}],
                "plants": 4,
            }
        ],
        "asked_at": "look_over",
    },
    "due_rule": {"term": DAYS, "places": ["room-1"]},
    "emergency_card": {"calls": [{"what": "plant_health", "number": "0 800 55"}]},
    "nursery": {
        "name": "Veshmere Terraces",
        "zone": "Etc/GMT-10",
        "languages": ["en", "es"],
        "decimal_mark": ",",
        "planting": [{"first": "10-01", "last": "11-15"}, {"first": "03-01", "last": "03-31"}],
        "label": {"width_mm": 60, "height_mm": 40, "stock": "roll"},
        "quick_minutes": 5,
        "rain_mm": 1180,
    },
}


@pytest.mark.parametrize("kind", reference.TYPES)
def test_each_type_of_row_is_read(kind: str) -> None:
    row = reference.read(kind, "a", SOUND[kind])
    assert (type(row), row.id) == (reference.TYPES[kind], "a")


def test_a_row_holds_values_and_not_texts() -> None:
    person = reference.read("person", "w1", SOUND["person"])
    assert isinstance(person, reference.Person)
    assert (person.role, person.since) == (Role.WORKER, date(2030, 1, 1))
    place = reference.read("place", "t", {"name": "A", "kind": "trap", "trap_at": "bench"})
    assert isinstance(place, reference.Place)
    assert (place.kind, place.trap_at, place.doors) == (PlaceKind.TRAP, TrapAt.BENCH, 0)
    permit = reference.read("permit", "p", SOUND["permit"])
    assert isinstance(permit, reference.Permit)
    assert permit.terms[0].as_json() == {**DAYS, "reaches_running": False}


def test_a_program_that_says_a_limit_no_longer_known_is_read_without_it() -> None:
    limits = {"heat_c": 34, "held_weeks": 4}
    program = reference.read("program", "x", {**SOUND["program"], "limits": limits})
    assert program == reference.read("program", "x", SOUND["program"])


def line(ident: str, stated: int | None) -> dict[str, Any]:
    return {"id": ident, "crop": "finger-lime", "stated": stated}


STATED = {
    "no lines": ([], None),
    "one line": ([line("1", 324)], 324),
    "two lines": ([line("1", 300), line("2", 24)], 324),
    "a line that does not say": ([line("1", 300), line("2", None)], None),
}


@pytest.mark.parametrize(("lines", "stated"), STATED.values(), ids=STATED.keys())
def test_a_certificate_states_a_figure_only_if_each_line_does(
    lines: list[dict[str, Any]], stated: int | None
) -> None:
    """Rule R-2."""
    row = reference.read("consignment", "c", {"name": "PC", "lines": lines})
    assert isinstance(row, reference.Consignment)
    assert row.stated == stated


WARM = {"lower_c": 10.0, "generation_dd": 300.0, "source": "own records"}

WRONG: dict[str, tuple[str, dict[str, Any], str, str]] = {
    "a program with less and then more shade": (
        "program",
        {"steps": [{"id": "a", "shade_percent": 0}, {"id": "b", "shade_percent": 50}]},
        "row_impossible",
        "steps",
    ),
    "a program without a name": ("program", {"name": " "}, "row_impossible", "name"),
    "a day of more than 24 hours of sun": (
        "program",
        {"steps": [{"id": "a", "shade_percent": 50, "sun_hours": 25}]},
        "row_impossible",
        "steps.sun_hours",
    ),
    "a check that nobody can do": (
        "program",
        {"steps": [{"id": "a", "shade_percent": 50, "checks": ["taste"]}]},
        "row_impossible",
        "steps.checks",
    ),
    "more scorched than there are": (
        "program",
        {"limits": {"scorch_share": 5}},
        "row_impossible",
        "limits.scorch_share",
    ),
    "a training without a name": (
        "person",
        {"name": "A", "role": "worker", "trainings": [{"what": " "}]},
        "row_impossible",
        "trainings.what",
    ),
    "a licence that ends before it begins": (
        "person",
        {
            "name": "A",
            "role": "worker",
            "licences": [
                {"what": "spraying", "since": "2031-03-01", "until": "2031-04-01"},
                {"what": "spraying", "since": "2031-03-01", "until": "2031-02-01"},
            ],
        },
        "row_impossible",
        "licences.until",
    ),
    "a bench that hangs at a position": (
        "place",
        {"name": "B", "kind": "bench", "hangs_at": "31"},
        "row_impossible",
        "hangs_at",
    ),
    "ends told too far ahead": (
        "nursery",
        {"name": "V", "zone": "UTC", "ends_days": 99_999},
        "row_impossible",
        "ends_days",
    ),
    "an access list that is kept for no month": (
        "nursery",
        {"name": "V", "zone": "UTC", "access_months": 0},
        "row_impossible",
        "access_months",
    ),
    "a trap that says nothing on the day it was read": (
        "nursery",
        {"name": "V", "zone": "UTC", "trap_late_days": 0},
        "row_impossible",
        "trap_late_days",
    ),
    **{
        f"a pest that develops with {field} {value!r}": (
            "pest",
            {"name": "P", "develops": {**WARM, field: value}},
            "row_impossible",
            f"develops.{field}",
        )
        for field, value in (
            *(("lower_c", -21.0), ("upper_c", 9.0), ("upper_c", 61.0)),
            *(("generation_dd", 0.5), ("source", " ")),
        )
    },
    "a seed lot without a name": ("seed_lot", {"name": " "}, "row_impossible", "name"),
    "more than all of the seed comes up": (
        "seed_lot",
        {"germination_percent": 101},
        "row_impossible",
        "germination_percent",
    ),
    "seed that is over before it came": (
        "seed_lot",
        {"since": "2031-05-02", "until": "2031-05-01"},
        "row_impossible",
        "until",
    ),
    "a site beyond the pole": ("site", {"latitude": 91}, "row_impossible", "latitude"),
    "rains without rain": (
        "site",
        {"rains": {"amount_mm": 0}},
        "row_impossible",
        "rains.amount_mm",
    ),
    "a level that no probe meets": (
        "site",
        {"planting": {"wet_to_cm": 400}},
        "row_impossible",
        "planting.wet_to_cm",
    ),
    "a no-go that is cooler than go": (
        "site",
        {"planting": {"heat_no_c": 31}},
        "row_impossible",
        "planting.heat_no_c",
    ),
    "a probe that may be drier to go than to wait": (
        "site",
        {"planting": {"wet_wait_cm": 21}},
        "row_impossible",
        "planting.wet_to_cm",
    ),
    "a share of more than all": (
        "site",
        {"planting": {"dry_spell_no": 50}},
        "row_impossible",
        "planting.dry_spell_no",
    ),
    "a level that is a word": (
        "site",
        {"planting": {"heat_go_c": "hot"}},
        "row_unreadable",
        "planting.heat_go_c",
    ),
    "a profile that is none": ("crop", {"profile": {"id": "x"}}, "row_lacks", "profile.name"),
    "a profile that is a text": ("crop", {"profile": "x"}, "row_unreadable", "profile"),
    "a person without a role": ("person", {"role": None}, "row_lacks", "role"),
    "a role that is none": ("person", {"role": "boss"}, "row_unreadable", "role"),
    "a tile without a shape": ("person", {"tile": {"colour": "red"}}, "row_lacks", "tile.shape"),
    "a PIN without its salt": ("person", {"pin_salt": None}, "row_impossible", "pin_salt"),
    "a person gone before they came": (
        "person",
        {"until": "2029-01-01"},
        "row_impossible",
        "until",
    ),
    "a place inside itself": ("place", {"parent": "a"}, "row_impossible", "parent"),
    "a place gone before it was": (
        "place",
        {"since": "2031-01-01", "until": "2030-01-01"},
        "row_impossible",
        "until",
    ),
    "a room that hangs at a vent": ("place", {"trap_at": "vent"}, "row_impossible", "trap_at"),
    "a floor of nothing": ("place", {"floor_m2": 0}, "row_unreadable", "floor_m2"),
    "a floor in words": ("place", {"floor_m2": "24"}, "row_unreadable", "floor_m2"),
    "a code of four letters": ("pest", {"code": "ALEC"}, "row_unreadable", "code"),
    "a code in small letters": ("pest", {"code": "alecsn"}, "row_unreadable", "code"),
    "a permit that ended before it began": (
        "permit",
        {"valid_to": "2030-01-01"},
        "row_impossible",
        "valid_to",
    ),
    "two terms of one id": ("permit", {"terms": [DAYS, DAYS]}, "row_impossible", "terms"),
    "a term of no known rule": (
        "permit",
        {"terms": [DAYS, {**DAYS, "rule": "wishes"}]},
        "term_unreadable",
        "rule",
    ),
    "a term that no calendar holds": (
        "permit",
        {"terms": [{**DAYS, "says": {"days": 100_000}}]},
        "term_unreadable",
        "says.days",
    ),
    "a term that is no object": ("permit", {"terms": [5]}, "term_unreadable", "term"),
    "an own rule that nothing can meet": (
        "due_rule",
        {"term": {**DAYS, "rule": "look_over", "says": {"every_days": 0}}},
        "term_unreadable",
        "says.every_days",
    ),
    "an own rule that is none": ("due_rule", {"term": None}, "row_lacks", "term"),
    "terms that are no list": ("permit", {"terms": {}}, "row_unreadable", "terms"),
    "a permit where there are no conditions": (
        "consignment",
        {"without_conditions": True},
        "row_impossible",
        "without_conditions",
    ),
    "two lines of one id": (
        "consignment",
        {"lines": [line("1", 1), line("1", 2)]},
        "row_impossible",
        "lines",
    ),
    "a product that lets people in before its end": (
        "product",
        {"reentry_hours": -1},
        "row_impossible",
        "reentry_hours",
    ),
    "a product of which nothing is used": (
        "product",
        {"litres_per_m2": 0},
        "row_impossible",
        "litres_per_m2",
    ),
    "a product of which nothing is in the mix": (
        "product",
        {"per_litre": 0},
        "row_impossible",
        "per_litre",
    ),
    "a product in drops": ("product", {"unit": "drops"}, "row_unreadable", "unit"),
    "a product without a name": ("product", {"name": " "}, "row_impossible", "name"),
    "a product whose name no record holds": (
        "product",
        {"name": "x" * 65},
        "row_impossible",
        "name",
    ),
    "a product that shuts a room for ever": (
        "product",
        {"reentry_hours": 1e12},
        "row_impossible",
        "reentry_hours",
    ),
    "a product for once in a life": (
        "product",
        {"interval_days": 36_526},
        "row_impossible",
        "interval_days",
    ),
    "a product in a category that there is not": (
        "product",
        {"substances": [{"name": "oil", "eye": 5}]},
        "row_impossible",
        "substances.eye",
    ),
    "a product in a category before the first": (
        "product",
        {"substances": [{"name": "oil", "oral": 0}]},
        "row_impossible",
        "substances.oral",
    ),
    "a product with one substance twice": (
        "product",
        {"substances": [{"name": "oil"}, {"name": "Oil"}]},
        "row_impossible",
        "substances",
    ),
    "a product with a substance of no name": (
        "product",
        {"substances": [{"dermal": 1}]},
        "row_unreadable",
        "substances.name",
    ),
    "a poisonous product of low risk": (
        "product",
        {"substances": [{"name": "oil", "dermal": 2}]},
        "row_impossible",
        "low_risk",
    ),
    "a product that was over before it began": (
        "product",
        {"since": "2031-03-01", "until": "2031-02-01"},
        "row_impossible",
        "until",
    ),
    "a nursery under the sea": ("nursery", {"rain_mm": 30_001}, "row_impossible", "rain_mm"),
    "a checklist of nothing": ("checklist", {"items": []}, "row_impossible", "items"),
    "a checklist for nothing that is done": (
        "checklist",
        {"asked_at": "departure"},
        "row_unreadable",
        "asked_at",
    ),
    "an item that half a plant is looked at for": (
        "checklist",
        {"items": [{"id": "a", "says": [], "plants": 0.5}]},
        "row_unreadable",
        "items.plants",
    ),
    "a floor below nothing": ("nursery", {"quick_minutes": -1}, "row_unreadable", "quick_minutes"),
    "a checklist that asks twice": (
        "checklist",
        {"items": [{"id": "a", "says": []}, {"id": "a", "says": []}]},
        "row_impossible",
        "items",
    ),
    "a pest without a name": ("pest", {"name": " "}, "row_impossible", "name"),
    "a pest called nothing in a language": (
        "pest",
        {"called": [{"language": "es", "text": " "}]},
        "row_impossible",
        "called.text",
    ),
    "a crop in a pot of no name": (
        "crop",
        {"pots": [{"container": " ", "source": "house rules"}]},
        "row_impossible",
        "pots.container",
    ),
    "a checklist without a name": ("checklist", {"name": " "}, "row_impossible", "name"),
    "an item in no words": (
        "checklist",
        {"items": [{"id": "a", "says": []}]},
        "row_impossible",
        "items.says",
    ),
    "a zone on no map": ("nursery", {"zone": "Orrin/Veshmere"}, "row_unreadable", "zone"),
    "a zone that climbs out of its folder": (
        "nursery",
        {"zone": "../UTC"},
        "row_unreadable",
        "zone",
    ),
    "a zone that is a number": ("nursery", {"zone": 10}, "row_unreadable", "zone"),
    "no language": ("nursery", {"languages": []}, "row_impossible", "languages"),
    "weeks from a leap day": (
        "nursery",
        {"planting": [{"first": "02-29", "last": "03-31"}]},
        "row_unreadable",
        "planting.first",
    ),
    "weeks from a number": (
        "nursery",
        {"planting": [{"first": 3, "last": "03-31"}]},
        "row_unreadable",
        "planting.first",
    ),
}


@pytest.mark.parametrize(("kind", "other", "code", "field"), WRONG.values(), ids=WRONG.keys())
def test_a_row_that_says_the_impossible_is_turned_down_by_name(
    kind: str, other: dict[str, Any], code: str, field: str
) -> None:
    """Rules R-1 and R-3."""
    with pytest.raises(Refusal) as refused:
        reference.read(kind, "a", SOUND[kind] | other)
    params = refused.value.params
    assert (refused.value.code, params["what"], params["id"]) == (code, kind, "a")
    assert params["field"] == field


def test_a_row_with_no_fit_id_is_turned_down_with_the_id() -> None:
    with pytest.raises(Refusal) as refused:
        reference.read("crop", "", {"name": "lime"})
    assert refused.value.params == {"what": "crop", "id": "", "field": "id", "value": ""}


def test_a_long_value_is_shortened_in_the_answer() -> None:
    with pytest.raises(Refusal) as refused:
        reference.read("person", "a", {"name": "x", "role": "x" * 100})
    assert refused.value.params["value"] == "x" * 59 + "…"


@pytest.mark.parametrize("raw", [None, [], "row", 5])
def test_what_is_no_object_is_no_row(raw: object) -> None:
    with pytest.raises(Refusal) as refused:
        reference.read("crop", "a", raw)
    assert (refused.value.code, refused.value.params["field"]) == ("row_unreadable", "body")


def test_a_type_that_the_book_does_not_keep_is_named() -> None:
    with pytest.raises(Refusal) as refused:
        reference.read("weather", "a", {})
    assert (refused.value.code, refused.value.params) == ("row_unknown", {"what": "weather"})


def test_a_nursery_has_a_floor_for_a_quick_look_only_where_it_says_one() -> None:
    """Rule R-5."""
    plain = {key: value for key, value in SOUND["nursery"].items() if key != "quick_minutes"}
    with_floor = reference.read("nursery", "a", SOUND["nursery"])
    without = reference.read("nursery", "a", plain)
    assert isinstance(with_floor, reference.Nursery)
    assert isinstance(without, reference.Nursery)
    assert (with_floor.quick_minutes, without.quick_minutes) == (5, None)


def test_of_several_conditions_the_one_at_fault_is_named_with_what_it_says() -> None:
    """Rule R-6."""
    wrong = {**DAYS, "id": "too-long", "says": {"days": 100_000}}
    with pytest.raises(Refusal) as refused:
        reference.read("permit", "p", SOUND["permit"] | {"terms": [DAYS, wrong]})
    assert refused.value.params == {
        "what": "permit",
        "id": "p",
        "term": "too-long",
        "field": "says.days",
        "value": "100000",
    }
