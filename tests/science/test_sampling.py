import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, hypergeom

from nursery.science import sampling, surveillance

LOTS = st.integers(1, 3000)
SHARES = st.floats(0.001, 1.0)
CONFIDENCES = st.floats(0.01, 0.999)
EFFICACIES = st.floats(0.05, 1.0)


def missed_by_scipy(lot: int, infested: int, seen: int, efficacy: float) -> float:
    found = np.arange(max(0, seen + infested - lot), min(seen, infested) + 1)
    chances = hypergeom.pmf(found, lot, infested, seen) * (1.0 - efficacy) ** found
    return float(chances.sum())


@pytest.mark.published("sampling", "ispm31-t1")
def test_known_lots_follow_ispm_31_table_1_with_infested_units_rounded_down(
    case: dict[str, Any],
) -> None:
    given_ = case["inputs"]
    sizes = {
        f"{level:g}%": sampling.sample_size(
            given_["lot_size"], level / 100, given_["confidence"], given_["efficacy"]
        )
        for level in given_["lod_percent"]
    }
    assert sizes == case["expected"]


@pytest.mark.published("sampling", "ispm31-t3")
def test_large_lots_follow_the_binomial_table_3_of_ispm_31(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    sizes = {
        f"{efficacy:g}": sampling.sample_size_large(
            given_["lod_percent"] / 100, given_["confidence"], efficacy
        )
        for efficacy in given_["efficacy"]
    }
    assert sizes == case["expected"]


@pytest.mark.published("sampling", "rs-n")
def test_the_approximation_gives_the_packages_sizes_with_infested_units_rounded_up(
    case: dict[str, Any],
) -> None:
    given_ = case["inputs"]
    sizes = [
        sampling.sample_size_approximate(lot, math.ceil(0.01 * lot), given_["sep"], given_["se"])
        for lot in given_["N"]
    ]
    assert sizes == case["expected"]


@pytest.mark.published("sampling", "epiR")
def test_the_approximation_agrees_with_printed_examples_and_large_lots_with_the_binomial(
    case: dict[str, Any],
) -> None:
    given_ = case["inputs"]
    # Two tests of which one positive is enough miss only what both miss.
    tests = given_.get("se_tests", [given_.get("se_u")])
    efficacy = 1.0 - math.prod(1.0 - one for one in tests)
    if given_["N"] is None:
        size = sampling.sample_size_large(given_["pstar"], given_["se_p"], efficacy)
    else:
        infested = math.ceil(given_["N"] * given_["pstar"])
        size = sampling.sample_size_approximate(given_["N"], infested, given_["se_p"], efficacy)
    assert size == case["expected"]


@pytest.mark.published("sampling", "cannonroe")
def test_the_exact_rule_gives_the_exact_column_beside_cannon_and_roe(
    case: dict[str, Any],
) -> None:
    given_ = case["inputs"]
    prevalence = given_["D"] / given_["N"]
    size = sampling.sample_size(given_["N"], prevalence, given_["confidence"])
    assert size == case["expected"]["exact_hypergeom"]


@pytest.mark.published("sampling", "exact-se")
def test_the_exact_rule_holds_with_an_imperfect_eye(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    prevalence = given_["D"] / given_["N"]
    size = sampling.sample_size(given_["N"], prevalence, given_["confidence"], given_["efficacy"])
    assert size == case["expected"]


@pytest.mark.published("sampling", "pool-n-32")
def test_pools_are_as_many_as_printed(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    pools = sampling.pooled_samples(
        given_["pstar"], given_["pool_size"], given_["se_p"], given_["pse"], given_["psp"]
    )
    assert pools == case["expected"]


@pytest.mark.published("sampling", "pool-60x5")
def test_the_printed_pools_reach_the_printed_confidence(case: dict[str, Any]) -> None:
    given_ = case["inputs"]

    def pools(confidence: float) -> int:
        return sampling.pooled_samples(
            given_["pstar"], given_["pool_size"], confidence, given_["pse"], given_["psp"]
        )

    reached = case["expected"]
    assert pools(reached - case["tolerance"]) <= given_["pools"]
    assert given_["pools"] <= pools(reached + case["tolerance"])


EDGES = {
    "an empty lot has no level to find": ((0, 0.5), None),
    "a level below one unit cannot be found": ((50, 0.01), None),
    "certainty needs all but the infested units and one more": ((200, 0.05, 1.0), 191),
    "an eye that misses never gives certainty": ((200, 0.05, 1.0, 0.99), None),
    "one look is enough where every unit is infested": ((30, 1.0), 1),
    "a tie counts as reached": ((100, 0.01, 0.9), 90),
    "a whole lot may be needed": ((20, 0.05, 0.99), 20),
    "a tiny chance takes one look": ((1000, 0.1, 1e-12), 1),
    "an eye that sees almost nothing reaches nothing": ((1000, 0.1, 0.5, 1e-17), None),
    "rounding never divides by nothing": ((200_000, 1e-5, 1e-16, 3e-16), 1),
}


@pytest.mark.parametrize(("arguments", "size"), EDGES.values(), ids=EDGES.keys())
def test_sample_sizes_at_the_edges(arguments: tuple[Any, ...], size: int | None) -> None:
    assert sampling.sample_size(*arguments) == size


def test_where_no_unit_is_infested_looking_reaches_nothing() -> None:
    assert sampling.confidence_reached(50, 20, 0.01) == 0.0
    assert sampling.confidence_reached(50, 20, 0.0) == 0.0
    assert sampling.confidence_reached(0, 0, 0.5) == 0.0


def test_seeing_nothing_detects_nothing() -> None:
    assert sampling.detectable_prevalence(200, 0) is None
    assert sampling.detectable_prevalence(0, 0) is None
    assert sampling.detectable_prevalence(200, 1, 0.95, 0.5) is None


def test_in_a_wholly_infested_population_one_sure_look_is_enough() -> None:
    assert sampling.sample_size_large(1.0, 0.999) == 1
    assert sampling.pooled_samples(1.0, 3, 0.999) == 1


def test_the_approximation_never_asks_for_more_than_there_is() -> None:
    assert sampling.sample_size_approximate(50, 1, 0.95, 0.5) == 50
    assert sampling.sample_size_approximate(50, 50, 1.0) == 50


@given(LOTS, SHARES, CONFIDENCES, EFFICACIES)
def test_the_exact_size_reaches_the_confidence_by_scipy_and_one_unit_less_does_not(
    lot: int, prevalence: float, confidence: float, efficacy: float
) -> None:
    size = sampling.sample_size(lot, prevalence, confidence, efficacy)
    infested = math.floor(lot * prevalence + 1e-9)
    allowed = 1.0 - confidence
    if size is None:
        assert infested == 0 or missed_by_scipy(lot, infested, lot, efficacy) > allowed
    else:
        assert missed_by_scipy(lot, infested, size, efficacy) <= allowed * (1 + 1e-8)
        assert missed_by_scipy(lot, infested, size - 1, efficacy) > allowed * (1 - 1e-8)


@given(LOTS, st.data())
def test_the_confidence_reached_is_scipys(lot: int, data: st.DataObject) -> None:
    seen = data.draw(st.integers(0, lot))
    infested = data.draw(st.integers(1, lot))
    efficacy = data.draw(EFFICACIES)
    reached = sampling.confidence_reached(lot, seen, infested / lot, efficacy)
    assert reached == pytest.approx(1.0 - missed_by_scipy(lot, infested, seen, efficacy), abs=1e-9)


def test_small_lots_agree_with_scipy_without_exception() -> None:
    for lot in range(1, 14):
        for infested in range(1, lot + 1):
            for seen in range(lot + 1):
                for efficacy in (1.0, 0.7, 0.05):
                    reached = sampling.confidence_reached(lot, seen, infested / lot, efficacy)
                    missed = missed_by_scipy(lot, infested, seen, efficacy)
                    assert reached == pytest.approx(1.0 - missed, abs=1e-12)


@pytest.mark.parametrize(
    ("infested", "efficacy"),
    [(20, 1.0), (20, 0.9), (20, 0.3), (2000, 1.0), (2000, 0.01), (100_000, 1.0), (100_000, 0.01)],
)
def test_large_lots_agree_with_scipy(infested: int, efficacy: float) -> None:
    lot, prevalence = 200_000, infested / 200_000
    size = sampling.sample_size(lot, prevalence, 0.95, efficacy)
    assert size is not None
    assert missed_by_scipy(lot, infested, size, efficacy) <= 0.05 * (1 + 1e-6)
    assert missed_by_scipy(lot, infested, size - 1, efficacy) > 0.05 * (1 - 1e-6)
    for seen in (100, 100_000, 199_000):
        reached = sampling.confidence_reached(lot, seen, prevalence, efficacy)
        missed = missed_by_scipy(lot, infested, seen, efficacy)
        assert reached == pytest.approx(1.0 - missed, abs=1e-6)


@given(st.floats(1e-4, 1.0), CONFIDENCES, EFFICACIES)
def test_the_large_size_is_scipys_binomial(
    prevalence: float, confidence: float, efficacy: float
) -> None:
    size = sampling.sample_size_large(prevalence, confidence, efficacy)
    chance = prevalence * efficacy
    assert binom.sf(0, size, chance) >= confidence * (1 - 1e-7)
    assert size == 1 or binom.sf(0, size - 1, chance) < confidence * (1 + 1e-7)


@given(LOTS, SHARES, CONFIDENCES, EFFICACIES)
def test_the_exact_size_is_never_above_the_approximation_nor_above_the_lot(
    lot: int, prevalence: float, confidence: float, efficacy: float
) -> None:
    size = sampling.sample_size(lot, prevalence, confidence, efficacy)
    infested = math.floor(lot * prevalence + 1e-9)
    if size is not None:
        assert size <= sampling.sample_size_approximate(lot, infested, confidence, efficacy)
        assert size <= lot


@given(LOTS, SHARES, CONFIDENCES, CONFIDENCES, EFFICACIES)
def test_more_confidence_never_takes_fewer_units(
    lot: int, prevalence: float, one: float, other: float, efficacy: float
) -> None:
    less = sampling.sample_size(lot, prevalence, min(one, other), efficacy)
    more = sampling.sample_size(lot, prevalence, max(one, other), efficacy)
    if more is not None:
        assert less is not None
        assert less <= more


@given(LOTS, CONFIDENCES, EFFICACIES, st.data())
def test_what_is_detectable_is_the_least_share_that_those_seen_would_have_shown(
    lot: int, confidence: float, efficacy: float, data: st.DataObject
) -> None:
    seen = data.draw(st.integers(1, lot))
    share = sampling.detectable_prevalence(lot, seen, confidence, efficacy)
    if share is None:
        assert sampling.confidence_reached(lot, seen, 1.0, efficacy) < confidence
        return
    assert sampling.confidence_reached(lot, seen, share, efficacy) >= confidence - 1e-9
    fewer = (round(share * lot) - 1) / lot
    assert sampling.confidence_reached(lot, seen, fewer, efficacy) < confidence + 1e-9


@given(LOTS, EFFICACIES, st.data())
def test_the_approximate_sensitivity_is_never_above_the_exact_one(
    lot: int, efficacy: float, data: st.DataObject
) -> None:
    seen, infested = data.draw(st.integers(0, lot)), data.draw(st.integers(1, lot))
    exact = sampling.confidence_reached(lot, seen, infested / lot, efficacy)
    rough = surveillance.sensitivity_approximate(lot, infested, seen, efficacy)
    assert rough <= exact + 1e-12


@given(st.floats(1e-4, 1.0), CONFIDENCES, EFFICACIES)
def test_pools_of_one_are_single_units(
    prevalence: float, confidence: float, efficacy: float
) -> None:
    pools = sampling.pooled_samples(prevalence, 1, confidence, efficacy)
    assert pools == sampling.sample_size_large(prevalence, confidence, efficacy)


LABELS = st.lists(st.text(min_size=1), unique=True)


@given(LABELS, st.integers(), st.data())
def test_a_draw_is_the_same_for_the_same_seed_in_whatever_order_labels_come(
    labels: list[str], seed: int, data: st.DataObject
) -> None:
    count = data.draw(st.integers(0, len(labels)))
    shuffled = data.draw(st.permutations(labels))
    drawn = sampling.pick(labels, count, seed)
    assert drawn == sampling.pick(shuffled, count, seed)
    assert drawn == sampling.pick(labels, len(labels), seed)[:count]
    assert len(set(drawn)) == count
    assert set(drawn) <= set(labels)


def test_every_label_is_drawn_about_equally_often_over_many_seeds() -> None:
    labels = [f"tray {i}" for i in range(10)]
    drawn = [label for seed in range(2000) for label in sampling.pick(labels, 3, seed)]
    # Binomial with n = 2000 and p = 0.3: five standard deviations are 103.
    assert all(abs(drawn.count(label) - 600) < 103 for label in labels)


def test_a_label_that_occurs_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="labels must be distinct, not 2 among 3"):
        sampling.pick(["T-1", "T-2", "T-1"], 1, "round 12")
