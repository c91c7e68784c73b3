"""What if: the story's banana plantlets, a visit that slips, a treatment on another day."""

from typing import Any

import pytest

from nursery.domain import groups, outlook, supposed, what_if
from nursery.domain.errors import SupposedUnreadable
from nursery.domain.gate import Act
from nursery.domain.gates import answer
from nursery.domain.what_if import Outcome
from tests.domain.house import PAPER, TERMS, TRAYS, House, day, day_1, instant, place, term

POT = "2.5 L pot"
ALL_OUT = term("out", "all_out", {"empty_hours": 168})
BANANA = {"what": "consignment", "on": "2031-08-20", "plants": 400, "room": "room", "days": 180}
TODAY = "2031-08-13"


def story(*more: dict[str, Any]) -> House:
    """Day 6, as far as the clock needs it: 243 pots under Q-09, the breach, and P's order."""
    house = day_1()
    house.row(
        "permit",
        "cq-118",
        {"reference": "CQ-118", "holder": "G", "terms": [*TERMS, ALL_OUT, *more]},
    )
    pots = [{"container": POT, "per_m2": 18, "source": "own records"}]
    house.row("crop", "finger-lime", {"name": "Finger lime", "pots": pots})
    house.order(TRAYS, "2031-05-16 10:20", "restart", "Q-09", after_treatment=1)
    body = {
        "product": "soap",
        "started_at": "2031-05-27T06:30:00.000Z",
        "ended_at": "2031-05-27T06:50:00.000Z",
        "reentry_until": "2031-05-27T18:50:00.000Z",
        "order": "Q-09",
    }
    house.add("treated", TRAYS, "2031-05-27 16:50", body)
    for tray, alive in zip(TRAYS, (51, 52, 53, 0, 46, 41), strict=True):
        house.add("potted", tray, "2031-07-30 09:00", {"container": POT})
        house.count(tray, alive, "2031-07-30 10:00")
    return house


def torn(house: House) -> None:
    house.add("breached", "room", "2031-08-13 05:40", {"what": "tear"})


def ordered(house: House) -> None:
    torn(house)
    seats = (*TRAYS, "room")
    house.order(seats, "2031-08-13 09:00", "extend", "IN-12", days=0, not_before="2031-09-10")


def ask(house: House, *some: dict[str, Any], today: str = TODAY) -> Outcome:
    return what_if.ask([supposed.read(one) for one in some], house.book(), day(today))


def told(outcome: Outcome) -> dict[str, dict[str, Any]]:
    return {one.why.code: dict(one.why.params) for one in outcome.told}


def answers(outcome: Outcome) -> dict[str, str]:
    return {one.why.code: one.answer.value for one in outcome.told}


def test_the_banana_plantlets_of_day_6() -> None:
    """Rule W-2; the story, day 6: no, or a second room."""
    house = story()
    ordered(house)
    found = ask(house, BANANA)
    why = told(found)
    assert found.answer.value == "no"
    assert why["room_has_plants"]["alive"] == 243
    assert why["one_group"] == {"place": "room", "release": "2032-02-16", "n": 85}
    assert why["benches_taken"] == {"place": "room", "taken": 13.5, "of": 15.0}
    assert why["order_until"] == {"reference": "IN-12", "on": "2031-09-10"}
    assert "no_other_room" in why
    assert "main_weeks_lost" not in why
    rows = {row["id"]: row for row in found.batches}
    assert rows["supposed-1"]["after"]["together"] == "2032-02-16"
    assert rows["t1"]["before"]["together"] == "2031-11-23"
    assert (rows["t1"]["after"]["together"], rows["t1"]["n"]) == ("2032-02-16", 85)
    assert rows["t1"]["after"]["earliest"] == "2031-11-23"
    assert "t4" not in rows
    assert found.as_json()["reasons"][0]["answer"] == "no"


