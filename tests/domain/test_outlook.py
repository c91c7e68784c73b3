"""The outlook: what phones are shipped, the same for every order of arrival."""

import json
from collections.abc import Mapping
from datetime import timedelta
from itertools import permutations
from typing import Any

from nursery.domain import outlook
from tests.domain.house import ROWS, TRAYS, ZONE, House, day_1, day_2, day_3, instant, place

NOW = instant("2031-05-04 07:30")


def compose(house: House, at: str = "2031-05-04 07:30", days: int = 60) -> dict[str, Any]:
    made = outlook.compose(house.book(), instant(at), days)
    as_sent: dict[str, Any] = json.loads(json.dumps(made))
    assert as_sent == made
    return made


def test_day_3_is_told_to_every_phone() -> None:
    """The story, day 3."""
    made = compose(day_3())
    assert (made["made_at"], made["from"], made["to"]) == (
        "2031-05-03T21:30:00.000Z",
        "2031-05-04",
        "2031-07-03",
    )
    assert list(made["batches"]) == list(TRAYS)
    t1 = made["batches"]["t1"]
    assert (t1["label"], t1["clock"]["earliest"]) == ("T1", "2031-08-30")
    rows = {row["act"]: (row["batch"], row["answer"], row["reason"]) for row in t1["gates"]}
    assert rows["moving"] == ("t1", "no", "held_provisionally")
    assert [(one["by"], one["provisional"]) for one in t1["held"]] == [("find", True)]
    (incident,) = made["incidents"]
    assert (incident["exposed"], [one["place"] for one in incident["ring"]]) == (
        list(TRAYS),
        ["citrus"],
    )
    (account,) = made["consignments"]
    assert [one["code"] for one in account["notices"]] == ["short"]
    assert [one["code"] for one in made["notices"]] == ["short"]
    assert ["T3", "TR3"] in made["look_alikes"]


def test_only_open_checks_of_the_past_are_told() -> None:
    made = compose(day_2(), "2031-03-26 08:00", days=6)
    past = [check for check in made["checks"] if check["due_by"] < made["made_at"]]
    assert {check["kind"] for check in past} == {"look_over", "trap", "replace_trap"}
    assert {check["answered_by"] for check in past} == {None}
    answered = [check for check in made["checks"] if check["answered_by"] is not None]
    assert {check["params"]["week_of"] for check in answered} == {"2031-03-24"}


def test_a_closed_batch_has_no_gates() -> None:
    house = day_1()
    house.add("lost", "t1", "2031-04-01 08:00", {"count": 53, "fate": "destroyed"})
    assert "t1" not in compose(house)["batches"]


def test_a_batch_without_conditions_has_no_clock() -> None:
    house = day_1()
    house.row("consignment", "c-1", {"name": "Liners", "without_conditions": True})
    made = compose(house)["batches"]["t1"]
    assert made["clock"] is None
    assert {row["reason"] for row in made["gates"]} == {"no_conditions"}


def test_a_room_with_too_few_traps_is_told_with_the_area_that_was_used() -> None:
    """Rule C-6."""
    house = day_1()
    del house.rows["place"]["trap-b"]
    (notice,) = [one for one in compose(house)["notices"] if one["subject"] == "room"]
    assert notice["code"] == "traps_short_by_floor"
    assert notice["params"] == {
        "number": 5,
        "over_plants": 2,
        "at_doors": 1,
        "at_vents": 2,
        "area": "floor",
        "m2": 24.0,
        "by_other_area": 4,
        "have": 4,
    }


def test_an_unmeasured_or_undescribed_room_has_no_number_of_traps() -> None:
    house = day_1()
    house.row("place", "room", {"name": "room", "kind": "room", "parent": "veshmere"})
    assert not [one for one in compose(house)["notices"] if one["subject"] == "room"]
    house.arrive("2031-03-04 07:30", ["t9"], place="attic")
    assert not [one for one in compose(house)["notices"] if one["subject"] == "room"]


