"""Planting weeks that are met or lost, and pots that are full before them."""

from typing import Any

import pytest

from nursery.domain import outlook, quarantine, reference, seasons
from nursery.domain.book import Book
from nursery.domain.errors import RowImpossible
from nursery.domain.reason import Reason
from tests.domain.house import ROWS, House, day, day_1, instant

WEEKS = [{"first": "10-01", "last": "11-15"}, {"first": "03-01", "last": "03-31"}]
POT = "2.5 L air-pruned pot"
POTS = [{"container": POT, "full_days": 180, "per_m2": 18, "source": "own records"}]


def house(weeks: list[dict[str, str]] = WEEKS) -> House:
    made = day_1()
    settings = {"name": "Veshmere", "zone": "Etc/GMT-10", "planting": weeks}
    made.row("nursery", "veshmere", settings)
    made.row("crop", "finger-lime", {"name": "Finger lime", "pots": POTS})
    return made


def told(made: House, tray: str = "t1", today: str = "2031-05-16") -> tuple[Reason, ...]:
    book = made.book()
    clock = quarantine.clock(book.batches[tray], book, day(today))
    return seasons.ahead(book.batches[tray], clock, book, day(today))


def restart(made: House) -> None:
    made.order("t1", "2031-05-27 16:50", "restart", "Q-09")


def test_the_first_weeks_after_the_release_are_told() -> None:
    """Rule S-1: release from 30 August on, so 1 October to 15 November."""
    (one,) = told(house())
    expected = {"first": "2031-10-01", "last": "2031-11-15"}
    assert one.as_json() == {"code": "planting_weeks", "params": expected}


def test_the_main_weeks_are_lost_and_the_next_are_named() -> None:
    """Rule S-2; the story, day 4: from 30 August to 23 November."""
    made = house()
    restart(made)
    (one,) = told(made)
    assert one.code == "main_weeks_lost"
    assert one.params == {
        "first": "2031-10-01",
        "last": "2031-11-15",
        "next_first": "2032-03-01",
        "next_last": "2032-03-31",
    }


def test_other_weeks_than_the_main_ones_are_lost_by_another_name() -> None:
    made = house([WEEKS[1], WEEKS[0]])
    restart(made)
    assert [one.code for one in told(made)] == ["weeks_lost"]


def test_weeks_that_pass_while_the_release_waits_are_lost_as_well() -> None:
    """Rule S-2: the days were over on 30 August, and still there is no notice on 20 November."""
    (one,) = told(house(), today="2031-11-20")
    assert (one.code, one.params["next_first"]) == ("main_weeks_lost", "2032-03-01")


def test_of_several_weeks_that_are_lost_the_main_ones_are_named() -> None:
    made = house([*WEEKS, {"first": "09-01", "last": "09-10"}])
    restart(made)
    (one,) = told(made)
    assert (one.code, one.params["first"]) == ("main_weeks_lost", "2031-10-01")


def test_a_move_within_the_same_weeks_loses_none() -> None:
    made = house()
    made.order("t1", "2031-05-16 10:20", "extend", "Q-10", days=35)
    (one,) = told(made)
    assert one.params == {"first": "2031-10-04", "last": "2031-11-15"}


def test_weeks_over_the_turn_of_the_year() -> None:
    made = house([{"first": "12-15", "last": "01-15"}])
    restart(made)
    (one,) = told(made)
    assert one.params == {"first": "2031-12-15", "last": "2032-01-15"}
    assert told(made, today="2032-01-10")[0].params["first"] == "2032-01-10"


def released(made: House) -> None:
    restart(made)
    made.release(("t1",), "2031-11-24 08:30")


def no_conditions(made: House) -> None:
    made.row("consignment", "c-1", {"name": "Liners", "without_conditions": True})


@pytest.mark.parametrize("tell", [released, no_conditions])
def test_plants_that_no_law_holds_go_into_the_next_weeks(tell: Any) -> None:
    made = house()
    tell(made)
    (one,) = told(made, today="2031-12-01")
    assert one.as_json()["params"] == {"first": "2032-03-01", "last": "2032-03-31"}


def test_weeks_are_told_for_any_day_that_the_book_can_name() -> None:
    made = house()
    no_conditions(made)
    assert told(made, today="1000-01-01")[0].params["first"] == "1000-03-01"
    assert told(made, today="2999-12-30") == ()


def test_without_a_day_or_without_weeks_nothing_is_told() -> None:
    made = house()
    made.order("t1", "2031-05-16 10:20", "restart", "Q-09", after_treatment=2)
    assert told(made) == ()
    assert told(house([])) == ()


def potted(made: House, tray: str = "t1", container: str = POT) -> None:
    body = {"container": container, "litres": 2.5}
    made.add("potted", tray, "2031-07-30 09:00", body)


def test_pots_are_full_about_five_weeks_before_the_first_of_march() -> None:
    """Rule S-3; the story, day 5: potted on 30 July, full about late January."""
    made = house()
    restart(made)
    potted(made)
    lost, full, clash = told(made, today="2031-07-30")
    assert lost.code == "main_weeks_lost"
    assert full.as_json() == {"code": "pots_full", "params": {"on": "2032-01-26", "container": POT}}
    assert clash.as_json() == {
        "code": "pots_full_before",
        "params": {"n": 5, "on": "2032-01-26", "first": "2032-03-01"},
    }


