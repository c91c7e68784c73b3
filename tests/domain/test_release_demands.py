"""What else a release rests on: tests, the day of the notice, what lapses, and what moved it."""

from typing import Any

import pytest

from nursery.domain import checks, quarantine
from nursery.domain.days import first_working, last_working
from nursery.domain.quarantine import Clock
from nursery.domain.terms import read as read_term
from tests.domain.house import PAPER, TERMS, TRAYS, House, day, day_1, term, with_terms

PCR = {"number": 1, "test": "pcr", "laboratories": ["state"], "most_days_before_release": 60}
WEEKEND = term("off", "days_off", {"weekdays": [6, 7]})


def clock(house: House, tray: str = "t1", on: str | None = None) -> Clock:
    book = house.book()
    found = quarantine.clock(book.batches[tray], book, None if on is None else day(on))
    assert found is not None
    return found


def codes(found: Clock) -> list[str]:
    return [one.code for one in (*found.met, *found.unmet)]


def wanting_a_test(*more: dict[str, Any]) -> House:
    house = with_terms(term("t", "test", PCR), term("d", "growing_days", {"days": 100}), *more)
    house.arrive("2031-03-03 07:30")
    for tray in TRAYS:
        house.count(tray, 54, "2031-03-03 08:10")
    return house


def sample(house: House, at: str, name: str = "S-1", about: Any = "t1", **more: Any) -> None:
    body = {"sample": name, "plants": 1, "laboratory": "state", "test": "pcr", **more}
    house.add("sampled", about, at, body)


def result(house: House, at: str, verdict: str = "negative", name: str = "S-1") -> str:
    body = {"sample": name, "verdict": verdict, "photo": PAPER}
    return house.add("resulted", "t1", at, body)


def none(_: House) -> None:
    pass


def sent(house: House) -> None:
    sample(house, "2031-05-10 09:00")


def negative(house: House) -> None:
    sent(house)
    result(house, "2031-05-20 09:00")


def positive(house: House) -> None:
    sent(house)
    result(house, "2031-05-20 09:00", "reported")


def too_early(house: House) -> None:
    sample(house, "2031-04-10 09:00")
    result(house, "2031-04-20 09:00")


def another_test(house: House) -> None:
    sample(house, "2031-05-10 09:00", test="elisa")
    result(house, "2031-05-20 09:00")


def another_laboratory(house: House) -> None:
    sample(house, "2031-05-10 09:00", laboratory="own")
    result(house, "2031-05-20 09:00")


def begun_again(house: House) -> None:
    negative(house)
    house.order("t1", "2031-05-25 10:20", "restart", "Q-09")


TESTS = {
    "none": (none, "test_missing"),
    "on its way": (sent, "test_waiting"),
    "negative": (negative, "tested"),
    "not negative": (positive, "test_missing"),
    "taken too long before": (too_early, "test_too_old"),
    "another test": (another_test, "test_missing"),
    "another laboratory": (another_laboratory, "test_missing"),
    "before the clock began again": (begun_again, "test_missing"),
}


@pytest.mark.parametrize(("tell", "code"), TESTS.values(), ids=TESTS.keys())
def test_a_test_is_wanted(tell: Any, code: str) -> None:
    """Rule Q-14."""
    house = wanting_a_test()
    tell(house)
    assert codes(clock(house)) == [code]


def test_any_laboratory_and_any_day_will_do_where_the_permit_names_none() -> None:
    house = with_terms(term("t", "test", {"number": 1, "test": "pcr"}))
    house.arrive("2031-03-03 07:30")
    sample(house, "2031-03-04 09:00", laboratory="own")
    result(house, "2031-03-20 09:00")
    found = clock(house, on="2033-01-01")
    assert (codes(found), found.lapses) == (["tested"], ())


def test_no_test_counts_before_a_clock_that_nobody_can_date() -> None:
    house = wanting_a_test()
    house.order(TRAYS, "2031-05-05 10:20", "restart", "Q-09", after_treatment=2)
    negative(house)
    assert "test_missing" in codes(clock(house))


