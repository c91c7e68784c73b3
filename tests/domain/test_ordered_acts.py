"""What an order wants done by a day, and how many it wants destroyed (rule C-13)."""

from typing import Any

import pytest

from nursery.domain import checks, doubtful
from nursery.domain.due_check import Check
from tests.domain.house import House, day, day_1, instant

GIVEN = "2031-05-16 10:20"
BY = "2031-05-20"


def ordered(act: str = "destroy", about: str | tuple[str, ...] = "t4", **more: Any) -> House:
    house = day_1()
    house.order(about, GIVEN, act, "Q-09", due_on=BY, **more)
    return house


def destroyed(house: House, count: int, at: str = "2031-05-17 13:15", **more: Any) -> str:
    name = more.pop("batch", "t4")
    return house.add("lost", name, at, {"count": count, "fate": "destroyed", **more})


def due(house: House, first: str = "2031-05-16", last: str = "2031-05-31") -> list[Check]:
    kinds = ("ordered_destruction", "ordered_look", "treatment")
    return [one for one in checks.due(house.book(), day(first), day(last)) if one.kind in kinds]


@pytest.mark.parametrize(
    ("act", "kind"),
    [("destroy", "ordered_destruction"), ("look", "ordered_look"), ("treat", "treatment")],
)
def test_what_is_ordered_by_a_day_is_due_and_overdue_after_it(act: str, kind: str) -> None:
    house = ordered(act)
    assert due(house, "2031-05-01", "2031-05-15") == []
    (check,) = due(house)
    assert (check.kind, check.subject, check.answered_by) == (kind, "t4", None)
    assert instant("2031-05-20 23:59") < check.due_by < instant("2031-05-21 00:00")
    (overdue,) = due(house, "2031-07-01", "2031-07-31")
    assert (overdue.id, overdue.open) == (check.id, True)


def test_its_id_stays_and_tells_apart_batches_orders_and_days() -> None:
    house = ordered(about=("t4", "t5"))
    house.order("t4", GIVEN, "destroy", "Q-10", due_on=BY)
    assert len({one.id for one in due(house)}) == 3


@pytest.mark.parametrize("act", ["hold", "lift", "restart", "extend"])
def test_where_nothing_is_to_be_done_nothing_is_due(act: str) -> None:
    assert due(ordered(act)) == []


def test_without_a_day_nothing_is_due_by_one() -> None:
    house = day_1()
    house.order("t4", GIVEN, "destroy", "Q-09")
    assert due(house) == []


def test_an_order_given_after_its_day_is_due_at_once() -> None:
    house = day_1()
    house.order("t4", "2031-05-22 10:20", "destroy", "Q-09", due_on=BY)
    (check,) = due(house)
    assert check.opens_at == check.due_by


def test_looks_that_an_order_names_by_their_days_keep_to_these() -> None:
    house = ordered("look", looks_on=["2031-05-18"])
    assert [one.params["on"] for one in due(house)] == ["2031-05-18"]


LOOKS = {
    "a look since": ("2031-05-17 08:00", "nothing", True),
    "a look before": ("2031-05-15 08:00", "nothing", False),
    "a blank": ("2031-05-17 08:00", "not_looked", False),
}


@pytest.mark.parametrize(("at", "answer", "done"), LOOKS.values(), ids=LOOKS.keys())
def test_what_answers_an_ordered_look(at: str, answer: str, done: bool) -> None:
    house = ordered("look")
    house.looked(at, ["t4"], answer)
    (check,) = due(house)
    assert (check.answered_by is not None) is done


def test_all_are_destroyed_when_nothing_lives() -> None:
    house = ordered()
    destroyed(house, 50)
    assert [one.answered_by for one in due(house)] == [None]
    last = destroyed(house, 4, "2031-05-18 13:15")
    assert [one.answered_by for one in due(house)] == [last]
    assert due(house, "2031-05-19", "2031-05-31") == []


