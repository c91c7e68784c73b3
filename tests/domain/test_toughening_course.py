"""How far a batch has come on its program, by its records (rules U-6 to U-11)."""

from typing import Any

import pytest

from nursery.domain import checks
from nursery.domain.toughening import Doing, told
from nursery.domain.toughening.course import Course, of_batch, shades
from nursery.domain.toughening.due import against
from tests.domain.house import House, day

STEPS = [
    {"id": "s70", "shade_percent": 70, "checks": ["scorch"]},
    {"id": "s50", "shade_percent": 50, "checks": ["scorch", "wilt", "roots", "pests"]},
    {"id": "mornings", "shade_percent": 50, "sun_hours": 5},
    {"id": "s0", "shade_percent": 0, "wind": "exposed"},
]
PROGRAM = {"name": "Slow", "steps": STEPS, "source": "own", "crops": ["finger-lime"]}
PROFILE = {
    "id": "lime",
    "name": {"en": "Lime"},
    "botanical": "Citrus",
    "made_by": "budded",
    "nursery_weeks": {"low": 60},
    "least": {"height_cm": {"low": 45}},
    "shade": [40, 0],
    "toughening_weeks": {"low": 4},
    "litres": {"low": 2},
    "stages": {},
    "spacing_m": [],
    "pests": [],
}


@pytest.fixture
def house() -> House:
    made = House()
    made.row("program", "slow", PROGRAM)
    made.arrive("2031-03-03 08:00", ("t1", "t2"))
    made.count("t1", 50, "2031-03-03 08:10")
    return made


def stepped(house: House, at: str, way: str, about: str = "t1", **more: Any) -> None:
    house.add("stepped", about, at, {"step": way, **more})


def course(house: House, on: str, batch: str = "t1") -> Course:
    book = house.book()
    found = of_batch(book.batches[batch], book, day(on))
    assert found is not None
    return found


def at(house: House, on: str, batch: str = "t1") -> str | None:
    step = course(house, on, batch).step
    return None if step is None else step.id


def test_the_program_is_the_one_named_then_the_crop_s_then_its_profile_s() -> None:
    """Rule U-6."""
    house = House()
    house.arrive("2031-03-03 08:00", ("t1",))
    book = house.book()
    assert of_batch(book.batches["t1"], book, day("2032-01-01")) is None
    house.row("crop", "finger-lime", {"name": "Lime"})
    book = house.book()
    assert of_batch(book.batches["t1"], book, day("2032-01-01")) is None
    house.row("crop", "finger-lime", {"name": "Lime", "profile": PROFILE})
    assert course(house, "2032-01-01").program.id == "lime"
    house.row("program", "over", {**PROGRAM, "until": "2031-12-31"})
    house.row("program", "to-come", {**PROGRAM, "since": "2032-01-02"})
    assert course(house, "2032-01-01").program.id == "lime"
    assert course(house, "2032-01-02").program.id == "to-come"
    house.row("program", "to-come", {**PROGRAM, "since": "2032-01-02", "until": "2032-01-02"})
    house.row("program", "slow", PROGRAM)
    assert course(house, "2032-01-01").program.id == "slow"
    house.row("program", "own", {**PROGRAM, "crops": []})
    stepped(house, "2032-01-05 08:00", "forward", program="gone")
    assert course(house, "2032-01-06").program.id == "slow"
    stepped(house, "2032-01-07 08:00", "stay", program="own")
    assert course(house, "2032-01-08").program.id == "own"


def test_a_batch_has_the_crop_of_its_label_before_that_of_its_consignment(house: House) -> None:
    """Rule U-6: two crops in a consignment say nothing of a tray."""
    lines = [{"id": str(i), "crop": crop} for i, crop in enumerate(("finger-lime", "papaya"))]
    house.row("consignment", "c-1", {"name": "Two", "lines": lines})
    book = house.book()
    assert of_batch(book.batches["t1"], book, day("2032-01-01")) is None
    house.add(
        "taken_on", "k", "2031-03-03 08:00",
        {"batch": {"id": "k", "label": "K", "crop": "finger-lime"}, "alive": 5, "method": "full"},
    )  # fmt: skip
    assert course(house, "2032-01-01", "k").program.id == "slow"


