"""Every code that a clock, a gate, a notice or a check gives has a sentence in every language."""

import ast
import json
import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

import nursery
from nursery.domain import outlook, terms
from nursery.domain.gate import Act
from tests.domain.house import day_1, day_2, day_3, instant
from tests.domain.test_laws_of_holds import FEWER, NOW, Told, house_of, stories

DOMAIN = Path(nursery.__file__).parent / "domain"
WORDS = {
    file.stem: json.loads(file.read_text(encoding="utf-8"))
    for file in sorted((Path(nursery.__file__).parent / "words").glob("*.json"))
}
# What stands in a code that is put together, and what it may be.
PUT_TOGETHER = {
    "held_by_{}": ("order", "place_order", "ground_order", "find", "breach"),
    "traps_short_by_{}": tuple(area.value for area in terms.Area),
}
# Codes that are picked between two, or that are named after how a clock began.
CHOSEN: tuple[str, ...] = (
    "not_released",
    "not_released_no_day",
    "held_provisionally",
    "short",
    "over",
)
CHOSEN += ("free_to_enter", "free_to_accept", "free_to_empty")
BEGUN = ("inspected", "inspection_too_old", "arrived", "opened")


def calls(name: str) -> Iterator[ast.Call]:
    for file in sorted(DOMAIN.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            func = getattr(node, "func", None)
            if isinstance(node, ast.Call) and name in (
                getattr(func, "id", ""),
                getattr(func, "attr", ""),
            ):
                yield node


def codes(name: str, position: int) -> set[str]:
    """Return the codes that the domain gives to a class, as they stand in its source."""
    given_as = [call.args[position] for call in calls(name) if len(call.args) > position]
    return {str(code.value) for code in given_as if isinstance(code, ast.Constant)}


def kinds_of_checks() -> set[str]:
    named = [one.value for call in calls("Check") for one in call.keywords if one.arg == "kind"]
    return {str(value.value) for value in named if isinstance(value, ast.Constant)}


REASONS = codes("Reason", 0) | codes("Gate", 1) | codes("Notice", 0) | {*CHOSEN, *BEGUN}
REASONS |= {form.format(word) for form, some in PUT_TOGETHER.items() for word in some}


def test_the_codes_are_found() -> None:
    assert {"days_to_go", "when_lifted", "paper_over_permit", "growing_days"} <= REASONS
    assert "look_elsewhere" in kinds_of_checks()


@pytest.mark.parametrize("language", WORDS)
def test_every_reason_has_a_sentence(language: str) -> None:
    assert [code for code in sorted(REASONS) if f"reason.{code}" not in WORDS[language]] == []


@pytest.mark.parametrize("language", WORDS)
def test_every_check_and_every_act_has_a_name(language: str) -> None:
    names = {f"check.{kind}" for kind in kinds_of_checks()} | {f"act.{act.value}" for act in Act}
    assert names - set(WORDS[language]) == set()


def unsaid(made: dict[str, Any]) -> list[str]:
    """Return what sentences of an outlook need, and are not given."""
    found = []
    for code, params in said(made):
        assert code in REASONS
        for words in WORDS.values():
            sentence = words[f"reason.{code}"]
            forms = [sentence] if isinstance(sentence, str) else sentence.values()
            needed = {hole for form in forms for hole in re.findall(r"\{(\w+)", form)}
            found += [f"{code}: {hole}" for hole in needed if params.get(hole) is None]
    return found


def said(made: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every reason of an outlook, however deep it lies; doubts have words of their own."""
    if isinstance(made, dict):
        code = made.get("reason", made.get("code"))
        if isinstance(code, str) and isinstance(made.get("params"), dict) and "weight" not in made:
            yield code, made["params"]
        for inner in made.values():
            if inner is not made.get("params"):
                yield from said(inner)
    elif isinstance(made, list):
        for inner in made:
            yield from said(inner)


STORY = {"day 1": (day_1, "2031-03-03 12:00"), "day 2": (day_2, "2031-03-24 12:00")}
STORY["day 3"] = (day_3, "2031-05-04 07:30")


@pytest.mark.parametrize(("tell", "at"), STORY.values(), ids=STORY.keys())
def test_every_sentence_of_the_story_is_given_what_it_says(tell: Any, at: str) -> None:
    made = outlook.compose(tell().book(), instant(at))
    assert [code for code, _ in said(made)] != []
    assert unsaid(made) == []


@FEWER
@given(stories)
def test_every_sentence_is_given_what_it_says(story: list[Told]) -> None:
    book = house_of(story).book()
    for now in (NOW, NOW + timedelta(days=200)):
        assert unsaid(outlook.compose(book, now)) == []
