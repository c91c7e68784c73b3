"""What a find holds and lists, what a breach holds, and what lifts either."""

from typing import Any

import pytest

from nursery.domain import exposure, holds
from nursery.domain.exposure import Incident
from tests.domain.house import PAPER, TRAYS, House, day_1, day_3, instant, term, with_terms


def incident(house: House) -> Incident:
    (found,) = exposure.incidents(house.book())
    return found


def held(found: Incident) -> list[str]:
    return [one.batch for one in found.held]


def test_day_3_holds_all_six_trays_and_lists_the_citrus_without_a_hold() -> None:
    """Rules E-1, E-3, E-6; the story, day 3."""
    house = day_3()
    house.add("sown", "lemon", "2031-01-05 08:00", {"batch": new("lemon", "citrus"), "seeds": 9})
    found = incident(house)
    assert (found.kind, found.by, found.rooms) == ("find", "w2", ("room",))
    assert (found.exposed, held(found)) == (TRAYS, list(TRAYS))
    assert found.provisional
    assert all(one.provisional for one in found.held)
    assert [(one.place, one.people) for one in found.ring] == [("citrus", ("w2",))]
    assert "lemon" not in holds.of_book(house.book())


def new(ident: str, place: str) -> dict[str, Any]:
    return {"id": ident, "label": ident.upper(), "place": place}


def sown(house: House, ident: str, place: str, at: str) -> None:
    house.add("sown", ident, at, {"batch": new(ident, place), "seeds": 9})


def test_the_exposed_set_reaches_back_to_the_last_clean_look_of_another_day() -> None:
    """Rule E-3: a look of the same morning is of the round of the find."""
    house = day_3()
    house.looked("2031-05-04 07:15", ["t4"])
    assert incident(house).since == instant("2031-04-28 07:30")


def test_an_official_inspection_is_a_clean_look_too() -> None:
    house = day_3()
    body = {"inspector": "P", "answer": "nothing", "plants": 53}
    house.add("inspected", "t4", "2031-05-02 09:00", body)
    assert incident(house).since == instant("2031-05-02 09:00")


def test_plants_never_looked_at_are_doubtful_since_they_came() -> None:
    """Rule E-3."""
    house = day_1()
    house.find("t4", "2031-03-05 07:20")
    assert incident(house).since == instant("2031-03-03 07:30")


def test_the_term_says_how_far_the_exposed_set_reaches() -> None:
    """Rule E-3: days back from the find, in days of the nursery."""
    house = with_terms(term("back", "look_back", {"days": 21}), term("l", "look_back", {}))
    house.arrive("2031-03-03 07:30")
    house.looked("2031-03-30 07:30")
    house.find("t4", "2031-03-31 07:20")
    assert incident(house).since == instant("2031-03-30 07:30")
    house = with_terms(term("back", "look_back", {"days": 21}))
    house.arrive("2031-03-03 07:30")
    house.looked("2031-03-30 07:30")
    house.find("t4", "2031-03-31 07:20")
    assert incident(house).since == instant("2031-03-10 00:00")


STAYS: dict[str, tuple[list[tuple[str, str]], bool]] = {
    "gone before the days looked back": ([("2031-04-20 08:00", "shade")], False),
    "gone within them": ([("2031-05-01 08:00", "shade")], True),
    "back within them": ([("2031-04-20 08:00", "shade"), ("2031-05-02 08:00", "bench")], True),
    "come after the find": ([("2031-04-20 08:00", "shade"), ("2031-05-05 08:00", "bench")], True),
}


@pytest.mark.parametrize(("moves", "exposed"), STAYS.values(), ids=STAYS.keys())
def test_what_shared_the_room_is_exposed(moves: list[tuple[str, str]], exposed: bool) -> None:
    """Rule E-1."""
    house = day_3()
    for at, to in moves:
        house.add("moved", "t1", at, {"to": to})
    assert ("t1" in incident(house).exposed) is exposed


