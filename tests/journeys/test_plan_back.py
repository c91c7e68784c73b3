"""A plan worked back from the field at the desk, put on the calendar as proposals; both widths."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE
from tests.journeys.test_shell import sign_in

WIDTHS = {"a desk": DESK, "a phone": PHONE}


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
    hand.page.goto("/#/plan-back")
    hand.page.get_by_role("button", name="Cacao").click()
    hand.type("planback.plants", "1000")
    group = hand.page.get_by_role("group", name=hand.says("planback.weeks"))
    group.get_by_role("button").nth(nth).click()
    hand.tap("planback.ask")


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
