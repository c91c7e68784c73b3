"""What the release file says of permits, of how many to look at, and of who may go in."""

from typing import Any

import pytest

from tests.domain.house import PAPER, House, term, with_terms
from tests.domain.release_scene import file_of


def house_with(*terms: dict[str, Any]) -> House:
    """Two trays of fifty plants."""
    house = with_terms(*terms)
    house.arrive("2031-03-03 07:30", trays=("t1", "t2"))
    for tray in ("t1", "t2"):
        house.count(tray, 50, "2031-03-03 08:10")
    return house


def permit(house: House, on: str = "2031-03-10") -> dict[str, Any]:
    (one,) = file_of(house, on)["permits"]
    return dict(one)


# Under a permit


def test_under_a_permit_stand_its_plants_and_its_quantity() -> None:
    house = house_with(term("most", "most_plants", {"plants": 330}))
    told = permit(house)
    assert told["most_plants"] == 330
    assert told["consignments"] == [{"consignment": "c-1", "in": 100, "alive": 100, "batches": []}]


def test_what_came_with_another_consignment_stands_with_where_it_is_now() -> None:
    house = house_with()
    house.row("consignment", "c-2", {"name": "Later", "permit": "cq-118", "lines": []})
    house.arrive("2031-03-05 07:30", trays=("t7", "t8"), consignment="c-2")
    house.count("t7", 20, "2031-03-05 08:00")
    house.count("t8", 3, "2031-03-05 08:00")
    house.add("lost", "t8", "2031-03-06 08:00", {"count": 3, "fate": "died"})
    half = {
        "parents": [{"id": "t7", "left": 12}],
        "children": [{"id": "t9", "label": "T9", "count": 8}],
    }
    house.add("split", ("t7", "t9"), "2031-03-06 09:00", half)
    house.add("moved", "t9", "2031-03-06 09:10", {"to": "shade"})
    told = permit(house)["consignments"]
    assert [(one["consignment"], one["in"], one["alive"]) for one in told] == [
        ("c-1", 100, 100),
        ("c-2", 23, 20),
    ]
    assert told[1]["batches"] == [
        {"batch": "t7", "place": "bench", "alive": 12},
        {"batch": "t9", "place": "shade", "alive": 8},
    ]
    assert file_of(house, "2031-03-10")["names"]["consignment"]["c-2"] == "Later"


def test_each_condition_says_whether_it_reaches_the_consignment() -> None:
    newer = {"since": "2031-06-01"}
    house = house_with(
        term("days", "growing_days", {"days": 180}),
        term("late", "growing_days", {"days": 365}, **newer),
        term("more", "growing_days", {"days": 200}, reaches_running=True, **newer),
    )
    reach = {name: why["code"] for name, why in permit(house, "2031-07-01")["reach"].items()}
    assert reach == {"days": "term_replaced", "late": "term_too_new", "more": "term_applies"}


# How many to look at, and until when records are kept


def test_the_plan_says_how_many_would_do_and_that_the_permit_says_all() -> None:
    """Rule C-10; 45 of 100 are the table's figure for 5 % with 95 % confidence (ISPM 31)."""
    level = {"at": "inspection", "all_plants": True, "prevalence": 0.05, "confidence": 0.95}
    plan = file_of(house_with(term("level", "sample_level", level)), "2031-03-10")["plans"]
    assert plan["inspection"]["to_notice"] == 45
    assert plan["inspection"]["why"]["code"] == "sample_all_though"


def test_records_are_kept_from_the_last_event_on() -> None:
    house = house_with(term("keep", "records_kept", {"years": 3}))
    assert file_of(house, "2031-03-10")["kept_until"] is None
    for tray in ("t1", "t2"):
        house.add("lost", tray, "2031-04-05 08:00", {"count": 50, "fate": "destroyed"})
    assert file_of(house, "2031-04-06")["kept_until"] == "2034-04-05"


# Who may go in


def admitted(house: House, on: str = "2031-05-05") -> dict[str, Any]:
    (room,) = file_of(house, on)["admitted"]
    return dict(room)


def test_without_an_order_nobody_is_named() -> None:
    assert admitted(house_with()) == {"place": "room", "orders": [], "people": []}


def held() -> House:
    house = house_with()
    house.order("room", "2031-05-04 09:30", "hold", "EM-77", admits=["w1", "g"])
    return house


def test_an_order_names_whom_it_lets_in() -> None:
    """Rule G-9."""
    assert admitted(held()) == {"place": "room", "orders": ["EM-77"], "people": ["g", "w1"]}


LET_IN_AGAIN = [({"photo": PAPER}, ["g", "w1", "w2"]), ({}, ["g", "w1"])]


@pytest.mark.parametrize(("paper", "people"), LET_IN_AGAIN)
def test_whom_the_authority_lets_in_again_may_go_in_once_the_paper_is_there(
    paper: dict[str, str], people: list[str]
) -> None:
    house = held()
    again = {"what": "entering", "person": "w2", "reference": "LF-12", **paper}
    house.add("accepted", "room", "2031-05-05 08:00", again)
    assert admitted(house)["people"] == people


def test_who_works_here_no_more_may_not_go_in() -> None:
    house = held()
    house.row("person", "w1", {"name": "W1", "role": "worker", "until": "2031-05-10"})
    assert admitted(house, "2031-05-10")["people"] == ["g", "w1"]
    assert admitted(house, "2031-05-11")["people"] == ["g"]


def test_once_the_order_is_lifted_nobody_is_kept_out() -> None:
    house = held()
    house.order("room", "2031-06-06 09:00", "lift", "LF-12", lifts="EM-77")
    assert admitted(house, "2031-06-07")["orders"] == []