def test_a_move_that_arrives_late_is_exposed_as_well() -> None:
    """Rule E-1: exposure is worked out from stays, not written down."""
    house = day_3()
    sown(house, "guest", "shade", "2031-04-01 08:00")
    house.add("moved", "guest", "2031-05-01 08:00", {"to": "bench"})
    assert "guest" in held(incident(house))


def test_a_find_follows_its_own_plants_through_the_rooms_where_they_stood() -> None:
    """Rule E-1."""
    house = day_3()
    sown(house, "fig", "shade", "2031-01-01 08:00")
    house.add("moved", "t4", "2031-04-29 08:00", {"to": "shade"})
    house.add("moved", "t4", "2031-04-30 08:00", {"to": "bench"})
    found = incident(house)
    assert found.rooms == ("room", "shade")
    assert "fig" in found.exposed


def test_an_exposure_never_makes_another() -> None:
    """Rule E-4: T1 was exposed and stood by the fig; the fig was in no room of the find."""
    house = day_3()
    house.add("moved", "t1", "2031-05-02 08:00", {"to": "shade"})
    sown(house, "fig", "shade", "2031-01-01 08:00")
    found = incident(house)
    assert "t1" in held(found)
    assert "fig" not in found.exposed


def test_plants_that_are_gone_are_held_by_nothing() -> None:
    house = day_3()
    house.add("lost", "t1", "2031-05-02 08:00", {"count": 53, "fate": "destroyed"})
    house.add("lost", "t2", "2031-04-20 08:00", {"count": 53, "fate": "destroyed"})
    found = incident(house)
    assert "t1" in found.exposed
    assert "t1" not in held(found)
    assert "t2" not in found.exposed


def divide(
    house: House, kind: str, parents: dict[str, int], child: str, plants: int, at: str
) -> None:
    body = {
        "parents": [{"id": name, "left": left} for name, left in parents.items()],
        "children": [{"id": child, "label": child, "count": plants, "place": "shade"}],
    }
    house.add(kind, (*parents, child), at, body)


def test_splits_and_cuttings_of_exposed_plants_are_exposed() -> None:
    """Rule E-5."""
    house = day_3()
    divide(house, "split", {"t1": 43}, "before", 10, "2031-03-20 08:00")
    divide(house, "split", {"t1": 33}, "within", 10, "2031-05-01 08:00")
    stuck = {"batch": new("cut", "shade"), "cuttings": 20, "parents": ["within"]}
    house.add("stuck", ("cut", "within"), "2031-05-02 08:00", stuck)
    found = incident(house)
    assert {"before", "within", "cut"} & set(found.exposed) == {"within", "cut"}


def test_a_batch_of_lost_labels_counts_as_each_of_its_possible_parents() -> None:
    """Rule E-5: U left for the shade long before; it may be of T4 all the same."""
    house = day_3()
    divide(house, "mixed", {"t4": 50, "t5": 44}, "u", 8, "2031-03-20 08:00")
    divide(house, "mixed", {"u": 4}, "v", 4, "2031-03-21 08:00")
    found = incident(house)
    assert {"u", "v"} <= set(held(found))
    assert "shade" in found.rooms


def test_a_find_on_lost_labels_concerns_their_possible_parents() -> None:
    """Rule E-5."""
    house = day_1()
    divide(house, "mixed", {"t4": 50, "t5": 44}, "u", 8, "2031-03-20 08:00")
    house.find("u", "2031-05-04 07:20")
    assert {"t4", "t5", "u"} <= set(held(incident(house)))


def test_a_find_at_a_place_exposes_what_stands_in_its_room() -> None:
    house = day_3()
    house.entries = [one for one in house.entries if one.kind != "found"]
    house.find("trap-a", "2031-05-04 07:20")
    found = incident(house)
    assert (found.since, found.exposed) == (instant("2031-04-28 07:30"), TRAYS)


