"""A breach: how long it may have been open, what its report says, and that it exposes nobody."""

from typing import Any

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
