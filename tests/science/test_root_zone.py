from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.science import root_zone

MILLIMETRES = st.floats(0.0, 120.0)
TOTALS = st.floats(1.0, 200.0)
SHARES = st.floats(0.0, 0.95)


def near(case: dict[str, Any], expected: Any = None) -> Any:
    expected = case["expected"] if expected is None else expected
    return pytest.approx(expected, abs=case["tolerance"], rel=0)


@pytest.mark.published("water", "ex37")
def test_ten_dry_days_of_the_worked_example(case: dict[str, Any]) -> None:
    given_ = case["inputs"]
    zone = root_zone.RootZone(given_["Dr0"], 1.0, 0.0)
    series = []
    for _ in range(given_["days"]):
        zone = root_zone.after_day(
            zone.depletion,
            rain=0.0,
            crop_evapotranspiration=given_["Kc"] * given_["ETo"],
            total=given_["TAW"],
            fraction=given_["p"],
        )
        series.append(zone)
    assert series[0].stress == near(case, case["expected"]["ks_first"])
    assert series[-1].stress == near(case, case["expected"]["ks_day10"])
    assert series[0].depletion == near(case, case["expected"]["dr_day1"])


@pytest.mark.published("water", "p-adjust")
def test_the_usable_share_falls_as_the_air_asks_for_more(case: dict[str, Any]) -> None:
    tabled, asked = case["inputs"]["p_table"], case["inputs"]["ETc"]
    assert [root_zone.depletion_fraction(tabled, one) for one in asked] == near(case)
    together = root_zone.depletion_fraction(tabled, np.array(asked, dtype=float))
    assert np.asarray(together).tolist() == near(case)


def test_the_usable_share_stays_within_its_limits() -> None:
    assert root_zone.depletion_fraction(0.7, 0.0) == 0.8
    assert root_zone.depletion_fraction(0.2, 20.0) == 0.1


DAYS: dict[str, tuple[float, float, float, tuple[float, float, float]]] = {
    # depletion, rain, demand -> depletion, stress, drained; 100 mm in all, half of it readily
    "a full bucket loses what is asked": (0.0, 0.0, 5.0, (5.0, 1.0, 0.0)),
    "rain refills": (30.0, 20.0, 5.0, (15.0, 1.0, 0.0)),
    "what does not fit drains": (10.0, 40.0, 5.0, (0.0, 1.0, 25.0)),
    "stress begins at the readily available water": (50.0, 0.0, 4.0, (54.0, 1.0, 0.0)),
    "halfway down a plant takes half": (75.0, 0.0, 4.0, (77.0, 0.5, 0.0)),
    "at the wilting point nothing is taken": (100.0, 0.0, 4.0, (100.0, 0.0, 0.0)),
    "below it neither": (130.0, 0.0, 4.0, (100.0, 0.0, 0.0)),
}


@pytest.mark.parametrize(("depletion", "rain", "asked", "after"), DAYS.values(), ids=DAYS.keys())
def test_one_day_by_hand(
    depletion: float, rain: float, asked: float, after: tuple[float, float, float]
) -> None:
    zone = root_zone.after_day(
        depletion, rain=rain, crop_evapotranspiration=asked, total=100.0, fraction=0.5
    )
    assert zone == pytest.approx(after)


@given(MILLIMETRES, MILLIMETRES, st.floats(0.0, 15.0), TOTALS, SHARES)
def test_no_water_is_made_or_lost(
    depletion: float, rain: float, asked: float, total: float, share: float
) -> None:
    before = min(depletion, total)
    zone = root_zone.after_day(
        before, rain=rain, crop_evapotranspiration=asked, total=total, fraction=share
    )
    used = rain - float(zone.drained) + float(zone.depletion) - before
    assert 0.0 <= zone.depletion <= total
    assert 0.0 <= zone.stress <= 1.0
    # Use stops at the wilting point, so it may be less than stress and demand would have.
    assert -1e-9 <= used <= float(zone.stress) * asked + 1e-9
    if zone.depletion < total:
        assert used == pytest.approx(float(zone.stress) * asked, abs=1e-9)


@given(MILLIMETRES, MILLIMETRES, TOTALS, SHARES)
def test_a_drier_soil_never_eases_stress(
    one: float, other: float, total: float, share: float
) -> None:
    wetter = root_zone.stress_coefficient(min(one, other), total, share)
    drier = root_zone.stress_coefficient(max(one, other), total, share)
    assert drier <= wetter


@given(TOTALS, SHARES)
def test_stress_begins_where_readily_available_water_ends(total: float, share: float) -> None:
    readily = float(root_zone.readily_available_water(total, share))
    assert root_zone.stress_coefficient(readily, total, share) == pytest.approx(1.0)
    assert root_zone.stress_coefficient(total, total, share) == 0.0


def test_years_side_by_side_give_what_each_gives_alone_and_keep_missing_days() -> None:
    depletion, rain = np.array([0.0, 60.0, 90.0, 20.0]), np.array([3.0, 0.0, 12.0, np.nan])
    together = root_zone.after_day(
        depletion, rain=rain, crop_evapotranspiration=6.0, total=100.0, fraction=0.4
    )
    for year in range(3):
        alone = root_zone.after_day(
            float(depletion[year]),
            rain=float(rain[year]),
            crop_evapotranspiration=6.0,
            total=100.0,
            fraction=0.4,
        )
        assert alone == tuple(np.asarray(part)[year] for part in together)
    assert np.isnan(np.asarray(together.depletion)).tolist() == [False, False, False, True]
    assert np.asarray(together.stress)[3] == 1.0
