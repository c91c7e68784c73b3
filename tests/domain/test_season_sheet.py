"""The season sheet: when a group can be planted, and what a delay costs (rules J-1 to J-8)."""

from datetime import date, timedelta
from typing import Any

import pytest

from nursery.domain.season_sheet import growth, sheet
from nursery.domain.season_sheet.sheet import Stored
from tests.domain.house import House, day, place
from tests.domain.test_toughening_course import PROFILE, PROGRAM

TODAY = "2031-07-30"
WEEKS = [{"first": "10-01", "last": "11-15"}, {"first": "03-01", "last": "03-31"}]
SITE = {"latitude": -17, "plants_per_day": 40, "currency": "CLD"}
BARE = {"name": "L", "lines": [{"id": "l", "crop": "finger-lime"}], "without_conditions": True}


@pytest.fixture
def house() -> House:
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


# What is on the sheet


def test_a_consignment_and_a_crop_that_came_by_none_stand_on_the_sheet(house: House) -> None:
    new = {"id": "k", "label": "K", "crop": "papaya"}
    house.add("taken_on", "k", "2031-03-05 08:00", {"batch": new, "alive": 9, "method": "full"})
    more = {"id": "x", "label": "X"}
    house.add("taken_on", "x", "2031-03-05 08:00", {"batch": more, "alive": 9, "method": "full"})
    kinds = [(one["id"], one["kind"], one["name"], one["alive"]) for one in whole(house)["items"]]
    assert kinds == [("c-1", "consignment", "Liners", 50), ("papaya", "crop", "papaya", 9)]
    house.row("crop", "papaya", {"name": "Papaya"})
    assert whole(house)["items"][1]["name"] == "Papaya"
    house.add("lost", "k", "2031-03-06 08:00", {"count": 9, "fate": "died"})
    assert [one["id"] for one in whole(house)["items"]] == ["c-1"]


def test_a_consignment_that_nobody_typed_goes_by_its_own_name() -> None:
    house = House()
    del house.rows["consignment"]
    house.arrive("2031-03-03 08:00", ("t1",))
    house.count("t1", 50, "2031-03-03 08:10")
    assert item(house)["name"] == "c-1"


def test_the_legal_clock_decides_and_of_several_batches_the_last(house: House) -> None:
    """Rule J-4."""
    found = item(house)
    assert found["clock"]["released"] is False
    assert found["free_on"] == "2031-08-30"
    untyped(house)
    assert item(house)["free_on"] is None
    free(house)
    assert item(house)["clock"] is None
    assert item(house)["free_on"] == TODAY


def test_of_released_plants_the_day_is_today(house: House) -> None:
    house.release(("t1",), "2031-07-29 09:00", count=50, plants=[{"id": "t1", "count": 50}])
    found = item(house)
    assert found["clock"]["released"] is True
    assert found["free_on"] == TODAY


def test_without_planting_weeks_no_day_is_told(house: House) -> None:
    house.row("nursery", "n", {"name": "N", "zone": "Etc/GMT-10"})
    free(house)
    found = item(house)
    assert (found["plant_on"], found["weeks"], whole(house)["weeks"]) == (None, None, [])
    assert {one["code"] for one in found["delays"]} == {"cannot_tell"}


def test_toughening_takes_its_days_before_plants_can_be_planted(house: House) -> None:
    """Rule J-4: fifteen days from 28 October are 12 November, and from 5 November too late."""
    free(house)
    assert item(house)["toughening_days"] is None
    house.row("program", "slow", {**PROGRAM, "steps": PROGRAM["steps"][:3]})
    assert item(house, "2031-10-28")["toughening_days"] == 15
    assert item(house, "2031-10-28")["plant_on"] == "2031-11-12"
    assert item(house, "2031-11-05")["plant_on"] == "2032-03-01"
    house.add("stepped", "t1", "2031-10-20 08:00", {"step": "forward", "shade_percent": 50})
    assert item(house, "2031-10-22")["toughening_days"] == 3 + 5
    assert item(house, "2031-10-28")["toughening_days"] == 5


# What a delay costs


def delay(found: dict[str, Any], weeks: int) -> dict[str, Any]:
    return dict(found["delays"][weeks])


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
    house.add("potted", "t1", "2031-04-10 08:00", {"container": "pot"})


def test_where_no_day_can_be_told_nothing_has_a_price(house: House) -> None:
    untyped(house)
    house.row("site", "site", {**SITE, "cost_plant": 10})
    assert {one["code"] for one in item(house)["delays"]} == {"cannot_tell"}
    assert {one["cost"] for one in item(house)["delays"]} == {None}


def test_people_are_reckoned_from_what_one_plants_in_a_day(house: House) -> None:
    free(house)
    assert item(house)["labour"]["person_days"] is None
    house.row("site", "site", SITE)
    house.add("booked", "t1", "2031-07-29 09:00", {"act": "planting", "on": "2031-10-02"})
    house.add(
        "booked", "t1", "2031-07-29 09:01", {"act": "planting", "on": "2031-10-01", "people": 4}
    )
    assert item(house)["labour"] == {
        "plants": 50,
        "per_person_day": 40,
        "person_days": 2,
        "booked": [{"on": "2031-10-01", "people": 4}, {"on": "2031-10-02", "people": None}],
    }


