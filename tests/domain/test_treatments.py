"""Treatments: amounts, re-entry over midnight and over a change of clocks, and what is odd."""

import json
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from nursery.domain import doubtful, gates, treatments
from nursery.domain.gate import Act
from nursery.domain.kinds.shape import Name
from nursery.domain.reference import Product
from tests.domain.house import House, day, day_1, instant

VECTORS = Path(__file__).parents[1] / "vectors"
AMOUNTS: list[dict[str, Any]] = json.loads((VECTORS / "amounts.json").read_text(encoding="utf-8"))
ROW = {"name": "Oil and soap", "reentry_hours": 12, "litres_per_m2": 0.2, "licensed": True}
DONE: dict[str, Any] = {
    "product": "soap",
    "started_at": "2031-05-17T06:30:00.000Z",
    "ended_at": "2031-05-17T06:50:00.000Z",
    "reentry_until": "2031-05-17T18:50:00.000Z",
    "operator": "g",
    "licence": "AL-311",
    "litres": 3,
    "area_m2": 15,
    "sign_posted_at": "2031-05-17T06:20:00.000Z",
}
NONE: dict[str, Any] = {}


def soap(**more: Any) -> Product:
    return Product(Name("soap"), Name("Soap"), **more)


@pytest.mark.parametrize(
    ("zone", "ended", "until"),
    [
        ("Etc/GMT-10", "2031-05-17T16:50", "2031-05-18T04:50"),
        ("Etc/GMT-10", "2031-12-31T23:30", "2032-01-01T11:30"),
        ("Europe/Madrid", "2031-10-25T20:00", "2031-10-26T07:00"),
        ("Europe/Madrid", "2031-03-29T20:00", "2031-03-30T09:00"),
        ("America/Santiago", "2031-04-05T18:00", "2031-04-06T05:00"),
    ],
)
def test_twelve_hours_are_twelve_hours_over_midnight_and_over_a_change_of_clocks(
    zone: str, ended: str, until: str
) -> None:
    """Rule P-6."""
    here = ZoneInfo(zone)
    end = datetime.fromisoformat(ended).replace(tzinfo=here)
    told = treatments.plan(soap(reentry_hours=12), None, end).reentry_until
    assert told is not None
    assert told.astimezone(here).replace(tzinfo=None) == datetime.fromisoformat(until)
    assert told - end.astimezone(UTC) == timedelta(hours=12)


def test_what_the_row_does_not_say_is_not_made_up() -> None:
    end = instant("2031-05-17 16:50")
    assert treatments.plan(soap(), 15.0, end) == (None, None, None)
    assert treatments.plan(soap(per_litre=2), 15.0, end).product is None
    assert treatments.plan(soap(litres_per_m2=0.2), None, end).litres is None
    assert treatments.plan(soap(litres_per_m2=0.2, per_litre=2), 15.0, end)[:2] == (3.0, 6.0)


@pytest.mark.parametrize("case", AMOUNTS, ids=lambda case: case["name"])
def test_amounts_are_those_of_the_vectors(case: dict[str, Any]) -> None:
    told = treatments.amounts(case["area_m2"], case["mix"], case["per_litre"])
    assert told == (case["litres"], case["product"])


def treated(
    about: str | tuple[str, ...] = "room", row: dict[str, Any] | None = ROW, **more: Any
) -> House:
    house = day_1()
    if row is not None:
        house.row("product", "soap", row)
    body = {k: v for k, v in {**DONE, **more}.items() if v is not None}
    house.add("treated", about, "2031-05-17 16:50", body)
    return house


def codes(house: House, subject: str = "room") -> list[str]:
    book = house.book()
    if subject in book.places:
        found: Iterable[Any] = doubtful.of_place(book.places[subject], book)
    else:
        found = doubtful.of_batch(book.batches[subject], book)
    return [doubt.code for doubt in found if doubt.settled_by is None]