def test_asking_leaves_no_trace_in_the_book() -> None:
    """Rule W-1."""
    book = story().book()
    before = outlook.compose(book, instant("2031-08-13 12:00"))
    names = set(book.batches)
    what_if.ask([supposed.read(BANANA)], book, day(TODAY))
    assert set(book.batches) == names
    assert outlook.compose(book, instant("2031-08-13 12:00")) == before


def fits(**more: Any) -> dict[str, Any]:
    return BANANA | {"crop": "finger-lime", "container": POT} | more


BENCHES: dict[str, tuple[dict[str, Any], str, str]] = {
    "more than is left": (fits(plants=28), "benches_full", "no"),
    "exactly what is left": (fits(plants=27), "benches_hold", "yes"),
    "nobody said how many stand on a m2": (BANANA, "benches_taken", "cannot_tell"),
    "a room that nobody measured": (fits(room="shade"), "benches_unknown", "cannot_tell"),
    "a bench is in its room": (fits(plants=28, room="bench"), "benches_full", "no"),
}


@pytest.mark.parametrize(("asked", "code", "how"), BENCHES.values(), ids=BENCHES.keys())
def test_the_benches_hold_them_or_do_not(asked: dict[str, Any], code: str, how: str) -> None:
    """Rule P-5: 243 pots at 18 a m2 take 13.5 of 15 m2."""
    assert answers(ask(story(), asked))[code] == how


def test_a_pot_that_nobody_described_leaves_the_benches_unknown() -> None:
    house = story()
    house.add("potted", "t1", "2031-08-01 09:00", {"container": "bag"})
    assert "benches_unknown" in told(ask(house, fits()))


def test_plants_that_are_ready_before_the_others_drag_nothing_and_still_find_plants_there() -> None:
    found = ask(story(), fits(plants=27, days=60))
    assert (found.answer.value, answers(found)) == (
        "no",
        {
            "room_has_plants": "no",
            "group_as_before": "yes",
            "benches_hold": "yes",
            "no_other_room": "yes",
        },
    )
    assert [row["id"] for row in found.batches] == ["supposed-1"]


def test_without_all_in_all_out_nobody_waits_for_the_other() -> None:
    house = story()
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": list(TERMS)})
    found = ask(house, fits(plants=27))
    assert answers(found) == {"benches_hold": "yes"}
    assert found.batches[0]["after"]["together"] == found.batches[0]["after"]["earliest"]


def test_another_room_is_named_where_one_is_empty_and_large_enough() -> None:
    """Rule W-4."""
    house = story()
    for name, m2 in (("small", 1), ("second", 20)):
        kind, ident, body = place(name, "room", "veshmere", bench_m2=m2)
        house.row(kind, ident, body)
    assert told(ask(house, fits(plants=28)))["other_room"] == {"rooms": ["second"]}


def test_plants_in_an_empty_room_wait_for_nobody() -> None:
    house = story()
    kind, ident, body = place("second", "room", "veshmere", bench_m2=20)
    house.row(kind, ident, body)
    found = ask(house, fits(room="second"))
    assert (answers(found), found.answer.value) == (
        {"benches_full": "no", "no_other_room": "yes"},
        "no",
    )
    assert ask(house, fits(room="second", plants=90)).answer.value == "yes"


def test_a_permit_that_nobody_typed_says_no_day() -> None:
    found = ask(story(), fits(plants=27, days=None, permit="bp-7"))
    assert answers(found)["permit_unknown"] == "cannot_tell"
    assert "group_unknown" in told(found)
    assert "would_have_no_day" in told(found)


def test_a_typed_permit_gives_its_own_days_and_its_quantity() -> None:
    found = ask(story(), fits(plants=27, days=None, permit="cq-118"))
    assert told(found)["quantity_over"] == {"permit": 330, "plants": 345, "n": 15}
    assert told(found)["one_group"]["release"] == "2032-02-16"
    within = ask(story(), fits(plants=12, days=None, permit="cq-118"))
    assert "quantity_over" not in told(within)


