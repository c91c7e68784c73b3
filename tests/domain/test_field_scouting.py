"""Looking over plants in the field: each counts once, and what nothing found is worth."""

from math import comb
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.field import scouting
from nursery.domain.field.scouting import Seen, Walked, Where
from nursery.domain.kinds.health import Answer
from nursery.domain.record import Look
from tests.domain import count_scenes as scenes
from tests.domain.house import House, day, instant, place

TODAY = day("2032-09-13")
MORNING = "2032-09-13 08:00"
LIVING: dict[Where, int] = {("tr5", row): 10 if row == 5 else 15 for row in range(1, 6)}


def house(*terraces: str) -> House:
    """Return terraces as they were planted, and three pests."""
    found = House()
    for terrace in terraces or ("tr5",):
        found.row(*place(terrace, "terrace", "veshmere"))
        found.row("layout", terrace, scenes.layout(terrace, crop="lime"))
        for batch, body in scenes.planted(terrace):
            about = (batch, f"{terrace}.{body['row']}")
            found.add("planted", about, "2032-03-12 06:00", body)
    found.row("pest", "blackfly", {"name": "Blackfly", "hosts": ["lime"]})
    found.row("pest", "mealybug", {"name": "Mealybug"})
    found.row("pest", "borer", {"name": "Papaya borer", "hosts": ["papaya"]})
    return found


def look(some: House, row: str, plants: int | None, at: str = MORNING, **more: Any) -> str:
    told = {} if plants is None else {"plants": plants}
    about = more.pop("about", f"tr5.{row}")
    return some.add("looked", about, at, {"answer": "nothing", **told, **more}, by="w1")


def told(some: House, ident: str = "tr5", since: str | None = None) -> dict[str, Any]:
    found = scouting.of_place(ident, some.book(), day(since) if since else None, TODAY)
    assert found is not None
    return found


def test_a_place_without_layout_has_no_scouting() -> None:
    assert scouting.of_place("citrus", house().book(), None, TODAY) is None


def test_plants_of_several_rows_add_up() -> None:
    """Rule F-20."""
    some = house()
    look(some, "1", 15)
    look(some, "2", 8, minutes=6)
    found = told(some)
    assert (found["lot"], found["seen"], found["untold"]) == (70, 23, 0)
    assert (found["since"], found["today"]) == ("2032-08-17", "2032-09-13")
    second, first = found["looks"]
    assert (first["block"], first["row"], first["plants"], first["of"]) == ("tr5", 1, 15, 15)
    assert (second["by"], second["answer"], second["minutes"]) == ("w1", "nothing", 6)


@pytest.mark.parametrize("again", [MORNING, "2032-09-06 08:00"], ids=["that day", "a week ago"])
def test_plants_seen_twice_count_once(again: str) -> None:
    """Rule F-20: the larger number of one row counts, whoever looked and on whatever day."""
    some = house()
    look(some, "1", 5, again)
    look(some, "1", 8)
    look(some, "1", 3)
    assert told(some)["seen"] == 8


def test_a_look_that_tells_no_number_counts_for_nothing_and_is_told() -> None:
    """Rule F-20; and a blank is no look."""
    some = house()
    look(some, "1", None)
    look(some, "2", 0)
    look(some, "3", 6)
    some.add("looked", "tr5.4", MORNING, {"answer": "not_looked", "plants": 15, "why": "wet"})
    found = told(some)
    assert (found["seen"], found["untold"]) == (6, 2)
    assert (found["looks"][0]["answer"], found["looks"][0]["why"]) == ("not_looked", "wet")


def test_one_number_for_several_rows_is_not_added_to_others() -> None:
    """Rule F-20."""
    some = house()
    look(some, "1", 15)
    look(some, "", 12, about=("tr5.1", "tr5.2"))
    look(some, "", 20, about="tr5")
    found = told(some)
    assert found["seen"] == 20
    assert [one["row"] for one in found["looks"]] == [None, None, 1]
    assert found["looks"][0]["of"] is None


def test_no_more_plants_count_than_live_there() -> None:
    """Rule F-20: of the ten of row 5 one lives; shelter trees are no plants of the crop."""
    some = house()
    for body in scenes.surveyed("tr5"):
        some.add("surveyed", f"tr5.{body['row']}", "2032-09-12 09:00", body)
    look(some, "5", 10)
    look(some, "", 500, about="tr5")
    found = told(some)
    assert found["lot"] == 61
    assert found["seen"] == 61
    some = house()
    look(some, "5", 4000)
    assert told(some)["seen"] == 10


def test_shelter_trees_are_no_plants_of_the_crop_and_finds_elsewhere_are_not_of_it() -> None:
    """Rules F-20 and F-22."""
    some = house()
    layout = scenes.layout("tr5", crop="lime")
    shelter = {"number": 6, "first": 1, "holes": 30, "stands": "shelter"}
    some.row("layout", "tr5", {**layout, "rows": [*layout["rows"], shelter]})
    look(some, "6", 30)
    look(some, "1", 4)
    some.find("t6", MORNING, pest="mealybug")
    found = told(some)
    assert (found["lot"], found["seen"], found["finds"]) == (70, 4, [])
    assert pests(found)["mealybug"]["confidence"] > 0


def test_looks_before_the_day_and_those_taken_back_count_for_nothing() -> None:
    some = house()
    look(some, "1", 9, "2032-08-16 08:00")
    gone = look(some, "2", 9)
    some.add("withdrawn", "tr5.2", MORNING, {"reason": "wrong row"}, corrects=gone)
    assert told(some)["seen"] == 0
    assert told(some, since="2032-08-16")["seen"] == 9
    assert told(some, since="2032-10-01")["looks"] == []