@pytest.mark.parametrize(
    ("row", "more", "expected"),
    [
        (ROW, NONE, []),
        (ROW, {"licence": None}, ["licence_missing"]),
        (ROW, {"operator": None}, ["licence_missing"]),
        (ROW, {"licence": None, "order": "Q-09"}, ["ordered_without_licence"]),
        (None, {"licence": None}, []),
        ({"name": "Soap"}, {"licence": None}, []),
        (None, {"licence": None, "order": "Q-09"}, ["ordered_without_licence"]),
        (ROW, {"sign_posted_at": "2031-05-17T06:31:00.000Z"}, ["sign_late"]),
        (ROW, {"sign_posted_at": "2031-05-17T06:30:00.000Z"}, []),
        (ROW, {"sign_posted_at": None}, []),
        (ROW, {"reentry_until": "2031-05-17T18:49:00.000Z"}, ["reentry_short"]),
        (ROW, {"reentry_until": None}, ["reentry_missing"]),
        ({"name": "Soap"}, {"reentry_until": "2031-05-17T06:51:00.000Z"}, []),
        (ROW, {"litres": 3.1}, []),
        (ROW, {"litres": 3.2}, ["mix_differs"]),
        (ROW, {"litres": 2.0}, ["mix_differs"]),
        (ROW, {"litres": None}, []),
        (ROW, {"area_m2": None}, []),
    ],
)
def test_what_is_odd_about_a_treatment(
    row: dict[str, Any] | None, more: dict[str, Any], expected: list[str]
) -> None:
    """Rule P-7."""
    assert codes(treated(row=row, **more)) == expected


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("soap", ["licence_missing"]),
        ("Oil and soap", ["licence_missing"]),
        (" oil  AND soap", ["licence_missing"]),
        ("Oil", []),
    ],
)
def test_a_record_names_its_product_by_the_rows_id_or_its_name(
    said: str, expected: list[str]
) -> None:
    """Rule P-8."""
    assert codes(treated(product=said, licence=None)) == expected


def test_of_two_rows_with_one_name_the_first_is_meant() -> None:
    house = treated(product="oil and soap", licence=None)
    house.row("product", "soap-2", {"name": "Oil and soap"})
    assert codes(house) == ["licence_missing"]


@pytest.mark.parametrize(
    ("on", "product", "days"),
    [
        ("2031-05-26", "soap", 9),
        ("2031-05-26", "Oil and soap", 9),
        ("2031-05-17", "soap", 0),
        ("2031-05-27", "soap", None),
        ("2031-05-26", "copper", None),
    ],
)
def test_the_same_product_again_before_its_days_are_over_is_noted(
    on: str, product: str, days: int | None
) -> None:
    """Rule P-8."""
    house = treated(row={**ROW, "interval_days": 10})
    house.row("product", "copper", {"name": "Copper", "interval_days": 10})
    again = {"started_at": f"{on}T07:30:00.000Z", "ended_at": f"{on}T07:50:00.000Z"}
    again["reentry_until"] = f"{on}T23:50:00.000Z"
    house.add("treated", "room", f"{on} 17:50", {**DONE, **again, "product": product})
    book = house.book()
    found = list(doubtful.of_place(book.places["room"], book))
    assert [(one.code, one.params) for one in found] == (
        [] if days is None else [("product_too_soon", {"days": days, "needed": 10})]
    )


def test_a_record_about_plants_and_their_room_is_asked_about_once() -> None:
    both = treated(("t1", "t2", "room"), licence=None)
    assert (codes(both), codes(both, "t1")) == (["licence_missing"], [])
    plants = treated(("t1", "t2"), licence=None)
    assert codes(plants, "t1") == codes(plants, "t2") == ["licence_missing"]


