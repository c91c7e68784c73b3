"""Day 4b of the story: the second treatment, the first inspection of all, and the hold lifted."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.day_4b import SECOND_TREATMENT
from nursery.ops.demo.frame import PRODUCTS
from nursery.ops.demo.script import Act
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import (
    answers,
    chooses,
    fills_in_again,
    last,
    opens,
    photographs,
    saves,
    ticks,
    types,
)
from tests.journeys.workers import Worker, at_the_desk, person, there

TUESDAY, FRIDAY = date(2031, 5, 27), date(2031, 6, 6)
BEGAN = there(TUESDAY, "16:00")
ROOM = n.QUARANTINE


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("day_four_b"), 4, BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.G, BEGAN)


@pytest.fixture(scope="module")
def w2(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W2, BEGAN)


def reads_at_the_desk(
    browser: Browser, office: Office, today: date, codes: dict[str, dict[str, object]]
) -> str:
    """Open a tray at the desk, and wait for sentences; return all that stands there."""
    page = at_the_desk(browser, office)
    page.goto(f"/#/batch/{n.T1}")
    main = page.locator("main")
    for code, params in codes.items():
        said = words.say("en", f"reason.{code}", params, House(today=today))
        expect(main).to_contain_text(said)
    text = main.inner_text()
    page.context.close()
    return text


def test_treatment_2_starts_the_days_without_an_if(
    browser: Browser, grower: Worker, office: Office, desk: Desk
) -> None:
    office.open(there(TUESDAY, "16:52"))
    grower.at("16:52", TUESDAY)
    opens(grower, f"treat/{ROOM}")
    chooses(grower, "treat.operator", demo.G.name)
    fills_in_again(grower, PRODUCTS[n.OIL_SOAP]["name"], "L-772", demo.W1.name)
    for key, figures in (("mix", "200"), ("rate", "15")):
        types(grower, "treat.amount", f"treat.{key}", figures)
    expect(grower.hand.page.locator("main .out")).to_contain_text("04:50")
    saves(grower, "treat.save")
    done = last(desk, n.T1, "treated")
    assert (done["order"], done["reentry_until"]) == ("Q-09", "2031-05-27T18:50:00.000Z")
    clock = desk.batch("T1")["outlook"]["clock"]
    assert (clock["started_on"], clock["earliest"], clock["only_if"]) == (
        "2031-05-27",
        "2031-11-23",
        None,
    )
    text = reads_at_the_desk(
        browser, office, TUESDAY, {"inspection_missing": {"number": 1, "active_growth": True}}
    )
    assert "23 NOV" in text
    assert "If treatment" not in text


def test_until_the_lift_nothing_is_potted_and_w2_stays_out(w2: Worker) -> None:
    w2.phone.offline(False)
    w2.hears()
    answers(w2, "potting", n.T1, "no")
    since = {"since": "2031-05-03T21:20:00.000Z", "reference": "EM-77, Q-09"}
    house = House(zone=demo.ZONE, today=TUESDAY)
    held = words.say(w2.hand.language, "reason.held_by_find", since, house)
    expect(w2.hand.page.locator("main")).to_contain_text(held)
    answers(w2, "releasing", n.T1, "no")
    answers(w2, "entering", ROOM, "no")
    w2.hand.reads("reason.not_admitted", people=[demo.W1.name, demo.G.name], reference="EM-77")


def test_inspection_1_is_of_all_251_in_growth(grower: Worker, office: Office, desk: Desk) -> None:
    office.open(there(FRIDAY, "08:30"))
    grower.at("08:30", FRIDAY)
    hand = grower.hand
    opens(grower, f"papers/{ROOM}/inspect")
    hand.type("inspect.name", demo.P.name)
    ticks(grower, "inspect.growth")
    hand.tap_named(hand.says("inspect.nothing"))
    saves(grower, "inspect.save", n=251)
    seen = [last(desk, tray, "inspected") for tray in n.SPARED]
    assert sum(one["plants"] for one in seen) == 251
    assert all(one["active_growth"] for one in seen)
    missing = {
        reason["params"]["number"]
        for reason in desk.batch("T1")["outlook"]["clock"]["unmet"]
        if reason["code"] == "inspection_missing"
    }
    assert missing == {2}


def test_the_hold_is_lifted_in_writing_by_lf_12(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    grower.at("09:32", FRIDAY)
    opens(grower, f"papers/{ROOM}/order")
    hand.type("paper.reference", "LF-12")
    photographs(grower, "shows.paper")
    ticks(grower, "order.do_lift")
    chooses(grower, "order.which_hold", "EM-77")
    saves(grower, "order.save", reference="LF-12")
    lifted = last(desk, n.T1, "ordered")
    assert (lifted["act"], lifted["lifts"], lifted["reference"]) == ("lift", "EM-77", "LF-12")
    assert desk.batch("T1")["outlook"]["held"] == []


def test_w2_is_let_in_again_and_potting_asks_for_its_permission(
    grower: Worker, w2: Worker, desk: Desk
) -> None:
    hand = grower.hand
    opens(grower, f"papers/{ROOM}/accept")
    hand.tap("accept.person")
    chooses(grower, "accept.who", demo.W2.name)
    hand.type("paper.reference", "LF-12")
    photographs(grower, "shows.paper")
    saves(grower, "accept.save", reference="LF-12")
    lines = [line["entry"] for line in desk.get(f"places/{ROOM}")["timeline"]]
    written = [one["body"] for one in lines if one["kind"] == "accepted"][-1]
    steps = [step for day in SECOND_TREATMENT for step in day.steps if isinstance(step, Act)]
    [story] = [step.body for step in steps if step.kind == "accepted"]
    assert written == {**story, "photo": written["photo"]}
    w2.at("09:50", FRIDAY)
    w2.phone.offline(False)
    w2.hears()
    answers(w2, "entering", ROOM, "yes")
    answers(w2, "potting", n.T1, "no")
    w2.hand.reads("reason.consent_missing")
    answers(w2, "moving_inside", n.T1, "yes")
    assert w2.faults == []
    assert grower.faults == []


def test_the_desk_reads_what_the_release_has_and_what_it_still_wants(
    browser: Browser, office: Office
) -> None:
    text = reads_at_the_desk(
        browser, office, FRIDAY, {"inspection_missing": {"number": 2, "active_growth": False}}
    )
    first = {"number": 1, "active_growth": True}
    missing = words.say("en", "reason.inspection_missing", first, House(today=FRIDAY))
    assert missing not in text
    assert "EM-77" not in text.split("Records")[0], "the hold is over"
