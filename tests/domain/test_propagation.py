"""What comes of seed and grafts (rules K-1 to K-3)."""

from typing import Any

import pytest

from nursery.domain import propagation
from tests.domain.house import House

SOWN = {"batch": {"id": "s", "label": "S", "crop": "lime"}, "seeds": 50}


@pytest.fixture
def house() -> House:
    return House()


def batch(house: House, name: str = "s") -> Any:
    return house.book().batches[name]


def came_up(house: House, on: str, total: int, **more: Any) -> None:
    house.add("emerged", "s", f"2031-03-{on} 09:00", {"total": total, **more})


def test_a_published_test_gives_its_published_figures(house: House) -> None:
    """The example of `germination.summarise`, told as running totals on days 4 to 11."""
    house.add("sown", "s", "2031-03-01 08:00", SOWN)
    total = 0
    for day, new in zip(range(4, 12), (0, 4, 17, 10, 7, 1, 0, 1), strict=True):
        total += new
        came_up(house, f"{1 + day:02d}", total, abnormal=1)
    found = propagation.sprouted(batch(house), house.book())
    assert found is not None
    said = found.as_json()
    assert (said["sown"], said["abnormal"]) == (50, 1)
    assert said["curve"][0] == {"on": "2031-03-05", "total": 0}
    assert said["curve"][-1] == {"on": "2031-03-12", "total": 40}
    figures = said["figures"]
    assert (figures["percent"], figures["mean_time"]) == (80.0, 6.7)
    assert figures["t50_farooq"] == 5.941
    assert (figures["first_day"], figures["last_day"]) == (5, 11)


def test_totals_never_run_backwards_nor_beyond_the_seed(house: House) -> None:
    """Rule K-1."""
    house.add("sown", "s", "2031-03-01 08:00", SOWN)
    for on, total in (("06", 20), ("07", 18), ("08", 70), ("08", 30)):
        came_up(house, on, total)
    found = propagation.sprouted(batch(house), house.book())
    assert found is not None
    assert [total for _, total in found.curve] == [20, 20, 50]


def test_of_what_was_not_sown_or_not_looked_at_nothing_is_told(house: House) -> None:
    house.add("sown", "s", "2031-03-01 08:00", SOWN)
    assert propagation.sprouted(batch(house), house.book()) is None
    house.add("emerged", "x", "2031-03-04 08:00", {"total": 4})
    assert propagation.sprouted(batch(house, "x"), house.book()) is None


def test_without_any_seedling_the_share_is_none_and_no_time_is_told(house: House) -> None:
    house.add("sown", "s", "2031-03-01 08:00", SOWN)
    came_up(house, "10", 0)
    found = propagation.sprouted(batch(house), house.book())
    assert found is not None
    assert (found.figures.percent, found.as_json()["figures"]["mean_time"]) == (0, None)


# Grafts


def worked(house: House, at: str, plants: int, **more: Any) -> str:
    return house.add("worked", "r", at, {"method": "grafted", "plants": plants, **more})


def took(house: House, at: str, took: int, failed: int, graft: str | None = None) -> None:
    body = {"took": took, "failed": failed, **({"graft": graft} if graft else {})}
    house.add("took", "r", at, body)


@pytest.fixture
def grafted(house: House) -> House:
    """Forty by W1 on 7 mm stocks, ten by W2 on 3 mm, five that nobody said anything of."""
    new = {"id": "r", "label": "R", "crop": "lime"}
    house.add("taken_on", "r", "2031-03-01 08:00", {"batch": new, "alive": 60, "method": "full"})
    took(house, "2031-03-02 08:00", 1, 1)  # before any grafting: of none
    first = worked(house, "2031-03-05 08:00", 40, operator="w1", rootstock_mm=7.0)
    worked(house, "2031-03-06 08:00", 10, operator="w2", rootstock_mm=3.2)
    took(house, "2031-04-10 08:00", 36, 4, first)
    took(house, "2031-04-11 08:00", 5, 5)
    worked(house, "2031-04-12 08:00", 5)
    return house


def test_a_take_is_of_the_grafting_it_names_and_else_of_the_last(grafted: House) -> None:
    """Rule K-2."""
    found = propagation.grafts(batch(grafted, "r"), grafted.book())
    assert [(one.plants, one.took, one.failed) for one in found] == [
        (40, 36, 4), (10, 5, 5), (5, None, None),
    ]  # fmt: skip


def test_a_take_that_names_what_is_not_there_is_of_the_last_one(grafted: House) -> None:
    took(grafted, "2031-05-20 08:00", 4, 1, "01c8d49a-c600-7026-8001-00000000ffff")
    [*_, last] = propagation.grafts(batch(grafted, "r"), grafted.book())
    assert (last.took, last.failed) == (4, 1)


def test_shares_are_told_by_thickness_and_by_hand_with_their_interval(grafted: House) -> None:
    """Rule K-3: 36 of 40 by Wilson are 0.769 to 0.960."""
    some = propagation.grafts(batch(grafted, "r"), grafted.book())
    by_hand = propagation.take_by(some, "operator")
    assert [(one["of"], one["took"], one["plants"]) for one in by_hand] == [
        ("w1", 36, 40), ("w2", 5, 10),
    ]  # fmt: skip
    assert (by_hand[0]["estimate"], by_hand[0]["low"], by_hand[0]["high"]) == (0.9, 0.769, 0.96)
    thick = propagation.take_by(some, "rootstock")
    assert [one["of"] for one in thick] == ["2-4", "6-8"]


def test_what_nobody_measured_is_a_class_of_its_own(grafted: House) -> None:
    """Rule K-3."""
    took(grafted, "2031-05-20 08:00", 5, 0)
    worked(grafted, "2031-05-21 08:00", 0, took=0)
    some = propagation.grafts(batch(grafted, "r"), grafted.book())
    assert propagation.take_by(some, "rootstock")[0]["of"] == ""
    assert propagation.take_by(some, "operator")[0]["of"] == ""


def test_whoever_plans_reads_what_went_in_and_came_out(grafted: House) -> None:
    grafted.add("sown", "s", "2031-03-01 08:00", SOWN)
    came_up(grafted, "10", 30)
    grafted.arrive("2031-03-03 08:00", ("t1",))
    found = propagation.rates({"s": "lime", "r": "lime"}, grafted.book())
    assert found == {"lime take": [(40, 36), (10, 5)], "lime up": [(50, 30)]}
