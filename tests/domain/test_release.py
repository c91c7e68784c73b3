"""How many plants a notice lets go: never more than released, never more than live (rule Q-15)."""

from typing import Any

import pytest

from nursery.domain import doubtful, gates, release
from nursery.domain.gate import Act, Gate
from tests.domain.house import House, day_1, instant

NOTICE = "2031-09-08 08:30"
LATER = "2031-09-09 09:00"
ALIVE = {"t1": 53, "t2": 53, "t3": 53, "t4": 54, "t5": 50, "t6": 44}


def inspected() -> House:
    house = day_1()
    for tray, alive in ALIVE.items():
        for on in ("2031-06-06", "2031-09-05"):
            body = {"inspector": "P", "answer": "nothing", "plants": alive, "active_growth": True}
            house.add("inspected", tray, f"{on} 09:00", body)
    return house


def released(
    shares: dict[str, int] | None = None,
    count: int = 307,
    at: str = NOTICE,
    house: House | None = None,
) -> House:
    house = inspected() if house is None else house
    plants = [{"id": name, "count": n} for name, n in (shares or {}).items()]
    house.release(tuple(shares or ALIVE), at, count=count, plants=plants)
    return house


def ask(house: House, act: str = "moving", batch: str = "t1", at: str = LATER) -> Gate:
    book = house.book()
    return gates.answer(Act(act), book.batches[batch], book, instant(at))


def said(gate: Gate) -> tuple[str, str]:
    return gate.answer.value, gate.code


def codes(house: House, batch: str = "t1") -> dict[str, dict[str, Any]]:
    book = house.book()
    return {one.code: one.params for one in doubtful.of_batch(book.batches[batch], book)}


def test_a_notice_of_all_that_lives_lets_all_go() -> None:
    house = released(ALIVE)
    for tray in ALIVE:
        assert said(ask(house, "moving", tray)) == ("yes", "released")
        house.add("moved", tray, "2031-09-08 10:00", {"to": "shade"})
        assert said(ask(house, "sending", tray)) == ("yes", "released")
    assert codes(house) == {}


def test_a_notice_of_fewer_lets_so_many_go_and_the_others_stay() -> None:
    house = released({**ALIVE, "t1": 40}, count=294)
    gate = ask(house)
    assert said(gate) == ("no", "more_than_released")
    assert gate.params == {"notice": "RN-204", "said": 40, "left": 40, "alive": 53}
    assert said(ask(house, "sending")) == ("yes", "released")
    split(house, "t1", 13, "k", 40)
    assert said(ask(house, "moving", "k")) == ("yes", "released")
    house.add("moved", "k", "2031-09-08 10:00", {"to": "shade"})
    for act in ("moving", "sending", "planting"):
        assert said(ask(house, act)) == ("no", "more_than_released")
    assert said(ask(house, "moving", "k")) == ("yes", "released")
    assert said(ask(house, "potting")) == ("yes", "released")


def split(house: House, parent: str, left: int, child: str, count: int, **more: Any) -> None:
    new = {"id": child, "label": child.upper(), "count": count, "place": "bench", **more}
    body = {"parents": [{"id": parent, "left": left}], "children": [new]}
    house.add("split", (parent, child), "2031-09-08 09:00", body)


def test_a_child_that_goes_right_out_is_gone_with_all_its_plants() -> None:
    house = released({**ALIVE, "t1": 40}, count=294)
    split(house, "t1", 13, "k", 40, place="shade")
    assert said(ask(house)) == ("no", "more_than_released")
    assert release.of_book(house.book())["k"].gone == 40


def test_plants_sent_one_by_one_use_the_notice_up() -> None:
    house = released({**ALIVE, "t1": 40}, count=294)
    send(house, "t1", 39)
    assert said(ask(house, "sending")) == ("yes", "released")
    send(house, "t1", 1)
    assert said(ask(house, "sending")) == ("no", "more_than_released")
    send(house, "t1", 2)
    assert codes(house)["gone_over_release"] == {"notice": "RN-204", "most": 40, "gone": 42}


def send(house: House, batch: str, count: int, at: str = "2031-09-08 09:30") -> None:
    share = {"receiver": "n-2", "plants": [{"id": batch, "count": count}]}
    house.add("sent", batch, at, share)


def test_what_was_sent_before_the_notice_is_no_plant_of_it() -> None:
    house = inspected()
    send(house, "t1", 3, "2031-09-06 09:00")
    released({"t1": 50}, 50, house=house)
    assert release.of_book(house.book())["t1"].gone == 0


