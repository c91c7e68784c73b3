"""The legal clock of the story and of what may befall it."""

from collections.abc import Callable
from typing import Any

import pytest

from nursery.domain import history, quarantine
from nursery.domain.quarantine import Clock
from tests.domain.house import PAPER, TRAYS, House, day, day_1, term, with_terms

Tell = Callable[[House], Any]


def clock(house: House, tray: str = "t1", on: str | None = None) -> Clock:
    book = house.book()
    found = quarantine.clock(book.batches[tray], book, None if on is None else day(on))
    assert found is not None
    return found


def dates(found: Clock) -> tuple[str | None, str | None]:
    written = found.as_json()
    return written["started_on"], written["earliest"]


def codes(reasons: tuple[Any, ...]) -> list[str]:
    return [reason.code for reason in reasons]


def test_day_1_starts_the_clock_on_3_march_and_180_days_lead_to_30_august() -> None:
    """Rules Q-2, Q-3; the story, day 1."""
    found = clock(day_1())
    assert dates(found) == ("2031-03-03", "2031-08-30")
    assert (found.permits, found.known, found.days, found.only_if) == (("cq-118",), True, 180, None)
    assert codes(found.reasons) == ["arrived", "growing_days"]
    assert codes(found.unmet) == ["inspection_missing", "inspection_missing"]


def test_arrival_shortly_after_midnight_is_of_that_day_in_the_nurserys_zone() -> None:
    """Rule Q-1: 00:30 at UTC+10 is the evening before in UTC."""
    house = House()
    house.arrive("2031-03-03 00:30")
    assert dates(clock(house)) == ("2031-03-03", "2031-08-30")


def free(house: House) -> None:
    house.row("consignment", "c-1", {"name": "Liners", "without_conditions": True})


def sown(house: House) -> None:
    new = {"id": "own", "label": "OWN", "place": "shade"}
    house.add("sown", "own", "2031-03-01 08:00", {"batch": new, "seeds": 100})


def test_plants_that_came_without_conditions_have_no_clock() -> None:
    """Rule Q-2."""
    house = day_1()
    free(house)
    sown(house)
    book = house.book()
    assert quarantine.clock(book.batches["t1"], book) is None
    assert quarantine.clock(book.batches["own"], book) is None


def without_any(house: House) -> None:
    house.rows["consignment"].clear()
    says = {"name": "Veshmere", "zone": "Etc/GMT-10", "conditions": False}
    house.row("nursery", "veshmere", says)


def test_a_nursery_without_conditions_has_none_for_goods_that_nobody_typed() -> None:
    """Rule Q-2: unless a record or a row names a permit all the same."""
    house = day_1()
    without_any(house)
    book = house.book()
    assert quarantine.clock(book.batches["t1"], book) is None
    house.add("opened", "t1", "2031-03-06 08:00", {"on": "2031-03-05", "permit": "cq-118"})
    assert dates(clock(house)) == ("2031-03-05", "2031-09-01")


def forget_consignment(house: House) -> None:
    house.rows["consignment"].clear()


def forget_permit(house: House) -> None:
    house.rows["permit"].clear()


def name_no_permit(house: House) -> None:
    house.row("consignment", "c-1", {"name": "Liners"})


@pytest.mark.parametrize("tell", [forget_consignment, forget_permit, name_no_permit])
def test_a_permit_that_nobody_typed_yet_starts_the_clock_and_gives_no_date(tell: Tell) -> None:
    """Rule Q-3: goods may come before the office has typed the permit."""
    house = day_1()
    tell(house)
    found = clock(house)
    assert (dates(found), found.known) == (("2031-03-03", None), False)
    assert "permit_unknown" in codes(found.unmet)


def test_the_clock_begins_on_the_day_that_the_authority_names() -> None:
    """Rule Q-3: `opened` overrides arrival."""
    house = day_1()
    named = {"on": "2031-03-05", "permit": "cq-118", "photo": PAPER}
    house.add("opened", "t1", "2031-03-06 08:00", named)
    found = clock(house)
    assert dates(found) == ("2031-03-05", "2031-09-01")
    assert codes(found.reasons)[0] == "opened"


def test_stock_that_stood_here_before_keeps_the_start_on_its_paper() -> None:
    """Rule Q-3."""
    house = House()
    body = {
        "batch": {"id": "old", "label": "OLD", "place": "bench"},
        "alive": 40,
        "method": "full",
        "permit": "cq-118",
        "clock_started_on": "2031-01-10",
    }
    house.add("taken_on", "old", "2031-03-03 08:00", body)
    assert dates(clock(house, "old")) == ("2031-01-10", "2031-07-09")


