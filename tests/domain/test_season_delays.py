"""The planting day of a group, and what each week of delay costs (rules J-4 to J-6)."""

from typing import Any

import pytest

from nursery.domain.outlook import compose
from nursery.domain.season_sheet.sheet import Stored
from tests.domain.house import TERMS, House, instant, term
from tests.domain.season_scenes import (
    SITE,
    codes,
    delay,
    fifty,
    free,
    item,
    known,
    measured,
    odds_of,
    potted,
    untyped,
    whole,
)
from tests.domain.test_toughening_course import PROGRAM, STEPS


@pytest.fixture
def house() -> House:
    return fifty()


# The day, in sentences


def first_days(found: dict[str, Any]) -> set[str]:
    """The first planting day, as each sentence names it."""
    names = ("next_first", "first") if "main_weeks_lost" in codes(found) else ("first", "on")
    return {
        one["params"].get(names[0], one["params"].get(names[1]))
        for one in found["says"]
        if one["code"] not in ("pots_full", "weeks_by_hand")
    }


@pytest.mark.parametrize("on", ["2031-07-30", "2031-10-28", "2031-11-05", "2031-12-01"])
@pytest.mark.parametrize("held", [True, False], ids=["by the law", "by none"])
def test_sentences_name_the_day_on_which_the_sheet_plants(
    house: House, held: bool, on: str
) -> None:
    """Rule J-4: toughening and growth move the day in the sentences as well."""
    if not held:
        free(house)
    house.row("program", "slow", {**PROGRAM, "steps": PROGRAM["steps"][:3]})
    known(house)
    for then in ("2031-06-01", "2031-07-01"):
        measured(house, then, 20, 21, 22, 23, 24)
    potted(house, "t1", "2031-07-10", 60)
    for ready in ("2031-08-01", "2031-10-20", "2032-03-09"):
        stored = Stored({"years": 30}, None, {"c-1": {"state": "forecast", "day": ready}})
        found = item(house, on, stored)
        assert ("pots_full_before" if held else "pots_full_free") in codes(found)
        assert first_days(found) == {found["plant_on"]}
        told = compose(house.book(), instant(f"{on} 08:00"), forecasts=stored.readiness)["batches"]
        assert [told[name]["plant"] for name in found["batches"]] == [
            {"on": found["plant_on"], **found["weeks"]} for _ in found["batches"]
        ]


def test_weeks_that_toughening_does_not_reach_are_lost(house: House) -> None:
    """Rule S-2: released on 30 August, ready eighty days later, on 18 November."""
    first, second, *_ = STEPS
    house.row("program", "slow", {**PROGRAM, "steps": [{**first, "days": 80}, second]})
    found = item(house)
    lost = found["says"][0]
    assert (found["plant_on"], lost["code"]) == ("2032-03-01", "main_weeks_lost")
    assert lost["params"] == {
        "first": "2031-10-01", "last": "2031-11-15",
        "next_first": "2032-03-01", "next_last": "2032-03-31",
    }  # fmt: skip


def test_of_one_whose_day_nobody_can_say_all_that_goes_out_with_it_waits(house: House) -> None:
    """Rule P-4: T9 came into the same room under a permit that nobody has typed."""
    terms = [*TERMS, term("out", "all_out", {"empty_hours": 168})]
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
    assert item(house)["plant_on"] == "2031-10-01"
    house.row("consignment", "c-2", {"name": "Other", "lines": [{"id": "l", "crop": "papaya"}]})
    new = {"id": "t9", "label": "T9"}
    body = {"consignment": "c-2", "place": "bench", "batches": [new]}
    house.add("received", ("t9",), "2031-03-10 08:00", body)
    house.count("t9", 5, "2031-03-10 08:10")
    potted(house, "t1", "2031-07-10", 60)
    found = next(one for one in whole(house)["items"] if one["id"] == "c-1")
    assert (found["free_on"], found["plant_on"]) == (None, None)
    told = compose(house.book(), instant("2031-07-30 08:00"))["batches"]
    assert {one["plant"] for one in told.values()} == {None}
    assert codes(found) == ["pots_full", "weeks_by_hand"]


def test_plants_held_for_three_years_have_planting_weeks_too(house: House) -> None:
    days = term("days", "growing_days", {"days": 1100})
    terms = [days, *(one for one in TERMS if one["id"] != "days")]
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
    found = item(house)
    assert (found["free_on"], found["plant_on"]) == ("2034-03-07", "2034-03-07")
    later = delay(found, 26)
    assert (later["code"], later["seasons"], later["plant_on"]) == ("season", 1, "2034-10-01")