def test_a_find_in_an_empty_room_stays_open_and_holds_nothing() -> None:
    house = House()
    house.find("shade", "2031-05-04 07:20")
    found = incident(house)
    assert (found.exposed, found.held, found.open, found.since) == ((), (), True, found.at)


def test_a_find_about_a_batch_that_the_book_lacks_is_kept() -> None:
    """Its arrival may come later."""
    house = House()
    house.find("t9", "2031-05-04 07:20")
    found = incident(house)
    assert (found.rooms, found.exposed) == ((), ("t9",))


FINDS: dict[str, tuple[dict[str, Any], bool]] = {
    "a suspicion": ({"suspicion": True}, True),
    "no suspicion": ({"suspicion": False, "pest": "thrips"}, False),
    "a listed pest, whatever its finder thought": ({"suspicion": False, "pest": "blackfly"}, True),
}


@pytest.mark.parametrize(("body", "opens"), FINDS.values(), ids=FINDS.keys())
def test_what_opens_an_incident(body: dict[str, Any], opens: bool) -> None:
    """Rules E-1, T-3."""
    house = with_terms(term("l", "listed", {"pests": ["blackfly"]}))
    house.arrive("2031-03-03 07:30")
    house.add("found", "t4", "2031-05-04 07:20", body, by="w2")
    assert bool(exposure.incidents(house.book())) is opens


def sample(house: House, verdict: str, at: str = "2031-05-16 10:20", **more: Any) -> str:
    taken = {"sample": "S-03", "plants": 1, "whole": True, **more}
    house.add("sampled", "t4", "2031-05-04 09:30", taken)
    result = {"sample": "S-03", "verdict": verdict, "pest": "blackfly"}
    return house.add("resulted", "t4", at, result)


def test_a_result_makes_an_incident_of_a_find_that_nobody_suspected() -> None:
    house = day_1()
    find = house.add("found", "t4", "2031-05-04 07:20", {"suspicion": False})
    sample(house, "presumptive", found=find)
    found = incident(house)
    assert (found.verdict, found.pest) == ("presumptive", "blackfly")


def test_a_sample_that_names_another_find_says_nothing_of_this_one() -> None:
    house = day_3()
    other = house.add("found", "t4", "2031-05-04 08:00", {"suspicion": False})
    sample(house, "confirmed", found=other)
    first, second = exposure.incidents(house.book())
    assert (first.verdict, second.verdict) == (None, "confirmed")


def test_a_sample_that_names_no_find_is_of_the_find_on_its_batch() -> None:
    house = day_3()
    sample(house, "negative")
    found = incident(house)
    assert (found.verdict, held(found)) == ("negative", list(TRAYS))


def mistap(
    house: House, find: str, by: str = "g", at: str = "2031-05-04 08:00", **more: Any
) -> str:
    body = {"doubt": f"suspicion:{find}", "reason": "a drop of water"}
    return house.add("settled", "t4", at, {**body, **more}, by=by)


def find_of(house: House) -> str:
    return next(one.id for one in house.entries if one.kind == "found")


def test_the_grower_lifts_a_mis_tap_with_a_reason() -> None:
    """Rule E-8."""
    house = day_3()
    lift = mistap(house, find_of(house))
    found = incident(house)
    assert (found.held, found.open, found.lifted_by, found.doubts) == ((), False, lift, ())
    assert house.batch("t4").open_finds == []
    assert found.exposed == TRAYS


NOT_LIFTED: dict[str, dict[str, Any]] = {
    "a worker": {"by": "w1"},
    "somebody nobody has typed": {"by": "stranger"},
    "the grower's name without a PIN": {"confirmed": False},
    "the grower without a reason": {"reason": " "},
}


