"""What a planting day is judged by, as the book tells it (rules V-5 to V-8)."""

from typing import Any

import pytest

from nursery.domain import overrides
from nursery.domain.gate import Act, Answer, Gate
from nursery.domain.planting import Risks, told
from tests.domain.house import House, day, instant, place
from tests.domain.test_toughening_course import PROGRAM

TODAY, ON = "2032-03-09", "2032-03-12"
ARRIVED = "2031-03-03"


@pytest.fixture
def house() -> House:
    """Two trays of plants that no law holds, in the last step, and two blocks."""
    made = House()
    made.row(
        "consignment",
        "c-1",
        {
            "name": "Liners",
            "lines": [{"id": "l", "crop": "finger-lime"}],
            "without_conditions": True,
        },
    )
    made.row("program", "slow", PROGRAM)
    made.row("nursery", "n", {
        "name": "N", "zone": "Etc/GMT-10", "planting": [{"first": "03-01", "last": "03-31"}],
    })  # fmt: skip
    for name, holes in (("tr3", 30), ("tr4", 20)):
        made.row(*place(name, "terrace", "citrus", holes=holes))
    made.arrive(f"{ARRIVED} 08:00", ("t1", "t2"))
    made.count("t1", 40, f"{ARRIVED} 08:10")
    made.count("t2", 20, f"{ARRIVED} 08:10")
    made.add("stepped", ("t1", "t2"), "2032-03-01 07:00", {"step": "forward", "shade_percent": 0})
    return made


def group(house: House, on: str = TODAY) -> dict[str, Any]:
    [found] = told.of_book(house.book(), day(on))
    return found


def graded(house: House, tray: str, a: int, b: int = 0, c: int = 0) -> None:
    house.add("graded", tray, f"{TODAY} 13:00", {"a": a, "b": b, "c": c})


def booked(house: House, about: str | tuple[str, ...] = "t1", **more: Any) -> str:
    return house.add("booked", about, f"{TODAY} 09:00", {"act": "planting", "on": ON, **more})


def read(house: House, seat: str, at: str, **figures: float) -> None:
    readings = [{"what": what, "value": value} for what, value in figures.items()]
    house.add("read", seat, at, {"readings": readings})


def test_plants_that_are_neither_toughened_nor_booked_wait_for_no_day() -> None:
    """Rule V-5."""
    house = House()
    house.arrive(f"{ARRIVED} 08:00", ("t1",))
    house.count("t1", 40, f"{ARRIVED} 08:10")
    assert told.of_book(house.book(), day(TODAY)) == []
    booked(house)
    assert [one["on"] for one in told.of_book(house.book(), day(TODAY))] == [ON]
    assert group(house)["plants"]["toughened"] is None
    house.add("lost", "t1", f"{TODAY} 10:00", {"count": 40, "fate": "died"})
    assert told.of_book(house.book(), day(TODAY)) == []


def test_planted_holes_wait_for_nothing_and_the_rest_is_judged_alone(house: House) -> None:
    """Rule V-5: what is planted has left the living, and its hole the holes to fill."""

    def taps(block: str, first: int, last: int, tray: str = "t1") -> None:
        for i in range(first, last + 1):
            body = {"block": block, "row": "1", "positions": [str(i)]}
            house.add("planted", (tray, f"{block}.1"), f"{TODAY} 14:{i:02d}", body)

    booked(house, ("t1", "t2"))
    graded(house, "t1", 40)
    graded(house, "t2", 20)
    taps("tr3", 1, 12)
    taps("tr3", 12, 12)  # told twice
    found = group(house)
    assert [(one["id"], one["planned"]) for one in found["blocks"]] == [("tr3", 18), ("tr4", 20)]
    assert found["plants"]["fit"] == 48
    taps("tr4", 1, 20, "t2")
    assert [one["planned"] for one in group(house)["blocks"]] == [18, 0]
    house.add("surveyed", "tr4.1", f"{TODAY} 16:00", {
        "block": "tr4", "row": "1", "seen": [{"position": "3", "state": "dead"}],
    })  # fmt: skip
    assert [one["planned"] for one in group(house)["blocks"]] == [18, 0]
    assert [one["on"] for one in told.of_book(house.book(), day("2032-03-13"))] == ["2032-03-13"]
    taps("tr3", 13, 30)
    assert [one["planned"] for one in group(house)["blocks"]] == [0, 0]
    assert told.of_book(house.book(), day("2032-03-13")) == []