def test_blocks_are_told_with_their_pits_and_shelter_rows(house: House) -> None:
    house.row(*place("tr3", "terrace", "citrus", holes=30, shelter_cm=80))
    readings = [{"what": "pits_ready", "value": 12}]
    house.add("read", "tr3", "2031-07-20 08:00", {"readings": readings})
    found = item(house)
    assert (found["holes"], found["labour"]["plants"]) == (30, 30)
    assert found["blocks"] == [
        {
            "id": "tr3", "name": "tr3", "holes": 30, "pits_ready": 12,
            "shelter_cm": None, "shelter_wanted_cm": 80.0,
        }
    ]  # fmt: skip


# Odds


def odds_of(scores: dict[str, float]) -> Stored:
    days = [{"day": name, "score": score} for name, score in scores.items()]
    return Stored({"years": 30}, {"days": days})


def test_with_odds_the_day_is_told_with_its_share(house: House) -> None:
    """Rule J-8."""
    free(house)
    found = item(house, stored=odds_of({"10-01": 0.92}))
    assert found["says"][-1] == {
        "code": "odds_of_planting", "params": {"on": "2031-10-01", "n": 92},
    }  # fmt: skip


@pytest.mark.parametrize(("weather", "years"), [(None, 0), ({"years": 9}, 9)])
def test_with_fewer_than_ten_years_the_weeks_set_by_hand_are_used(
    house: House, weather: dict[str, Any] | None, years: int
) -> None:
    """Rule J-7."""
    free(house)
    found = item(house, stored=Stored(weather))
    assert found["says"][-1] == {"code": "weeks_by_hand", "params": {"n": years, "most": 10}}
    assert "weeks_by_hand" not in codes(item(house, stored=odds_of({"10-01": 0.92})))


# Growth


def measured(house: House, on: str, *heights: float | None) -> None:
    plants = [
        {"tag": str(i), **({} if one is None else {"height_cm": one})}
        for i, one in enumerate(heights)
    ]
    house.add("measured", "t1", f"{on} 13:00", {"plants": plants})


def known(house: House, **profile: Any) -> None:
    house.row("crop", "finger-lime", {"name": "Lime", "profile": {**PROFILE, **profile}})


READY = Stored(readiness={"c-1": {"state": "forecast", "day": "2031-10-20", "fan": {}}})


def test_readiness_says_what_lacks(house: House) -> None:
    """Rule J-1."""
    free(house)
    assert item(house, stored=READY)["readiness"]["state"] == growth.NO_PRIOR
    known(house, least={"nodes": {"low": 6}})
    assert item(house, stored=READY)["readiness"]["state"] == growth.NO_MINIMUM
    known(house)
    assert item(house, stored=READY)["readiness"]["state"] == growth.NOT_ENOUGH
    measured(house, "2031-06-01", 20, 21, 22, 23, None)
    measured(house, "2031-07-01", 30, 31, 32, 33, None)
    assert item(house, stored=READY)["readiness"]["state"] == growth.NOT_ENOUGH
    measured(house, "2031-07-15", 33, 34, 35, 36, 37)
    found = item(house, stored=READY)["readiness"]
    assert (found["state"], found["day"]) == (growth.FORECAST, "2031-10-20")
    assert item(house)["readiness"]["state"] == growth.NOT_ENOUGH  # no job has worked it out yet
    assert found["minimum"] == {"height_cm": 45}
    assert [(one["on"], one["n"]) for one in found["measured"]] == [
        ("2031-06-01", 4), ("2031-07-01", 4), ("2031-07-15", 5),
    ]  # fmt: skip
    assert found["measured"][0]["means"] == {"height_cm": 21.5}


def test_plants_that_are_not_grown_are_not_planted(house: House) -> None:
    """Rule J-4."""
    free(house)
    known(house)
    for on in ("2031-06-01", "2031-07-01"):
        measured(house, on, 20, 21, 22, 23, 24)
    assert item(house)["plant_on"] == "2031-10-01"
    assert item(house, stored=READY)["plant_on"] == "2031-10-20"


def test_a_tag_is_one_plant_of_one_batch(house: House) -> None:
    """Rule J-2."""
    free(house)
    house.arrive("2031-03-03 08:00", ("t2",))
    house.count("t2", 50, "2031-03-03 08:10")
    for tray in ("t1", "t2"):
        body = {"plants": [{"tag": "1", "height_cm": 20, "flushes": 1}]}
        house.add("measured", tray, "2031-07-01 13:00", body)
    [one] = item(house)["readiness"]["measured"]
    assert one == {"on": "2031-07-01", "n": 2, "means": {"height_cm": 20.0, "flushes": 1.0}}


def test_of_two_crops_in_a_group_none_is_told(house: House) -> None:
    free(house)
    house.add(
        "received", ("t9",), "2031-03-03 09:00",
        {"consignment": "c-1", "batches": [{"id": "t9", "label": "T9", "crop": "papaya"}]},
    )  # fmt: skip
    house.count("t9", 5, "2031-03-03 09:10")
    assert item(house)["crop"] is None


def test_what_goes_out_with_other_plants_waits_for_them(house: House) -> None:
    """Rule J-4: the room is released together."""
    when = date(2031, 7, 30)
    assert whole(house)["today"] == when.isoformat()
    for n, on in ((1, "2031-05-05"), (2, "2031-08-28")):
        house.add(
            "inspected", "t1", f"{on} 09:00",
            {"number": n, "answer": "nothing", "plants": 50, "active_growth": True, "photo": "p",
             "inspector": "P"},
        )  # fmt: skip
    found = item(house, "2031-08-29")
    assert found["free_on"] == (date(2031, 3, 3) + timedelta(days=180)).isoformat()
    assert found["clock"]["if"] is False