def test_the_latest_negative_sample_counts_and_lapses() -> None:
    """Rule Q-13: 4 June is day 25 of the sample; 60 days end on 9 July."""
    house = wanting_a_test(WEEKEND)
    negative(house)
    (told,) = clock(house).lapses
    assert told.code == "test_lapses"
    about = {name: told.params[name] for name in ("on", "last", "next", "days")}
    assert about == {"on": "2031-05-10", "last": "2031-07-09", "next": "2031-07-10", "days": 61}


CHILD = {"id": "kid", "label": "KID", "count": 8, "place": "bench"}


def mix(house: House, at: str) -> None:
    parents = [{"id": "t1", "left": 50}, {"id": "t2", "left": 50}]
    house.add("mixed", ("t1", "t2", "kid"), at, {"parents": parents, "children": [CHILD]})


@pytest.mark.parametrize(
    ("about", "at", "code"),
    [
        (("t1", "t2"), "2031-05-21 09:00", "tested"),
        ("t1", "2031-05-21 09:00", "test_missing"),
        (("t1", "t2"), "2031-05-09 09:00", "test_missing"),
    ],
    ids=["of both parents", "of one parent", "after its birth"],
)
def test_a_child_has_the_tests_that_all_its_parents_had(about: Any, at: str, code: str) -> None:
    """Rules Q-7, Q-14."""
    house = wanting_a_test()
    sample(house, "2031-05-10 09:00", about=about)
    result(house, "2031-05-20 09:00")
    mix(house, at)
    assert codes(clock(house, "kid")) == [code]


def test_a_batch_that_took_buds_is_tested_by_itself() -> None:
    house = wanting_a_test()
    negative(house)
    worked = {"method": "budded", "plants": 50, "scion": "t1"}
    house.add("worked", ("t2", "t1"), "2031-06-01 08:00", worked)
    assert codes(clock(house, "t2")) == ["test_missing"]


def test_a_test_falls_due_so_many_days_before_the_notice() -> None:
    """Rule C-7: day 100 is Wednesday 11 June; 60 days before is 12 April."""
    house = wanting_a_test()
    due = checks.due(house.book(), day("2031-04-01"), day("2031-04-11"))
    assert [one for one in due if one.kind == "test"] == []
    due = checks.due(house.book(), day("2031-04-01"), day("2031-04-12"))
    first = next(one for one in due if one.kind == "test" and one.subject == "t1")
    assert first.params == {"number": 1, "test": "pcr"}
    negative(house)
    due = checks.due(house.book(), day("2031-05-01"), day("2031-05-12"))
    done = next(one for one in due if one.kind == "test" and one.subject == "t1")
    assert done.answered_by is not None


def inspected(house: House, at: str, plants: int = 54) -> None:
    body = {"inspector": "P", "answer": "nothing", "plants": plants, "active_growth": True}
    house.add("inspected", "t1", at, body)


def under(*more: dict[str, Any]) -> House:
    house = with_terms(*TERMS, *more)
    house.arrive("2031-03-03 07:30")
    house.count("t1", 54, "2031-03-03 08:10")
    house.order("t1", "2031-05-27 16:50", "restart", "Q-09")
    inspected(house, "2031-06-06 09:00")
    inspected(house, "2031-11-20 08:30")
    return house


def test_the_notice_waits_for_the_authoritys_next_working_day() -> None:
    """Rule Q-13; the story, day 7: 23 November is a Sunday, the notice comes on Monday."""
    found = clock(under(WEEKEND), on="2031-11-20")
    assert (found.earliest, found.notice_from) == (day("2031-11-23"), day("2031-11-24"))
    assert found.reasons[-1].as_json() == {
        "code": "notice_day",
        "params": {"earliest": "2031-11-23", "on": "2031-11-24"},
    }


def test_without_days_off_the_notice_may_come_on_the_earliest_day() -> None:
    found = clock(under(), on="2031-11-20")
    assert (found.notice_from, found.reasons[-1].code) == (day("2031-11-23"), "growing_days")


def test_the_nurserys_own_rule_names_days_off_as_well() -> None:
    house = under()
    house.row("due_rule", "off", {"term": term("own", "days_off", {"days": ["2031-11-23"]})})
    assert clock(house).notice_from == day("2031-11-24")


