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


@pytest.mark.parametrize(
    ("licence", "told"),
    [
        (None, "Soap, licence L-7, no licence in date in the book on 17 MAY"),
        (
            {"what": "Spraying", "number": "L-7", "until": "2032-05-17"},
            "Soap, licence L-7, in date on that day: Spraying L-7, until MON 17 MAY",
        ),
        (
            {"what": "Spraying", "number": None, "until": None},
            "Soap, licence L-7, in date on that day: Spraying, without an end",
        ),
    ],
)
def test_a_treatment_says_which_licence_was_good_on_its_day(
    licence: dict[str, str | None] | None, told: str
) -> None:
    that_day = {"on": "2032-05-17", "licence": licence}
    body = {"product": "Soap", "licence": "L-7", "licence_that_day": that_day}
    assert tell("treated", body, voice("en")) == told
