"""The vectors of planting days are what the office says; the phone's twin is held to them."""

from nursery.domain.planting import Colour
from tests.domain import afield_scenes
from tests.domain.planting_scenes import FILE, scenes, text


def test_the_stored_vectors_are_what_the_office_says_now() -> None:
    assert FILE.read_text(encoding="utf-8") == text(), "python -m tests.domain.planting_scenes"


def test_the_scenes_have_every_colour_of_every_check_that_has_it() -> None:
    seen = {(one["what"], one["colour"]) for scene in scenes() for one in scene["checks"]}
    graded = {"soil", "outlook", "dry_spell", "toughened", "heat", "days_left"}
    assert seen >= {(what, colour.value) for what in graded for colour in Colour}
    assert {what for what, colour in seen if colour == "go"} == {what for what, _ in seen}
    assert {one["all"] for scene in scenes() for one in scene["verdicts"]} == set(Colour)


def test_the_stored_days_of_phones_are_what_the_office_says_now() -> None:
    assert afield_scenes.FILE.read_text(encoding="utf-8") == afield_scenes.text(), (
        "python -m tests.domain.afield_scenes"
    )