def pests(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {one["pest"]: one for one in found["pests"]}


def test_45_of_214_plants_would_have_found_two_in_a_hundred_in_six_of_ten_cases() -> None:
    """Rule F-21: 1 - C(210, 45) / C(214, 45), two in a hundred of 214 being four by ISPM 31.

    scipy.stats.hypergeom(214, 4, 45) gives the same.
    """
    some = house("tr3", "tr4", "tr5")
    for row in ("1", "2", "3"):
        look(some, row, 15)
    some.row("place", "field", {"name": "Field", "kind": "block", "parent": "veshmere"})
    for terrace in scenes.HOLES:
        some.row(*place(terrace, "terrace", "field"))
    found = told(some, "field")
    assert (found["lot"], found["seen"]) == (214, 45)
    its = pests(found)
    assert set(its) == {"blackfly", "mealybug"}
    fly = its["blackfly"]
    assert (fly["noticed"], fly["seen"], fly["usual"], fly["infested"]) == (0.02, 1.0, True, 4)
    assert fly["confidence"] == pytest.approx(1 - comb(210, 45) / comb(214, 45))
    assert fly["confidence"] == pytest.approx(0.6139808)


def test_the_grower_sets_the_share_to_be_noticed_and_how_often_it_is_seen() -> None:
    """Rule F-21."""
    some = house()
    look(some, "1", 15)
    some.row("pest", "blackfly", {"name": "Fly", "noticed": 0.1, "seen": 0.5})
    some.row("pest", "mealybug", {"name": "Bug", "noticed": 0.01})
    its = pests(told(some))
    assert (its["blackfly"]["infested"], its["blackfly"]["usual"]) == (7, False)
    whole = scouting.confidence(Seen(70, 15, 0), 0.1, 1.0)
    assert 0 < its["blackfly"]["confidence"] < whole
    # One in a hundred of seventy plants is less than one plant: nothing can be said.
    assert (its["mealybug"]["infested"], its["mealybug"]["confidence"]) == (0, 0.0)


def test_where_nobody_looked_there_is_no_confidence() -> None:
    assert pests(told(house()))["blackfly"]["confidence"] is None


def find(some: House, at: str = MORNING, **body: Any) -> str:
    return some.add("found", ("tr5.5", "t6"), at, {"suspicion": False, **body}, by="w1")


def test_of_a_pest_that_was_found_nothing_is_said_of_absence() -> None:
    """Rule F-22: of the others it is, as long as what was found has a name."""
    some = house()
    look(some, "5", 10, answer="found")
    name = find(some, pest="blackfly", plants=2, positions=["63", "64"], part="leaf_underside")
    found = told(some)
    [one] = found["finds"]
    assert one["entry"] == name
    assert (one["block"], one["row"], one["positions"]) == ("tr5", 5, ["63", "64"])
    assert (one["pest"], one["plants"], one["part"]) == ("blackfly", 2, "leaf_underside")
    its = pests(found)
    assert (its["blackfly"]["confidence"], its["blackfly"]["named"]) == (None, True)
    assert its["blackfly"]["found_on"] == "2032-09-13"
    assert its["mealybug"]["confidence"] > 0


def test_a_find_without_a_name_may_be_any_pest() -> None:
    """Rule F-22; one that was taken back says nothing."""
    some = house()
    look(some, "5", 10, answer="found")
    gone = find(some, symptom="insects")
    its = pests(told(some))
    assert {one["confidence"] for one in its.values()} == {None}
    assert {(one["named"], one["found_on"]) for one in its.values()} == {(False, "2032-09-13")}
    some.add("withdrawn", ("tr5.5", "t6"), MORNING, {"reason": "dust"}, corrects=gone)
    assert told(some)["finds"] == []
    assert pests(told(some))["blackfly"]["confidence"] > 0


def test_a_pest_that_nobody_described_is_told_with_the_usual_share() -> None:
    some = house()
    find(some, pest="unheard-of")
    one = pests(told(some))["unheard-of"]
    assert (one["noticed"], one["usual"], one["named"]) == (0.02, True, True)


def test_a_pest_whose_row_is_over_is_not_looked_for() -> None:
    some = house()
    some.row("pest", "mealybug", {"name": "Bug", "until": "2032-01-01"})
    assert set(pests(told(some))) == {"blackfly"}


WALKS = st.lists(
    st.builds(
        Walked,
        where=st.sampled_from([*LIVING, ("tr5", None)]),
        on=st.just(TODAY),
        look=st.builds(
            Look,
            entry=st.uuids().map(str),
            at=st.just(instant(MORNING)),
            by=st.just("w1"),
            answer=st.sampled_from(Answer),
            plants=st.none() | st.integers(0, 200),
        ),
    ),
    max_size=12,
)


@given(WALKS, WALKS)
def test_more_looking_never_makes_less_of_it_and_never_more_than_there_is(
    some: list[Walked], more: list[Walked]
) -> None:
    """Rule F-20, and so confidence never falls by a look either (rule F-21)."""
    before, after = (scouting.seen_of(walked, LIVING) for walked in (some, some + more))
    assert before.plants <= after.plants <= after.lot == 70
    assert scouting.seen_of(some + some, LIVING).plants == before.plants
    sure = [scouting.confidence(one, 0.05, 0.8) for one in (before, after)]
    assert 0 <= sure[0] <= sure[1] <= 1


@given(WALKS)
def test_the_order_of_looks_does_not_matter(some: list[Walked]) -> None:
    """Rule F-20."""
    assert scouting.seen_of(some, LIVING) == scouting.seen_of(some[::-1], LIVING)
