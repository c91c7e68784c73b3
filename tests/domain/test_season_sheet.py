"""The season sheet: what is on it of each group of plants (rules J-1 to J-8)."""

from datetime import date, timedelta
from typing import Any

import pytest

from nursery.domain.season_sheet import growth
from nursery.domain.season_sheet.sheet import Stored
from tests.domain.house import House, place
from tests.domain.season_scenes import (
    SITE,
    TODAY,
    codes,
    fifty,
    free,
    item,
    known,
    measured,
    odds_of,
    untyped,
    whole,
)
from tests.domain.test_toughening_course import PROGRAM


@pytest.fixture
def house() -> House:
    return fifty()


# What is on the sheet


def test_a_consignment_and_a_crop_that_came_by_none_stand_on_the_sheet(house: House) -> None:
    new = {"id": "k", "label": "K", "crop": "papaya"}
    house.add("taken_on", "k", "2031-03-05 08:00", {"batch": new, "alive": 9, "method": "full"})
    more = {"id": "x", "label": "X"}
    house.add("taken_on", "x", "2031-03-05 08:00", {"batch": more, "alive": 9, "method": "full"})
    kinds = [
        (one["id"], one["kind"], one["name"], one["batches"], one["alive"])
        for one in whole(house)["items"]
    ]
    assert kinds == [
        ("c-1", "consignment", "Liners", ["t1"], 50),
        ("papaya", "crop", "papaya", ["k"], 9),
    ]
    house.row("crop", "papaya", {"name": "Papaya"})
    assert whole(house)["items"][1]["name"] == "Papaya"
    house.add("lost", "k", "2031-03-06 08:00", {"count": 9, "fate": "died"})
    assert [one["id"] for one in whole(house)["items"]] == ["c-1"]


def test_weeks_set_by_hand_tell_who_set_them_and_when(house: House) -> None:
    own = {"first": "10-01", "last": "11-15", "set_by": "g", "set_on": "2031-02-28"}
    other = {"first": "03-01", "last": "03-31", "set_by": "gone"}
    weeks = [own, other, {"first": "10-01", "last": "11-15"}]
    house.row("nursery", "n", {"name": "N", "zone": "Etc/GMT-10", "planting": weeks})
    told = whole(house)["weeks"][:3]
    assert [(one["first"], one["main"], one["set_by"], one["set_on"]) for one in told] == [
        ("2031-10-01", False, None, None),
        ("2031-10-01", True, "G", "2031-02-28"),
        ("2032-03-01", False, "gone", None),
    ]


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
    assert item(house)["toughening_since"] is None
    house.add("stepped", "t1", "2031-10-20 08:00", {"step": "forward", "shade_percent": 50})
    assert item(house, "2031-10-22")["toughening_days"] == 3 + 5
    assert item(house, "2031-10-28")["toughening_days"] == 5
    assert item(house, "2031-10-28")["toughening_since"] == "2031-10-20"


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


def test_plants_that_came_by_no_consignment_have_blocks_as_others_have(house: House) -> None:
    house.row(*place("tr3", "terrace", "citrus", holes=30))
    new = {"id": "s", "label": "S", "crop": "papaya"}
    house.add("sown", "s", "2031-03-05 08:00", {"batch": new, "seeds": 60})
    house.add("emerged", "s", "2031-04-20 08:00", {"total": 45})
    _, found = whole(house)["items"]
    assert (found["id"], found["alive"], found["holes"]) == ("papaya", 45, 30)
    assert [one["id"] for one in found["blocks"]] == ["tr3"]
    assert found["labour"]["plants"] == 30


# Odds


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


READY = Stored(readiness={"c-1": {"state": "forecast", "day": "2031-10-20", "fan": {}}})


def test_readiness_says_what_lacks(house: House) -> None:
    """Rule J-1."""
    free(house)
    assert item(house, stored=READY)["readiness"]["state"] == growth.NO_PRIOR
    known(house, least={"nodes": {"low": 0}})
    assert item(house, stored=READY)["readiness"]["state"] == growth.NO_MINIMUM
    known(house)
    assert item(house, stored=READY)["readiness"]["state"] == growth.NOT_ENOUGH
    measured(house, "2031-06-01", 20, 21, 22, 23, None)
    measured(house, "2031-07-01", 30, 31, 32, 33, None)
    assert item(house, stored=READY)["readiness"]["state"] == growth.NOT_ENOUGH
    measured(house, "2031-07-15", 33, 34, 35, 36, 37)
    found = item(house, stored=READY)["readiness"]
    assert (found["state"], found["day"]) == (growth.FORECAST, "2031-10-20")
    assert item(house)["readiness"]["state"] == growth.WAITING  # no job has worked it out yet
    assert found["minimum"] == {"height_cm": 45}
    assert found["usual_curves"] == ["height_cm"]
    curve = {"ages_days": [0, 200], "mean": [2, 45], "spread": [1, 6], "error": 0.7}
    known(house, growth={"height_cm": curve})
    assert item(house, stored=READY)["readiness"]["usual_curves"] == []
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
    earliest = {"state": "forecast", "early": "2031-10-09", "day": None, "late": None}
    assert item(house, stored=Stored(readiness={"c-1": earliest}))["plant_on"] == "2031-10-09"


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
