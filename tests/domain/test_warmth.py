"""Generations and qualifying days by the room's readings, against published constants."""

import json
from datetime import timedelta
from math import pi, sin
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import quarantine
from nursery.domain.quarantine import Clock
from nursery.domain.reason import Reason
from tests.domain.house import House, day, term, with_terms

FLY = {"pest": "fruit-fly", "number": 1, "degree_days": 350, "lower": 9.3}


def read(house: House, at: str, where: str = "bench", **figures: float) -> None:
    readings = [{"what": what, "value": value} for what, value in figures.items()]
    house.add("read", where, at, {"readings": readings})


def house_with(*terms: dict[str, Any]) -> House:
    house = with_terms(*terms)
    house.arrive("2031-03-03 07:30")
    house.count("t1", 54, "2031-03-03 08:10")
    return house


def ends(house: House, days: range, low: float, high: float, where: str = "bench") -> None:
    """Read the day's lowest and highest on these days after arrival."""
    for n in days:
        at = f"{day('2031-03-03') + timedelta(days=n)} 18:00"
        read(house, at, where, air_low_c=low, air_high_c=high)


def clock(house: House, tray: str = "t1", on: str | None = None) -> Clock:
    book = house.book()
    found = quarantine.clock(book.batches[tray], book, None if on is None else day(on))
    assert found is not None
    return found


def only(found: Clock) -> Reason:
    (told,) = (one for one in (*found.met, *found.unmet))
    return told


PUBLISHED = Path(__file__).parents[1] / "science/published/thermal.json"
CONSTANTS = [
    case
    for case in json.loads(PUBLISHED.read_text(encoding="utf-8"))
    if case["id"].startswith("thermal-")
]


def test_the_published_constants_are_there() -> None:
    assert len(CONSTANTS) >= 10


