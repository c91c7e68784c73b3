"""Fifty plants of the season sheet: what may be typed of them, and what the sheet then says."""

from typing import Any

from nursery.domain.season_sheet import sheet
from nursery.domain.season_sheet.sheet import Stored
from tests.domain.house import House, day
from tests.domain.test_toughening_course import PROFILE

TODAY = "2031-07-30"
WEEKS = [{"first": "10-01", "last": "11-15"}, {"first": "03-01", "last": "03-31"}]
SITE = {"latitude": -17, "plants_per_day": 40, "currency": "CLD"}
BARE = {"name": "L", "lines": [{"id": "l", "crop": "finger-lime"}], "without_conditions": True}


def fifty() -> House:
    """Fifty plants that the law may hold for 180 days from 3 March 2031."""
    made = House()
    made.row("nursery", "n", {"name": "N", "zone": "Etc/GMT-10", "planting": WEEKS})
    made.arrive("2031-03-03 08:00", ("t1",))
    made.count("t1", 50, "2031-03-03 08:10")
    return made


def whole(house: House, on: str = TODAY, stored: Stored | None = None) -> dict[str, Any]:
    return sheet.of_book(house.book(), day(on), stored or Stored())


def item(house: House, on: str = TODAY, stored: Stored | None = None) -> dict[str, Any]:
    [found] = whole(house, on, stored)["items"]
    return dict(found)


def free(house: House) -> None:
    """No law holds these plants."""
    house.row("consignment", "c-1", BARE)


def untyped(house: House) -> None:
    """Nobody typed the permit yet, so nobody can say a day."""
    house.row("consignment", "c-1", {"name": "L", "lines": BARE["lines"]})


def codes(found: dict[str, Any]) -> list[str]:
    return [one["code"] for one in found["says"]]


def delay(found: dict[str, Any], weeks: int) -> dict[str, Any]:
    return dict(found["delays"][weeks])


def potted(house: House, tray: str, on: str, full_days: int) -> None:
    pot = {"container": "pot", "full_days": full_days, "source": "own"}
    row = dict(house.raw_rows.get(("crop", "finger-lime"), {"name": "Lime"}))
    house.row("crop", "finger-lime", {**row, "pots": [pot]})
    house.add("potted", tray, f"{on} 08:00", {"container": "pot"})


def odds_of(scores: dict[str, float]) -> Stored:
    days = [{"day": name, "score": score} for name, score in scores.items()]
    return Stored({"years": 30}, {"days": days})


def measured(house: House, on: str, *heights: float | None) -> None:
    plants = [
        {"tag": str(i), **({} if one is None else {"height_cm": one})}
        for i, one in enumerate(heights)
    ]
    house.add("measured", "t1", f"{on} 13:00", {"plants": plants})


def known(house: House, **profile: Any) -> None:
    house.row("crop", "finger-lime", {"name": "Lime", "profile": {**PROFILE, **profile}})