def test_a_notice_with_the_old_figure_is_flagged_with_the_difference() -> None:
    """Rule H-6; the story, day 7: 243 on the paper, 241 alive."""
    house = released({**ALIVE, "t1": 55}, count=309)
    assert codes(house)["released_differs"] == {
        "notice": "RN-204", "said": 55, "alive": 53, "difference": 2,
    }  # fmt: skip
    assert codes(house, "t2")["released_differs"] == {
        "notice": "RN-204", "said": 309, "alive": 307, "difference": 2,
    }  # fmt: skip
    assert said(ask(house)) == ("yes", "released")
    assert release.of_book(house.book())["t1"].left == 53


def test_a_notice_without_shares_is_of_all_its_batches_together() -> None:
    house = released(None, count=100)
    assert codes(house)["released_differs"]["difference"] == 100 - 307
    assert said(ask(house)) == ("yes", "released")
    house.add("moved", "t1", "2031-09-08 10:00", {"to": "shade"})
    assert said(ask(house, "moving", "t2")) == ("no", "more_than_released")
    assert ask(house, "moving", "t2").params["left"] == 47


def test_a_notice_without_any_figure_is_of_what_lives() -> None:
    house = released(None, count=0)
    assert codes(house) == {}
    assert release.of_book(house.book())["t1"].left == 307


def test_a_batch_that_the_shares_leave_out_does_not_go() -> None:
    house = inspected()
    house.release(("t1", "t2"), NOTICE, count=53, plants=[{"id": "t1", "count": 53}])
    assert said(ask(house)) == ("yes", "released")
    assert said(ask(house, "moving", "t2")) == ("no", "more_than_released")


def test_plants_that_came_of_two_released_trays_share_what_both_were_given() -> None:
    house = released({"t1": 53, "t2": 40}, count=93)
    body = {
        "parents": [{"id": "t1", "left": 50}, {"id": "t2", "left": 50}],
        "children": [{"id": "u", "label": "U", "count": 6, "place": "bench"}],
    }
    house.add("mixed", ("t1", "t2", "u"), "2031-09-08 09:00", body)
    leave = release.of_book(house.book())
    assert leave["t1"] == leave["t2"] == leave["u"]
    assert (leave["u"].said, leave["u"].left) == (93, 93)


def test_what_nobody_counted_has_no_figure_to_go_by() -> None:
    house = House()
    house.arrive("2031-03-03 07:30")
    house.release(("t1",), "2031-09-08 08:30", count=54)
    assert release.of_book(house.book()) == {}
    assert "more_than_released" not in {part.code for part in ask(house).parts}


def test_a_batch_in_no_place_is_nowhere_outside() -> None:
    house = released({**ALIVE, "t1": 40}, count=294)
    split(house, "t1", 13, "k", 40, place=None)
    book = house.book()
    assert not release.outside(book.batches["k"], book)
    assert not release.outside(day_1().book().batches["t1"], day_1().book())


@pytest.mark.parametrize(
    ("at", "expected"),
    [
        ("2031-09-08 08:30", {}),
        ("2031-08-20 08:30", {"released_early": "note", "released_unmet": "blocking"}),
        ("2031-09-04 08:30", {"released_unmet": "blocking"}),
        ("2031-06-01 08:30", {"released_early": "note", "released_unmet": "blocking"}),
    ],
)
def test_a_notice_of_a_day_on_which_something_was_missing_is_doubted(
    at: str, expected: dict[str, str]
) -> None:
    house = released(ALIVE, at=at)
    book = house.book()
    found = doubtful.of_batch(book.batches["t1"], book)
    assert {one.code: one.weight.value for one in found} == expected


def test_what_was_inspected_in_time_stays_so_whatever_comes_later() -> None:
    house = released(ALIVE)
    body = {"inspector": "P", "answer": "nothing", "plants": 53, "active_growth": True}
    house.add("inspected", "t1", "2031-10-20 09:00", body)
    house.order("t1", "2031-10-21 09:00", "restart", "Q-20")
    assert codes(house) == {}


def test_plants_without_conditions_have_nothing_to_miss() -> None:
    house = House()
    house.row("consignment", "c-1", {"name": "Own", "without_conditions": True})
    house.arrive("2031-03-03 07:30")
    house.count("t1", 54, "2031-03-03 08:10")
    house.release(("t1",), "2031-03-04 08:30", count=54)
    assert codes(house) == {}