def test_plants_that_are_gone_by_another_way_are_not_asked_for() -> None:
    house = ordered()
    house.add("lost", "t4", "2031-05-17 08:00", {"count": 54, "fate": "died"})
    assert due(house) == []


def test_an_order_about_a_room_reaches_all_in_it() -> None:
    assert sorted(one.subject for one in due(ordered(about="room"))) == [
        f"t{n}" for n in range(1, 7)
    ]


def test_a_part_is_a_number_over_all_that_the_order_is_about() -> None:
    house = ordered(about=("t4", "t5"), count=12)
    assert [(one.params["count"], one.params["left"]) for one in due(house)] == [(12, 12)] * 2
    destroyed(house, 7)
    assert {one.params["left"] for one in due(house)} == {5}
    last = destroyed(house, 5, "2031-05-18 13:15", batch="t5")
    assert {(one.answered_by, one.params["left"]) for one in due(house)} == {(last, 0)}


NOT_FOR_IT: dict[str, dict[str, Any]] = {
    "before the order": {"at": "2031-05-16 09:00"},
    "for another order": {"order": "Q-07"},
    "of another tray": {"batch": "t1"},
}


@pytest.mark.parametrize("how", NOT_FOR_IT.values(), ids=NOT_FOR_IT.keys())
def test_what_was_not_destroyed_for_it_does_not_count(how: dict[str, Any]) -> None:
    house = ordered(count=12)
    destroyed(house, 12, **how)
    assert [one.params["left"] for one in due(house)] == [12]


def told(house: House, batch: str = "t4") -> list[dict[str, Any]]:
    book = house.book()
    found = doubtful.of_batch(book.batches[batch], book)
    return [one.params for one in found if one.code == "destroyed_differs"]


@pytest.mark.parametrize(("count", "difference"), [(None, None), (11, -1), (12, None), (13, 1)])
def test_more_or_fewer_destroyed_than_ordered_is_told(
    count: int | None, difference: int | None
) -> None:
    house = ordered(count=12)
    if count is not None:
        destroyed(house, count, order="Q-09")
    expected = [{"reference": "Q-09", "ordered": 12, "destroyed": count, "difference": difference}]
    assert told(house) == (expected if difference is not None else [])
    assert told(house, "t1") == []


def test_of_an_order_to_destroy_all_no_number_is_told() -> None:
    house = ordered()
    destroyed(house, 3)
    assert told(house) == []


def test_what_a_person_looked_into_is_closed() -> None:
    house = ordered(count=12)
    destroyed(house, 13)
    book = house.book()
    (doubt,) = (d for d in doubtful.of_batch(book.batches["t4"], book) if d.code[:3] == "des")
    said = house.add("settled", "t4", "2031-05-18 08:00", {"doubt": doubt.id, "reason": "P saw"})
    book = house.book()
    (doubt,) = (d for d in doubtful.of_batch(book.batches["t4"], book) if d.code[:3] == "des")
    assert (doubt.settled_by, doubt.blocks) == (said, False)


def test_a_treatment_booked_beyond_the_day_is_due_on_the_day() -> None:
    house = ordered("treat")
    booked = {"act": "treatment", "on": "2031-05-28", "order": "Q-09"}
    house.add("booked", "t4", "2031-05-16 12:00", booked)
    (check,) = due(house)
    assert house.book().day(check.due_by) == day(BY)


def test_a_treatment_that_counts_only_after_the_day_is_due_when_it_counts() -> None:
    house = ordered("treat", times=2, interval_days=10)
    span = {"started_at": "2031-05-17T06:30:00.000Z", "ended_at": "2031-05-17T06:50:00.000Z"}
    house.add("treated", "t4", "2031-05-17 16:50", {"product": "oil", "order": "Q-09", **span})
    (check,) = due(house)
    assert house.book().day(check.due_by) == day("2031-05-27")
