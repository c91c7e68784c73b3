"""Worked back from the field (rules Y-1 to Y-4)."""

import math
from datetime import date
from typing import Any

import pytest

from nursery.domain import backward, profiles, shares
from nursery.domain.backward import USUAL, Known, Wanted
from nursery.domain.figures import Figure
from nursery.domain.shares import Share
from nursery.science import planning
from nursery.science.planning import Expected, Rate
from nursery.services import templates

FIRST, LAST = date(2032, 10, 5), date(2032, 11, 12)


def profile(ident: str) -> profiles.Profile:
    [raw] = [one for one in templates.crop_profiles() if one["id"] == ident]
    return profiles.read(raw)


def wanted(**given: Any) -> Wanted:
    usual = {"plants": 1000, "first": FIRST, "last": LAST, "certainty": 0.9}
    return Wanted(**{**usual, **given})


def beta(alpha: float, beta: float) -> Share:
    mean = alpha / (alpha + beta)
    return Share(mean, mean * (alpha + 1) / (alpha + beta + 1))


@pytest.mark.parametrize(
    ("points", "lost", "sown"),
    [
        # The trade's example: z 10 %, x 10 %, y 12 %.
        (1000, (0.10, 0.12, 0.10), 1389),
        (1000, (0, 0, 0), 1000),
        (500, (0.5, 0.0, 0.0), 1000),
        (0, (0.1, 0.1, 0.1), 0),
    ],
)
def test_so_many_are_sown_by_practice(
    points: int, lost: tuple[float, float, float], sown: int
) -> None:
    assert backward.by_practice(points, dict(zip(backward.STAGES, lost, strict=True))) == sown


@pytest.mark.parametrize(
    ("past", "rate"),
    [([], 0.8), ([(100, 60), (120, 80), (90, 52)], 0.8), ([(50, 50)], 0.6), ([(400, 12)], 0.9)],
)
def test_a_share_is_learned_as_the_science_learns_it(
    past: list[tuple[int, int]], rate: float
) -> None:
    expected = Expected(rate, 0.08, 3)
    found = shares.learned(past, expected)
    theirs = planning.learn_rate([a for a, _ in past], [b for _, b in past], expected)
    assert found.mean == pytest.approx(theirs.mean, abs=1e-6)
    squares = zip(theirs.weights, theirs.alphas, theirs.betas, strict=True)
    square = sum(w * a * (a + 1) / ((a + b) * (a + b + 1)) for w, a, b in squares)
    assert found.square == pytest.approx(square, abs=1e-6)


@pytest.mark.parametrize("certainty", [0.5, 0.8, 0.9, 0.95])
@pytest.mark.parametrize(
    ("needed", "betas"),
    [
        (100, [(800.0, 200.0)]),
        (1000, [(40.0, 10.0)]),
        (300, [(30.0, 4.0), (50.0, 8.0), (45.0, 5.0)]),
        (20, [(8.0, 2.0), (9.0, 3.0)]),
    ],
)
def test_so_many_are_started_as_the_science_starts(
    needed: int, betas: list[tuple[float, float]], certainty: float
) -> None:
    found = shares.number_to_start(needed, certainty, [beta(*one) for one in betas])
    rates = [Rate((1.0,), (a,), (b,)) for a, b in betas]
    theirs = planning.number_to_start(needed, certainty, rates)
    assert found is not None
    assert theirs is not None
    # One beta of the same mean and spread stands for several, and theirs is simulated.
    assert found == pytest.approx(theirs, rel=0.01, abs=1)


def test_a_chance_is_that_of_all_outcomes_counted() -> None:
    def of(k: int) -> float:
        ways = math.comb(12, k)
        log = math.lgamma(k + 2.5) + math.lgamma(12 - k + 0.5) - math.lgamma(15.0)
        base = math.lgamma(2.5) + math.lgamma(0.5) - math.lgamma(3.0)
        return ways * math.exp(log - base)

    for needed in range(14):
        counted = sum(of(k) for k in range(needed, 13))
        assert shares.chance(needed, 12, 2.5, 0.5) == pytest.approx(counted, abs=1e-9)


def test_nothing_needs_nothing_and_what_never_passes_needs_more_than_there_is() -> None:
    assert shares.number_to_start(0, 0.9, [beta(8, 2)]) == 0
    assert shares.number_to_start(5, 0.99, [Share(1e-9, 1e-18)]) is None
    assert beta(8, 2).spread == pytest.approx(math.sqrt(0.8 * 0.2 / 11))


def test_without_records_the_usual_losses_are_told_as_practice() -> None:
    told = backward.start(wanted())
    assert told["middle"] == 1389
    assert told["sure"] > 1389
    assert [(one["stage"], one["lost"], one["from"]) for one in told["stages"]] == [
        (stage, pytest.approx(USUAL[stage], abs=0.002), "practice") for stage in backward.STAGES
    ]


