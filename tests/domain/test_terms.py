"""Terms are data: read from the permit's row, dated, and picked by date."""

from datetime import date, timedelta
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
    "qualifying_days": {"what": "air_c", "least": 15.0, "most": 30.0, "days": 45, "share": 0.5},
    "generations": {
        "pest": "fruit-fly",
        "number": 3,
        "degree_days": 350.0,
        "lower": 9.3,
        "upper": 34.0,
        "cutoff": "vertical",
        "method": "single_triangle",
    },
    "sample_level": {
        "at": "inspection",
        "all_plants": True,
        "prevalence": 0.05,
        "confidence": 0.95,
        "efficacy": 0.9,
    },
    "test": {
        "number": 1,
        "test": "pcr",
        "pest": "blackfly",
        "laboratories": ["state"],
        "most_days_before_release": 60,
    },
    "notify": {"event": "find", "whom": "authority", "within_hours": 24},
    "days_off": {"weekdays": [6, 7], "days": ["2031-12-25"], "yearly": ["2031-05-01"]},
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


def of(rule: str, **other: Any) -> dict[str, Any]:
    return {**ROW, "rule": rule, "says": SAYS[rule] | other}


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
    "longer than a century": ({**ROW, "says": {"days": 36_526}}, "says.days"),
    "told within more than a century": (
        of("notify", within_hours=24 * 36_525 + 1),
        "says.within_hours",
    ),
    "an inspection of no number": (of("inspection", number=0), "says.number"),
    "a span upside down": (of("qualifying_days", most=14.0), "says.most"),
    "qualifying days without a number": (
        of("qualifying_days", days=None, share=None),
        "says.days",
    ),
    "more qualifying days than there are": (of("qualifying_days", share=1.1), "says.share"),
    "a pest that needs no warmth": (of("generations", degree_days=0), "says.degree_days"),
    "a pest that lives in ice": (of("generations", lower=-60), "says.lower"),
    "thresholds upside down": (of("generations", upper=9.3), "says.upper"),
    "a day's warmth by no known way": (of("generations", method="guess"), "says.method"),
    "a share without a confidence": (of("sample_level", confidence=None), "says.confidence"),
    "a confidence without a share": (of("sample_level", prevalence=None), "says.prevalence"),
    "no plants at all": (
        of("sample_level", all_plants=False, prevalence=None, confidence=None),
        "says.prevalence",
    ),
    "a confidence beyond certainty": (of("sample_level", confidence=1.5), "says.confidence"),
    "eyes that see nothing": (of("sample_level", efficacy=0), "says.efficacy"),
    "an eighth day of the week": (of("days_off", weekdays=[8]), "says.weekdays"),
    "an authority that never works": (
        of("days_off", weekdays=[1, 2, 3, 4, 5, 6, 7]),
        "says.weekdays",
    ),
    "a day that does not come each year": (of("days_off", yearly=["2032-02-29"]), "says.yearly"),
    "a date that is none": (of("days_off", yearly=["2031-02-30"]), "says.yearly"),
    "an authority that works on no day of a year": (
        of(
            "days_off",
            yearly=[(date(2031, 1, 1) + timedelta(days=n)).isoformat() for n in range(365)],
        ),
        "says.yearly",
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


BY_WHAT: dict[str, list[dict[str, Any]]] = {
    "generations": [{"pest": "b"}, {"pest": "a"}],
    "qualifying_days": [{"what": "b"}, {"what": "a"}],
    "sample_level": [{"at": "look_over"}, {"at": "arrival"}],
    "test": [{"number": 2}, {"number": 1}],
    "notify": [{"event": "find", "whom": "b"}, {"event": "find", "whom": "a"}],
}


@pytest.mark.parametrize("rule", BY_WHAT)
def test_a_newer_text_replaces_only_what_is_about_the_same(rule: str) -> None:
    """Rule T-2."""
    some = [terms.read({**of(rule, **o), "id": f"t{i}"}) for i, o in enumerate(BY_WHAT[rule])]
    some.append(terms.read({**of(rule, **BY_WHAT[rule][0]), "id": "newer", "since": "2031-01-01"}))
    found: tuple[tuple[Term, Any], ...] = terms.in_force(some, terms.RULES[rule], START, START)
    assert [term.id for term, _ in found] == ["t1", "newer"]


OFF = [
    terms.read({**of("days_off", weekdays=[7], days=[]), "id": "weeks"}),
    terms.read({**of("days_off", weekdays=[], days=["2031-11-24"]), "since": "2031-11-20"}),
]
WORKING = {"2031-11-22": True, "2031-11-23": False, "2031-11-24": False, "2031-11-25": True}


@pytest.mark.parametrize("day", WORKING)
def test_a_day_off_by_any_text_is_off(day: str) -> None:
    """Rule T-5."""
    assert terms.works_on([*OFF, OLD], date.fromisoformat(day)) is WORKING[day]


YEARLY = {
    "2031-05-01": False,
    "2032-05-01": False,
    "2131-05-01": False,
    "2031-05-02": True,
    "2031-06-01": True,
    "2030-05-01": True,
}


@pytest.mark.parametrize("day", YEARLY)
def test_a_day_off_of_each_year_comes_again_from_the_date_of_its_text_on(day: str) -> None:
    """Rule T-5."""
    says = of("days_off", weekdays=[], days=[], yearly=["2029-05-01"])
    text = terms.read({**says, "since": "2031-01-01"})
    assert terms.works_on([text], date.fromisoformat(day)) is YEARLY[day]


def test_a_text_of_days_off_says_nothing_before_its_date() -> None:
    assert terms.works_on(OFF[1:], date(2031, 11, 19))
    late = terms.read({**of("days_off", weekdays=[], days=["2031-11-19"]), "since": "2031-11-20"})
    assert terms.works_on([late], date(2031, 11, 19))


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
