"""The vectors of "may I?" are what the office answers; the phone's twin is held to them."""

from typing import Any

import pytest

from nursery.domain.gate import WORSE, Answer
from tests.domain.gate_scenes import FILE, scenes, text

SCENES = list(scenes())


def test_the_stored_vectors_are_what_the_office_says_now() -> None:
    assert FILE.read_text(encoding="utf-8") == text(), "python -m tests.domain.gate_scenes"


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene["name"])
def test_a_phone_is_never_bolder_than_the_office(scene: dict[str, Any]) -> None:
    for asked in scene["asked"]:
        phone, office = Answer(asked["phone"]), Answer(asked["office"]["answer"])
        assert WORSE[phone] >= WORSE[office]


def test_the_scenes_have_every_answer() -> None:
    asked = [one for scene in SCENES for one in scene["asked"]]
    assert {one["phone"] for one in asked} == {answer.value for answer in Answer}
    assert any(one["office"]["opens_at"] for one in asked)
