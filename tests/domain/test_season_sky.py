"""Whether the weather on record makes odds (rule J-7)."""

from typing import Any

import pytest

from nursery.domain.season_sheet import sky
from nursery.domain.season_sheet.sheet import Stored
from tests.domain.season_scenes import codes, fifty, free, item

RAIN, LOW, HIGH, DRAWN = "rain_mm", "low_c", "high_c", "evapotranspiration_mm"


def years(count: int, *measures: str, days: int = 365) -> dict[int, dict[str, list[float | None]]]:
    """Years from 2001 with so many days of each measure, from 1 January on."""
    of: list[float | None] = [1.0] * days + [None] * (365 - days)
    return {2001 + n: dict.fromkeys(measures, of) for n in range(count)}


RECORDS: dict[str, tuple[dict[int, Any], int, bool, bool]] = {
    "rain, lows and highs": (years(10, RAIN, LOW, HIGH), 10, True, False),
    "nine years of them": (years(9, RAIN, LOW, HIGH), 9, False, False),
    "rain alone": (years(12, RAIN), 12, False, True),
    "rain and highs": (years(12, RAIN, HIGH), 12, False, True),
    "rain and the water that is drawn": (years(12, RAIN, DRAWN), 12, True, False),
    "lows and highs alone": (years(12, LOW, HIGH), 0, False, False),
    "lows in three years": (years(12, RAIN, HIGH) | years(3, RAIN, LOW, HIGH), 12, False, True),
    "a month short each": (years(10, RAIN, LOW, HIGH, days=329), 10, True, False),
    "five weeks short each": (years(10, RAIN, LOW, HIGH, days=328), 0, False, False),
    "no years": ({}, 0, False, False),
}


@pytest.mark.parametrize(("held", "rainy", "enough", "lacks"), RECORDS.values(), ids=RECORDS)
def test_odds_ask_for_ten_years_of_rain_and_of_warmth(
    held: dict[int, Any], rainy: int, enough: bool, lacks: bool
) -> None:
    told = sky.told(held)
    assert (told["years"], told["enough"], told["lacks_warmth"]) == (rainy, enough, lacks)


def test_the_record_is_told_from_its_first_day_to_its_last() -> None:
    held = years(2, RAIN)
    held[2001] = {RAIN: [None] * 60 + [1.0] * 305, HIGH: [None] * 365}
    held[2002] = {RAIN: [1.0] * 10 + [None] * 355, LOW: [None] * 40 + [1.0] + [None] * 324}
    told = sky.told(held)
    assert (told["first"], told["last"]) == ("2001-03-02", "2002-02-10")
    nothing = sky.told({2001: {RAIN: [None] * 365}})
    assert (nothing["first"], nothing["last"]) == (None, None)


@pytest.mark.parametrize(
    ("held", "code"),
    [
        (years(12, RAIN), "weeks_by_hand_warmth"),
        (years(9, RAIN), "weeks_by_hand"),
        (years(12, RAIN, LOW, HIGH), None),
    ],
    ids=["no warmth", "few years", "enough"],
)
def test_the_sheet_says_what_is_wanting(held: dict[int, Any], code: str | None) -> None:
    house = fifty()
    free(house)
    told = codes(item(house, stored=Stored(sky.told(held))))
    assert [one for one in told if one.startswith("weeks_by_hand")] == ([code] if code else [])