# What a delay costs


def test_a_delay_costs_nothing_then_days_then_a_season(house: House) -> None:
    """Rule J-5: 63 days until 1 October; the weeks end on 15 November."""
    free(house)
    found = item(house)
    assert [one["weeks"] for one in found["delays"]] == list(range(27))
    told = [(w, delay(found, w)["code"], delay(found, w)["plant_on"]) for w in (9, 10, 15, 16)]
    assert told == [
        (9, "nothing", "2031-10-01"),
        (10, "fewer_days", "2031-10-08"),
        (15, "fewer_days", "2031-11-12"),
        (16, "season", "2032-03-01"),
    ]
    assert (delay(found, 10)["days_left"], delay(found, 16)["seasons"]) == (38, 1)


def test_money_is_told_by_typed_figures_alone(house: House) -> None:
    """Rule J-6."""
    free(house)
    odds = odds_of({"10-01": 0.9, "10-08": 0.8})
    assert delay(item(house, stored=odds), 10)["cost"] is None
    house.row("site", "site", SITE)
    assert delay(item(house, stored=odds), 10)["cost"] is None
    house.row("site", "site", {**SITE, "cost_plant": 10})
    cost = delay(item(house, stored=odds), 10)["cost"]
    assert cost == {"plants": 50.0, "hours": None, "pots": None, "total": 50.0}
    assert delay(item(house), 10)["cost"] is None
    better = odds_of({"10-01": 0.7, "10-08": 0.8})
    assert delay(item(house, stored=better), 10)["cost"]["plants"] == 0


def test_care_costs_the_hours_of_the_last_four_weeks(house: House) -> None:
    """Rule J-6: 480 minutes in four weeks are two hours a week."""
    free(house)
    house.row("site", "site", {**SITE, "cost_hour": 5})
    house.looked("2031-07-02 08:00", ("t1",), minutes=600)
    house.looked("2031-07-03 08:00", ("t1",), minutes=240)
    house.looked("2031-07-30 08:00", ("t1",), minutes=240)
    house.add("looked", "t1", "2031-07-30 09:00", {"answer": "nothing"})
    assert delay(item(house), 10)["cost"]["hours"] == 10.0


def test_pots_cost_where_they_fill_while_the_plants_wait(house: House) -> None:
    """Rule J-6."""
    free(house)
    pot = {"container": "pot", "full_days": 90, "source": "own"}
    house.row("crop", "finger-lime", {"name": "Lime", "pots": [pot]})
    house.row("site", "site", {**SITE, "cost_pot": 2})
    house.add("potted", "t1", "2031-07-10 08:00", {"container": "pot"})
    found = item(house)
    assert (found["pots_full_on"], found["container"]) == ("2031-10-08", "pot")
    assert (delay(found, 0)["pots_full_weeks"], delay(found, 11)["pots_full_weeks"]) == (0, 1)
    assert (delay(found, 10)["cost"]["pots"], delay(found, 11)["cost"]["pots"]) == (0, 100)


def test_only_pots_that_fill_meanwhile_cost(house: House) -> None:
    """Rule J-6: of two trays one is full on 8 October, the other was so in August."""
    house.arrive("2031-03-03 08:00", ("t2",))
    house.count("t2", 30, "2031-03-03 08:10")
    free(house)
    house.row("site", "site", {**SITE, "cost_pot": 2})
    potted(house, "t1", "2031-07-10", 90)
    potted(house, "t2", "2031-05-10", 90)
    found = item(house)
    assert found["pots_full_on"] == "2031-08-08"
    assert (delay(found, 10)["cost"]["pots"], delay(found, 11)["cost"]["pots"]) == (0, 100)


def test_weeks_of_full_pots_are_those_of_the_sentence(house: House) -> None:
    """Rule S-3: 33 days are five weeks, to the nearest."""
    free(house)
    potted(house, "t1", "2031-07-10", 50)
    found = item(house)
    told = {one["code"]: one["params"] for one in found["says"]}
    assert (found["pots_full_on"], found["plant_on"]) == ("2031-08-29", "2031-10-01")
    assert (delay(found, 0)["pots_full_weeks"], told["pots_full_free"]["n"]) == (5, 5)


def test_where_no_day_can_be_told_nothing_has_a_price(house: House) -> None:
    untyped(house)
    house.row("site", "site", {**SITE, "cost_plant": 10})
    assert {one["code"] for one in item(house)["delays"]} == {"cannot_tell"}
    assert {one["cost"] for one in item(house)["delays"]} == {None}