@pytest.mark.parametrize("how", NOT_LIFTED.values(), ids=NOT_LIFTED.keys())
def test_nobody_else_does(how: dict[str, Any]) -> None:
    """Rule E-8."""
    house = day_3()
    envelope = {"confirmed": how["confirmed"]} if "confirmed" in how else {}
    body = {"doubt": f"suspicion:{find_of(house)}", "reason": how.get("reason", "a drop")}
    said = house.add("settled", "t4", "2031-05-04 08:00", body, by=how.get("by", "g"), **envelope)
    found = incident(house)
    assert held(found) == list(TRAYS)
    assert [(one.code, one.entries) for one in found.doubts] == [("not_the_growers", (said,))]
    assert house.batch("t4").open_finds == [find_of(house)]


def test_what_settles_something_else_lifts_nothing() -> None:
    house = day_3()
    for doubt in ("suspicion:another", f"difference:{find_of(house)}"):
        house.add("settled", "t4", "2031-05-04 08:00", {"doubt": doubt, "reason": "x"})
    assert held(incident(house)) == list(TRAYS)


@pytest.mark.parametrize("kind", ["withdrawn", "found"])
def test_a_suspicion_that_a_worker_takes_back_still_holds(kind: str) -> None:
    """Rule E-8: a mis-tap is lifted by the grower alone, and stays in the book."""
    house = day_3()
    find = find_of(house)
    body = {"suspicion": False} if kind == "found" else {}
    house.add(kind, "t4", "2031-05-04 07:25", body, by="w2", corrects=find)
    found = incident(house)
    assert (found.id, held(found)) == (find, list(TRAYS))


def test_a_corrected_find_may_be_named_by_either_id() -> None:
    house = day_3()
    body = {"suspicion": True, "pest": "blackfly"}
    newer = house.add("found", "t4", "2031-05-04 07:25", body, corrects=find_of(house))
    mistap(house, newer)
    found = incident(house)
    assert (found.pest, found.open) == ("blackfly", False)


def test_a_later_result_opens_a_lifted_incident_again() -> None:
    """Rule E-8; new facts open a doubt again."""
    house = day_3()
    mistap(house, find_of(house))
    sample(house, "confirmed")
    assert held(incident(house)) == list(TRAYS)


def test_a_result_that_the_grower_knew_of_leaves_it_lifted_and_holds_by_itself() -> None:
    """Rule E-10: what a laboratory proved is no mis-tap, whatever was called one."""
    house = day_3()
    result = sample(house, "confirmed", at="2031-05-04 07:50")
    mistap(house, find_of(house))
    lifted, proved = exposure.incidents(house.book())
    assert (held(lifted), lifted.mistap) == ([], True)
    assert (proved.id, held(proved)) == (result, list(TRAYS))


def test_an_order_replaces_the_first_hold_and_a_lift_ends_it() -> None:
    """Rule E-9; the story, days 4 and 4b."""
    house = day_3()
    house.order(TRAYS, "2031-05-16 10:20", "treat", "Q-09", times=2)
    found = incident(house)
    assert not found.provisional
    assert {one.references for one in found.held} == {("Q-09",)}
    lift = house.order(TRAYS, "2031-06-06 09:00", "lift", "LF-12", lifts="Q-09")
    found = incident(house)
    assert (held(found), found.open, found.lifted_by) == ([], False, lift)


LIFTS: dict[str, tuple[dict[str, Any], bool]] = {
    "that names the order": ({"lifts": "Q-09"}, True),
    "that names nothing": ({}, True),
    "that names the find": ({"lifts": "find"}, True),
    "that names another order": ({"lifts": "Q-07"}, False),
}


