"""Ends of trainings and licences, as tables (rules O-1 to O-3)."""

from datetime import date

import pytest

from nursery.domain import people_ends
from nursery.domain.kinds.shape import Name
from nursery.domain.people_ends import Held, PaperKind
from nursery.domain.reference import Paper, Person, Role

TODAY = date(2031, 3, 3)
SPRAY = Paper(Name("spraying"), Name("L-7"), date(2029, 1, 1), date(2031, 3, 20))
ANA = Person(
    Name("p-1"),
    "Ana",
    Role.GROWER,
    trainings=(Paper(Name("hygiene"), until=date(2031, 3, 1)), Paper(Name("ladders"))),
    licences=(SPRAY,),
)


def test_ends_are_told_soonest_first_with_days_and_what_has_no_end_is_not() -> None:
    """Rule O-1."""
    found = people_ends.ends([ANA], TODAY)
    told = [(one.kind, one.what, one.days) for one in found]
    assert told == [(PaperKind.TRAINING, "hygiene", -2), (PaperKind.LICENCE, "spraying", 17)]
    assert found[1].as_json()["until"] == "2031-03-20"


@pytest.mark.parametrize(("within", "n"), [(16, 1), (17, 2), (None, 2)])
def test_what_lies_further_ahead_is_left_out(within: int | None, n: int) -> None:
    assert len(people_ends.ends([ANA], TODAY, within)) == n


def test_a_later_paper_takes_the_place_of_one_that_ended() -> None:
    later = Paper(Name(" Hygiene "), until=date(2033, 1, 1))
    earlier = Paper(Name("hygiene"), until=date(2020, 1, 1))
    person = Person(Name("p"), "P", Role.WORKER, trainings=(*ANA.trainings, later, earlier))
    assert [one.until for one in people_ends.ends([person], TODAY)] == [date(2033, 1, 1)]


@pytest.mark.parametrize(("since", "until"), [(date(2031, 3, 4), None), (None, date(2031, 3, 2))])
def test_who_does_not_work_here_is_passed_over(since: date | None, until: date | None) -> None:
    away = Person(Name("p"), "P", Role.WORKER, since=since, until=until, licences=(SPRAY,))
    assert people_ends.ends([away], TODAY) == []


@pytest.mark.parametrize(
    ("papers", "on", "held"),
    [
        ((), TODAY, (Held.MISSING, None)),
        ((SPRAY,), date(2031, 3, 20), (Held.IN_DATE, date(2031, 3, 20))),
        ((SPRAY,), date(2031, 3, 21), (Held.ENDED, date(2031, 3, 20))),
        ((SPRAY,), date(2028, 12, 31), (Held.NOT_YET, date(2029, 1, 1))),
        ((Paper(Name("any")),), TODAY, (Held.IN_DATE, None)),
    ],
)
def test_a_licence_is_in_date_up_to_its_last_day(
    papers: tuple[Paper, ...], on: date, held: tuple[Held, date | None]
) -> None:
    """Rule O-2."""
    assert people_ends.licence(Person(Name("p"), "P", Role.WORKER, licences=papers), on) == held


def test_a_training_is_asked_for_by_its_name() -> None:
    """Rule O-3."""
    assert people_ends.training(ANA, "HYGIENE", TODAY) == (Held.ENDED, date(2031, 3, 1))
    assert people_ends.training(ANA, "fire", TODAY) == (Held.MISSING, None)
    assert [(one["what"], one["in_date"]) for one in people_ends.papers(ANA, TODAY)] == [
        ("hygiene", False),
        ("ladders", True),
        ("spraying", True),
    ]
