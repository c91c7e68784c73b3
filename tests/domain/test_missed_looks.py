"""A week without its look-over is a question to the authority, until it accepts it (rule Q-17)."""

from datetime import timedelta
from typing import Any

import pytest

from nursery.domain import due_check, gates
from nursery.domain.gate import Act, Gate
from nursery.domain.reason import Reason
from tests.domain.house import PAPER, TERMS, House, day, day_1, instant, term

MISSED = "2031-05-05"


def weeks(house: House, name: str, first: str, last: str, without: tuple[str, ...] = ()) -> None:
    monday = day(first)
    while monday <= day(last):
        if monday.isoformat() not in without:
            house.looked(f"{monday.isoformat()} 08:30", [name])
        monday += timedelta(weeks=1)


def nearly_there(without: tuple[str, ...] = (MISSED,)) -> House:
    """Let everything be met that a release of T1 asks for, but one week."""
    house = day_1()
    for date in ("2031-06-06", "2031-08-27"):
        body = {"inspector": "P", "answer": "nothing", "plants": 53, "active_growth": True}
        house.add("inspected", "t1", f"{date} 09:00", body)
    weeks(house, "t1", "2031-03-03", "2031-08-25", without)
    return house


def asked(
    house: House, name: str = "t1", at: str = "2031-09-01 08:00", act: str = "releasing"
) -> Gate:
    book = house.book()
    return gates.answer(Act(act), book.batches[name], book, instant(at))


def missing(house: House, name: str) -> list[dict[str, Any]]:
    parts = asked(house, name).parts
    return [part.params for part in parts if part.code == "look_over_missed"]


def accepted(house: House, **more: Any) -> str:
    body = {"what": "week", "reference": "AC-5", "week_of": MISSED, "photo": PAPER, **more}
    return house.add("accepted", "t1", "2031-08-29 09:00", body)


def skipped(house: House) -> str:
    name = due_check.ident("look_over", "look", "t1", MISSED)
    return house.add("skipped", "t1", "2031-05-11 09:00", {"check": name, "reason": "screen"})


def test_without_any_missing_the_release_is_due() -> None:
    gate = asked(nearly_there(()))
    assert (gate.answer, gate.code) == ("yes", "release_due")


def test_a_week_that_nobody_looked_waits_for_the_authority() -> None:
    gate = asked(nearly_there())
    about = {"week_of": MISSED, "n": 1}
    assert (gate.answer, gate.code, gate.params) == ("wait", "look_over_missed", about)
    assert (gate.opens, gate.opens_at) == (Reason("when_accepted", about), None)


def test_several_are_told_by_the_first_and_by_their_number() -> None:
    assert asked(nearly_there((MISSED, "2031-06-09"))).params == {"week_of": MISSED, "n": 2}


ANSWERS = {
    "a reason alone": (skipped, "look_over_missed"),
    "the authority's word in writing": (accepted, "release_due"),
    "its word without the paper": (lambda house: accepted(house, photo=None), "look_over_missed"),
    "its word on another week": (
        lambda house: accepted(house, week_of="2031-05-12"),
        "look_over_missed",
    ),
    "a blank": (
        lambda house: house.looked("2031-05-08 08:00", ["t1"], "not_looked", why="dark"),
        "look_over_missed",
    ),
    "a look that came late": (
        lambda house: house.looked("2031-05-08 08:00", ["t1"], "found"),
        "release_due",
    ),
}


@pytest.mark.parametrize(("how", "code"), ANSWERS.values(), ids=ANSWERS.keys())
def test_what_answers_it(how: Any, code: str) -> None:
    house = nearly_there()
    how(house)
    assert asked(house).code == code


def test_a_week_that_is_not_over_is_not_missing() -> None:
    house = nearly_there(())
    assert asked(house, at="2031-09-02 08:00").code == "release_due"


def test_it_stops_no_other_act_and_nothing_once_released() -> None:
    house = nearly_there()
    assert asked(house, act="moving").code == "not_released"
    house.release(("t1",), "2031-08-31 08:30", count=53)
    assert asked(house).code == "released"


def test_what_only_the_nursery_asks_for_holds_up_no_release() -> None:
    house = nearly_there(())
    own = {"places": [], "crops": [], "term": term("own", "look_over", {"every_days": 3})}
    house.row("due_rule", "own", own)
    assert asked(house).code == "release_due"


def test_a_child_answers_for_its_parents_until_its_birth() -> None:
    house = nearly_there((MISSED, "2031-08-11"))
    child = {"id": "k", "label": "K", "count": 3, "place": "bench"}
    body = {"parents": [{"id": "t1", "left": 50}], "children": [child]}
    house.add("split", ("t1", "k"), "2031-08-05 08:00", body)
    weeks(house, "k", "2031-08-11", "2031-08-25")
    assert missing(house, "k") == [{"week_of": MISSED, "n": 1}]
    assert asked(house).params == {"week_of": MISSED, "n": 2}


def test_a_parent_that_the_book_does_not_know_owes_no_look_that_anybody_could_name() -> None:
    house = nearly_there(())
    child = {"id": "k", "label": "K", "count": 3, "place": "bench", "parents": ["t1", "lost"]}
    body = {"parents": [{"id": "t1", "left": 50}], "children": [child]}
    house.add("split", ("t1", "k"), "2031-08-05 08:00", body)
    house.looked("2031-08-08 08:30", ["k"])
    weeks(house, "k", "2031-08-11", "2031-08-25")
    assert missing(house, "k") == []


def test_plants_under_no_conditions_owe_the_authority_nothing() -> None:
    house = House()
    house.row("nursery", "v", {"name": "V", "zone": "Etc/GMT-10", "conditions": False})
    new = {"id": "s", "label": "S", "place": "shade"}
    house.add("sown", "s", "2031-03-03 08:00", {"batch": new, "seeds": 9})
    assert asked(house, "s").code == "no_conditions"
    assert [one["id"] for one in TERMS if one["rule"] == "look_over"] == ["look"]