@pytest.mark.parametrize(
    ("today", "holes", "on"),
    [
        ("2031-12-31", 30, None),
        ("2032-01-01", 30, "2032-03-01"),
        ("2032-03-09", 30, "2032-03-09"),
        ("2032-03-09", None, None),
        ("2032-04-01", 30, None),
    ],
)
def test_a_day_is_told_sixty_days_before_the_planting_weeks(
    today: str, holes: int | None, on: str | None
) -> None:
    """Rule V-5."""
    house = House()
    house.row("nursery", "n", {
        "name": "N", "zone": "Etc/GMT-10", "planting": [{"first": "03-01", "last": "03-31"}],
    })  # fmt: skip
    house.row(*place("tr3", "terrace", "citrus", **({} if holes is None else {"holes": holes})))
    house.arrive(f"{ARRIVED} 08:00", ("t1",))
    house.count("t1", 40, f"{ARRIVED} 08:10")
    found = [one["on"] for one in told.of_book(house.book(), day(today))]
    assert found == ([] if on is None else [on])


def sown(house: House, name: str) -> None:
    new = {"id": name, "label": name.upper(), "crop": "papaya"}
    house.add("sown", name, f"{ARRIVED} 08:00", {"batch": new, "seeds": 60})
    house.add("emerged", name, "2031-04-20 08:00", {"total": 45})


def test_plants_sown_here_have_a_day_by_their_crop_once_they_are_booked(house: House) -> None:
    """Rule V-5: trays of a crop that nobody booked or brought to the sun stay behind."""
    house.row("crop", "papaya", {"name": "Papaya"})
    for name in ("s1", "s2"):
        sown(house, name)
    assert [one["id"] for one in told.of_book(house.book(), day(TODAY))] == ["c-1"]
    booked(house, ("s1", "tr4"), people=2)
    liners, found = told.of_book(house.book(), day(TODAY))
    assert (liners["id"], liners["name"], liners["on"]) == ("c-1", "Liners", TODAY)
    assert (found["id"], found["name"], found["on"]) == ("papaya", "Papaya", ON)
    assert (found["batches"], [one["id"] for one in found["blocks"]]) == (["s1"], ["tr4"])
    assert (found["day"]["people"], found["plants"]["released"]) == (2, None)
    after = told.of_book(house.book(), day("2032-03-13"))
    assert [one["id"] for one in after] == ["c-1"]


def test_plants_sown_here_have_a_day_once_they_are_brought_to_the_sun(house: House) -> None:
    """Rule V-5."""
    house.row("program", "papayas", {**PROGRAM, "crops": ["papaya"]})
    for name in ("s1", "s2"):
        sown(house, name)
    house.add("stepped", "s2", "2032-03-01 07:00", {"step": "forward", "shade_percent": 0})
    _, found = told.of_book(house.book(), day(TODAY))
    assert (found["id"], found["name"], found["batches"]) == ("papaya", "papaya", ["s2"])
    assert found["plants"]["toughened"]["shade"] == 0


def test_the_day_is_the_first_that_is_booked_and_else_today(house: House) -> None:
    """Rule V-5."""
    assert group(house)["on"] == TODAY
    booked(house)
    house.add("booked", "t1", f"{TODAY} 09:05", {"act": "planting", "on": "2032-03-20"})
    house.add("booked", "t1", f"{TODAY} 09:06", {"act": "watering", "on": "2032-03-10"})
    assert group(house)["on"] == ON


