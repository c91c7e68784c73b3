"""A plan worked back from the field at the desk, put on the calendar as proposals; both widths."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, expect

from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE
from tests.journeys.test_shell import sign_in
from tests.journeys.workers import Worker, at_the_desk, person

WIDTHS = {"a desk": DESK, "a phone": PHONE}
# A house in which nothing stands yet, and the last visit that its permit wants before a release.
HOUSE, NAME = "young-house", "Young house"
PERMIT, LOOK_DAYS = "CQ-118", timedelta(days=7)
RELEASE = date(2032, 1, 12)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("plan-back"), 5) as made:
        knows_cacao(Desk(made.url))
        yield made


def knows_cacao(desk: Desk) -> None:
    """Start a crop from what is commonly known of it."""
    [cacao] = [one for one in desk.get("crop-profiles")["items"] if one["id"] == "cacao"]
    desk.ask("PUT", "rows/crop/cacao", {"body": {"name": "Cacao", "profile": cacao}, "rev": 0})


@pytest.fixture(params=list(WIDTHS.values()), ids=list(WIDTHS))
def grower(request: pytest.FixtureRequest, browser: Browser, office: Office) -> Iterator[Hand]:
    width, height = request.param
    context = browser.new_context(
        base_url=office.url, viewport={"width": width, "height": height}, locale="en-GB"
    )
    page = context.new_page()
    hand = Hand(page)
    sign_in(page)
    yield hand
    assert hand.faults == []
    context.close()


def asks(hand: Hand, nth: int) -> None:
    """Ask how many of cacao to start for 1000, by the planting weeks of that number."""
    fills(hand, nth)
    hand.tap("planback.ask")


def fills(hand: Hand, nth: int) -> None:
    hand.page.goto("/#/plan-back")
    hand.page.get_by_role("button", name="Cacao").click()
    hand.type("planback.plants", "1000")
    group = hand.page.get_by_role("group", name=hand.says("planback.weeks"))
    group.get_by_role("button").nth(nth).click()


def opens_more(hand: Hand) -> None:
    """Open what is seldom asked, and choose the permit."""
    hand.page.locator("summary").filter(has_text=hand.says("planback.more")).click()
    permits = hand.page.get_by_role("group", name=hand.says("planback.permit"), exact=True)
    permits.get_by_role("button", name=PERMIT, exact=True).click()


def types_release(hand: Hand) -> None:
    """Type a day of release: its year, its month, its figures."""
    says = hand.says("planback.release")
    hand.page.locator("summary").filter(has_text=says).click()
    pad = hand.page.get_by_role("group", name=says, exact=True)
    for key, chip in (
        ("day.year", str(RELEASE.year)),
        ("day.month", hand.says(f"date.month.{RELEASE.month}")),
    ):
        chips = pad.get_by_role("group", name=hand.says(key), exact=True)
        chips.get_by_role("button", name=chip, exact=True).click()
    for figure in str(RELEASE.day):
        pad.get_by_role("button", name=figure, exact=True).click()
    expect(pad.get_by_role("status")).to_contain_text(read_on("on_day", on=RELEASE))


def read_on(key: str, **days: date) -> str:
    """Return a sentence as it is read on that evening: days of another year have their year."""
    told = {name: day.isoformat() for name, day in days.items()}
    return words.say("en", key, told, House(zone=demo.ZONE, today=demo.EVENINGS[5].date()))


def line(hand: Hand, act: str) -> Locator:
    return hand.page.locator(f'main [data-act="{act}"]')


def next_year(desk: Desk) -> tuple[int, date, date]:
    """Return the planting weeks of next year: which they are, their first and last day."""
    every = desk.get("season")["weeks"]
    nth = next(n for n, one in enumerate(every) if one["first"] > "2032-01-01")
    first, last = (date.fromisoformat(every[nth][name]) for name in ("first", "last"))
    return nth, first, last


def days_of_toughening(desk: Desk) -> timedelta:
    """Return how long the crop toughens: it begins so long before its planting weeks."""
    _, first, last = next_year(desk)
    weeks = {"first": first.isoformat(), "last": last.isoformat()}
    asked = {"crop": "cacao", "plants": 1000, "certainty": 0.9, **weeks}
    days = desk.ask("POST", "plans/backward", asked)["days"]
    [began] = [one["on"] for one in days if one["act"] == "toughen"]
    return first - date.fromisoformat(began)


def proposes(hand: Hand, place: str | None = None) -> None:
    """Put what the plan says on the calendar of a place, or of the first."""
    house = hand.page.get_by_role("group", name=hand.says("planback.place"))
    if place is None:
        house.get_by_role("button").first.click()
    else:
        house.get_by_role("button", name=place, exact=True).click()
    hand.tap("planback.propose")
    expect(hand.page.locator("p.go")).to_be_visible()


def test_how_many_and_when_and_what_is_proposed(grower: Hand, office: Office) -> None:
    page, desk = grower.page, Desk(office.url)
    every = desk.get("season")["weeks"]
    nth = next(n for n, one in enumerate(every) if one["first"] > "2032-01-01")
    weeks = {"first": every[nth]["first"], "last": every[nth]["last"]}
    asked = {"crop": "cacao", "plants": 1000, "certainty": 0.9, **weeks}
    plan = desk.ask("POST", "plans/backward", asked)
    asks(grower, nth)
    expect(page.locator("[data-middle]")).to_have_text(grower.says("planback.n", n=1389))
    expect(page.locator("[data-sure]")).to_have_text(
        grower.says("planback.n", n=plan["start"]["sure"])
    )
    shown = page.locator("[data-act]").evaluate_all("some => some.map(one => one.dataset.act)")
    assert shown == [one["act"] for one in plan["days"]]
    assert {"sow", "toughen", "plant"} <= {*shown}
    grower.reads("planback.missing_pot")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    proposes(grower)
    toughen = next(one["on"] for one in plan["days"] if one["act"] == "toughen")
    assert {(one["act"], one["on"], one.get("plants")) for one in proposed(desk)} >= {
        ("toughening", toughen, None),
        ("planting", weeks["first"], 1000),
    }


def proposed(desk: Desk) -> list[dict[str, Any]]:
    """Return what is proposed about any place."""
    told = [desk.get(f"places/{one['id']}") for one in desk.get("places")["items"]]
    lines = [line["entry"] for place in told for line in place["timeline"]]
    return [one["body"] for one in lines if one["kind"] == "booked" and one["body"].get("proposed")]


def test_with_a_permit_the_days_of_the_inspectors_last_visit_are_told(
    grower: Hand, office: Office
) -> None:
    desk = Desk(office.url)
    nth, first, _ = next_year(desk)
    asks(grower, nth)
    grower.reads("planback.missing_inspection")
    expect(line(grower, "inspect")).to_have_count(0)
    grower.tap("planback.again")
    opens_more(grower)
    assert seen.wrongs(grower.page) == []
    grower.tap("planback.ask")
    out = first - days_of_toughening(desk)
    for text in (
        read_on("planback.from_to", first=out - LOOK_DAYS, last=out),
        grower.says("planback.act_inspect"),
    ):
        expect(line(grower, "inspect")).to_contain_text(text)
    expect(line(grower, "release")).to_contain_text(read_on("on_day", on=out))
    expect(line(grower, "toughen")).to_contain_text(read_on("on_day", on=out))
    missing = grower.page.get_by_text(grower.says("planback.missing_inspection"))
    expect(missing).to_have_count(0)
    assert seen.wrongs(grower.page) == []


def test_from_a_day_of_release_it_is_planned_forward(grower: Hand, office: Office) -> None:
    desk = Desk(office.url)
    nth, first, last = next_year(desk)
    fills(grower, nth)
    opens_more(grower)
    types_release(grower)
    assert seen.wrongs(grower.page) == []
    grower.tap("planback.ask")
    ready = RELEASE + days_of_toughening(desk)
    expect(line(grower, "toughen")).to_contain_text(read_on("on_day", on=RELEASE))
    expect(line(grower, "ready")).to_contain_text(read_on("on_day", on=ready))
    assert ready < first
    expect(line(grower, "plant")).to_contain_text(
        read_on("planback.from_to", first=first, last=last)
    )
    expect(line(grower, "inspect")).to_contain_text(
        read_on("planback.from_to", first=RELEASE - LOOK_DAYS, last=RELEASE)
    )
    expect(line(grower, "sow")).to_have_count(0)
    shown = grower.page.locator("[data-act]").evaluate_all("all => all.map(o => o.dataset.act)")
    assert shown == ["inspect", "toughen", "release", "ready", "plant"]
    assert seen.wrongs(grower.page) == []


@pytest.fixture
def at_phone(browser: Browser, office: Office) -> Iterator[Worker]:
    house = {"body": {"name": NAME, "kind": "room"}, "rev": 0}
    Desk(office.url).ask("PUT", f"rows/place/{HOUSE}", house)
    yield from person(browser, office, demo.G, demo.EVENINGS[5])


def test_what_is_planned_forward_is_offered_and_one_of_it_is_taken(
    browser: Browser, office: Office, at_phone: Worker
) -> None:
    desk, hand = Desk(office.url), Hand(at_the_desk(browser, office))
    nth, first, _ = next_year(desk)
    fills(hand, nth)
    opens_more(hand)
    types_release(hand)
    hand.tap("planback.ask")
    proposes(hand, NAME)
    days = {"inspection": RELEASE - LOOK_DAYS, "toughening": RELEASE, "planting": first}
    at_phone.hears()
    at_phone.go("round")
    offered = at_phone.hand.page.locator("main [data-proposal]").filter(has_text=NAME)
    for act, on in days.items():
        one = offered.and_(at_phone.hand.page.locator(f'[data-proposal="{act}"]'))
        expect(one).to_contain_text(read_on("round.proposal", on=on))
    expect(offered).to_have_count(3)
    taken = offered.filter(has_text=at_phone.hand.says("act.toughening"))
    taken.get_by_role("button", name=at_phone.hand.says("round.take"), exact=True).click()
    expect(offered).to_have_count(2)
    at_phone.is_sent()
    lines = [line["entry"]["body"] for line in desk.get(f"places/{HOUSE}")["timeline"]]
    [booked] = [body for body in lines if "act" in body and not body.get("proposed")]
    assert (booked["act"], booked["on"]) == ("toughening", RELEASE.isoformat())
