"""Plants that went out although the day said no (rule V-9)."""

import pytest

from nursery.domain import doubtful, outlook
from tests.domain.afield_scenes import BOTH, TODAY, read, standing
from tests.domain.house import House, instant

AT = f"{TODAY} 16:00"


def planted(house: House, block: str = "tr3", at: str = AT) -> list[dict[str, list[str]]]:
    house.add("planted", "t1", at, {"block": block, "positions": ["1", "2"]})
    book = house.book()
    odd = doubtful.of_batch(book.batches["t1"], book)
    return [one.params for one in odd if one.code == "planted_against"]


def dry(house: House) -> None:
    read(house, "tr3", f"{TODAY} 08:00", wet_to_cm=5, pits_ready=30)


def signed(house: House, *keys: str, by: str = "g", on: str = TODAY) -> None:
    body = {"act": "planting", "on": on, "checks": list(keys), "reason": "water carried"}
    house.add("signed", BOTH, f"{TODAY} 15:00", body, by=by)


def test_into_dry_soil_is_kept_and_asked_about() -> None:
    house = standing()
    dry(house)
    assert planted(house) == [{"checks": ["soil"]}]
    (told,) = (
        one
        for one in outlook.compose(house.book(), instant(AT))["batches"]["t1"]["doubts"]
        if one["code"] == "planted_against"
    )
    assert told["weight"] == "note"
    assert house.book().batches["t1"].alive == 38


def test_what_nobody_typed_is_no_no() -> None:
    assert planted(standing()) == []


def test_another_block_is_another_probe() -> None:
    house = standing()
    dry(house)
    assert planted(house, "tr4") == []


def test_what_was_found_on_another_day_is_not_of_this_one() -> None:
    house = standing()
    dry(house)
    assert planted(house, at="2032-03-12 16:00") == []


def test_a_place_in_which_no_plants_are_wanted_has_no_checks() -> None:
    house = standing()
    read(house, "citrus", f"{TODAY} 08:00", wet_to_cm=5)
    assert planted(house, "citrus") == []
    assert planted(house, "nobody-typed-it") == []


@pytest.mark.parametrize(
    ("by", "on", "opens"), [("g", TODAY, True), ("w1", TODAY, False), ("g", "2032-03-20", False)]
)
def test_what_the_grower_signed_for_the_day_is_not_asked_about(
    by: str, on: str, opens: bool
) -> None:
    house = standing()
    dry(house)
    signed(house, "soil", by=by, on=on)
    assert (planted(house) == []) is opens


def test_outside_of_the_planting_weeks_it_is_asked_about() -> None:
    house = standing()
    assert planted(house, at="2032-06-01 08:00") == [{"checks": ["days_left"]}]