def test_the_booking_names_the_blocks(house: House) -> None:
    """Rule V-5."""
    assert [one["id"] for one in group(house)["blocks"]] == ["tr3", "tr4"]
    booked(house, ("t1", "tr4"), people=4)
    found = group(house)
    assert [one["id"] for one in found["blocks"]] == ["tr4"]
    assert found["day"]["people"] == 4


def test_people_wanted_follow_from_what_one_plants_in_a_day(house: House) -> None:
    assert (group(house)["day"]["people"], group(house)["day"]["people_wanted"]) == (None, None)
    house.row("site", "site", {"latitude": -17})
    assert group(house)["day"]["people_wanted"] is None
    house.row("site", "site", {"latitude": -17, "plants_per_day": 40})
    assert group(house)["day"]["people_wanted"] == 2


def test_a_plants_are_fit_as_many_as_live_and_b_plants_wait(house: House) -> None:
    """Rule V-7."""
    assert (group(house)["plants"]["fit"], group(house)["waiting"]) == (0, 0)
    graded(house, "t1", 30, 8, 2)
    graded(house, "t2", 20)
    house.add("lost", "t1", f"{TODAY} 13:10", {"count": 2, "fate": "culled"})
    assert (group(house)["plants"]["fit"], group(house)["waiting"]) == (50, 8)
    house.add("lost", "t1", f"{TODAY} 13:20", {"count": 15, "fate": "died"})
    assert (group(house)["plants"]["fit"], group(house)["waiting"]) == (43, 0)


FIGURES: dict[str, tuple[list[tuple[str, str, dict[str, float]]], float | None, float | None]] = {
    "nothing read": ([], None, None),
    "in each block, the driest counts": (
        [("tr3", "03-09", {"wet_to_cm": 22}), ("tr4", "03-08", {"wet_to_cm": 15})], 15, None,
    ),
    "in one block alone": ([("tr3", "03-09", {"wet_to_cm": 22})], None, None),
    "around both of them": ([("citrus", "03-09", {"wet_to_cm": 22})], 22, None),
    "three days ago": ([("citrus", "03-06", {"wet_to_cm": 22})], None, None),
    "tomorrow": ([("citrus", "03-10", {"wet_to_cm": 22})], None, None),
    "the later one": (
        [("tr3", "03-07", {"wet_to_cm": 9}), ("citrus", "03-09", {"wet_to_cm": 22})], 22, None,
    ),
    "the odds of a dry spell": ([("citrus", "03-09", {"dry_spell_percent": 35})], None, 0.35),
}  # fmt: skip


@pytest.mark.parametrize(("reads", "wet", "risk"), FIGURES.values(), ids=FIGURES.keys())
def test_figures_of_the_field_count_for_three_days(
    house: House, reads: list[tuple[str, str, dict[str, float]]], wet: float, risk: float
) -> None:
    """Rule V-6."""
    for seat, on, figures in reads:
        read(house, seat, f"2032-{on} 08:00", **figures)
    found = group(house)["day"]
    assert (found["wet_to_cm"], found["dry_spell_risk"]) == (wet, risk)


def test_pits_and_shelter_rows_count_until_they_are_counted_again(house: House) -> None:
    """Rule V-6."""
    house.row(*place("tr4", "terrace", "citrus", holes=20, shelter_cm=80))
    assert group(house)["blocks"][1] == {
        "id": "tr4", "planned": 20, "pits": None, "nurse_cm": None, "nurse_wanted_cm": 80.0,
    }  # fmt: skip
    read(house, "tr4", "2031-11-01 08:00", pits_ready=12, shelter_cm=40)
    read(house, "tr4", "2031-12-01 08:00", pits_ready=20)
    found = group(house)["blocks"][1]
    assert (found["pits"], found["nurse_cm"]) == (20, 40)


