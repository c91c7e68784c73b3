"""Terms are data: read from the permit's row, dated, and picked by date."""

from datetime import date
from typing import Any

import pytest

from nursery.domain import terms
from nursery.domain.kinds.shape import Misfit
from nursery.domain.terms import GrowingDays, Inspection, Reading, Term

ROW: dict[str, Any] = {
    "id": "days",
    "rule": "growing_days",
    "says": {"days": 180},
    "since": "2030-01-01",
    "source": "CQ-118, 3",
}


def growing(ident: str, days: int, since: str, *, running: bool = False) -> Term:
    raw = {**ROW, "id": ident, "says": {"days": days}, "since": since, "reaches_running": running}
    return terms.read(raw)


SAYS: dict[str, dict[str, Any]] = {
    "growing_days": {"days": 180},
    "inspection": {"number": 2, "active_growth": True, "most_days_before_release": 7},
    "look_over": {"every_days": 7},
    "traps": {"m2_per_trap": 15.0, "area": "floor", "per_door": 1, "per_vent": 1},
    "trap_reading": {"every_days": 3, "replace_within_days": 1},
    "reading": {"what": "ph", "every_days": 14},
    "consent": {"acts": ["potting", "pruning"]},
    "most_plants": {"plants": 330},
    "look_back": {"days": 21},
    "all_out": {"empty_hours": 168},
    "kept_for_officer": {"fates": ["died", "culled"]},
    "listed": {"pests": ["blackfly"]},
    "gate_age": {"hours": 24},
    "records_kept": {"years": 3},
}


@pytest.mark.parametrize("rule", sorted(terms.RULES))
def test_each_rule_is_read_and_written_alike(rule: str) -> None:
    term = terms.read({**ROW, "rule": rule, "says": SAYS[rule], "reaches_running": True})
    written = term.as_json()
    assert terms.read(written) == term
    assert (written["rule"], term.code) == (rule, rule)
    assert {name: written["says"][name] for name in SAYS[rule]} == SAYS[rule]


def test_what_a_term_does_not_say_is_not_written() -> None:
    assert terms.read({**ROW, "rule": "look_over", "says": {}}).as_json()["says"] == {}


ODD: dict[str, tuple[Any, str]] = {
    "no object": ([], "term"),
    "without its id": ({**ROW, "id": None}, "id"),
    "without its date": ({**ROW, "since": None}, "since"),
    "without its source": ({**ROW, "source": None}, "source"),
    "of an unknown rule": ({**ROW, "rule": "moon_phase"}, "rule"),
    "that says a number": ({**ROW, "says": 180}, "says"),
    "without its figure": ({**ROW, "says": {}}, "says.days"),
    "with a figure below zero": ({**ROW, "says": {"days": -1}}, "says.days"),
    "every no days": ({**ROW, "rule": "look_over", "says": {"every_days": 0}}, "says.every_days"),
    "one trap for no floor": (
        {**ROW, "rule": "traps", "says": {**SAYS["traps"], "m2_per_trap": 0}},
        "says.m2_per_trap",
    ),
}


@pytest.mark.parametrize(("raw", "field"), ODD.values(), ids=ODD.keys())
def test_a_term_that_cannot_be_names_its_field(raw: Any, field: str) -> None:
    with pytest.raises(Misfit) as caught:
        terms.read(raw)
    assert str(caught.value) == field


START = date(2031, 3, 3)
OLD = growing("old", 180, "2030-01-01")
CASES: dict[str, tuple[list[Term], date, list[int]]] = {
    "the term in force when the clock started": ([OLD], START, [180]),
    "none, when all are younger": ([growing("new", 90, "2031-04-01")], date(2031, 6, 1), []),
    "not a newer one": ([OLD, growing("new", 90, "2031-04-01")], date(2031, 6, 1), [180]),
    "a newer one that reaches running consignments": (
        [OLD, growing("new", 200, "2031-04-01", running=True)],
        date(2031, 6, 1),
        [200],
    ),
    "but not before it holds": (
        [OLD, growing("new", 200, "2031-04-01", running=True)],
        date(2031, 3, 31),
        [180],
    ),
    "the newest of two that held": ([growing("older", 90, "2029-01-01"), OLD], START, [180]),
    "of two of one day the greater id": (
        [growing("a", 90, "2030-01-01"), growing("b", 91, "2030-01-01")],
        START,
        [91],
    ),
}


@pytest.mark.parametrize(("some", "on", "days"), CASES.values(), ids=CASES.keys())
def test_the_term_that_applies(some: list[Term], on: date, days: list[int]) -> None:
    """Rules T-1, T-2."""
    for order in (some, some[::-1]):
        found = terms.in_force(order, GrowingDays, START, on)
        assert [rule.days for _, rule in found] == days


def test_inspections_apply_by_number_and_readings_by_figure() -> None:
    """Rule T-2."""
    some = [
        terms.read({**ROW, "id": f"i{n}", "rule": "inspection", "says": {"number": n}})
        for n in (2, 1)
    ]
    some += [
        terms.read({**ROW, "id": what, "rule": "reading", "says": {"what": what}})
        for what in ("ph", "ec_ms_cm")
    ]
    assert [r.number for _, r in terms.in_force(some, Inspection, START, START)] == [1, 2]
    assert [r.what for _, r in terms.in_force(some, Reading, START, START)] == ["ec_ms_cm", "ph"]


def test_a_new_listing_counts_from_its_date_on_whatever_the_clock() -> None:
    """Rule T-3."""
    some = [
        terms.read({**ROW, "id": "l1", "rule": "listed", "says": {"pests": ["scale"]}}),
        terms.read(
            {
                **ROW,
                "id": "l2",
                "rule": "listed",
                "says": {"pests": ["blackfly"]},
                "since": "2031-05-01",
            }
        ),
        OLD,
    ]
    assert terms.listed(some, date(2031, 4, 30)) == {"scale"}
    assert terms.listed(some, date(2031, 5, 1)) == {"scale", "blackfly"}
