"""Day 8, February and 9 March 2032: toughening, grading, and whether to plant or wait."""

from collections.abc import Iterator
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from nursery.services import demo
from tests.story.reading import Reading, add, going_on, read, record, there, told_until

pytestmark = pytest.mark.django_db


def bodies(reading: Reading, batch: str, kind: str) -> list[dict[str, Any]]:
    return [
        line["entry"]["body"] for line in reading.timelines[batch] if line["entry"]["kind"] == kind
    ]


def test_236_are_alive_on_9_march_by_tray(told: dict[str, Reading]) -> None:
    noon = told["9 March, noon"]
    assert noon.total() == 236 == 241 - 5
    assert noon.alive() == [50, 52, 45, 0, 43, 38]
    assert noon.stock[n.MIXED]["alive"] == 8


def test_every_tray_is_planted_from_12_march_once_it_stands_the_sun(
    told: dict[str, Reading],
) -> None:
    """Rule J-4: three days of the last step are still to go, as the season sheet has it."""
    march = {"on": "2032-03-12", "first": "2032-03-01", "last": "2032-03-31"}
    assert [told["9 March, noon"].forecast(pot)["plant"] for pot in n.POTS] == [march] * 6


def test_the_grades_of_each_tray_are_its_living_plants(told: dict[str, Reading]) -> None:
    noon, evening = told["9 March, noon"], told["evening 8"]
    sums = {"a": 0, "b": 0, "c": 0}
    for pot in n.POTS:
        [grade] = bodies(evening, pot, "graded")
        assert sum(grade.values()) == noon.stock[pot]["alive"]
        sums = {name: plants + grade[name] for name, plants in sums.items()}
    assert sums == {"a": 214, "b": 15, "c": 7}
    assert sum(sums.values()) == 236


def test_what_was_culled_has_left_and_the_account_balances(told: dict[str, Reading]) -> None:
    ledger = told["evening 8"].ledger()
    assert {way: plants for way, plants in ledger.items() if plants and way != "in"} == {
        "alive": 229, "died": 22, "culled": 12, "sampled": 5, "destroyed": 50,
    }  # fmt: skip
    assert ledger["in"] == 318


def test_nothing_of_the_day_needs_a_look(told: dict[str, Reading]) -> None:
    assert told["evening 8"].needs["doubts"] == []


def toughening(reading: Reading) -> list[dict[str, Any]]:
    told: dict[str, Any] = reading.outlook["toughening"]["batches"]
    return [told[pot] for pot in n.POTS]


def step(reading: Reading, at: int) -> tuple[float, float | None]:
    found = reading.outlook["toughening"]["programs"][n.TOUGHENING]["steps"][at]
    return found["shade_percent"], found["sun_hours"]


def test_37_degrees_for_three_days_freeze_every_step(told: dict[str, Reading]) -> None:
    evening = told["37 degrees"]
    for one in toughening(evening):
        assert step(evening, one["at"]) == (50, None)
        assert one["advice"]["doing"] == "freeze"
        assert one["advice"]["reasons"] == [
            {"code": "toughening_heat", "params": {"high": 37.0, "n": 3, "most": 35.0}}
        ]


def test_23_percent_scorched_go_back_to_70_percent_shade(told: dict[str, Reading]) -> None:
    evening = told["scorched"]
    for pot, one in zip(n.POTS, toughening(evening), strict=True):
        assert step(evening, one["at"]) == (70, None)
        assert one["since"] == "2032-02-12"
        [back] = [
            body for body in bodies(told["evening 8"], pot, "stepped") if body["step"] == "back"
        ]
        assert (back["scorched"], back["of"]) == (14, 60)


@pytest.fixture(scope="module")
def dawn(story: Any, django_db_blocker: Any) -> Iterator[Teller]:
    """12 February before anybody has counted a leaf: heat is forecast, no step is written."""
    with told_until(django_db_blocker, there("2032-02-12T07:00")) as teller:
        yield teller


@pytest.fixture
def teller(dawn: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, dawn) as teller:
        yield teller