def test_own_batches_speak_before_practice_and_what_is_typed_before_both() -> None:
    past = {"before": [(1000, 600)] * 8, "nursery": [(600, 590)]}
    told = backward.start(wanted(past=past, lost={"nursery": 0.2}))
    before, nursery, field = told["stages"]
    assert (before["from"], before["batches"]) == ("book", 8)
    theirs = planning.learn_rate([1000] * 8, [600] * 8, Expected(0.9, 0.05, 3)).mean
    assert before["lost"] == pytest.approx(1 - theirs, abs=1e-4)
    assert before["lost"] > 0.25
    assert (nursery["from"], nursery["batches"]) == ("typed", 0)
    assert nursery["lost"] == pytest.approx(0.2, abs=0.001)
    assert field["from"] == "practice"


@pytest.mark.parametrize(
    ("past", "typed", "stages"),
    [
        ({"take": [(40, 30)]}, {}, ["take", "nursery", "field"]),
        ({"take": [(40, 30)], "before": [(50, 45)]}, {}, ["before", "take", "nursery", "field"]),
        ({"take": [(40, 30)]}, {"before": 0.3}, ["before", "nursery", "field"]),
        ({"take": []}, {}, ["before", "nursery", "field"]),
    ],
)
def test_own_grafts_stand_for_what_is_lost_before_the_nursery(
    past: dict[str, Any], typed: dict[str, float], stages: list[str]
) -> None:
    """Rule K-4."""
    told = backward.start(wanted(past=past, lost=typed))
    assert [one["stage"] for one in told["stages"]] == stages
    losses = {one["stage"]: one["lost"] for one in told["stages"]}
    assert told["middle"] == backward.by_practice(1000, losses)


def test_where_nothing_is_lost_as_many_are_started_as_stand() -> None:
    told = backward.start(wanted(lost=dict.fromkeys(backward.STAGES, 0.0)))
    assert (told["middle"], told["sure"]) == (1000, 1000)


@pytest.mark.parametrize(
    ("weeks", "certainty", "days"),
    [
        (Figure(10), 0.9, 70),
        (Figure(10, 20), 0.9, 140),
        (Figure(10, 20), 0.5, math.ceil(70 * math.sqrt(2))),
        (Figure(10, 20), 0.1, 70),
        (Figure(0, 10), 0.9, 63),
        (Figure(90_000), 0.9, 20_000),
    ],
)
def test_eight_of_ten_batches_need_the_range(weeks: Figure, certainty: float, days: int) -> None:
    assert backward.days_of(weeks, certainty) == days


@pytest.mark.parametrize("certainty", [0.5, 0.8, 0.9])
def test_days_are_those_of_the_science(certainty: float) -> None:
    scale = math.log(61 / 39) / 2 / 1.2815515655446004
    duration = planning.Duration(7 * math.sqrt(39 * 61), scale, 1e7)
    theirs = planning.sow_by(FIRST, [duration], certainty)
    assert backward.days_of(Figure(39, 61), certainty) == pytest.approx(theirs.days, abs=1)


def test_days_are_told_backward_from_the_weeks() -> None:
    known = Known(profile("native_conifer"), toughening_days=42, full_days=200, look_days=7)
    days = backward.back(wanted(), known)
    assert [one["on"] for one in days] == sorted(one["on"] for one in days)
    by = {one["act"]: (one["on"], one["until"]) for one in days}
    assert [*by] == [
        *("stratify", "sow", "germination", "pot"),
        *("inspect", "toughen", "release", "plant"),
    ]
    assert by["plant"] == ("2032-10-05", "2032-11-12")
    assert by["toughen"][0] == "2032-08-24"
    assert by["inspect"] == ("2032-08-17", "2032-08-24")
    assert by["pot"][0] == "2032-03-19"
    # 78 weeks for nine in ten: 546 days before the weeks begin, or end.
    assert by["sow"] == ("2031-04-08", "2031-05-16")
    assert by["stratify"][0] == "2031-01-14"
    assert by["germination"][0] == "2031-05-20"
    assert backward.missing(known) == []


def test_what_nobody_typed_is_named_and_left_out() -> None:
    known = Known(None)
    assert [one["act"] for one in backward.back(wanted(), known)] == ["plant"]
    assert backward.missing(known) == ["profile", "program", "pot", "inspection"]


def test_a_crop_without_cold_and_unions_has_the_stages_that_it_has() -> None:
    days = backward.back(wanted(), Known(profile("avocado")))
    assert [one["act"] for one in days] == ["sow", "germination", "plant"]


@pytest.mark.parametrize(
    ("release", "plant"),
    [
        (date(2032, 8, 1), ("2032-10-05", "2032-11-12")),
        (date(2032, 9, 10), ("2032-10-22", "2032-11-12")),
        (date(2032, 11, 1), ("2033-03-01", "2033-04-01")),
        (date(2033, 8, 1), None),
    ],
)
def test_from_a_release_the_first_weeks_after_toughening_follow(
    release: date, plant: tuple[str, str] | None
) -> None:
    weeks = [(FIRST, LAST), (date(2033, 3, 1), date(2033, 4, 1))]
    days = backward.forward(release, weeks, Known(None, toughening_days=42, look_days=7))
    by = {one["act"]: (one["on"], one["until"]) for one in days}
    assert by.get("plant") == plant
    assert by["toughen"][0] == release.isoformat()
    assert by["inspect"][1] == release.isoformat()