def test_a_tear_that_nobody_decided_on_and_held_plants() -> None:
    house = story()
    torn(house)
    assert answers(ask(house, fits(plants=27)))["breach_open"] == "wait"
    assert answers(ask(house, fits(plants=27)))["room_held"] == "no"


def inspection(on: str) -> dict[str, Any]:
    return {"what": "inspection", "on": on, "batches": [*TRAYS, "nobody"]}


def test_a_last_visit_that_slips_moves_the_notice_to_its_day() -> None:
    found = ask(story(), inspection("2031-12-05"), today="2031-11-20")
    assert told(found)["would_be_later"] == {"from": "2031-11-23", "to": "2031-12-05", "n": 12}
    assert {row["id"] for row in found.batches} == {*TRAYS} - {"t4"}


def test_a_notice_that_comes_late_lets_a_visit_lapse() -> None:
    """Rule W-3; the story, day 7: the notice can come only on 28 November."""
    house = story()
    for tray, alive in zip(TRAYS, (51, 52, 53, 0, 46, 41), strict=True):
        for at in ("2031-06-06 09:00", "2031-11-20 08:30"):
            body = {"inspector": "P", "answer": "nothing", "plants": 54, "active_growth": True}
            house.add("inspected", tray, at, body | {"photo": PAPER, "plants": max(alive, 54)})
    late = ask(house, {"what": "notice", "on": "2031-11-28"}, today="2031-11-20")
    assert late.answer.value == "no"
    assert told(late)["inspection_too_old"]["days"] == 8
    soon = ask(house, {"what": "notice", "on": "2031-11-27"}, today="2031-11-20")
    assert soon.answer.value == "yes"
    assert "inspection_too_old" not in told(soon)


def treatment(on: str, order: str = "Q-09") -> dict[str, Any]:
    return {"what": "treatment", "on": on, "order": order}


def under_two() -> House:
    house = day_1()
    house.order(TRAYS, "2031-05-16 10:20", "treat", "Q-09", times=2, interval_days=10)
    house.order(TRAYS, "2031-05-16 10:20", "restart", "Q-09", after_treatment=2)
    body = {
        "product": "soap",
        "started_at": "2031-05-17T06:30:00.000Z",
        "ended_at": "2031-05-17T06:50:00.000Z",
        "order": "Q-09",
    }
    house.add("treated", TRAYS, "2031-05-17 16:50", body)
    booked = {"act": "treatment", "on": "2031-05-27", "order": "Q-09"}
    house.add("booked", TRAYS, "2031-05-17 17:00", booked)
    return house


def test_a_treatment_on_a_later_day_moves_the_release() -> None:
    found = ask(under_two(), treatment("2031-05-30"), today="2031-05-18")
    assert (found.answer.value, told(found)["would_be_later"]) == (
        "yes",
        {"from": "2031-11-23", "to": "2031-11-26", "n": 3},
    )


def test_a_treatment_that_nobody_has_booked_gives_a_day() -> None:
    house = under_two()
    house.add("withdrawn", TRAYS, "2031-05-17 18:00", corrects=house.entries[-1].id)
    found = ask(house, treatment("2031-05-27"), today="2031-05-18")
    assert told(found) == {"would_be_on": {"on": "2031-11-23"}}


def test_a_day_later_within_the_authoritys_weekend_moves_no_notice() -> None:
    house = under_two()
    rule = term("own", "days_off", {"weekdays": [6, 7]})
    house.row("due_rule", "off", {"term": rule})
    settings = {"name": "Veshmere", "zone": "Etc/GMT-10", "planting": WEEKS}
    house.row("nursery", "veshmere", settings)
    found = ask(house, treatment("2031-05-28"), today="2031-05-18")
    (row,) = (one for one in found.batches if one["id"] == "t1")
    assert (row["before"]["notice"], row["after"]["notice"], row["n"]) == (
        "2031-11-24",
        "2031-11-24",
        0,
    )
    assert [one["code"] for one in row["season"]] == ["planting_weeks"]
    assert found.told == ()