def test_a_visit_lapses_and_that_is_said_on_its_day() -> None:
    """Rule Q-13; the story, day 7: on Friday the 28th the visit of the 20th is 8 days old."""
    (told,) = clock(under(WEEKEND), on="2031-11-20").lapses
    assert told.code == "inspection_lapses"
    about = {name: told.params[name] for name in ("number", "on", "last", "next", "days")}
    expected = {"on": "2031-11-20", "last": "2031-11-27", "next": "2031-11-28", "days": 8}
    assert about == {"number": 2, **expected}


@pytest.mark.parametrize(
    ("on", "code"), [("2031-11-27", "inspected"), ("2031-11-28", "inspection_too_old")]
)
def test_a_visit_is_too_old_on_the_day_after_its_limit(on: str, code: str) -> None:
    assert code in codes(clock(under(WEEKEND), on=on))


def test_a_visit_lapses_over_the_days_off_to_come() -> None:
    """Asked on Saturday the 22nd, the notice comes on Monday the 24th at the earliest."""
    named = [f"2031-11-{n}" for n in range(22, 28)]
    house = under(term("off", "days_off", {"days": named}))
    assert "inspection_too_old" in codes(clock(house, on="2031-11-22"))
    assert "inspection_too_old" in codes(clock(house))


def test_nothing_lapses_any_more_once_released() -> None:
    house = under()
    house.release(("t1",), "2031-11-24 08:30")
    assert clock(house).lapses == ()


def test_an_authority_that_never_works_gives_no_day_for_a_notice() -> None:
    halves = [term(f"o{n}", "days_off", {"weekdays": some}) for n, some in enumerate(HALVES)]
    found = clock(under(*halves), on="2031-12-20")
    assert (found.earliest, found.notice_from) == (day("2031-11-23"), None)
    due = checks.due(under(*halves).book(), day("2031-11-01"), day("2031-12-01"))
    assert [one for one in due if one.kind == "inspection"] == []


HALVES = ([1, 2, 3], [4, 5, 6, 7])


def test_days_off_to_the_end_of_the_calendar() -> None:
    off = [
        read_term(term(f"o{n}", "days_off", {"weekdays": some})) for n, some in enumerate(HALVES)
    ]
    assert first_working(off, day("2999-12-30")) is None
    assert last_working(off, day("2031-11-20"), day("2031-11-27")) is None
    house = under(*[term(f"o{n}", "days_off", {"weekdays": s}) for n, s in enumerate(HALVES)])
    (told,) = clock(house).lapses
    assert (told.params["last"], told.params["next"]) == ("2031-11-20", "2999-12-31")


MOVED: dict[str, tuple[list[dict[str, Any]], list[tuple[str, str, str, int]]]] = {
    "nothing": ([], []),
    "a restart": (
        [{"act": "restart", "ref": "Q-09", "at": "2031-05-27 16:50"}],
        [("moved_later", "2031-08-30", "2031-11-23", 85)],
    ),
    "an extension, then a floor that adds nothing": (
        [
            {"act": "extend", "ref": "Q-10", "at": "2031-05-01 10:00", "days": 14},
            {"act": "hold", "ref": "Q-11", "at": "2031-05-02 10:00", "not_before": "2031-09-01"},
        ],
        [("moved_later", "2031-08-30", "2031-09-13", 14)],
    ),
    "a floor, then a restart": (
        [
            {"act": "hold", "ref": "Q-11", "at": "2031-05-01 10:00", "not_before": "2031-09-10"},
            {"act": "restart", "ref": "Q-09", "at": "2031-05-27 16:50"},
        ],
        [
            ("moved_later", "2031-08-30", "2031-09-10", 11),
            ("moved_later", "2031-09-10", "2031-11-23", 74),
        ],
    ),
    "a restart that leaves the day open, and a floor": (
        [
            {"act": "restart", "ref": "Q-09", "at": "2031-05-16 10:20", "after_treatment": 2},
            {"act": "hold", "ref": "Q-11", "at": "2031-05-17 10:00", "not_before": "2031-12-01"},
        ],
        [],
    ),
}


