import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from nursery.science import surveillance

FRACTIONS = st.floats(0.0, 1.0)
EFFICACIES = st.floats(0.01, 1.0)


def near(case: dict[str, Any]) -> Any:
    return pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@pytest.mark.published("surveillance", "sep-binom", "epiR-sep-300")
def test_sensitivity_in_a_large_population(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    seen = given_["n"]
    if isinstance(seen, int):
        assert surveillance.sensitivity(seen, given_["pstar"], given_["se"]) == near(case)
    else:
        reached = [surveillance.sensitivity(n, given_["pstar"], given_["se"]) for n in seen]
        assert reached == near(case)


@pytest.mark.published("surveillance", "sep-exact")
def test_sensitivity_when_every_unit_is_infested_and_looked_at(case: dict[str, Any]) -> None:
    efficacy = case["inputs"]["se"]
    reached = [surveillance.sensitivity_approximate(d, d, d, efficacy) for d in case["inputs"]["d"]]
    assert reached == near(case)


@pytest.mark.published("surveillance", "sep-N30-100", "epiR-sep-herds")
def test_sensitivity_in_known_populations_follows_the_packages_approximation(
    case: dict[str, Any],
) -> None:
    given_ = case["inputs"]
    reached = [
        # The packages round the infested units up.
        surveillance.sensitivity_approximate(
            lot, math.ceil(lot * given_["pstar"]), given_["n"], given_["se"]
        )
        for lot in given_["N"]
    ]
    if isinstance(case["expected"], dict):
        assert {"min": min(reached), "max": max(reached)} == near(case)
    else:
        assert reached == near(case)


@pytest.mark.published("surveillance", "sep-varse")
def test_units_of_unequal_efficacy_count_with_their_mean(case: dict[str, Any]) -> None:
    mean = (50 * 0.90 + 100 * 0.95) / 150
    lot = case["inputs"]["N"]
    infested = math.ceil(lot * case["inputs"]["pstar"])
    assert surveillance.sensitivity_approximate(lot, infested, 150, mean) == near(case)


@pytest.mark.published("surveillance", "disc-prior")
def test_freedom_is_discounted_by_what_may_have_come_in(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    left = [surveillance.discounted(prior, given_["p_intro"]) for prior in given_["prior"]]
    assert left == near(case)


@pytest.mark.published("surveillance", "pfree-1")
def test_freedom_after_one_negative_survey(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    prior = surveillance.discounted(given_["prior"], given_["p_intro"])
    freedom = [surveillance.probability_of_freedom(prior, sep) for sep in given_["sep"]]
    assert freedom == near(case)


@pytest.mark.published("surveillance", "pfree-equilibrium")
def test_freedom_settles_where_surveys_make_good_what_introductions_cost(
    case: dict[str, Any],
) -> None:
    def settled(sensitivity: float) -> float:
        freedom = 0.5
        for _ in range(200):
            prior = surveillance.discounted(freedom, case["inputs"]["p_intro"])
            freedom = surveillance.probability_of_freedom(prior, sensitivity)
        return freedom

    assert [settled(sensitivity) for sensitivity in case["inputs"]["sep"]] == near(case)


@pytest.mark.published("surveillance", "sep-for-pfree")
def test_the_printed_sensitivities_lead_to_the_printed_freedom(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    freedom = [
        surveillance.probability_of_freedom(given_["prior"], sensitivity)
        for sensitivity in case["expected"]
    ]
    assert freedom == pytest.approx(given_["pfree"], abs=case["tolerance"], rel=0)


@pytest.mark.published("surveillance", "n-pfree")
def test_the_printed_sizes_are_the_least_that_reach_the_printed_freedom(
    case: dict[str, Any],
) -> None:
    given_ = case["inputs"]
    prior = surveillance.discounted(given_["prior"], given_["p_intro"])
    infested = math.ceil(given_["N"] * given_["pstar"])

    def freedom(seen: int) -> float:
        reached = surveillance.sensitivity_approximate(given_["N"], infested, seen, given_["se"])
        return surveillance.probability_of_freedom(prior, reached)

    for wanted, size in zip(given_["pfree"], case["expected"], strict=True):
        assert freedom(size - 1) < wanted <= freedom(size)


@pytest.mark.published("surveillance", "ftd")
def test_captures_per_trap_and_day(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    index = surveillance.captures_per_trap_day(given_["flies"], given_["traps"], given_["days"])
    assert index is None if case["expected"] is None else index == near(case)


def test_traps_that_were_not_read_give_no_index() -> None:
    assert surveillance.captures_per_trap_day(0, 0, 7) is None


def test_a_pest_known_to_be_there_is_not_surveyed_away() -> None:
    assert surveillance.probability_of_freedom(0.0, 1.0) == 0.0


def test_looking_surely_at_a_wholly_infested_population_finds_the_pest() -> None:
    assert surveillance.sensitivity(1, 1.0) == 1.0
    assert surveillance.sensitivity(0, 1.0) == 0.0


@given(st.integers(0, 5000), FRACTIONS, EFFICACIES)
def test_sensitivity_is_scipys_binomial(seen: int, prevalence: float, efficacy: float) -> None:
    reached = surveillance.sensitivity(seen, prevalence, efficacy)
    assert reached == pytest.approx(binom.sf(0, seen, prevalence * efficacy), abs=1e-9)


@given(st.integers(0, 5000), st.integers(0, 5000), FRACTIONS, EFFICACIES)
def test_two_rounds_find_what_one_round_of_both_finds(
    first: int, second: int, prevalence: float, efficacy: float
) -> None:
    once = surveillance.sensitivity(first + second, prevalence, efficacy)
    missed_twice = (1 - surveillance.sensitivity(first, prevalence, efficacy)) * (
        1 - surveillance.sensitivity(second, prevalence, efficacy)
    )
    assert once == pytest.approx(1 - missed_twice, abs=1e-9)


@given(FRACTIONS, FRACTIONS)
def test_a_negative_survey_never_lowers_the_freedom(prior: float, sensitivity: float) -> None:
    freedom = surveillance.probability_of_freedom(prior, sensitivity)
    assert prior - 1e-15 <= freedom <= 1.0


@given(FRACTIONS, FRACTIONS)
def test_time_never_raises_the_freedom(prior: float, introduction: float) -> None:
    assert 0.0 <= surveillance.discounted(prior, introduction) <= prior