WEEKS = [{"first": "12-01", "last": "12-24"}]


def test_a_treatment_that_is_too_soon_starts_no_clock() -> None:
    """Rule W-3; the story, day 4: nine days after the first."""
    found = ask(under_two(), treatment("2031-05-26"), today="2031-05-18")
    assert found.answer.value == "no"
    assert told(found)["would_be_too_soon"] == {
        "number": 2,
        "reference": "Q-09",
        "on": "2031-05-26",
        "n": 9,
        "needed": 10,
        "plan": "2031-05-27",
    }
    assert "would_have_no_day" in told(found)


def test_a_release_may_come_earlier_as_well() -> None:
    house = under_two()
    booked = {"act": "treatment", "on": "2031-06-20", "order": "Q-09"}
    house.add("withdrawn", TRAYS, "2031-05-17 18:00", corrects=house.entries[-1].id)
    house.add("booked", TRAYS, "2031-05-18 07:00", booked)
    found = ask(house, treatment("2031-05-27"), today="2031-05-18")
    assert told(found)["would_be_earlier"]["n"] == 24


def test_an_order_that_nobody_typed_is_named() -> None:
    found = ask(under_two(), treatment("2031-05-30", "Q-88"), today="2031-05-18")
    assert (found.answer.value, told(found)) == (
        "cannot_tell",
        {"order_unknown": {"reference": "Q-88"}},
    )


def test_an_order_of_which_nothing_is_done_may_be_done_on_any_day() -> None:
    house = day_1()
    house.order(TRAYS, "2031-05-16 10:20", "treat", "Q-09", times=2, interval_days=10)
    assert ask(house, treatment("2031-05-17"), today="2031-05-16").told == ()


def test_what_costs_a_season_says_so() -> None:
    house = under_two()
    weeks = [{"first": "10-01", "last": "11-24"}, {"first": "03-01", "last": "03-31"}]
    settings = {"name": "Veshmere", "zone": "Etc/GMT-10", "planting": weeks}
    house.row("nursery", "veshmere", settings)
    found = ask(house, treatment("2031-05-30"), today="2031-05-18")
    assert told(found)["main_weeks_lost"]["next_first"] == "2032-03-01"


def with_weeks(*weeks: tuple[str, str]) -> House:
    house = story()
    planting = [{"first": first, "last": last} for first, last in weeks]
    settings = {"name": "Veshmere", "zone": "Etc/GMT-10", "planting": planting}
    house.row("nursery", "veshmere", settings)
    return house


def test_weeks_that_the_rooms_latest_day_misses_are_told() -> None:
    """Rules P-4, S-1: 1 to 24 December is lost when all wait until 16 February."""
    found = ask(with_weeks(("12-01", "12-24"), ("03-01", "03-31")), BANANA)
    assert told(found)["main_weeks_lost"]["first"] == "2031-12-01"


def test_weeks_that_were_lost_before_are_no_cost_of_what_is_supposed() -> None:
    """The order of May cost them; the plantlets do not."""
    found = ask(with_weeks(("10-01", "11-15"), ("03-01", "03-31")), BANANA)
    assert "main_weeks_lost" not in told(found)
    row = next(one for one in found.batches if one["id"] == "t1")
    assert ([one["code"] for one in row["season"]], row["lost"]) == (["main_weeks_lost"], [])


def test_the_outlook_reckons_its_weeks_from_the_rooms_latest_day() -> None:
    """Rule S-1."""
    house = with_weeks(("12-01", "12-24"), ("03-01", "03-31"))
    mixed_room(house)
    made = outlook.compose(house.book(), instant("2031-08-21 12:00"))
    assert [one["code"] for one in made["batches"]["t1"]["season"]] == ["main_weeks_lost"]
    assert made["batches"]["ban"]["season"][0]["params"]["first"] == "2032-03-01"


