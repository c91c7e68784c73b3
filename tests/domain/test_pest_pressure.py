"""Pest pressure: degree-days since a biofix, generations, the next one, missing days."""

import csv
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.climate import Span
from nursery.domain.field import pressure
from nursery.domain.field.pressure import Day
from nursery.domain.reference.pests import Development
from tests.domain.house import House, day

PUBLISHED = Path(__file__).parents[1] / "science/published/degree-days-366.csv"
BIOFIX = date(2032, 8, 1)
TODAY = date(2032, 9, 13)
# Ten degree-days a day: the middle of 20 °C above a threshold of 10.
TEN = Span(15.0, 25.0)


def develops(**more: Any) -> Development:
    told: dict[str, Any] = {
        "lower_c": 10.0,
        "generation_dd": 100.0,
        "source": "a paper",
        "biofix": BIOFIX,
    }
    return Development(**told | more)


def days(count: int, *, first: date = BIOFIX, own: bool = False) -> dict[date, Day]:
    return {first + timedelta(days=n): Day(TEN, own) for n in range(count)}


def counted(known: dict[date, Day], today: date = TODAY, **more: Any) -> dict[str, Any]:
    found: dict[str, Any] = pressure.of_pest(develops(**more), known, today)["counted"]
    return found


def test_degree_days_and_generations_since_the_biofix() -> None:
    """Rule F-23: 43 days are over, so the pest is in its fifth generation."""
    found = counted(days(60))
    assert found["degree_days"] == pytest.approx(430)
    assert (found["generation"], found["left"]) == (5, pytest.approx(70))
    assert found["done"] == ["2032-08-10", "2032-08-20", "2032-08-30", "2032-09-09"]
    assert (found["as_of"], found["behind"], found["missing"]) == ("2032-09-12", 0, 0)
    assert (found["own_days"], found["sky_days"], found["old"]) == (0, 43, False)
    assert found["points"][0] == ["2032-08-01", 10.0]


def test_the_next_generation_comes_if_days_go_on_as_warm() -> None:
    """Rule F-24: 70 degree-days are seven days off."""
    assert counted(days(60))["next_on"] == "2032-09-19"


def test_a_day_that_nobody_knows_adds_none_and_is_named() -> None:
    """Rule F-23."""
    known = days(43)
    for gone in (date(2032, 8, 5), date(2032, 8, 6)):
        del known[gone]
    found = counted(known)
    assert found["degree_days"] == pytest.approx(410)
    assert (found["missing"], found["missing_days"]) == (2, ["2032-08-05", "2032-08-06"])
    assert found["points"][4] == ["2032-08-05", None]
    assert found["points"][6] == ["2032-08-07", 50.0]


def test_weather_that_ends_early_says_of_which_day_it_is() -> None:
    """Rules F-23 and F-24: of days after the last known one nothing is told."""
    found = counted(days(20))
    assert (found["as_of"], found["behind"]) == ("2032-08-20", 23)
    assert (found["degree_days"], found["generation"]) == (pytest.approx(200), 3)
    assert found["next_on"] == "2032-08-30"


def test_without_any_day_nothing_is_counted() -> None:
    found = counted({})
    assert (found["as_of"], found["degree_days"], found["next_on"]) == (None, 0, None)
    assert (found["behind"], found["points"]) == (43, [])


def test_where_no_day_is_warm_enough_no_generation_is_expected() -> None:
    """Rule F-24."""
    known = {on: Day(Span(2.0, 8.0), own=False) for on in days(43)}
    found = counted(known)
    assert (found["degree_days"], found["next_on"]) == (0, None)


@pytest.mark.parametrize("biofix", [None, date(2032, 9, 14)], ids=["none", "to come"])
def test_before_the_biofix_nothing_counts(biofix: date | None) -> None:
    told = pressure.of_pest(develops(biofix=biofix), days(60), TODAY)
    assert told["counted"] is None
    assert told["biofix"] == (biofix and biofix.isoformat())


