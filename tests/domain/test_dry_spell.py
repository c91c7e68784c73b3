"""The risk that a dry spell follows a planting day, counted over years (rule V-11).

Expected shares were counted by hand.
"""

from calendar import isleap
from typing import Any

import pytest

from nursery.domain import reference
from nursery.domain.planting import dry_spell

YEARS = range(2001, 2013)
JULY = 181  # the first day of July in a common year, counted from 0


def site(**more: Any) -> Any:
    body = {"latitude": -17, "rains": {"dry_days": 4, "ahead_days": 10}, **more}
    return reference.read("site", "site", body)


def year(number: int, rain: float | None = 5.0, **dry: int) -> dict[str, list[float | None]]:
    """Return a year of the same rain, with so many days of `amount` from a place on."""
    days: list[float | None] = [rain] * (365 + isleap(number))
    if dry:
        for place in range(dry["at"], dry["at"] + dry["days"]):
            days[place] = 0.0
    return {"rain_mm": days}


def risks(years: dict[int, dict[str, list[float | None]]], **more: Any) -> dict[str, float]:
    return dict(dry_spell.of_years(years, site(**more), invented=False).risk)


def with_spells(count: int, days: int = 4) -> dict[int, dict[str, list[float | None]]]:
    return {
        number: year(number, **({"at": JULY + isleap(number), "days": days} if i < count else {}))
        for i, number in enumerate(YEARS)
    }


def test_of_29_february_a_common_year_tells_by_its_28th() -> None:
    years = {number: year(number, at=59, days=4) for number in YEARS}  # from 1 or 29 February on
    assert risks(years)["02-29"] == 9 / 12
    assert risks(years)["02-28"] == 1


def test_the_risk_is_the_share_of_years_in_which_a_spell_followed() -> None:
    found = risks(with_spells(3))
    assert found["06-30"] == 3 / 12
    assert found["06-24"] == 3 / 12  # the spell ends on the tenth day after it
    assert found["06-23"] == 0
    assert found["07-01"] == 0  # three dry days are left
    assert len(found) == 366


def test_a_spell_is_as_long_and_a_day_as_wet_as_the_site_s_row_says() -> None:
    short = with_spells(12, days=3)
    assert set(risks(short).values()) == {0.0}
    assert risks(short, rains={"dry_days": 3, "ahead_days": 10})["06-30"] == 1
    drizzle = {number: year(number, 2.0) for number in YEARS}
    assert set(risks(drizzle).values()) == {0.0}
    assert set(risks(drizzle, planting={"wet_day_mm": 2.5}).values()) == {1.0}


def test_a_year_in_which_missing_days_decide_does_not_count() -> None:
    years = with_spells(2)
    years[2012]["rain_mm"][JULY + 1 : JULY + 6] = [None] * 5
    told = dry_spell.of_years(years, site(), invented=True)
    assert (told.risk["06-30"], told.years["06-30"]) == (round(2 / 11, 3), 11)
    assert (told.risk["05-01"], told.years["05-01"]) == (0, 12)
    years[2011]["rain_mm"][JULY + 1] = None  # wet days around it: it decides nothing
    assert dry_spell.of_years(years, site(), invented=True).years["06-30"] == 11
    assert told.invented


@pytest.mark.parametrize(("count", "known"), [(9, False), (10, True)])
def test_fewer_than_ten_years_tell_nothing(count: int, *, known: bool) -> None:
    years = {number: year(number) for number in range(2001, 2001 + count)}
    assert ("06-30" in risks(years)) is known
    assert risks({2001: {"high_c": [1.0] * 365}}) == {}


def test_what_is_kept_is_what_is_read_back() -> None:
    told = dry_spell.of_years(with_spells(3), site(), invented=True)
    assert dry_spell.read(told.as_json()) == told