def test_a_permit_without_growing_days_lets_the_day_of_arrival_stand() -> None:
    house = with_terms(term("most", "most_plants", {"plants": 330}))
    house.arrive("2031-03-03 07:30")
    assert dates(clock(house)) == ("2031-03-03", "2031-03-03")


ORDERS: dict[str, tuple[list[dict[str, Any]], tuple[str | None, str | None], list[str]]] = {
    "an extension adds its days": (
        [{"act": "extend", "days": 14}],
        ("2031-03-03", "2031-09-13"),
        ["arrived", "growing_days", "extended"],
    ),
    "an extension of no days says nothing": (
        [{"act": "extend"}],
        ("2031-03-03", "2031-08-30"),
        ["arrived", "growing_days"],
    ),
    "a floor before the earliest day changes nothing": (
        [{"act": "treat", "times": 0, "not_before": "2031-06-01"}],
        ("2031-03-03", "2031-08-30"),
        ["arrived", "growing_days", "not_before"],
    ),
    "a floor after it is the earliest day": (
        [{"act": "extend", "days": 0, "not_before": "2031-10-15"}],
        ("2031-03-03", "2031-10-15"),
        ["arrived", "growing_days", "not_before"],
    ),
    "a floor that two acts of one paper set is told once": (
        [
            {"act": "look", "looks_on": ["2031-05-30", "2031-06-13"]},
            {"act": "extend", "not_before": "2031-06-13"},
        ],
        ("2031-03-03", "2031-08-30"),
        ["arrived", "growing_days", "not_before"],
    ),
    "a restart counts from its own day": (
        [{"act": "restart"}],
        ("2031-05-16", "2031-11-12"),
        ["arrived", "restarted", "growing_days"],
    ),
    "a hold and its lift move no date": (
        [{"act": "hold"}, {"act": "lift"}],
        ("2031-03-03", "2031-08-30"),
        ["arrived", "growing_days"],
    ),
}


@pytest.mark.parametrize(("orders", "expected", "why"), ORDERS.values(), ids=ORDERS.keys())
def test_orders_move_the_date(
    orders: list[dict[str, Any]], expected: tuple[str | None, str | None], why: list[str]
) -> None:
    """Rules Q-4, H-3."""
    house = day_1()
    for order in orders:
        house.order("t1", "2031-05-16 10:20", ref="Q-09", **order)
    found = clock(house)
    assert dates(found) == expected
    assert codes(found.reasons) == why


def under_order(house: House) -> House:
    """Give the order of 16 May: two treatments, 10 days apart, and a restart at the second."""
    house.order(TRAYS, "2031-05-16 10:20", "treat", "Q-09", times=2, interval_days=10)
    house.order(TRAYS, "2031-05-16 10:20", "restart", "Q-09", after_treatment=2)
    return house


def treat(house: House, on: str, order: str | None = "Q-09") -> str:
    body = {
        "product": "soap",
        "started_at": f"{on}T06:30:00.000Z",
        "ended_at": f"{on}T06:50:00.000Z",
        "reentry_until": f"{on}T18:50:00.000Z",
        "order": order,
    }
    return house.add("treated", (*TRAYS, "room"), f"{on} 16:50", body)


def test_a_restart_at_the_second_treatment_has_no_date_while_it_is_not_booked() -> None:
    """Rule Q-4."""
    house = under_order(day_1())
    treat(house, "2031-05-17")
    found = clock(house)
    assert (dates(found), found.only_if) == ((None, None), None)
    missing = found.unmet[0]
    assert missing.as_json() == {
        "code": "treatment_missing",
        "params": {"number": 2, "of": 2, "reference": "Q-09", "from": "2031-05-27"},
    }


def test_a_booked_second_treatment_gives_the_date_with_an_if() -> None:
    """The story, day 4: 23 November if treatment 2 is done on 27 May."""
    house = under_order(day_1())
    treat(house, "2031-05-17")
    for on in ("2031-05-17", "2031-05-26", "2031-05-27"):
        booked = {"act": "treatment", "on": on, "order": "Q-09"}
        house.add("booked", TRAYS, "2031-05-17 17:00", booked)
    house.add("booked", TRAYS, "2031-05-17 17:00", {"act": "treatment", "on": "2031-05-20"})
    found = clock(house)
    assert dates(found) == ("2031-05-27", "2031-11-23")
    assert found.as_json()["only_if"] == {
        "code": "if_treated",
        "params": {"number": 2, "reference": "Q-09", "on": "2031-05-27"},
    }
    assert "treatment_missing" in codes(found.unmet)


