"""What the instruments said and the days that counted by it, as the release file sums them."""

from datetime import timedelta
from typing import Any

import pytest

from tests.domain.house import House, day, term, with_terms
from tests.domain.release_scene import file_of

ARRIVED = day("2031-03-03")
FLY = {"pest": "fly", "number": 2, "degree_days": 100, "lower": 10, "method": "average"}
WARM = {"what": "air_c", "least": 18, "days": 30}


def house_with(*terms: dict[str, Any]) -> House:
    house = with_terms(*terms)
    house.arrive("2031-03-03 07:30", trays=("t1", "t2"))
    for tray in ("t1", "t2"):
        house.count(tray, 54, "2031-03-03 08:10")
    return house


def read(house: House, at: str, where: str = "bench", **figures: float) -> None:
    readings = [{"what": what, "value": value} for what, value in figures.items()]
    house.add("read", where, at, {"readings": readings})


def evening(house: House, n: int, low: float, high: float) -> None:
    read(house, f"{ARRIVED + timedelta(days=n)} 18:00", air_low_c=low, air_high_c=high)


def test_readings_are_summed_by_month_room_and_figure() -> None:
    house = house_with()
    read(house, "2031-03-04 08:00", ph=6.1, ec_ms_cm=0.9)
    read(house, "2031-03-04 16:00", "room", ph=5.8)
    read(house, "2031-03-20 08:00", "t1", ph=6.4)
    read(house, "2031-04-01 08:00", ph=6.0)
    read(house, "2031-03-20 08:00", "shade", ph=9.0)
    told = file_of(house, "2031-04-02")["readings"]
    assert [tuple(one.values()) for one in told] == [
        ("2031-03", "room", "ec_ms_cm", 1, 1, 0.9, 0.9),
        ("2031-03", "room", "ph", 2, 3, 5.8, 6.4),
        ("2031-04", "room", "ph", 1, 1, 6.0, 6.0),
    ]


def test_a_reading_that_was_taken_back_is_in_no_sum() -> None:
    house = house_with()
    wrong = house.add(
        "read", "bench", "2031-03-04 08:00", {"readings": [{"what": "ph", "value": 61}]}
    )
    house.add(
        "withdrawn", "bench", "2031-03-04 08:01", {"fix": "wrong", "saw": wrong}, corrects=wrong
    )
    assert file_of(house, "2031-03-05")["readings"] == []


def test_degree_days_are_told_by_month_with_the_days_that_nobody_read() -> None:
    """Rule Q-11: eight degree-days on each day read, by the plain mean of its two ends."""
    house = house_with(term("fly", "generations", FLY, source="CQ-118 g"))
    for n in range(1, 33):
        if n != 5:
            evening(house, n, 14, 22)
    (told,) = file_of(house, "2031-04-05")["counted_days"]
    assert (told["source"], told["of"], told["wanted"]) == ("CQ-118 g", "fly", 200)
    assert told["batches"] == ["t1", "t2"]
    march, april = told["months"]
    assert march == {"month": "2031-03", "days": 28, "unknown": 1, "gained": 216, "total": 216}
    assert april == {"month": "2031-04", "days": 4, "unknown": 0, "gained": 32, "total": 248}


def test_the_months_come_to_what_the_clock_says() -> None:
    """Rule Q-10; a day qualifies by the middle of its air."""
    house = house_with(term("warm", "qualifying_days", WARM))
    for n in range(1, 40):
        evening(house, n, 14, 26 if n % 3 else 20)
    told = file_of(house, "2031-04-12")
    (demand,) = told["counted_days"]
    (reason,) = (one for one in told["clocks"][0]["unmet"] if one["code"] == "qualifying_to_go")
    assert demand["months"][-1]["total"] == reason["params"]["n"] == 26
    assert sum(one["gained"] for one in demand["months"]) == 26


@pytest.mark.parametrize(("on", "days"), [("2031-03-10", 6), ("2031-04-20", 16)])
def test_of_plants_that_were_released_days_are_told_up_to_then(on: str, days: int) -> None:
    house = house_with(term("warm", "qualifying_days", WARM))
    for n in range(1, 60):
        evening(house, n, 14, 26)
    notice = {"notice": "RN-1", "count": 108, "photo": "paper"}
    house.add("released", ("t1", "t2"), "2031-03-20 08:00", notice)
    assert days_told(file_of(house, on)) == days


def days_told(told: dict[str, Any]) -> int:
    (demand,) = told["counted_days"]
    return sum(one["days"] for one in demand["months"])


def test_where_no_text_asks_for_warmth_no_day_is_counted() -> None:
    house = house_with()
    evening(house, 1, 14, 22)
    assert file_of(house, "2031-03-10")["counted_days"] == []
