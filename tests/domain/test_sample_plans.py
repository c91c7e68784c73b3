"""Sample plans against ISPM 31, and what is said where no sample does."""

import json
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import sample_plans, terms

PUBLISHED = Path(__file__).parents[1] / "science/published/sampling.json"
TABLE = [
    (case["inputs"]["lot_size"], float(share[:-1]) / 100, case["inputs"]["confidence"], wanted)
    for case in json.loads(PUBLISHED.read_text(encoding="utf-8"))
    if case["id"].startswith("ispm31-t1")
    for share, wanted in case["expected"].items()
]


def level(**says: Any) -> terms.SampleLevel:
    whole = {"at": "inspection", "prevalence": 0.05, "confidence": 0.95, **says}
    raw = {"id": "l", "rule": "sample_level", "says": whole, "since": "2030-01-01", "source": "x"}
    rule = terms.read(raw).rule
    assert isinstance(rule, terms.SampleLevel)
    return rule


def test_the_table_of_the_standard_is_there() -> None:
    assert len(TABLE) > 150


@pytest.mark.parametrize(("lot", "prevalence", "confidence", "wanted"), TABLE)
def test_a_plan_is_that_of_ispm_31(
    lot: int, prevalence: float, confidence: float, wanted: int | None
) -> None:
    """Rule C-10; a blank of the table is below one plant, and then all are looked at."""
    plan = sample_plans.plan(lot, level(prevalence=prevalence, confidence=confidence))
    assert plan.to_notice == wanted
    assert plan.number == (lot if wanted is None else wanted)
    assert plan.why.code == ("sample_cannot_reach" if wanted is None else "sample_some")


def test_all_plants_as_the_permit_says_though_fewer_would_show_it() -> None:
    """The story, day 7: 53 would find 5 % with 95 % confidence, but the permit says all 241."""
    plan = sample_plans.plan(241, level(all_plants=True))
    assert plan.as_json() == {
        "lot": 241,
        "number": 241,
        "to_notice": 53,
        "why": {
            "code": "sample_all_though",
            "params": {"lot": 241, "percent": 5.0, "confidence": 95.0, "seen": 53},
        },
    }


def test_all_plants_without_a_level() -> None:
    plan = sample_plans.plan(241, level(all_plants=True, prevalence=None, confidence=None))
    assert (plan.number, plan.to_notice, plan.why.code) == (241, None, "sample_all")


def test_eyes_that_miss_some_look_at_more() -> None:
    sharp, tired = (sample_plans.plan(241, level(efficacy=how)).number for how in (1.0, 0.8))
    assert tired > sharp
