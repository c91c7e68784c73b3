from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.science import light

FLUXES = st.floats(1.0, 2000.0)
INTEGRALS = st.floats(0.0, 70.0)
SHADES = st.lists(st.floats(0.0, 1.0), max_size=5)


def near(case: dict[str, Any]) -> Any:
    return pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@pytest.mark.published("light", "dli-1500-9", "dli-20-12")
def test_the_integral_at_a_steady_flux(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    assert light.daily_light_integral(given_["ppfd"], given_["hours"]) == near(case)


@pytest.mark.published("light", "dli-minute-series")
def test_the_integral_of_a_sampled_day_is_the_sum_of_its_trapezia(case: dict[str, Any]) -> None:
    hours = case["inputs"]["interval_s"] / 3600
    samples = case["inputs"]["ppfd_samples"]
    parts = [light.daily_light_integral((a + b) / 2, hours) for a, b in pairwise(samples)]
    assert sum(parts) == near(case)


@pytest.mark.published("light", "shade-")
def test_layers_of_shade_multiply(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    percent = given_["shade_percent"]
    shades = [one / 100 for one in (percent if isinstance(percent, list) else [percent])]
    shades.append(1.0 - given_.get("glazing_transmission", 1.0))
    assert light.through_shade(given_["dli_open"], shades) == near(case)


@pytest.mark.published("light", "tea-shade")
def test_daylight_shares_of_a_tea_nursery(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    shares = [1.0 - percent / 100 for percent in given_["daylight_percent"]]
    assert [light.through_shade(given_["open_dli"], [share]) for share in shares] == near(case)


@given(INTEGRALS, INTEGRALS, FLUXES)
def test_lamps_burn_just_long_enough(target: float, daylight: float, ppfd: float) -> None:
    hours = light.lamp_hours(target, daylight, ppfd)
    if target <= daylight:
        assert hours == 0.0
    elif hours <= 24.0:
        added = light.daily_light_integral(ppfd, hours)
        assert daylight + added == pytest.approx(target)


def test_lamps_too_weak_for_the_target_would_burn_longer_than_a_day() -> None:
    assert light.lamp_hours(20.0, 2.0, 100.0) == 50.0


@given(INTEGRALS, SHADES, st.randoms(use_true_random=False))
def test_the_order_of_layers_does_not_matter(dli: float, shades: list[float], shuffle: Any) -> None:
    shuffled = list(shades)
    shuffle.shuffle(shuffled)
    below = light.through_shade(dli, shades)
    assert light.through_shade(dli, shuffled) == pytest.approx(below)
    assert 0.0 <= below <= dli


def test_under_the_open_sky_nothing_is_lost() -> None:
    assert light.through_shade(42.0, []) == 42.0