def test_a_biofix_of_more_than_a_year_ago_is_told() -> None:
    assert counted(days(500), BIOFIX + timedelta(days=367))["old"] is True
    assert counted(days(500), BIOFIX + timedelta(days=366))["old"] is False


def house() -> House:
    some = House()
    some.row("place", "tr3", {"name": "TR3", "kind": "terrace", "parent": "citrus"})
    its = {"lower_c": 10, "generation_dd": 100, "source": "a paper", "biofix": "2032-08-01"}
    some.row("pest", "fly", {"name": "Fly", "develops": its})
    some.row("pest", "past", {"name": "Past", "develops": its, "until": "2032-01-01"})
    some.row("pest", "other", {"name": "Other"})
    return some


def test_an_instrument_of_the_block_goes_before_the_weather_of_the_site() -> None:
    """Rule F-23."""
    some = house()
    readings = [{"what": "air_low_c", "value": 20}, {"what": "air_high_c", "value": 30}]
    some.add("read", "citrus", "2032-08-02 18:00", {"readings": readings})
    known = pressure.days_of("tr3", some.book(), dict.fromkeys(days(3), TEN))
    assert known[day("2032-08-01")] == Day(TEN, own=False)
    assert known[day("2032-08-02")] == Day(Span(20, 30), own=True)
    [told] = pressure.of_pests(some.book(), known, day("2032-08-04"))
    assert (told["pest"], told["source"]) == ("fly", "a paper")
    assert told["counted"]["degree_days"] == pytest.approx(10 + 15 + 10)
    assert (told["counted"]["own_days"], told["counted"]["sky_days"]) == (1, 2)


def test_a_place_that_nobody_described_has_the_weather_of_the_site_alone() -> None:
    assert pressure.days_of("nowhere", house().book(), {BIOFIX: TEN}) == {
        BIOFIX: Day(TEN, own=False)
    }


def test_a_whole_year_is_what_a_published_table_says() -> None:
    """Rule F-23: a year of tests/science/published, single sine, between 50 and 70 °F.

    Its 366 days are rounded to hundredths.
    """
    with PUBLISHED.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    known = {
        datetime.strptime(row["date"], "%m/%d/%Y").date(): Day(  # noqa: DTZ007  # a day alone
            Span(*((float(row[end]) - 32) / 1.8 for end in ("tmin", "tmax"))), own=False
        )
        for row in rows
    }
    its = develops(lower_c=(50 - 32) / 1.8, upper_c=(70 - 32) / 1.8, biofix=min(known))
    found = pressure.of_pest(its, known, max(known) + timedelta(days=1))["counted"]
    published = sum(float(row["sngsine_horiz"]) for row in rows)
    assert len(rows) == 366
    assert found["degree_days"] * 1.8 == pytest.approx(published, abs=366 * 0.005)


HEATS = st.lists(
    st.none() | st.tuples(st.floats(-10, 45), st.floats(0, 20)), min_size=1, max_size=60
)


@given(HEATS, st.floats(20, 400))
def test_sums_never_fall_and_generations_follow_them(
    heats: list[tuple[float, float] | None], per: float
) -> None:
    """Rule F-23; every generation that is done was reached on a day that adds warmth."""
    known = {
        BIOFIX + timedelta(days=n): Day(Span(one[0], one[0] + one[1]), own=False)
        for n, one in enumerate(heats)
        if one is not None
    }
    found = counted(known, BIOFIX + timedelta(days=len(heats)), generation_dd=per)
    sums = [at for _, at in found["points"] if at is not None]
    assert sums == sorted(sums)
    assert len(found["done"]) == found["generation"] - 1
    assert found["done"] == sorted(found["done"])
    assert 0 < found["left"] <= per + 1e-6
    if found["next_on"] is not None:
        assert found["next_on"] > found["as_of"]
