"""Every condition that a permit can state has words, the same on paper as on the phone."""

import json
import re
from typing import Any

import pytest

from nursery.domain.terms import RULES
from nursery.paper import release_terms
from nursery.paper.telling import Voice
from nursery.services import templates, words
from nursery.services.word_forms import House
from tests.steps import ROOT

VECTORS = json.loads((ROOT / "tests/vectors/terms.json").read_text())
MARKS = {"en": ".", "es": ","}


def voice(language: str) -> Voice:
    return Voice(language, House(mark=MARKS[language]), {})


@pytest.mark.parametrize("language", words.languages())
@pytest.mark.parametrize("case", VECTORS, ids=[one["rule"] for one in VECTORS])
def test_a_condition_is_said_as_on_the_phone(case: dict[str, Any], language: str) -> None:
    rule, says = case["rule"], case["says"]
    told = [
        release_terms.title_of(rule, voice(language)),
        release_terms.said_by(rule, says, voice(language)),
    ]
    assert told == case["said"][language]


def test_the_examples_have_every_rule_and_its_fields_as_they_are() -> None:
    assert {one["rule"] for one in VECTORS} == set(RULES)
    shapes = {one["rule"]: one["fields"] for one in templates.every()["rules"]}
    assert all(one["fields"] == shapes[one["rule"]] for one in VECTORS)


@pytest.mark.parametrize("language", words.languages())
def test_every_field_of_every_rule_has_a_sentence_of_its_own(language: str) -> None:
    """So none is told by its code, whatever somebody types."""
    missing = [
        f"{one['rule']}.{field['name']}"
        for one in templates.every()["rules"]
        for field in one["fields"]
        if not any(
            words.has(language, f"rule_part.{of}{field['name']}") for of in (f"{one['rule']}.", "")
        )
    ]
    assert missing == []
    assert all(words.has(language, f"rule.{rule}") for rule in RULES)


@pytest.mark.parametrize("language", words.languages())
def test_every_condition_of_the_templates_is_said_without_a_code(language: str) -> None:
    for template in templates.every()["items"]:
        for term in template["terms"]:
            told = release_terms.said_by(term["rule"], term["says"], voice(language))
            assert told
            assert not re.findall(r"[{}_]", told), (term, told)


def test_a_rule_of_a_later_version_is_told_as_it_stands() -> None:
    told = release_terms.said_by("moon_phase", {"least_light": 3}, voice("en"))
    assert told == "moon phase, least light: 3"
    assert release_terms.title_of("moon_phase", voice("en")) == "Another condition"