def test_the_second_treatment_done_in_time_starts_the_clock_without_an_if() -> None:
    """The story, day 4b."""
    house = under_order(day_1())
    treat(house, "2031-05-17")
    treat(house, "2031-05-27")
    found = clock(house)
    assert (dates(found), found.only_if) == (("2031-05-27", "2031-11-23"), None)
    assert "treatment_missing" not in codes(found.unmet)


def test_a_treatment_after_nine_days_is_doubted_and_starts_no_clock() -> None:
    """Rule Q-5; the story, day 4."""
    house = under_order(day_1())
    treat(house, "2031-05-17")
    early = treat(house, "2031-05-26")
    book = house.book()
    assert dates(clock(house)) == (None, None)
    (doubt,) = quarantine.too_soon(book.batches["t1"], book)
    assert (doubt.code, doubt.entries) == ("treated_too_soon", (early,))
    assert doubt.params == {"reference": "Q-09", "days": 9, "interval_days": 10}


def test_a_treatment_that_names_no_order_counts_for_none() -> None:
    """Rule Q-5."""
    house = under_order(day_1())
    treat(house, "2031-05-17")
    treat(house, "2031-05-27", order=None)
    book = house.book()
    assert dates(clock(house)) == (None, None)
    assert quarantine.too_soon(book.batches["t1"], book) == ()


def test_an_order_to_destroy_is_open_until_nothing_lives() -> None:
    house = day_1()
    house.order("t4", "2031-05-16 10:20", "destroy", "Q-09")
    assert codes(clock(house, "t4").unmet)[0] == "destroy_open"
    house.add("lost", "t4", "2031-05-16 13:15", {"count": 54, "fate": "destroyed"})
    assert "destroy_open" not in codes(clock(house, "t4").unmet)


def inspect(house: House, at: str, tray: str = "t1", **more: Any) -> str:
    body = {"inspector": "P", "answer": "nothing", "plants": 53, "active_growth": True, **more}
    return house.add("inspected", tray, at, body)


INSPECTIONS: dict[str, tuple[list[tuple[str, dict[str, Any]]], str | None, list[str]]] = {
    "none": ([], None, ["inspection_missing", "inspection_missing"]),
    "the first while flushing": (
        [("2031-06-06", {})],
        None,
        ["inspected", "inspection_missing"],
    ),
    "the first while nothing grew": (
        [("2031-06-06", {"active_growth": False})],
        None,
        ["inspection_missing", "inspection_too_old"],
    ),
    "one that saw only some plants": (
        [("2031-06-06", {"plants": 52})],
        None,
        ["inspection_missing", "inspection_missing"],
    ),
    "one that found something": (
        [("2031-06-06", {"answer": "found"})],
        None,
        ["inspection_missing", "inspection_missing"],
    ),
    "both, the last three days before": (
        [("2031-06-06", {}), ("2031-08-27", {"active_growth": False})],
        None,
        ["inspected", "inspected"],
    ),
    "the last one eight days before": (
        [("2031-06-06", {}), ("2031-08-22", {})],
        None,
        ["inspected", "inspection_too_old"],
    ),
    "one visit is not both": (
        [("2031-08-27", {})],
        None,
        ["inspected", "inspection_missing"],
    ),
    "the last one lapses while the notice is late": (
        [("2031-06-06", {}), ("2031-08-27", {})],
        "2031-09-04",
        ["inspected", "inspection_too_old"],
    ),
}


@pytest.mark.parametrize(("visits", "on", "told"), INSPECTIONS.values(), ids=INSPECTIONS.keys())
def test_official_inspections(
    visits: list[tuple[str, dict[str, Any]]], on: str | None, told: list[str]
) -> None:
    """Rule Q-8."""
    house = day_1()
    for date, more in visits:
        inspect(house, f"{date} 09:00", **more)
    found = clock(house, on=on)
    by_number = {r.params["number"]: r.code for r in (*found.met, *found.unmet)}
    assert [by_number[1], by_number[2]] == told


def test_an_inspection_before_the_clock_began_again_counts_for_nothing() -> None:
    """Rule Q-8."""
    house = day_1()
    inspect(house, "2031-04-01 09:00")
    assert codes(clock(house).met) == ["inspected"]
    house.order("t1", "2031-05-16 10:20", "restart", "Q-09")
    assert codes(clock(house).met) == []


def test_an_inspection_of_some_plants_is_enough_where_the_permit_says_so() -> None:
    house = with_terms(term("first", "inspection", {"number": 1, "all_plants": False}))
    house.arrive("2031-03-03 07:30")
    inspect(house, "2031-06-06 09:00", plants=5)
    assert codes(clock(house).met) == ["inspected"]