@pytest.mark.parametrize(("lift", "ends"), LIFTS.values(), ids=LIFTS.keys())
@pytest.mark.parametrize("about", [TRAYS, ("room",), ("veshmere",)])
def test_a_lift(lift: dict[str, Any], ends: bool, about: tuple[str, ...]) -> None:
    """Rule E-9: it may be about the plants, their room, or all of the nursery."""
    house = day_3()
    house.order(about, "2031-05-16 10:20", "treat", "Q-09", times=2)
    named = {"lifts": find_of(house)} if lift.get("lifts") == "find" else lift
    house.order(about, "2031-06-06 09:00", "lift", "LF-12", **named)
    assert incident(house).open is not ends


def test_a_lift_frees_only_what_it_is_about() -> None:
    """Rule E-9."""
    house = day_3()
    house.order(("t1", "t2"), "2031-05-06 09:00", "lift", "LF-1")
    found = incident(house)
    assert (held(found), found.open) == (["t3", "t4", "t5", "t6"], True)
    provisional = {one.batch: one.provisional for one in found.held}
    assert set(provisional.values()) == {True}


def test_what_comes_after_the_end_is_not_exposed() -> None:
    house = day_3()
    house.order(TRAYS, "2031-06-06 09:00", "lift", "LF-12")
    sown(house, "fig", "bench", "2031-06-07 08:00")
    assert "fig" not in incident(house).exposed


def test_a_child_born_after_the_lift_is_free_and_one_born_before_is_not() -> None:
    """Rules E-5, E-9."""
    house = day_3()
    house.order(TRAYS, "2031-05-16 10:20", "treat", "Q-09")
    divide(house, "split", {"t1": 43}, "early", 10, "2031-05-20 08:00")
    house.order(TRAYS, "2031-06-06 09:00", "lift", "LF-12", lifts="Q-09")
    divide(house, "split", {"t1": 33}, "late", 10, "2031-06-07 08:00")
    assert held(incident(house)) == ["early"]
    house.order("early", "2031-06-08 09:00", "lift", "LF-13", lifts="Q-09")
    assert held(incident(house)) == []


def test_a_mixed_child_is_free_only_if_all_its_parents_were_lifted() -> None:
    """Rules E-5, E-9."""
    house = day_3()
    house.order(("t1",), "2031-05-16 10:20", "lift", "LF-1")
    divide(house, "mixed", {"t1": 43, "t2": 43}, "u", 20, "2031-05-20 08:00")
    assert "u" in held(incident(house))


def test_people_of_a_room_lead_to_where_else_they_worked() -> None:
    """Rule E-6: a visit counts as well; the office grows nothing; another week is too long ago."""
    house = day_3()
    visitor = {"visitor": {"name": "Ana", "firm": "Lab"}}
    for place in ("room", "shade"):
        house.add("entered", place, "2031-05-02 10:00", visitor, by="g")
        house.add("left", place, "2031-05-02 10:30", visitor, by="g")
    house.add("dosed", "office", "2031-05-02 08:00", {"product": "copper"}, by="w2")
    house.add("watered", "tr3", "2031-04-12 08:00", {}, by="w2")
    house.add("watered", "tr3", "2031-05-02 08:00", {}, by="nobody-inside")
    sown(house, "lemon", "citrus", "2031-01-05 08:00")
    house.add("pruned", "lemon", "2031-05-03 15:00", {}, by="w2")
    ring = {one.place: one for one in incident(house).ring}
    assert set(ring) == {"citrus", "shade"}
    assert ring["citrus"].last_at == instant("2031-05-03 15:00")
    assert "Ana, Lab" in ring["shade"].people


def shares(house: House, place: str, *things: str, kind: str = "house") -> None:
    house.row("place", place, {"name": place, "kind": kind, "shares": list(things)})