def test_before_its_first_step_a_batch_stands_nowhere(house: House) -> None:
    assert course(house, "2032-01-01").standing is None
    assert course(house, "2032-01-01").wants == ()
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=70)
    assert course(house, "2032-01-04").standing is None


WAYS: dict[str, tuple[list[tuple[str, str, dict[str, Any]]], str, str]] = {
    "the shade says the step": (
        [("01-05", "forward", {"shade_percent": 50})], "s50", "01-05",
    ),
    "and the hours of sun with it": (
        [("01-05", "forward", {"shade_percent": 50, "sun_hours": 5})], "mornings", "01-05",
    ),
    "a shade between two steps is the shadier": (
        [("01-05", "forward", {"shade_percent": 60})], "s70", "01-05",
    ),
    "who stays keeps the day": (
        [("01-05", "forward", {"shade_percent": 50}), ("01-09", "stay", {"shade_percent": 50})],
        "s50", "01-05",
    ),
    "without a shade the way says it": (
        [("01-05", "forward", {}), ("01-10", "forward", {}), ("01-12", "back", {})],
        "s70", "01-12",
    ),
    "back from the first is the first, anew": (
        [("01-05", "forward", {}), ("01-12", "back", {})], "s70", "01-12",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("steps", "ends", "since"), WAYS.values(), ids=WAYS.keys())
def test_records_say_on_which_step_it_stands(
    house: House, steps: list[tuple[str, str, dict[str, Any]]], ends: str, since: str
) -> None:
    for on, way, more in steps:
        stepped(house, f"2032-{on} 08:00", way, **more)
    found = course(house, "2032-02-01")
    assert (at(house, "2032-02-01"), found.standing and found.standing.since) == (
        ends, day(f"2032-{since}"),
    )  # fmt: skip


def test_a_tray_split_while_it_is_toughened_stands_where_it_stood(house: House) -> None:
    """Rule U-7: what the parent did later is not the child's."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    children = [{"id": "t1a", "label": "T1a", "count": 20}]
    house.add(
        "split", ("t1", "t1a"), "2032-01-08 08:00",
        {"parents": [{"id": "t1", "left": 30}], "children": children},
    )  # fmt: skip
    stepped(house, "2032-01-20 08:00", "forward", shade_percent=0)
    assert (at(house, "2032-02-01"), at(house, "2032-02-01", "t1a")) == ("s0", "s50")
    assert course(house, "2032-02-01", "t1a").standing == (1, day("2032-01-05"))
    stepped(house, "2032-02-02 08:00", "back", "t1a", shade_percent=70)
    assert at(house, "2032-02-03", "t1a") == "s70"


def test_who_steps_tells_of_the_step_before_and_who_stays_of_this_one(house: House) -> None:
    """Rule U-8."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50, scorched=14, of=60)
    assert course(house, "2032-01-06").seen.scorched is None
    assert course(house, "2032-01-06").wants == ("scorch", "wilt", "roots", "pests")
    stepped(house, "2032-01-08 08:00", "stay", shade_percent=50, scorched=14, of=60)
    found = course(house, "2032-01-08")
    assert (found.seen.scorched, found.seen.scorched_of) == (14, 60)
    assert found.advice is not None
    assert (found.advice.doing, found.advice.to.id) == (Doing.BACK, "s70")
    stepped(house, "2032-01-08 09:00", "back", shade_percent=70)
    assert course(house, "2032-01-09").seen.scorched is None


def test_each_check_is_answered_by_its_own_record_since_the_step_began(house: House) -> None:
    house.add("wilted", "t1", "2032-01-02 14:00", {"wilted": 3, "of": 20})
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    house.add("wilted", "t1", "2032-01-06 14:00", {"wilted": 1, "of": 20})
    house.add("plugged", "t1", "2032-01-06 15:00", {"none": 5, "few": 0, "many": 0, "cull": 0})
    house.looked("2032-01-06 07:00", ("t1",), "not_looked")
    found = course(house, "2032-01-07")
    assert (found.seen.wilted, found.seen.wilted_of) == (1, 20)
    assert found.wants == ("scorch", "pests")
    house.looked("2032-01-07 07:00", ("t1",))
    assert course(house, "2032-01-07").wants == ("scorch",)


def sky(house: House, at: str, *days: dict[str, Any]) -> None:
    house.add("forecast", "veshmere", at, {"days": list(days)})


def test_the_latest_word_on_the_coming_five_days_is_the_sky(house: House) -> None:
    """Rule U-9."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    sky(house, "2032-01-10 07:00", {"on": "2032-01-10", "high_c": 38, "low_c": 20})
    sky(house, "2032-01-11 07:00", {"on": "2032-01-12", "high_c": 33, "wind_kmh": 45})
    sky(house, "2032-01-11 08:00", {"on": "2032-01-12", "high_c": 36}, {"on": "2032-01-16"})
    sky(house, "2032-01-11 09:00", {"on": "2032-01-17", "high_c": 44})
    found = course(house, "2032-01-11").sky
    assert (found.highs_c, found.lows_c, found.wind_kmh) == ((36,), (), ())
    assert found.mean_high_c is None


def test_heat_that_was_told_of_a_tray_freezes_its_step(house: House) -> None:
    """Rule U-9: a planting day without blocks has plants alone to write a forecast about."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    days = {"days": [{"on": "2032-01-12", "high_c": 38}]}
    house.add("forecast", "t1", "2032-01-11 07:00", days)
    found = course(house, "2032-01-11")
    assert found.sky.highs_c == (38,)
    assert found.advice is not None
    assert found.advice.doing == "freeze"
    assert [one.code for one in found.advice.reasons] == ["toughening_heat"]


def test_three_days_behind_make_a_mean(house: House) -> None:
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    days = [{"on": f"2032-01-{d}", "high_c": h} for d, h in (("10", 24), ("11", 25), ("12", 26))]
    sky(house, "2032-01-09 07:00", *days)
    assert course(house, "2032-01-12").sky.mean_high_c is None
    assert course(house, "2032-01-13").sky.mean_high_c == 25


def test_water_that_did_not_come_counts_until_it_comes(house: House) -> None:
    """Rule U-9."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    house.add("watered", "room", "2032-01-10 07:00", {"failed": True})
    assert course(house, "2032-01-10").sky.water_failed
    assert course(house, "2032-01-11").sky.water_failed
    assert not course(house, "2032-01-12").sky.water_failed
    house.add("watered", "bench", "2032-01-10 12:00", {"minutes": 10})
    assert not course(house, "2032-01-10").sky.water_failed


def test_a_batch_that_stands_nowhere_is_watered_by_nobody() -> None:
    house = House()
    house.row("program", "slow", PROGRAM)
    house.arrive("2031-03-03 08:00", ("t1",), place=None)
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    house.add("watered", "room", "2032-01-10 07:00", {"failed": True})
    assert not course(house, "2032-01-10").sky.water_failed


def test_phones_are_told_each_program_once_and_of_each_batch_its_own(house: House) -> None:
    house.add("lost", "t2", "2031-03-04 08:00", {"count": 0, "fate": "died"})
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    said = told.of_book(house.book(), day("2032-01-06"))
    assert set(said["programs"]) == {"slow"}
    assert said["programs"]["slow"]["light"] == []
    assert said["batches"]["t2"] == {"program": "slow", "at": None}
    one = said["batches"]["t1"]
    assert (one["at"], one["since"], one["advice"]["doing"]) == (1, "2032-01-05", "stay")
    assert one["advice"]["on"] == "2032-01-10"


def test_light_under_each_step_is_told_where_the_site_is_known(house: House) -> None:
    house.row("site", "site", {"latitude": -17})
    said = told.of_book(house.book(), day("2032-01-06"))
    dark, half, mornings, bare = said["programs"]["slow"]["light"]
    assert dark < half < mornings < bare
    assert dark == pytest.approx(0.3 * bare, abs=0.1)


def asked(house: House, on: str) -> dict[str, str | None]:
    found = checks.due(house.book(), day(on), day(on))
    return {one.kind: one.answered_by for one in found if one.kind.startswith("toughen_")}


def test_the_round_asks_for_the_checks_of_the_step_until_they_are_done(house: House) -> None:
    """Rule U-10: scorch shows by the third day."""
    assert asked(house, "2032-01-04") == {}
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    first = {"toughen_wilt": None, "toughen_roots": None, "toughen_pests": None}
    assert asked(house, "2032-01-06") == first
    assert asked(house, "2032-01-07") == first | {"toughen_scorch": None}
    assert set(asked(house, "2032-02-20")) == set(asked(house, "2032-01-07"))
    done = house.add("wilted", "t1", "2032-01-08 14:00", {"wilted": 0, "of": 20})
    assert asked(house, "2032-01-08")["toughen_wilt"] == done
    assert "toughen_wilt" not in asked(house, "2032-01-09")
    [due] = [
        one
        for one in checks.due(house.book(), day("2032-01-08"), day("2032-01-08"))
        if one.kind == "toughen_scorch"
    ]
    assert due.params == {"step": "s50", "shade": 50}
    assert house.book().day(due.due_by) == day("2032-01-10")


def test_of_plants_that_are_gone_nothing_is_asked(house: House) -> None:
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=50)
    house.add("lost", "t1", "2032-01-06 08:00", {"count": 50, "fate": "died"})
    assert asked(house, "2032-01-07") == {}


def doubted(house: House) -> list[str]:
    book = house.book()
    return [one.entries[0] for one in against(book.batches["t1"], book)]


def test_a_step_too_early_or_unchecked_is_kept_and_doubted(house: House) -> None:
    """Rule U-11."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=70)
    stepped(house, "2032-01-08 08:00", "forward", shade_percent=50)
    assert len(doubted(house)) == 1
    assert at(house, "2032-01-08") == "s50"


def test_what_was_counted_with_the_step_counts_for_it(house: House) -> None:
    """Rule U-11: 14 of 60 burn, so the step is against the advice; 1 of 60 is none."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=70)
    stepped(house, "2032-01-10 08:00", "forward", shade_percent=50, scorched=1, of=60)
    assert doubted(house) == []
    house = House()
    house.row("program", "slow", PROGRAM)
    house.arrive("2031-03-03 08:00", ("t1",))
    house.count("t1", 50, "2031-03-03 08:10")
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=70)
    stepped(house, "2032-01-10 08:00", "forward", shade_percent=50, scorched=14, of=60)
    assert len(doubted(house)) == 1


def test_heat_that_was_forecast_by_then_speaks_against_a_step_and_later_heat_does_not(
    house: House,
) -> None:
    """Rule U-11."""
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=70)
    stepped(house, "2032-01-10 08:00", "forward", shade_percent=50, scorched=0, of=60)
    sky(house, "2032-01-10 09:00", {"on": "2032-01-11", "high_c": 38})
    assert doubted(house) == []
    sky(house, "2032-01-09 09:00", {"on": "2032-01-11", "high_c": 38})
    assert len(doubted(house)) == 1


def test_back_and_stay_are_never_doubted_nor_the_first_step_nor_one_after_the_last(
    house: House,
) -> None:
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=0)
    stepped(house, "2032-01-06 08:00", "stay", shade_percent=0)
    stepped(house, "2032-01-07 08:00", "forward", shade_percent=0)
    stepped(house, "2032-01-08 08:00", "back", shade_percent=70)
    assert doubted(house) == []


def test_without_a_program_no_step_is_against_it() -> None:
    house = House()
    house.arrive("2031-03-03 08:00", ("t1",))
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=70)
    stepped(house, "2032-01-06 08:00", "forward", shade_percent=0)
    assert doubted(house) == []


def test_the_bed_line_is_told_each_shade_with_its_day(house: House) -> None:
    stepped(house, "2032-01-05 08:00", "forward", shade_percent=70)
    stepped(house, "2032-01-06 08:00", "stay")
    stepped(house, "2032-01-12 08:00", "forward", shade_percent=50)
    book = house.book()
    assert shades(book.batches["t1"], book) == [
        {"on": "2032-01-05", "percent": 70},
        {"on": "2032-01-12", "percent": 50},
    ]