def test_who_may_enter_is_told_per_person_where_an_order_says_so() -> None:
    """Rule G-9."""
    house = day_3()
    assert compose(house)["places"]["room"]["people"] == {}
    house.order("room", "2031-05-04 09:30", "hold", "EM-77", admits=["w1", "g"])
    places = compose(house, "2031-05-04 10:00")["places"]
    assert places["room"]["entering"]["answer"] == "no"
    answers = {who: row["answer"] for who, row in places["room"]["people"].items()}
    assert answers == {"w1": "yes", "w2": "no", "g": "yes"}
    assert places["trap-a"]["people"] != {}
    assert places["shade"]["people"] == {}


def test_re_entry_of_a_room_is_told_with_its_hour_and_its_doubts() -> None:
    """Rule P-2."""
    house = day_1()
    body = {
        "product": "soap",
        "started_at": "2031-05-17T06:30:00.000Z",
        "ended_at": "2031-05-17T06:50:00.000Z",
    }
    until = {"reentry_until": "2031-05-17T18:50:00.000Z"}
    house.add("treated", "room", "2031-05-17 16:50", {**body, **until})
    unknown = house.add("treated", "shade", "2031-05-17 16:50", body)
    house.add("treated", "t1", "2031-05-17 16:50", body)
    made = compose(house, "2031-05-17 17:00")
    assert made["places"]["room"]["reentry_until"] == "2031-05-17T18:50:00.000Z"
    assert made["places"]["room"]["doubts"] == []
    (doubt,) = made["places"]["shade"]["doubts"]
    assert (doubt["id"], doubt["weight"]) == (f"reentry_missing:{unknown}", "note")
    assert [one["code"] for one in made["batches"]["t1"]["doubts"]] == ["reentry_missing"]


def test_doubts_that_only_the_whole_book_can_raise_are_told() -> None:
    house = day_3()
    find = next(one.id for one in house.entries if one.kind == "found")
    body = {"doubt": f"suspicion:{find}", "reason": "a drop"}
    said = house.add("settled", "t4", "2031-05-04 08:00", body, by="w2")
    made = compose(house)["batches"]["t4"]["doubts"]
    assert [(one["code"], one["entries"]) for one in made] == [("not_the_growers", [said])]


def test_an_empty_book_has_an_outlook() -> None:
    made = outlook.compose(outlook.Book(ZONE, {}, {}, {}, []), NOW)
    assert {name: made[name] for name in ("batches", "places", "checks", "notices")} == {
        "batches": {},
        "places": {},
        "checks": [],
        "notices": [],
    }


def test_the_days_are_those_of_the_zone() -> None:
    late = outlook.compose(day_1().book(), instant("2031-05-04 00:10"), 1)
    assert late["from"] == "2031-05-04"
    assert late["made_at"].startswith("2031-05-03")


def test_any_order_of_finds_gives_the_same_outlook() -> None:
    """Rule E-4."""
    house = day_3()
    find = next(one.id for one in house.entries if one.kind == "found")
    house.add("found", "t2", "2031-05-04 07:25", {"suspicion": True}, by="w1")
    house.add("withdrawn", "t2", "2031-05-04 07:26", {}, corrects=house.entries[-1].id)
    house.add("settled", "t4", "2031-05-04 08:00", {"doubt": f"suspicion:{find}", "reason": "x"})
    book = house.book()
    made = {
        json.dumps(
            outlook.compose(
                outlook.Book(book.zone, book.batches, book.places, book.rows, order), NOW
            )
        )
        for order in permutations(book.finds)
    }
    assert len(made) == 1


def backwards(some: Mapping[str, Any]) -> dict[str, Any]:
    return dict(reversed(list(some.items())))


def test_batches_and_places_in_any_order_give_the_same_outlook() -> None:
    book = day_3().book()
    turned = outlook.Book(
        book.zone,
        backwards(book.batches),
        backwards(book.places),
        {kind: backwards(rows) for kind, rows in book.rows.items()},
        book.finds,
    )
    assert outlook.compose(turned, NOW) == outlook.compose(book, NOW)


def test_places_that_name_each_other_as_parents_end() -> None:
    rows = [*ROWS, place("here", "bench", "there"), place("there", "bench", "here")]
    house = House(rows)
    house.arrive("2031-03-03 07:30", ["t1"], place="here")
    house.find("t1", "2031-05-04 07:20")
    made = outlook.compose(house.book(), NOW + timedelta(days=1))
    assert made["batches"]["t1"]["held"] != []