@pytest.mark.parametrize(
    ("scorched", "doing", "step", "code"),
    [(14, "back", "shade_70", "scorched"), (3, "freeze", "shade_50", "heat")],
    ids=["14 of 60, 23 %", "3 of 60, 5 %"],
)
def test_a_count_of_scorched_leaves_alone_decides_about_the_step_back(
    teller: Teller, scorched: int, doing: str, step: str, code: str
) -> None:
    """Nobody went back yet: who counted stayed under 50 % and asks what to do."""
    stayed = {"step": "stay", "shade_percent": 50, "program": n.TOUGHENING}
    seen = record("stepped", n.POTS, **stayed, scorched=scorched, of=60)
    add(teller, n.ROOM_PHONE, demo.W1.id, there("2032-02-12T07:10"), seen)
    reasons = {
        "scorched": {"n": 14, "of": 60, "percent": 23, "most": 5},
        "heat": {"high": 37.0, "n": 3, "most": 35.0},
    }
    for one in toughening(read(teller, there("2032-02-12T07:15"))):
        assert (one["at"], one["since"]) == (1, "2032-02-03")
        assert one["seen"]["scorched"] == scorched
        assert (one["advice"]["doing"], one["advice"]["step"]) == (doing, step)
        assert one["advice"]["reasons"] == [{"code": f"toughening_{code}", "params": reasons[code]}]


def test_the_way_to_open_sky_by_7_march(told: dict[str, Reading]) -> None:
    week = told["7 March"]
    for pot, one in zip(n.POTS, toughening(week), strict=True):
        assert step(week, one["at"]) == (0, None)
        assert one["since"] == "2032-03-07"
        way = [
            (body["shade_percent"], body.get("sun_hours"))
            for body in bodies(told["evening 8"], pot, "stepped")
            if body["step"] != "stay"
        ]
        assert way == [
            (70, None), (50, None), (70, None), (50, None), (30, None), (30, 5), (0, None),
        ]  # fmt: skip


def test_on_9_march_two_of_60_are_scorched_and_the_plants_are_hardened(
    told: dict[str, Reading],
) -> None:
    for one in toughening(told["9 March, noon"]):
        assert (one["seen"]["scorched"], one["seen"]["scorched_of"]) == (2, 60)
        assert (one["advice"]["doing"], one["advice"]["reasons"]) == ("done", [])


def test_less_shade_is_more_light(told: dict[str, Reading]) -> None:
    light = told["7 March"].outlook["toughening"]["programs"][n.TOUGHENING]["light"]
    assert light == sorted(light)
    assert light[0] == pytest.approx(0.3 * light[-1], abs=0.1)


def planting(reading: Reading) -> dict[str, Any]:
    [group] = reading.outlook["planting"]
    assert (group["id"], group["on"]) == ("con-1", "2032-03-12")
    return dict(group)


def test_exactly_three_checks_are_not_green(told: dict[str, Reading]) -> None:
    day = planting(told["graded"])
    not_green = {one["key"]: one["colour"] for one in day["checks"] if one["colour"] != "go"}
    assert not_green == {"dry_spell": "wait", "nurse_row:terrace-5": "wait", "pots_full": "wait"}
    figures = {one["key"]: one["params"] for one in day["checks"]}
    assert figures["dry_spell"]["value"] == 0.35
    assert figures["nurse_row:terrace-5"] == {"wanted": 80.0, "value": 40.0}
    assert figures["pots_full"] == {"weeks": 6}


def test_hardened_is_one_of_the_checks_and_so_are_all_others(told: dict[str, Reading]) -> None:
    day = planting(told["graded"])
    figures = {one["key"]: one["params"] for one in day["checks"]}
    assert figures["toughened"] == {"step": "open", "shade": 0.0}
    assert figures["fit"] == {"have": 214, "of": 214}
    assert figures["soil"]["value"] == 22
    assert figures["outlook"]["value"] == 4
    assert figures["heat"]["value"] == 31
    assert figures["people"] == {"have": 6, "of": 6}
    assert figures["days_left"]["value"] == 19
    assert figures["released"]["planned"] == 214
    assert {key: figures[f"pits:{key}"] for key in n.TERRACES} == {
        "terrace-3": {"have": 72, "of": 72},
        "terrace-4": {"have": 72, "of": 72},
        "terrace-5": {"have": 70, "of": 70},
    }


def test_before_a_signature_all_wait_and_after_each_with_its_reason_all_go(
    told: dict[str, Reading],
) -> None:
    before, after = planting(told["graded"]), planting(told["evening 8"])
    assert (before["verdicts"], before["spares"]) == (dict.fromkeys(n.TERRACES, "wait"), 0)
    assert (after["verdict"], after["verdicts"]) == ("go", dict.fromkeys(n.TERRACES, "go"))
    assert set(after["signed"]) == {"dry_spell", "nurse_row:terrace-5", "pots_full"}
    assert {one["by"] for one in after["signed"].values()} == {"Ilsa Vorren"}
    assert all(one["reason"] for one in after["signed"].values())
    assert (after["waiting"], after["spares"]) == (15, 8)
