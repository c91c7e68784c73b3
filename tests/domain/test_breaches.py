"""A breach: how long it may have been open, what its report says, and that it exposes nobody."""

from typing import Any

import pytest

from nursery.domain import exposure
from tests.domain.house import House, day_1

TORN = {"what": "screen", "size_cm": 35, "last_good_at": "2031-08-12T06:30:00.000Z"}


def torn(body: dict[str, Any] = TORN) -> tuple[House, str]:
    house = day_1()
    return house, house.add("breached", "room", "2031-08-13 05:40", body)


def breach(house: House) -> dict[str, Any]:
    (one,) = exposure.incidents(house.book())
    told: dict[str, Any] = one.as_json()["breach"]
    return told


def test_the_exposure_runs_from_the_last_good_check_to_the_patch() -> None:
    """Rule E-7; the story, day 6: 13 h 25 min."""
    house, tear = torn()
    assert breach(house)["minutes"] is None
    house.add("repaired", "room", "2031-08-13 05:55", {"what": "tape", "breach": tear})
    house.add("repaired", "room", "2031-08-14 09:00", {"what": "new screen", "breach": tear})
    assert breach(house)["minutes"] == 13 * 60 + 25
    assert breach(house)["mended_at"] == "2031-08-12T19:55:00.000Z"


def test_without_a_last_good_check_nobody_can_say_how_long() -> None:
    house, tear = torn({"what": "screen"})
    house.add("repaired", "room", "2031-08-13 05:55", {"what": "tape", "breach": tear})
    assert (breach(house)["minutes"], breach(house)["last_good_at"]) == (None, None)


def test_a_repair_of_another_breach_or_of_none_mends_nothing() -> None:
    house, _ = torn()
    house.add("repaired", "room", "2031-08-13 05:55", {"what": "tape", "breach": "other"})
    house.add("repaired", "room", "2031-08-13 05:56", {"what": "tape"})
    assert breach(house)["mended_at"] is None


def test_the_latest_report_is_told_with_the_gap_of_the_instruments() -> None:
    house, tear = torn()
    assert breach(house)["report"] is None
    house.add("described", "room", "2031-08-13 07:00", {"incident": tear})
    assert breach(house)["report"]["gap_minutes"] is None
    body = {
        "incident": tear,
        "reference": "IN-12",
        "people": ["w1", "g"],
        "weather": "storm",
        "gap_from": "2031-08-12T12:10:00.000Z",
        "gap_until": "2031-08-12T19:45:00.000Z",
        "moved": "t6 inwards",
        "extra_traps": 3,
    }
    entry = house.add("described", "room", "2031-08-13 07:30", body)
    report = breach(house)["report"]
    assert report == {k: v for k, v in body.items() if k != "incident"} | {
        "entry": entry,
        "gap_minutes": 7 * 60 + 35,
    }


def test_a_breach_exposes_nobody_and_holds_until_the_authority_decides() -> None:
    house, _ = torn()
    (one,) = exposure.incidents(house.book())
    assert (one.kind, one.exposed, len(one.held), one.open) == ("breach", (), 6, True)
    order = house.order("room", "2031-08-13 08:42", "look", "BO-3", looks_on=["2031-08-13"])
    (one,) = exposure.incidents(house.book())
    assert (one.exposed, one.held, one.open, one.lifted_by) == ((), (), False, order)


def test_a_find_has_no_breach_to_tell() -> None:
    house = day_1()
    house.find("t4", "2031-05-04 07:20")
    (one,) = exposure.incidents(house.book())
    assert one.as_json()["breach"] is None


SPLIT_AT = "2031-08-13 09:00"


def split_out(house: House, *parents: str) -> None:
    body = {
        "parents": [{"id": name, "left": 40} for name in parents],
        "children": [{"id": "kid", "label": "KID", "count": 3, "place": "shade"}],
    }
    house.add("mixed", (*parents, "kid"), SPLIT_AT, body)


def held(house: House) -> set[str]:
    (one,) = exposure.incidents(house.book())
    return {each.batch for each in one.held}


@pytest.mark.parametrize(
    ("ordered_at", "about", "kid_held"),
    [
        (None, (), True),
        ("2031-08-13 08:42", ("t1", "t2"), False),
        ("2031-08-13 08:42", ("t1",), True),
        ("2031-08-13 10:00", ("t1", "t2"), True),
        ("2031-08-13 10:00", ("kid",), False),
    ],
)
def test_what_is_made_of_held_plants_is_held_wherever_it_stands(
    ordered_at: str | None, about: tuple[str, ...], kid_held: bool
) -> None:
    """Rule E-7: an order frees what it is about, and what is made of that afterwards."""
    house, _ = torn()
    split_out(house, "t1", "t2")
    if ordered_at is not None:
        house.order(about, ordered_at, "look", "BO-3", looks_on=["2031-08-13"])
    assert ("kid" in held(house)) is kid_held
    assert held(house) - {"kid"} == {"t1", "t2", "t3", "t4", "t5", "t6"} - set(about)


def test_what_was_made_of_freed_plants_is_free_in_the_room_too_unless_strangers_are_in_it() -> None:
    house, _ = torn()
    house.order("t1", "2031-08-13 08:42", "look", "BO-3", looks_on=["2031-08-13"])
    split_out(house, "t1")
    house.add("moved", "kid", "2031-08-13 09:30", {"to": "bench"})
    assert "kid" not in held(house)
    house.arrive("2031-08-13 08:00", ("stranger",), place="shade")
    body = {
        "parents": [{"id": name, "left": 1} for name in ("kid", "stranger")],
        "children": [{"id": "both", "label": "BOTH", "count": 3, "place": "bench"}],
    }
    house.add("mixed", ("kid", "stranger", "both"), "2031-08-13 11:00", body)
    assert "both" in held(house)


def test_what_came_of_plants_before_it_tore_is_not_held_for_them() -> None:
    house = day_1()
    split_out(house, "t1")
    house.add("breached", "room", "2031-08-14 05:40", TORN)
    assert held(house) == {"t1", "t2", "t3", "t4", "t5", "t6"}