def test_who_had_not_gone_out_is_named_but_not_who_treats() -> None:
    house = treated()
    for who, at in (("w1", "16:00"), ("g", "16:10"), ("w2", "16:35"), ("w3", "16:00")):
        house.add("entered", "room", f"2031-05-17 {at}", by=who)
    house.add("left", "room", "2031-05-17 16:29", by="w3")
    house.add("left", "room", "2031-05-17 16:45", by="w1")
    visitor = {"visitor": {"name": "Ono", "firm": "Pipes"}}
    house.add("entered", "room", "2031-05-17 16:02", visitor, by="w1")
    book = house.book()
    (doubt,) = doubtful.of_place(book.places["room"], book)
    assert doubt.code == "somebody_inside"
    assert doubt.params["people"] == ["Ono, Pipes", "W1"]


def test_a_doubt_about_a_place_is_settled_there() -> None:
    house = treated(licence=None)
    (one,) = doubtful.of_place(house.book().places["room"], house.book())
    house.add("settled", "room", "2031-05-18 09:00", {"doubt": one.id, "reason": "AL-311"})
    assert codes(house) == []


COURSE = {"times": 2, "interval_days": 10}


def ordered() -> House:
    house = treated(("t1", "room"), order="Q-09")
    house.order("t1", "2031-05-16 10:25", "treat", "Q-09", **COURSE)
    return house


@pytest.mark.parametrize(
    ("on", "answer", "days"), [("2031-05-26", "wait", 9), ("2031-05-27", "yes", None)]
)
def test_the_second_treatment_is_refused_before_its_tenth_day(
    on: str, answer: str, days: int | None
) -> None:
    """Rules Q-5, Q-16; the story, day 4."""
    house = ordered()
    book = house.book()
    gate = gates.on_day(Act.TREATING, book.batches["t1"], book, day(on))
    assert gate.answer.value == answer
    assert gate.params.get("days") == days
    if days is not None:
        assert (gate.code, gate.params["needed"]) == ("treatment_too_soon", 10)
        assert gate.params["plan"] == "2031-05-27"
        assert gate.opens_at == instant("2031-05-27 00:00")


def test_a_hold_hinders_no_treatment_and_a_course_that_is_done_none_either() -> None:
    house = ordered()
    house.order(("t1", "room"), "2031-05-16 10:30", "hold", "EM-77")
    second = {**DONE, "order": "Q-09", "started_at": "2031-05-27T06:30:00.000Z"}
    second |= {"ended_at": "2031-05-27T06:50:00.000Z", "reentry_until": "2031-05-27T18:50:00.000Z"}
    house.add("treated", ("t1", "room"), "2031-05-27 16:50", second)
    book = house.book()
    gate = gates.answer(Act.TREATING, book.batches["t1"], book, instant("2031-05-28 09:00"))
    assert (gate.answer.value, gate.code) == ("yes", "allowed_inside")


@pytest.mark.parametrize(
    ("on", "order", "expected"),
    [
        ("2031-05-26", "Q-09", ["booked_too_soon"]),
        ("2031-05-27", "Q-09", []),
        ("2031-05-17", "Q-09", []),
        ("2031-05-26", "Q-10", []),
        ("2031-05-26", None, []),
    ],
)
def test_a_booking_for_a_day_on_which_it_would_not_count_is_doubted(
    on: str, order: str | None, expected: list[str]
) -> None:
    """Rule Q-16."""
    house = ordered()
    body = {"act": "treatment", "on": on} | ({} if order is None else {"order": order})
    house.add("booked", "t1", "2031-05-17 18:00", body)
    assert codes(house, "t1") == expected


def test_a_course_of_which_nothing_is_done_yet_may_be_booked_for_any_day() -> None:
    house = day_1()
    house.order("t1", "2031-05-16 10:25", "treat", "Q-09", **COURSE)
    body = {"act": "treatment", "on": "2031-05-17", "order": "Q-09"}
    house.add("booked", "t1", "2031-05-16 18:00", body)
    assert codes(house, "t1") == []
