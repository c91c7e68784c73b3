"""What a record says on paper beyond its kind, as the inspector reads it in the annex."""

import pytest

from nursery.paper.telling import Voice
from nursery.paper.tellings import tell
from nursery.services.word_forms import House

CHECKS = ["pots_full", "nurse_row:terrace-5"]


def voice(language: str) -> Voice:
    return Voice(language, House(), {"place": {"terrace-5": "TR5"}})


@pytest.mark.parametrize(
    ("language", "told"),
    [
        ("en", "plant: the rains hold, FRI 12 MAR, Full pots, Shelter row, TR5"),
        ("es", "plantar: the rains hold, VI 12 MAR, Macetas llenas, Hilera de abrigo, TR5"),
    ],
)
def test_a_signature_names_the_day_and_each_check_that_it_signs_away(
    language: str, told: str
) -> None:
    body = {"act": "planting", "reason": "the rains hold", "checks": CHECKS, "on": "2032-03-12"}
    assert tell("signed", body, voice(language)) == told


def test_a_signature_of_another_act_names_no_check() -> None:
    body = {"act": "planting", "reason": "agreed with P", "plants": 4}
    assert tell("signed", body, voice("en")) == "plant: agreed with P, 4 plants"