LATER: dict[str, tuple[dict[str, Any], str | None, tuple[str, str]]] = {
    "a newer term that reaches no running clock": (
        term("new", "growing_days", {"days": 200}, since="2031-04-01"),
        None,
        ("2031-03-03", "2031-08-30"),
    ),
    "a longer one that reaches it": (
        term("new", "growing_days", {"days": 200}, since="2031-04-01", reaches_running=True),
        None,
        ("2031-03-03", "2031-09-19"),
    ),
    "a shorter one lets nothing out before it holds": (
        term("new", "growing_days", {"days": 30}, since="2031-08-01", reaches_running=True),
        None,
        ("2031-03-03", "2031-08-01"),
    ),
    "one that begins after the release": (
        term("new", "growing_days", {"days": 400}, since="2031-10-01", reaches_running=True),
        None,
        ("2031-03-03", "2031-08-30"),
    ),
    "unless the release is later still": (
        term("new", "growing_days", {"days": 400}, since="2031-10-01", reaches_running=True),
        "2031-10-02",
        ("2031-03-03", "2032-04-06"),
    ),
}


@pytest.mark.parametrize(("newer", "on", "expected"), LATER.values(), ids=LATER.keys())
def test_newer_terms(newer: dict[str, Any], on: str | None, expected: tuple[str, str]) -> None:
    """Rules T-1, Q-4."""
    house = with_terms(term("old", "growing_days", {"days": 180}), newer)
    house.arrive("2031-03-03 07:30")
    assert dates(clock(house, on=on)) == expected


def child(ident: str, plants: int, **more: Any) -> dict[str, Any]:
    return {"id": ident, "label": ident.upper(), "count": plants, "place": "bench", **more}


def mix(house: House, at: str, kind: str = "mixed") -> None:
    body = {
        "parents": [{"id": "t3", "left": 48}, {"id": "t5", "left": 45}],
        "children": [child("u", 8)],
    }
    house.add(kind, ("t3", "t5", "u"), at, body)


@pytest.mark.parametrize("kind", ["mixed", "joined"])
def test_a_child_of_several_takes_the_latest_clock_of_its_parents(kind: str) -> None:
    """Rules Q-6, Q-7."""
    house = day_1()
    house.order("t5", "2031-05-16 10:20", "restart", "Q-10")
    house.order("t3", "2031-05-16 10:20", "extend", "Q-11", days=3)
    mix(house, "2031-07-30 10:40", kind)
    house.order("t3", "2031-08-02 10:20", "restart", "Q-12")
    assert dates(clock(house, "u")) == ("2031-05-16", "2031-11-15")


def test_only_what_was_done_for_all_parents_was_done_for_their_child() -> None:
    """Rule Q-7."""
    house = day_1()
    inspect(house, "2031-06-06 09:00", "t3")
    mix(house, "2031-07-30 10:40")
    assert codes(clock(house, "u").met) == []
    house = day_1()
    inspect(house, "2031-06-06 09:00", "t3")
    inspect(house, "2031-06-06 10:00", "t5")
    mix(house, "2031-07-30 10:40")
    assert codes(clock(house, "u").met) == ["inspected"]


@pytest.mark.parametrize("further", ["t3", "t5"])
def test_a_course_is_as_far_as_the_parent_that_had_the_least_of_it(further: str) -> None:
    """Rule Q-7."""
    house = under_order(day_1())
    treat(house, "2031-05-17")
    body = {
        "product": "soap",
        "started_at": "2031-05-27T06:30:00.000Z",
        "ended_at": "2031-05-27T06:50:00.000Z",
        "order": "Q-09",
    }
    house.add("treated", further, "2031-05-27 16:50", body)
    assert dates(clock(house, further)) == ("2031-05-27", "2031-11-23")
    mix(house, "2031-07-30 10:40")
    assert dates(clock(house, "u")) == (None, None)


def test_a_course_of_one_parent_alone_comes_along() -> None:
    """Rule Q-7."""
    house = day_1()
    house.order("t5", "2031-05-16 10:20", "treat", "Q-13")
    mix(house, "2031-07-30 10:40")
    assert codes(clock(house, "u").unmet)[0] == "treatment_missing"