def test_nothing_supposed_changes_nothing() -> None:
    found = ask(story())
    assert found.as_json() == {"answer": "yes", "reasons": [], "batches": []}


def test_released_plants_and_plants_without_conditions_are_not_concerned() -> None:
    house = story()
    house.release(TRAYS, "2031-08-01 08:30")
    found = ask(house, fits(plants=27))
    assert [row["id"] for row in found.batches] == ["supposed-1"]


def test_plants_that_stand_nowhere_wait_for_no_room() -> None:
    house = story()
    house.arrive("2031-08-01 07:30", ("lost",), place=None)
    house.count("lost", 5, "2031-08-01 08:30")
    found = ask(house, {"what": "notice", "on": "2032-03-01"})
    row = next(one for one in found.batches if one["id"] == "lost")
    assert row["after"]["together"] == row["after"]["earliest"]


READ: dict[str, tuple[Any, str]] = {
    "no object": ([], "what"),
    "nothing known": ({"what": "weather"}, "what"),
    "without its day": ({**BANANA, "on": None}, "on"),
    "half a plant": ({**BANANA, "plants": 0.5}, "plants"),
    "longer than a century": ({**BANANA, "days": 40_000}, "days"),
}


@pytest.mark.parametrize(("raw", "field"), READ.values(), ids=READ.keys())
def test_what_cannot_be_supposed_is_named(raw: Any, field: str) -> None:
    with pytest.raises(SupposedUnreadable) as refused:
        supposed.read(raw)
    assert refused.value.params["field"] == field


def test_a_day_that_lies_a_century_away_is_named() -> None:
    with pytest.raises(SupposedUnreadable):
        ask(story(), {"what": "notice", "on": "2999-12-31"})


def mixed_room(house: House) -> None:
    house.row("consignment", "c-2", {"name": "Banana", "permit": "cq-118"})
    new = [{"id": "ban", "label": "BAN", "place": "bench"}]
    house.add("received", "ban", "2031-08-20 07:30", {"consignment": "c-2", "batches": new})
    house.count("ban", 20, "2031-08-20 08:30")


def test_a_second_consignment_in_the_room_shuts_the_notice_until_both_may_go() -> None:
    """Rule P-4: put into the room without asking."""
    house = story()
    mixed_room(house)
    book = house.book()
    told = answer(Act.RELEASING, book.batches["t1"], book, instant("2031-11-24 08:00"))
    part = next(one for one in told.parts if one.code == "waits_for_room")
    assert (part.answer.value, part.params["earliest"]) == ("wait", "2032-02-16")
    own = answer(Act.RELEASING, book.batches["ban"], book, instant("2031-11-24 08:00"))
    assert "waits_for_room" not in [one.code for one in own.parts]


def test_with_plants_of_which_nobody_can_say_the_day_nobody_can_tell() -> None:
    house = story()
    mixed_room(house)
    house.row("consignment", "c-2", {"name": "Banana", "permit": "not-typed"})
    book = house.book()
    told = answer(Act.RELEASING, book.batches["t1"], book, instant("2031-11-24 08:00"))
    assert "group_unknown" in [one.code for one in told.parts]
    group = groups.of_room("room", book, day("2031-11-24"))
    assert group is not None
    assert group.as_json()["release"] is None


def test_the_outlook_tells_of_each_room_who_goes_together_and_how_full_it_is() -> None:
    rooms = outlook.compose(story().book(), instant("2031-08-13 12:00"))["places"]
    assert rooms["room"]["benches"] == {"m2": 15.0, "taken": 13.5}
    group = rooms["room"]["group"]
    assert (group["release"], len(group["batches"])) == ("2031-11-23", 5)
    assert (rooms["shade"]["benches"], rooms["shade"]["group"]) == (None, None)