def test_without_blocks_nothing_is_wanted(house: House) -> None:
    for name in ("tr3", "tr4"):
        house.row(*place(name, "terrace", "citrus"))
    found = group(house)
    assert (found["blocks"], found["day"]["wet_to_cm"], found["verdicts"]) == ([], None, {})


def test_the_sky_of_ten_days_says_rain_and_that_of_three_days_heat(house: House) -> None:
    bare = [{"on": f"2032-03-{d}"} for d in range(10, 21)]
    house.add("forecast", "veshmere", f"{TODAY} 07:00", {"days": bare})
    assert (group(house)["day"]["wet_days_ahead"], group(house)["day"]["high_c"]) == (None, None)
    booked(house)
    said = [{"on": f"2032-03-{d}", "high_c": 45 - d, "rain_mm": d % 2 * 2} for d in range(10, 21)]
    house.add("forecast", "veshmere", f"{TODAY} 07:30", {"days": said})
    found = group(house)["day"]
    assert (found["wet_days_ahead"], found["high_c"]) == (4, 33)


def test_wind_is_judged_where_somebody_forecast_it(house: House) -> None:
    """Rule V-10."""
    booked(house)
    assert "wind" not in {one["what"] for one in group(house)["checks"]}
    said = [{"on": f"2032-03-{d}", "wind_kmh": 3 * d} for d in range(10, 21)]
    house.add("forecast", "veshmere", f"{TODAY} 07:30", {"days": said})
    found = group(house)
    assert found["day"]["wind_kmh"] == 42
    [wind] = [one for one in found["checks"] if one["what"] == "wind"]
    assert (wind["colour"], wind["params"]) == ("no", {"go": 30.0, "no": 40.0, "value": 42.0})


LEVELS = {"wet_to_cm": 12, "wet_wait_cm": 8, "wet_day_mm": 3, "wet_days": 1, "heat_go_c": 28}


def test_levels_are_those_of_the_site_s_row_and_else_the_usual_ones(house: House) -> None:
    """Rule V-2."""
    booked(house)
    read(house, "citrus", f"{TODAY} 08:00", wet_to_cm=15)
    said = [{"on": f"2032-03-{d}", "high_c": 30, "rain_mm": d - 9} for d in range(10, 19)]
    house.add("forecast", "veshmere", f"{TODAY} 07:30", {"days": said})

    def judged() -> dict[str, str]:
        whats = ("soil", "outlook", "heat")
        return {
            one["what"]: one["colour"] for one in group(house)["checks"] if one["what"] in whats
        }

    assert judged() == {"soil": "wait", "outlook": "go", "heat": "go"}
    assert group(house)["day"]["wet_days_ahead"] == 9
    house.row("site", "site", {"latitude": -17, "planting": LEVELS})
    found = group(house)
    assert judged() == {"soil": "go", "outlook": "go", "heat": "wait"}
    assert found["day"]["wet_days_ahead"] == 7
    assert found["levels"]["heat_go_c"] == 28
    assert found["levels"]["heat_no_c"] == 35


ODDS = Risks({"03-12": 0.4, "03-20": 0.2}, {"03-12": 30, "03-20": 29}, invented=False)


def test_the_risk_of_a_dry_spell_is_that_of_the_odds_until_somebody_types_one(
    house: House,
) -> None:
    """Rule V-11."""
    booked(house)

    def dry_spell(risks: Risks | None) -> tuple[str, dict[str, Any], dict[str, Any] | None]:
        [found] = told.of_book(house.book(), day(TODAY), risks)
        [one] = [one for one in found["checks"] if one["what"] == "dry_spell"]
        return one["colour"], one["params"], found["ahead"]["odds"]

    levels = {"go": 0.3, "no": 0.5}
    assert dry_spell(None) == ("cannot_tell", levels, None)
    nothing = {"invented": True, "days": {}}
    assert dry_spell(Risks({}, {}, invented=True)) == ("cannot_tell", levels, nothing)
    ahead = {
        "invented": False,
        "days": {
            "2032-03-12": {"risk": 0.4, "years": 30}, "2032-03-20": {"risk": 0.2, "years": 29},
        },
    }  # fmt: skip
    of = {**levels, "value": 0.4, "years": 30, "invented": False}
    assert dry_spell(ODDS) == ("wait", of, ahead)
    read(house, "citrus", f"{TODAY} 08:00", dry_spell_percent=20)
    assert dry_spell(ODDS) == ("go", {**levels, "value": 0.2}, ahead)