@pytest.mark.parametrize("case", CONSTANTS, ids=lambda case: case["id"])
def test_a_room_that_is_always_as_warm_as_the_study_gives_its_days(case: dict[str, Any]) -> None:
    """Rule Q-11: days of one generation at a constant warmth, each study as its case names it."""
    told = case["inputs"]
    says = {"degree_days": told["K_dayC"], "lower": told["lower_C"]}
    house = house_with(term("gen", "generations", FLY | says))
    warm = told["constant_temp_C"]
    ends(house, range(1, 60), warm, warm)
    # The last hours of a part of a day are over on the evening of that day.
    whole = -(-case["expected"]["days_at_25C"] // 1)
    done = day("2031-03-03") + timedelta(days=int(whole) + 1)
    reason = only(clock(house))
    assert (reason.code, reason.params["on"]) == ("generations_done", done.isoformat())
    assert clock(house).earliest == done


# Three generations of a fruit fly over a made-up year; days computed with the published formula.
@pytest.mark.parametrize(("number", "last"), [(1, 30), (2, 56), (3, 79)])
def test_generations_over_a_year_that_warms_and_cools(number: int, last: int) -> None:
    house = house_with(term("gen", "generations", FLY | {"number": number}))
    for n in range(1, 100):
        turn = sin(2 * pi * n / 365)
        ends(house, range(n, n + 1), 14 + 4 * turn, 26 + 5 * turn)
    done = day("2031-03-03") + timedelta(days=last + 1)
    assert only(clock(house)).params["on"] == done.isoformat()


METHODS = {"average": 10.7, "average_clipped": 10.7, "single_sine": 10.7, "single_triangle": 10.7}


@pytest.mark.parametrize("method", METHODS)
def test_a_day_wholly_between_the_thresholds_is_the_same_by_each_method(method: str) -> None:
    says = FLY | {"degree_days": 10 * METHODS[method], "method": method}
    house = house_with(term("gen", "generations", says))
    ends(house, range(1, 30), 14, 26)
    assert only(clock(house)).params["on"] == "2031-03-14"


def test_a_clock_that_has_begun_again_counts_anew() -> None:
    house = house_with(term("gen", "generations", FLY))
    ends(house, range(1, 80), 20, 26)
    house.order("t1", "2031-03-13 10:20", "restart", "Q-09")
    assert only(clock(house)).params["on"] == "2031-04-09"


def test_a_text_that_reaches_a_running_clock_counts_from_its_own_day() -> None:
    late = term("gen", "generations", FLY, since="2031-03-13", reaches_running=True)
    house = house_with(late)
    ends(house, range(1, 80), 20, 26)
    assert only(clock(house, on="2031-05-01")).params["on"] == "2031-04-09"


def test_what_is_missing_is_named_and_nobody_can_tell() -> None:
    """Rule Q-11: a day without readings adds nothing."""
    house = house_with(term("gen", "generations", FLY))
    ends(house, range(1, 5), 20, 26)
    ends(house, range(7, 11), 20, 26)
    told = only(clock(house))
    assert told.code == "generations_cannot_tell"
    assert (told.params["n"], told.params["first"]) == (2, "2031-03-08")
    ends(house, range(11, 60), 20, 26)
    late = only(clock(house))
    assert (late.code, late.params["on"]) == ("generations_done", "2031-04-01")


def test_what_is_to_go_gives_a_date_with_an_if() -> None:
    house = house_with(term("gen", "generations", FLY), term("days", "growing_days", {"days": 5}))
    ends(house, range(1, 12), 20, 26)
    found = clock(house)
    assert only(found).as_json()["params"]["done"] == 0.4
    assert found.only_if is not None
    # 13.7 a day: 26 days make 356; ten are over.
    assert (found.only_if.code, found.only_if.params["on"]) == ("if_as_warm", "2031-03-30")
    assert found.earliest == day("2031-03-30")


def test_as_long_as_nothing_is_read_the_days_alone_give_the_date() -> None:
    house = house_with(term("gen", "generations", FLY), term("days", "growing_days", {"days": 5}))
    found = clock(house)
    assert (found.earliest, found.ifs, only(found).code) == (
        day("2031-03-08"),
        (),
        "generations_to_go",
    )
    assert only(clock(house, on="2031-03-10")).params["n"] == 6


def test_a_room_too_cold_gives_no_if() -> None:
    house = house_with(term("gen", "generations", FLY))
    ends(house, range(1, 12), 2, 8)
    assert clock(house).ifs == ()


def test_a_pest_is_called_by_its_name_where_somebody_typed_it() -> None:
    house = house_with(term("gen", "generations", FLY))
    assert only(clock(house)).params["pest"] == "fruit-fly"
    house.row("pest", "fruit-fly", {"name": "Fruit fly"})
    assert only(clock(house)).params["pest"] == "Fruit fly"


AIR: dict[str, tuple[list[dict[str, float]], bool]] = {
    "lowest and highest": ([{"air_low_c": 20, "air_high_c": 26}], True),
    "two readings of the air": ([{"air_c": 20}, {"air_c": 26}], True),
    "one reading alone": ([{"air_c": 23}], False),
    "one reading and the lowest": ([{"air_c": 26, "air_low_c": 20}], False),
    "one reading between both ends": ([{"air_c": 23, "air_low_c": 20, "air_high_c": 26}], True),
    "two readings and the lowest": ([{"air_c": 22, "air_low_c": 20}, {"air_c": 26}], True),
    "ends the wrong way round": ([{"air_low_c": 26, "air_high_c": 20}], False),
    "air that no room has": ([{"air_low_c": -999, "air_high_c": 26}], False),
    "another instrument": ([{"ph": 6, "ec_ms_cm": 1}], False),
}


@pytest.mark.parametrize(("figures", "known"), AIR.values(), ids=AIR.keys())
def test_a_day_is_known_by_its_lowest_and_highest(
    figures: list[dict[str, float]], known: bool
) -> None:
    """Rule C-9."""
    house = house_with(term("gen", "generations", FLY | {"degree_days": 13.6}))
    for hour, some in enumerate(figures):
        read(house, f"2031-03-04 1{hour}:00", "bench", **some)
    assert (only(clock(house, on="2031-03-05")).code == "generations_done") is known


def test_figures_read_on_plants_count_for_their_room() -> None:
    house = house_with(term("gen", "generations", FLY | {"degree_days": 13.6}))
    read(house, "2031-03-04 10:00", "t2", air_low_c=20, air_high_c=26)
    house.add("watered", "nowhere-yet", "2031-03-04 10:00", {"minutes": 1})
    read(house, "2031-03-04 10:00", "nowhere-yet", air_low_c=0, air_high_c=1)
    assert only(clock(house, on="2031-03-05")).code == "generations_done"


def test_trays_of_one_room_have_the_same_warmth() -> None:
    house = house_with(term("gen", "generations", FLY | {"degree_days": 13.6}))
    ends(house, range(1, 4), 20, 26)
    book = house.book()
    told = [quarantine.clock(book.batches[tray], book) for tray in ("t1", "t2")]
    assert [one.earliest for one in told if one] == [day("2031-03-05")] * 2


def test_plants_that_changed_rooms_have_the_colder_of_the_two_that_day() -> None:
    house = house_with(term("gen", "generations", FLY | {"degree_days": 13.6}))
    house.add("moved", "t1", "2031-03-04 12:00", {"to": "shade"})
    ends(house, range(1, 4), 20, 26)
    assert only(clock(house, on="2031-03-05")).code == "generations_cannot_tell"
    ends(house, range(1, 3), 15, 20, "shade")
    told = only(clock(house))
    assert (told.code, told.params["on"]) == ("generations_done", "2031-03-06")


def test_before_its_birth_a_batch_stood_where_its_parents_did() -> None:
    house = house_with(term("gen", "generations", FLY | {"degree_days": 40}))
    ends(house, range(1, 10), 20, 26)
    child = {"id": "t1a", "label": "T1A", "count": 13, "place": "bench"}
    split = {"parents": [{"id": "t1", "left": 41}], "children": [child]}
    house.add("split", ("t1", "t1a"), "2031-03-06 09:00", split)
    assert only(clock(house, "t1a")).params["on"] == "2031-03-07"


def test_of_a_batch_that_stood_nowhere_nobody_can_tell() -> None:
    house = with_terms(term("gen", "generations", FLY))
    house.arrive("2031-03-03 07:30", ("t1",), place=None)
    assert only(clock(house, on="2031-03-10")).code == "generations_cannot_tell"


GROWTH = {"what": "growth_percent", "least": 40}
QUALIFYING: dict[str, tuple[dict[str, Any], dict[int, float], str, dict[str, Any]]] = {
    "enough of them": ({"days": 2}, {1: 50, 2: 10, 3: 40}, "qualifying_done", {"n": 2}),
    "none wanted": ({"days": 0}, {}, "qualifying_done", {"n": 0, "on": "2031-03-03"}),
    "some to go": ({"days": 4}, {1: 50, 2: 10, 3: 40}, "qualifying_to_go", {"n": 2, "number": 4}),
    "a gap that may decide": (
        {"days": 3},
        {1: 50, 3: 40},
        "qualifying_cannot_tell",
        {"n": 1, "first": "2031-03-05", "done": 2},
    ),
    "a gap that decides nothing": ({"days": 9}, {1: 50, 3: 40}, "qualifying_to_go", {"n": 2}),
    "a share that is reached": (
        {"share": 0.5},
        {1: 50, 2: 10, 3: 40, 4: 39.9},
        "share_reached",
        {"percent": 50, "wanted": 50},
    ),
    "a share that is not": (
        {"share": 0.5},
        {1: 50, 2: 10, 3: 10},
        "share_too_low",
        {"percent": 33},
    ),
    "a share that a gap decides": (
        {"share": 0.5},
        {1: 50, 2: 10, 4: 10},
        "share_cannot_tell",
        {"n": 1, "first": "2031-03-06"},
    ),
    "a share that no gap decides": (
        {"share": 0.9},
        {1: 50, 2: 10, 4: 10},
        "share_too_low",
        {"percent": 25},
    ),
    "a share before a day is over": ({"share": 0.5}, {}, "share_too_low", {"percent": 0}),
    "too much of it": ({"most": 45, "days": 1}, {1: 50}, "qualifying_to_go", {"n": 0}),
}


@pytest.mark.parametrize(
    ("says", "read_on", "code", "about"), QUALIFYING.values(), ids=QUALIFYING.keys()
)
def test_qualifying_days(
    says: dict[str, Any], read_on: dict[int, float], code: str, about: dict[str, Any]
) -> None:
    """Rule Q-10: by growth as well as by air; a day counts when it is over."""
    house = house_with(term("q", "qualifying_days", GROWTH | says))
    for n, value in read_on.items():
        read(house, f"{day('2031-03-03') + timedelta(days=n)} 10:00", growth_percent=value)
    after = day("2031-03-04") + timedelta(days=max(read_on, default=0))
    told = only(clock(house, on=after.isoformat()))
    assert told.code == code
    assert {name: told.params[name] for name in about} == about


def test_qualifying_days_to_go_give_a_date_with_an_if() -> None:
    house = house_with(term("q", "qualifying_days", GROWTH | {"days": 4}))
    for n, value in enumerate((50, 10, 40, 10), start=4):
        read(house, f"2031-03-0{n} 10:00", growth_percent=value)
    found = clock(house, on="2031-03-08")
    assert found.only_if is not None
    assert found.only_if.as_json() == {
        "code": "if_as_so_far",
        "params": {"on": "2031-03-12", "source": "CQ-118"},
    }
    assert found.earliest == day("2031-03-12")


def test_a_mean_of_the_day_qualifies_not_its_ends() -> None:
    air = {"what": "air_c", "least": 15, "most": 25, "days": 1}
    house = house_with(term("q", "qualifying_days", air))
    read(house, "2031-03-04 10:00", air_low_c=10, air_high_c=32)
    assert only(clock(house, on="2031-03-05")).params["on"] == "2031-03-05"