def test_tools_and_water_of_a_room_lead_to_where_else_they_are_used() -> None:
    """Rule E-11: looked at like the places of people; a store grows nothing; nothing is held."""
    house = day_3()
    row = {"name": "bench", "kind": "bench", "parent": "room"}
    house.row("place", "bench", {**row, "shares": ["red pruner", "drip line 1"]})
    shares(house, "shade", "red pruner", "hose")
    shares(house, "citrus", "drip line 1", kind="block")
    shares(house, "store", "red pruner", kind="store")
    shares(house, "tr3", "hose", kind="terrace")
    found = incident(house)
    ring = {one.place: (one.people, one.things) for one in found.ring}
    assert ring == {"shade": ((), ("red pruner",)), "citrus": (("w2",), ("drip line 1",))}
    assert {one.last_at for one in found.ring if one.place == "shade"} == {found.at}
    assert set(found.exposed) == set(TRAYS)


def breach(house: House, at: str = "2031-08-13 05:40") -> str:
    return house.add("breached", "room", at, {"what": "tear, 35 cm", "size_cm": 35}, by="w1")


def test_a_breach_holds_its_room_and_exposes_nobody() -> None:
    """Rule E-7; the story, day 6."""
    house = day_1()
    house.add("moved", "t1", "2031-08-01 08:00", {"to": "shade"})
    house.add("lost", "t2", "2031-08-01 08:00", {"count": 53, "fate": "died"})
    house.add("repaired", "room", "2031-08-13 06:00", {"what": "tape"})
    breach(house)
    found = incident(house)
    assert (found.kind, found.exposed, found.ring) == ("breach", (), ())
    assert (held(found), found.provisional) == (["t3", "t4", "t5", "t6"], True)


@pytest.mark.parametrize("act", ["extend", "lift", "hold"])
def test_the_authoritys_word_about_the_room_ends_what_a_breach_holds(act: str) -> None:
    """Rule E-7: a hold that it orders is a hold by order."""
    house = day_1()
    breach(house)
    order = house.order("room", "2031-08-13 09:00", act, "IN-12", not_before="2031-09-10")
    found = incident(house)
    assert (found.open, found.lifted_by, held(found)) == (False, order, [])
    assert set(holds.of_book(house.book())) == (set(TRAYS) if act == "hold" else set())


def test_the_authoritys_word_about_some_plants_frees_those() -> None:
    house = day_1()
    breach(house)
    house.order("t1", "2031-08-13 09:00", "extend", "IN-12", days=1)
    found = incident(house)
    assert (found.open, held(found)) == (True, ["t2", "t3", "t4", "t5", "t6"])


def test_a_breach_that_was_withdrawn_was_none() -> None:
    house = day_1()
    torn = breach(house)
    house.add("withdrawn", "room", "2031-08-13 05:45", {}, corrects=torn)
    assert exposure.incidents(house.book()) == ()


def test_incidents_are_written_in_json() -> None:
    house = day_3()
    house.order(TRAYS, "2031-05-16 10:20", "treat", "Q-09", photo=PAPER)
    written = incident(house).as_json()
    assert written["ring"] == [
        {
            "place": "citrus",
            "people": ["w2"],
            "things": [],
            "last_at": "2031-05-02T23:00:00.000Z",
        }
    ]
    assert written["held"][0] == {
        "batch": "t1",
        "since": "2031-05-03T21:20:00.000Z",
        "provisional": False,
        "references": ["Q-09"],
    }


@pytest.mark.parametrize("came", ["a", "b", "c"])
def test_a_breach_holds_every_batch_of_a_ring_of_parents(came: str) -> None:
    """Rule E-7: records that contradict another free nobody."""
    made = House()
    made.arrive("2031-08-13 05:00", (came,))
    made.add("breached", "room", "2031-08-13 05:40", {"what": "tear"})
    for giver, taker in (("a", "b"), ("b", "c"), ("c", "a")):
        child = {"id": taker, "label": taker.upper(), "count": 3, "place": "shade"}
        body = {"parents": [{"id": giver, "left": 3}], "children": [child]}
        made.add("split", (giver, taker), "2031-08-14 09:00", body)
    book = made.book()
    assert book.of_rings == ("a", "b", "c")
    assert set(holds.of_book(book)) == {"a", "b", "c"}