@pytest.mark.parametrize(
    ("today", "left"), [("2032-03-01", 30), ("2032-03-31", 0), ("2032-04-01", 0)]
)
def test_days_left_are_those_of_the_planting_weeks(house: House, today: str, left: int) -> None:
    assert group(house, today)["day"]["days_left"] == left


def test_without_planting_weeks_nobody_can_say_how_many_days_are_left(house: House) -> None:
    house.row("nursery", "n", {"name": "N", "zone": "Etc/GMT-10"})
    assert group(house)["day"]["days_left"] is None


def test_pots_are_full_by_the_first_of_them(house: House) -> None:
    pot = {"container": "pot", "full_days": 100, "source": "own"}
    house.row("crop", "finger-lime", {"name": "Lime", "pots": [pot]})
    assert group(house)["plants"]["full_weeks"] is None
    house.add("potted", "t1", "2031-11-01 08:00", {"container": "pot"})
    house.add("potted", "t2", "2031-11-20 08:00", {"container": "pot"})
    assert group(house)["plants"]["full_weeks"] == (29 + 9) // 7 - 1


def test_law_is_asked_for_each_batch_that_it_holds() -> None:
    house = House()
    house.arrive(f"{ARRIVED} 08:00", ("t1", "t2"))
    for tray, alive in (("t1", 40), ("t2", 20)):
        house.count(tray, alive, f"{ARRIVED} 08:10")
    booked(house)
    assert group(house)["plants"]["released"] == 0
    house.release(("t1",), f"{TODAY} 09:00", count=30, plants=[{"id": "t1", "count": 30}])
    assert group(house)["plants"]["released"] == 30
    house.release(("t2",), f"{TODAY} 09:30", count=50)
    assert group(house)["plants"]["released"] == 30 + 20
    assert not group(house)["plants"]["held"]
    house.find("t1", f"{TODAY} 10:00")
    assert group(house)["plants"]["held"]


def test_plants_that_no_law_holds_need_no_notice(house: House) -> None:
    assert group(house)["plants"]["released"] is None
    assert "released" not in {one["what"] for one in group(house)["checks"]}


def test_a_block_that_nobody_may_enter_on_the_day_is_not_planted(house: House) -> None:
    assert not group(house)["plants"]["reentry"]
    treated = {
        "product": "oil", "started_at": "2032-03-09T00:00:00.000Z",
        "ended_at": "2032-03-09T01:00:00.000Z", "reentry_until": "2032-03-14T00:00:00.000Z",
    }  # fmt: skip
    house.add("treated", "citrus", f"{TODAY} 11:00", treated)
    assert group(house)["plants"]["reentry"]


def test_the_plants_that_are_least_far_say_whether_they_are_hardened(house: House) -> None:
    assert group(house)["plants"]["toughened"]["doing"] == "done"
    house.add("stepped", "t2", "2032-03-08 07:00", {"step": "back", "shade_percent": 70})
    found = group(house)["plants"]["toughened"]
    assert (found["doing"], found["step"], found["shade"]) == ("stay", "s70", 70)


def signed(house: House, about: str, **more: Any) -> None:
    body = {"act": "planting", "reason": "water cart", "on": TODAY, **more}
    house.add("signed", about, f"{TODAY} 15:00", body, by="g", confirmed=True)


