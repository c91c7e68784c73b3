"""What the book knows for a plan worked back from the field (rules Y-1, Y-3)."""

from typing import Any

import pytest

from nursery.domain import backward_book
from nursery.domain.backward import BEFORE, NURSERY, TAKE, Known
from nursery.services import templates
from tests.domain.house import House, day

TODAY = day("2031-07-30")
CACAO = next(one for one in templates.crop_profiles() if one["id"] == "cacao")
STEPS = [
    {"id": "one", "shade_percent": 50, "days": 9},
    {"id": "two", "shade_percent": 0, "days": 5},
]


def crop(**given: Any) -> House:
    made = House()
    made.row("crop", "cacao", {"name": "Cacao", "profile": CACAO, **given})
    return made


def known(house: House, permit: str | None = None) -> Known:
    return backward_book.known("cacao", permit, house.book(), TODAY)


def program(house: House, **given: Any) -> None:
    usual = {"name": "Own", "source": "own", "steps": STEPS, "crops": ["cacao"]}
    house.row("program", "p", {**usual, **given})


def test_a_crop_that_nobody_described_is_not_known() -> None:
    assert known(House()) == Known(None)


@pytest.mark.parametrize(
    ("given", "days"),
    [
        # 70, 50 and 30 % over four weeks: three steps of a fortnight.
        (None, 42),
        ({}, 14),
        ({"crops": ["tea"]}, 42),
        ({"until": "2031-07-29"}, 42),
        ({"until": "2031-07-30"}, 14),
    ],
)
def test_the_nurserys_own_program_comes_before_the_profiles(
    given: dict[str, Any] | None, days: int
) -> None:
    house = crop()
    if given is not None:
        program(house, **given)
    assert known(house).toughening_days == days


def test_what_needs_no_toughening_has_no_days() -> None:
    none = {**CACAO, "toughening_weeks": {"low": 0}, "shade": [50], "water_days": []}
    assert known(crop(profile=none)).toughening_days is None


@pytest.mark.parametrize(
    ("pots", "days"),
    [
        ([], None),
        ([{"container": "tray", "source": "s", "full_days": 60}], 60),
        (
            [
                {"container": "tray", "source": "s", "full_days": 60},
                {"container": "bag", "source": "s", "full_days": 150},
            ],
            150,
        ),
        ([{"container": "bag", "source": "s"}], None),
    ],
)
def test_pots_are_full_as_the_usual_container_is(
    pots: list[dict[str, Any]], days: int | None
) -> None:
    assert known(crop(pots=pots)).full_days == days


def test_the_last_look_holds_as_long_as_the_permit_says() -> None:
    assert known(crop(), "cq-118").look_days == 7
    assert known(crop(), "none").look_days is None


def sow(house: House, name: str, at: str, seeds: int, up: int) -> None:
    new = {"id": name, "label": name.upper(), "crop": "cacao"}
    house.add("sown", name, at, {"batch": new, "seeds": seeds})
    if up:
        house.add("emerged", name, "2031-07-20 08:00", {"total": up})


@pytest.mark.parametrize(("profile", "since"), [(CACAO, "2031-07-16"), (None, "2031-05-07")])
def test_seed_counts_once_it_had_its_time(profile: Any, since: str) -> None:
    house = crop(profile=profile)
    sow(house, "s1", f"{since} 08:00", 100, 80)
    sow(house, "s2", "2031-07-19 08:00", 100, 20)
    sow(house, "s3", "2031-01-19 08:00", 50, 0)
    found = backward_book.past("cacao", house.book(), TODAY)
    assert found[BEFORE] == [(100, 80), (50, 0)]
    assert found[NURSERY] == []
    assert not any(backward_book.past("tea", house.book(), TODAY).values())


def test_cuttings_count_once_they_had_their_time_and_grafts_once_they_were_counted() -> None:
    """Rule K-4."""
    house = crop()
    for name, at in (("c1", "2031-01-16 08:00"), ("c2", "2031-07-20 08:00")):
        new = {"id": name, "label": name.upper(), "crop": "cacao"}
        house.add("stuck", name, at, {"batch": new, "cuttings": 60})
        house.add("rooted", name, "2031-07-21 08:00", {"total": 45})
    house.add("worked", "c1", "2031-07-21 09:00", {"method": "budded", "plants": 40})
    assert backward_book.past("cacao", house.book(), TODAY)[TAKE] == []
    house.add("took", "c1", "2031-07-22 08:00", {"took": 30, "failed": 10})
    found = backward_book.past("cacao", house.book(), TODAY)
    assert (found[BEFORE], found[TAKE]) == ([(60, 45)], [(40, 30)])


def test_plants_count_once_none_is_left() -> None:
    house = crop()
    sow(house, "s1", "2031-01-16 08:00", 5, 4)
    house.add("lost", "s1", "2031-07-21 08:00", {"count": 1, "fate": "died"})
    assert backward_book.past("cacao", house.book(), TODAY)[NURSERY] == []
    positions = {"block": "tr3", "positions": ["1", "2", "3"]}
    house.add("planted", "s1", "2031-07-22 08:00", positions)
    assert backward_book.past("cacao", house.book(), TODAY)[NURSERY] == [(4, 3)]