def test_cuttings_and_splits_inherit_and_may_be_opened_later() -> None:
    """Rule Q-6."""
    house = day_1()
    split = {"parents": [{"id": "t1", "left": 40}], "children": [child("t1a", 13)]}
    house.add("split", ("t1", "t1a"), "2031-04-01 09:00", split)
    stuck = {"batch": {"id": "cut", "label": "CUT"}, "cuttings": 20, "parents": ["t1a"]}
    house.add("stuck", ("cut", "t1a"), "2031-05-01 09:00", stuck)
    assert dates(clock(house, "t1a")) == ("2031-03-03", "2031-08-30")
    assert dates(clock(house, "cut")) == ("2031-03-03", "2031-08-30")
    opened = {"on": "2031-05-01", "permit": "cq-118", "photo": PAPER}
    house.add("opened", "t1a", "2031-05-01 10:00", {**opened, "permit": "cq-118"})
    assert dates(clock(house, "t1a"))[0] == "2031-05-01"


def grafted(house: House) -> None:
    """Own rootstocks, sown long before, take buds of T1 on 1 June."""
    new = {"id": "own", "label": "OWN", "place": "shade"}
    house.add("sown", "own", "2030-01-01 08:00", {"batch": new, "seeds": 100})
    house.add("emerged", "own", "2030-02-01 08:00", {"total": 60})
    worked = {"method": "budded", "plants": 50, "scion": "t1"}
    house.add("worked", ("own", "t1"), "2031-06-01 08:00", worked)


def test_buds_bring_their_clock_to_stock_that_had_none() -> None:
    """Rule Q-6."""
    house = day_1()
    house.order("t1", "2031-05-16 10:20", "restart", "Q-09")
    grafted(house)
    house.order("t1", "2031-06-16 10:20", "restart", "Q-10")
    assert dates(clock(house, "own")) == ("2031-05-16", "2031-11-12")


def test_buds_on_stock_with_a_clock_of_its_own_leave_the_later_one() -> None:
    """Rule Q-7: what was done for the scion's plants was not done for the stock."""
    house = day_1()
    inspect(house, "2031-05-01 09:00", "t1")
    house.arrive("2031-05-10 07:30", ["stock"])
    worked = {"method": "budded", "plants": 50, "scion": "t1"}
    house.add("worked", ("stock", "t1"), "2031-06-01 08:00", worked)
    found = clock(house, "stock")
    assert (dates(found)[0], codes(found.met)) == ("2031-05-10", [])


@pytest.mark.parametrize("parents", [["nobody"], ["loop-2"]])
def test_a_parent_that_the_book_does_not_know_may_have_had_any_clock(parents: list[str]) -> None:
    """Rule Q-7: ignorance gives no date, and a ring of parents ends."""
    house = House()
    for ident, of in (("loop-1", parents), ("loop-2", ["loop-1"])):
        stuck = {"batch": {"id": ident, "label": ident}, "cuttings": 20, "parents": of}
        house.add("stuck", ident, "2031-05-01 09:00", stuck)
    found = clock(house, "loop-1")
    assert (dates(found), found.known) == ((None, None), False)


def test_a_child_of_free_plants_is_free() -> None:
    house = House()
    sown(house)
    stuck = {"batch": {"id": "cut", "label": "CUT"}, "cuttings": 20, "parents": ["own"]}
    house.add("stuck", "cut", "2031-05-01 09:00", stuck)
    book = house.book()
    assert quarantine.clock(book.batches["cut"], book) is None


def test_a_release_reaches_the_children_that_were_born_after_it() -> None:
    """Rule Q-9."""
    house = day_1()
    split = {"parents": [{"id": "t1", "left": 40}], "children": [child("early", 13)]}
    house.add("split", ("t1", "early"), "2031-08-01 09:00", split)
    house.release(("t1",), "2031-09-01 08:30")
    split = {"parents": [{"id": "t1", "left": 30}], "children": [child("late", 10)]}
    house.add("split", ("t1", "late"), "2031-09-02 09:00", split)
    released = {name: clock(house, name).released is not None for name in ("t1", "early", "late")}
    assert released == {"t1": True, "early": False, "late": True}


def test_a_mixed_batch_is_released_only_if_all_its_parents_were() -> None:
    """Rules Q-7, Q-9."""
    house = day_1()
    house.release(("t3",), "2031-07-29 08:30")
    mix(house, "2031-07-30 10:40")
    assert clock(house, "u").released is None
    house = day_1()
    house.release(("t3", "t5"), "2031-07-29 08:30")
    mix(house, "2031-07-30 10:40")
    assert clock(house, "u").released is not None


def test_consent_reaches_a_child_only_from_all_its_parents() -> None:
    """Rules Q-7, G-5."""
    house = day_1()
    for tray in ("t3", "t5"):
        body = {"what": "potting", "reference": "P-31", "photo": PAPER}
        house.add("accepted", tray, "2031-07-29 08:00", body)
    mix(house, "2031-07-30 10:40")
    assert history.of_book(house.book())["u"].consents == {"potting": True}