@pytest.mark.parametrize(("orders", "steps"), MOVED.values(), ids=MOVED.keys())
def test_what_moved_the_release(
    orders: list[dict[str, Any]], steps: list[tuple[str, str, str, int]]
) -> None:
    """Rule Q-12; the story, day 4: 85 days later than 30 August."""
    house = day_1()
    for order in orders:
        house.order("t1", order.pop("at"), **order)
    told = [
        (one.code, *(one.params[name] for name in ("from", "to", "n")))
        for one in clock(house).moved
    ]
    assert told == steps


def test_a_text_that_reaches_a_running_clock_moves_the_release_too() -> None:
    longer = term("n", "growing_days", {"days": 200}, since="2031-04-01", reaches_running=True)
    shorter = term(
        "s", "growing_days", {"days": 90}, since="2031-05-01", reaches_running=True, source="New"
    )
    house = with_terms(term("o", "growing_days", {"days": 180}), longer)
    house.arrive("2031-03-03 07:30")
    (told,) = clock(house).moved
    expected = {"by": "CQ-118", "from": "2031-08-30", "to": "2031-09-19", "n": 20}
    assert told.as_json() == {"code": "moved_later", "params": expected}
    house = with_terms(term("o", "growing_days", {"days": 180}), shorter)
    house.arrive("2031-03-03 07:30")
    (told,) = clock(house).moved
    assert (told.code, told.params["by"], told.params["n"]) == ("moved_earlier", "New", 90)


def test_of_days_that_nobody_typed_nothing_is_moved() -> None:
    house = day_1()
    house.rows["permit"].clear()
    house.order("t1", "2031-05-27 16:50", "restart", "Q-09")
    assert clock(house).moved == ()


def test_a_figure_that_no_calendar_holds_is_kept_and_ends_with_it() -> None:
    """An order is a fact, whatever somebody typed."""
    house = day_1()
    house.order("t1", "2031-05-01 10:00", "extend", "Q-10", days=100_000_000)
    house.order("t1", "2031-05-01 10:00", "treat", "Q-11", times=2, interval_days=100_000_000)
    body = {
        "product": "soap",
        "started_at": "2031-05-02T06:30:00.000Z",
        "ended_at": "2031-05-02T06:50:00.000Z",
        "order": "Q-11",
    }
    house.add("treated", "t1", "2031-05-02 16:50", body)
    assert clock(house).earliest == day("2999-12-31")
    assert checks.due(house.book(), day("2031-05-01"), day("2031-06-01"))


LEVEL = {"at": "inspection", "prevalence": 0.05, "confidence": 0.95}
SOME = term("i", "inspection", {"number": 1, "all_plants": False})


@pytest.mark.parametrize(("plants", "code"), [(36, "inspection_missing"), (37, "inspected")])
def test_an_inspection_of_a_sample_is_large_enough_or_is_none(plants: int, code: str) -> None:
    """Rules Q-8, C-10: of 54 plants 37 show 5 % (2 of them) with 90 % confidence."""
    house = with_terms(SOME, term("l", "sample_level", LEVEL | {"confidence": 0.9}))
    house.arrive("2031-03-03 07:30")
    house.count("t1", 54, "2031-03-03 08:10")
    inspected(house, "2031-06-06 09:00", plants)
    assert codes(clock(house)) == [code]


def test_a_sample_of_plants_that_nobody_counted_is_none() -> None:
    house = with_terms(SOME, term("l", "sample_level", LEVEL))
    house.arrive("2031-03-03 07:30")
    inspected(house, "2031-06-06 09:00")
    assert codes(clock(house)) == ["inspection_missing"]


def test_the_level_of_another_look_asks_nothing_of_an_inspection() -> None:
    house = with_terms(SOME, term("l", "sample_level", LEVEL | {"at": "look_over"}))
    house.arrive("2031-03-03 07:30")
    house.count("t1", 54, "2031-03-03 08:10")
    inspected(house, "2031-06-06 09:00", 1)
    assert codes(clock(house)) == ["inspected"]