def test_plants_that_are_released_need_nobodys_consent_for_a_bigger_pot() -> None:
    """Rule S-3."""
    made = house()
    released(made)
    potted(made)
    codes = [one.code for one in told(made, today="2031-12-01")]
    assert codes == ["planting_weeks", "pots_full", "pots_full_free"]


def test_pots_that_last_until_the_weeks_clash_with_nothing() -> None:
    made = house()
    potted(made, container=POT.upper())
    codes = [one.code for one in told(made, today="2031-07-30")]
    assert codes == ["planting_weeks", "pots_full"]


def test_without_a_row_for_crop_and_container_nothing_is_said_of_pots() -> None:
    made = house()
    potted(made, container="bag")
    assert [one.code for one in told(made)] == ["planting_weeks"]
    potted(made)
    made.rows["crop"].clear()
    assert [one.code for one in told(made)] == ["planting_weeks"]
    pots = [{"container": POT, "source": "own records"}]
    made.row("crop", "finger-lime", {"name": "Finger lime", "pots": pots})
    assert [one.code for one in told(made)] == ["planting_weeks"]


def test_the_crop_is_that_of_the_label_else_the_only_one_of_the_consignment() -> None:
    made = house()
    potted(made)
    two = [{"id": "l-1", "crop": "finger-lime"}, {"id": "l-2", "crop": "lemon"}]
    made.row("consignment", "c-1", {"name": "Liners", "permit": "cq-118", "lines": two})
    assert "pots_full" not in [one.code for one in told(made)]
    child = {"id": "t1a", "label": "T1A", "count": 13, "crop": "finger-lime"}
    split = {"parents": [{"id": "t1", "left": 40}], "children": [child]}
    made.add("split", ("t1", "t1a"), "2031-08-06 09:00", split)
    assert "pots_full" in [one.code for one in told(made, "t1a")]


def test_plants_of_which_nothing_lives_fill_no_pot() -> None:
    made = house()
    potted(made)
    made.add("lost", "t1", "2031-07-31 09:00", {"count": 53, "fate": "destroyed"})
    assert [one.code for one in told(made)] == ["planting_weeks"]


def test_a_batch_of_lost_labels_stands_in_the_pots_of_its_parents() -> None:
    """Rule S-3: the first of their days counts, and a grandparent's plug says nothing."""
    made = house()
    potted(made, "t3")
    potted(made, "t5")
    parents = [{"id": "t3", "left": 50}, {"id": "t5", "left": 46}]
    child = {"id": "u", "label": "U", "count": 8, "place": "bench"}
    body = {"parents": parents, "children": [child]}
    made.add("mixed", ("t3", "t5", "u"), "2031-07-30 10:40", body)
    full = next(one for one in told(made, "u") if one.code == "pots_full")
    assert full.params["on"] == "2032-01-26"
    book = made.book()
    assert [one.id for one in seasons.potted_as(book.batches["u"], book)] == ["t3", "t5"]


def test_a_ring_of_parents_and_a_parent_that_nobody_knows_end() -> None:
    made = House(ROWS)
    for ident, of in (("loop-1", ["nobody", "loop-2"]), ("loop-2", ["loop-1"])):
        stuck = {"batch": {"id": ident, "label": ident}, "cuttings": 20, "parents": of}
        made.add("stuck", ident, "2031-05-01 09:00", stuck)
    book = made.book()
    assert seasons.potted_as(book.batches["loop-1"], book) == ()
    assert seasons.m2_of(book.batches["loop-1"], book) is None


def test_a_state_that_an_older_version_kept_has_no_day_for_its_pots() -> None:
    made = house()
    potted(made)
    book = made.book()
    book.batches["t1"].contained_at = None
    assert [
        one.code for one in seasons.ahead(book.batches["t1"], None, book, day("2031-08-01"))
    ] == ["planting_weeks"]


SIZES: dict[str, tuple[list[dict[str, Any]], float | None]] = {
    "53 pots at 18 on a m2": (POTS, 53 / 18),
    "nobody said how many": ([{"container": POT, "source": "own records"}], None),
}


@pytest.mark.parametrize(("pots", "m2"), SIZES.values(), ids=SIZES.keys())
def test_how_much_bench_a_batch_takes(pots: list[dict[str, Any]], m2: float | None) -> None:
    made = house()
    made.row("crop", "finger-lime", {"name": "Finger lime", "pots": pots})
    potted(made)
    book = made.book()
    assert seasons.m2_of(book.batches["t1"], book) == m2


def test_the_outlook_tells_it_with_each_batch() -> None:
    made = house()
    restart(made)
    book: Book = made.book()
    batches = outlook.compose(book, instant("2031-05-28 08:00"))["batches"]
    assert [one["code"] for one in batches["t1"]["season"]] == ["main_weeks_lost"]


def test_a_crop_says_of_each_container_once_and_of_no_longer_than_a_century() -> None:
    for pots, field in (
        ([*POTS, *POTS], "pots"),
        ([{**POTS[0], "full_days": 36_526}], "pots.full_days"),
    ):
        with pytest.raises(RowImpossible) as refused:
            reference.read("crop", "lime", {"name": "Lime", "pots": pots})
        assert refused.value.params["field"] == field