def test_a_signature_opens_what_it_names_on_its_day(house: House) -> None:
    """Rule V-8."""
    signed(house, "t1", checks=["soil"])
    signed(house, "t2", checks=["heat"], on="2032-03-08")
    signed(house, "t2", checks=["people"], reason=" ")
    signed(house, "t2", plants=8)
    house.add("signed", "tr3", f"{TODAY} 15:00", {
        "act": "planting", "reason": "x y", "checks": ["pits:tr3"],
    }, by="g", confirmed=True)  # fmt: skip
    house.add("signed", "t1", f"{TODAY} 15:00", {
        "act": "planting", "reason": "x y", "checks": ["outlook"], "on": TODAY,
    }, by="w1", confirmed=True)  # fmt: skip
    found = group(house)
    assert set(found["signed"]) == {"soil", "pits:tr3"}
    assert found["signed"]["soil"] == {"by": "G", "reason": "water cart", "on": TODAY}
    assert found["spares"] == 8
    assert {one["key"] for one in found["checks"] if one["signed"]} == {"soil", "pits:tr3"}


def test_a_phone_is_told_what_the_figures_come_from(house: House) -> None:
    """Rule V-6: without signal it goes on with them from one day to the next."""
    booked(house)
    read(house, "citrus", f"{TODAY} 07:00", wet_to_cm=22)
    read(house, "tr4", f"{TODAY} 08:00", dry_spell_percent=35)
    house.add("forecast", "citrus", f"{TODAY} 07:00", {"days": [
        {"on": TODAY, "high_c": 31, "rain_mm": 5}, {"on": "2032-03-01", "high_c": 40},
        {"on": "2032-03-14", "high_c": 30, "low_c": 7},
    ]})  # fmt: skip
    wet = {"wet_to_cm": {"value": 22, "on": TODAY}}
    assert group(house)["ahead"] == {
        "field": {"tr3": wet, "tr4": {**wet, "dry_spell_percent": {"value": 35, "on": TODAY}}},
        "sky": {
            TODAY: {"high_c": 31, "low_c": None, "rain_mm": 5, "wind_kmh": None},
            "2032-03-14": {"high_c": 30, "low_c": 7, "rain_mm": None, "wind_kmh": None},
        },
        "odds": None,
        "booked": True,
        "full_on": None,
        "weeks": {"first": "2032-03-01", "last": "2032-03-31"},
    }


def test_nothing_is_told_of_weeks_that_nobody_set() -> None:
    house = House()
    house.arrive(f"{ARRIVED} 08:00", ("t1",))
    house.count("t1", 40, f"{ARRIVED} 08:10")
    booked(house)
    ahead = group(house)["ahead"]
    assert (ahead["field"], ahead["sky"], ahead["weeks"]) == ({}, {}, None)


def refused(house: House, tray: str = "t1") -> list[str]:
    book = house.book()
    return [one.code for one in overrides.odd(book.batches[tray], book)]


def test_what_is_signed_for_checks_opens_no_gate_and_is_not_asked_about(house: House) -> None:
    """Rule V-8."""
    booked(house)
    more = {"act": "planting", "on": ON, "reason": "mats"}
    house.add("signed", "t1", f"{TODAY} 15:00", {**more, "checks": ["pots_full"]})
    house.add("signed", "t1", f"{TODAY} 15:01", {**more, "plants": 4})
    book = house.book()
    wait = Gate(Answer.WAIT, "own_rule", override_allowed=True)
    records, at = [book.batches["t1"].record], instant(f"{TODAY} 16:00")
    assert list(overrides.applied([wait], Act.PLANTING, records, at, book)) == [wait]
    assert refused(house) == []


def test_what_the_authority_decides_is_not_signed_away(house: House) -> None:
    """Rule V-8."""
    booked(house)
    more = {"act": "planting", "on": ON, "reason": "no time"}
    house.add("signed", "t1", f"{TODAY} 15:00", {**more, "checks": ["released", "pits:tr3"]})
    assert refused(house) == ["override_refused"]
    house.add("signed", "t1", f"{TODAY} 15:01", {**more, "checks": ["heat"]}, by="w1")
    assert refused(house) == ["override_refused"] * 2
