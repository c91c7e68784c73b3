from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from nursery.science import stock

TOTALS = st.integers(1, 5000)
CONFIDENCES = st.floats(0.5, 0.999)
MASSES = st.floats(0.01, 50.0)


def near(case: dict[str, Any], expected: Any = None) -> Any:
    expected = case["expected"] if expected is None else expected
    return pytest.approx(expected, abs=case["tolerance"], rel=0)


def index(given_: dict[str, Any]) -> float | None:
    shoot, root = given_["shoot_dry_g"], given_["root_dry_g"]
    return stock.dickson_index(shoot + root, given_["height_cm"], given_["rcd_mm"], shoot, root)


@pytest.mark.published("stock", "dqi-1", "dqi-2", "dqi-3", "dqi-4")
def test_dickson_index_and_sturdiness_of_worked_seedlings(case: dict[str, Any]) -> None:
    given_, expected = case["inputs"], case["expected"]
    assert index(given_) == near(case, expected["DQI"])
    assert stock.sturdiness(given_["height_cm"], given_["rcd_mm"]) == near(case, expected["SQ"])


@pytest.mark.published("stock", "dqi-edge-zero-root")
def test_a_seedling_without_roots_has_no_index(case: dict[str, Any]) -> None:
    assert index(case["inputs"]) is None


@pytest.mark.parametrize("seedling", [(6, 30, 0, 4, 2), (2, 0, 3, 0, 2)])
def test_a_seedling_without_collar_or_without_a_shoot_has_no_index(
    seedling: tuple[float, float, float, float, float],
) -> None:
    assert stock.dickson_index(*seedling) is None


@pytest.mark.published("stock", "radiata")
def test_sturdiness_at_the_limits_of_a_specification(case: dict[str, Any]) -> None:
    given_, expected = case["inputs"], case["expected"]
    low, high = (stock.sturdiness(h, given_["min_rcd_mm"]) for h in given_["height_cm"])
    assert {"SQ_low": low, "SQ_high": high} == near(case, expected)


@pytest.mark.published("stock", "wilson")
def test_wilsons_interval(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    _, low, high = stock.share(given_["x"], given_["n"], given_["conf"])
    assert [low, high] == near(case)


@given(TOTALS, CONFIDENCES, st.data())
def test_the_interval_is_statsmodels(total: int, confidence: float, data: st.DataObject) -> None:
    successes = data.draw(st.integers(0, total))
    share = stock.share(successes, total, confidence)
    low, high = proportion_confint(successes, total, 1.0 - confidence, method="wilson")
    assert share == pytest.approx((successes / total, low, high), abs=1e-9)


@given(TOTALS, CONFIDENCES, st.data())
def test_failures_are_the_mirror_of_successes(
    total: int, confidence: float, data: st.DataObject
) -> None:
    successes = data.draw(st.integers(0, total))
    passed = stock.share(successes, total, confidence)
    failed = stock.share(total - successes, total, confidence)
    assert failed == pytest.approx((1 - passed.estimate, 1 - passed.high, 1 - passed.low))


@given(TOTALS, CONFIDENCES)
def test_at_the_ends_the_interval_still_has_a_width(total: int, confidence: float) -> None:
    none, all_ = stock.share(0, total, confidence), stock.share(total, total, confidence)
    assert none.estimate == none.low == 0.0 < none.high
    assert all_.low < all_.estimate == all_.high == 1.0


@given(MASSES, MASSES, st.floats(1.0, 200.0), st.floats(0.5, 40.0))
def test_a_thicker_collar_never_lowers_the_index(
    shoot: float, root: float, height: float, collar: float
) -> None:
    thin = stock.dickson_index(shoot + root, height, collar, shoot, root)
    thick = stock.dickson_index(shoot + root, height, 2 * collar, shoot, root)
    assert thin is not None
    assert thick is not None
    assert thin <= thick
