"""What goes with plants to a neighbour, and what is made of it there."""

from typing import Any

import pytest

from nursery.domain import handover
from nursery.domain.kinds.shape import Misfit
from tests.domain.house import House


def sent(house: House, *plants: tuple[str, int], at: str = "2031-09-01 09:00") -> Any:
    body: dict[str, Any] = {
        "receiver": "Lower farm",
        "paper": "SL-1",
        "plants": [{"id": name, "count": count} for name, count in plants],
    }
    about = tuple(name for name, _ in plants if name != "gone")
    record = house.add("sent", about, at, body)
    return handover.of_record(record, "Veshmere", house.book())


def arrived() -> House:
    house = House()
    house.arrive("2031-03-03 08:10", ("t1", "t2"))
    for tray in ("t1", "t2"):
        house.count(tray, 54, "2031-03-03 09:10")
    mixed = {
        "parents": [{"id": "t1", "left": 50}, {"id": "t2", "left": 50}],
        "children": [{"id": "u", "label": "U", "count": 8}],
    }
    house.add("mixed", ("t1", "t2", "u"), "2031-04-01 09:00", mixed)
    return house


def test_plants_under_a_permit_go_with_it_with_their_clock_parents_and_holds() -> None:
    """Rule N-7."""
    house = arrived()
    house.order(("t1", "t2", "u"), "2031-05-01 09:00", "hold", "LF-12")
    [part] = sent(house, ("u", 3))["batches"]
    assert (part["label"], part["plants"], part["parents"]) == ("U", 3, ["T1", "T2"])
    assert (part["permit"], part["clock_started_on"]) == ("CQ-118", "2031-03-03")
    assert part["holds"] == ["LF-12"]
    assert part["origins"] == [
        {"name": "Liners", "supplier": None, "origin": None, "certificate": None}
    ]


def test_released_plants_go_under_no_permit() -> None:
    house = arrived()
    house.release(("t1", "t2", "u"), "2031-08-30 09:00", count=108)
    [part] = sent(house, ("t1", 3))["batches"]
    assert (part["permit"], part["clock_started_on"], part["holds"]) == (None, None, [])


def test_what_nobody_described_is_told_by_its_id() -> None:
    house = House()
    new = [{"id": "k", "label": "K", "crop": "none-typed"}]
    body = {"consignment": "c-none", "batches": new}
    house.add("received", "k", "2031-03-03 08:10", body)
    cuttings = {"batch": {"id": "s", "label": "S"}, "cuttings": 9, "parents": ["lost"]}
    house.add("stuck", ("s", "k"), "2031-03-09 08:10", cuttings)
    house.row("consignment", "c-p", {"name": "P", "permit": "p-none"})
    house.add(
        "received", "q", "2031-03-03 08:10",
        {"consignment": "c-p", "batches": [{"id": "q", "label": "Q"}]},
    )  # fmt: skip
    k, s, q = sent(house, ("k", 1), ("s", 1), ("q", 1), ("gone", 2))["batches"]
    assert (k["crop"], k["permit"]) == ("none-typed", None)
    assert k["origins"][0]["name"] == "c-none"
    assert s["parents"] == ["lost"]
    assert q["permit"] == "p-none"


def test_a_record_that_the_book_does_not_have_hands_nothing_over() -> None:
    assert handover.of_record("none", "Veshmere", arrived().book()) is None


def test_the_goods_there_are_named_for_the_sender_and_wait_for_a_permit() -> None:
    """Rule N-7: plants under a permit that the other nursery has not typed open no gate."""
    told = handover.read(sent(arrived(), ("u", 3)))
    row = handover.goods(told, None)
    assert (row["supplier"], row["name"]) == ("Veshmere", "Veshmere, SL-1")
    assert (row["without_conditions"], row["permit"]) == (False, None)
    assert row["origin"] == "Liners; T1, T2"
    assert handover.goods(told, "own-118")["permit"] == "own-118"


def test_its_records_there_are_arrival_count_clock_and_hold() -> None:
    house = arrived()
    house.order(("u",), "2031-05-01 09:00", "hold", "LF-12")
    told = handover.read(sent(house, ("u", 3)))
    said = list(handover.records(told, "from-1", "bench", "own-118"))
    assert [kind for kind, _, _ in said] == ["received", "counted", "opened", "ordered"]
    assert said[0][2]["batches"] == [{"id": "u", "label": "U", "place": "bench"}]
    assert said[2][2] == {"on": "2031-03-03", "permit": "own-118"}
    without = list(handover.records(told, "from-1", None, None))
    assert [kind for kind, _, _ in without] == ["received", "counted", "ordered"]
    assert without[0][2]["batches"] == [{"id": "u", "label": "U"}]


@pytest.mark.parametrize(
    ("bend", "field"),
    [
        ({"batches": []}, "batches"),
        ({"on": "soon"}, "on"),
        ({"receiver": None}, "receiver"),
    ],
)
def test_facts_that_do_not_fit_are_named_by_their_field(bend: dict[str, Any], field: str) -> None:
    with pytest.raises(Misfit, match=field):
        handover.read({**sent(arrived(), ("u", 3)), **bend})


def test_of_a_batch_that_was_sent_twice_the_record_asked_for_is_told() -> None:
    house = arrived()
    sent(house, ("t1", 1))
    told = sent(house, ("t1", 2), at="2031-09-02 09:00")
    assert (told["on"], [one["plants"] for one in told["batches"]]) == ("2031-09-02", [2])
