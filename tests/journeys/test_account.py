"""A grower changes their own password and ends where else they are signed in."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE

NEW = "four short kettles"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("account"), 1) as office:
        yield office


@pytest.fixture
def signed_in(browser: Browser, office: Office) -> Iterator[Hand]:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": PHONE[0], "height": PHONE[1]}
    )
    hand = Hand(context.new_page())
    hand.page.goto("/")
    sign_in(hand, demo.G.password)
    hand.is_at("stock.title")
    yield hand
    assert hand.faults == []
    context.close()


def sign_in(hand: Hand, password: str) -> None:
    hand.page.get_by_label("Your e-mail address").fill(demo.G.email)
    hand.page.get_by_label("Password").fill(password)
    hand.page.get_by_role("button", name="Sign in").click()


def looked_at(hand: Hand, folder: Path, name: str) -> None:
    """Take a picture on a phone and at a desk, and hold both to what holds of every sheet."""
    for width, height in (DESK, PHONE):
        hand.page.set_viewport_size({"width": width, "height": height})
        seen.picture(hand.page, folder, f"{name}-{width}")
        assert seen.wrongs(hand.page) == []


def ends(hand: Hand, key: str, sure: str) -> None:
    """Tap what ends a session, and once more where it asks."""
    rows = hand.page.locator("main")
    rows.get_by_role("button", name=hand.says(key)).first.click()
    rows.get_by_role("button", name=hand.says(sure)).first.click()


def test_where_one_is_signed_in_is_seen_and_ended(
    signed_in: Hand, office: Office, tmp_path: Path
) -> None:
    others = [Desk(office.url) for _ in range(3)]
    hand = signed_in
    hand.page.locator("header summary").click()
    hand.tap("button.account")
    hand.is_at("account.title")
    expect(hand.page.locator("header summary + .choices")).to_be_hidden()
    rows = hand.page.locator("main li")
    expect(rows).to_have_count(4)
    expect(rows.first).to_contain_text(hand.says("account.this"))
    looked_at(hand, tmp_path, "desks")
    ends(hand, "account.end", "account.end_sure")
    expect(rows).to_have_count(3)
    assert [one for one in others if refused(one)] != []
    ends(hand, "account.end_others", "account.end_others_sure")
    expect(rows).to_have_count(1)
    assert all(refused(one) for one in others)
    hand.page.goto("/#/people/seen")
    hand.reads("access.session_ended", n=2)


def refused(desk: Desk) -> bool:
    try:
        desk.get("batches")
    except OSError as error:
        return "401" in str(error)
    return False


def test_a_password_is_changed_and_signs_everybody_else_out(
    signed_in: Hand, office: Office, tmp_path: Path
) -> None:
    hand, other = signed_in, Desk(office.url)
    hand.page.goto("/#/people")
    hand.tap("people.account")
    hand.tap("account.change")
    hand.is_at("account.change")
    hand.type("account.old", "not this one")
    hand.type("account.new", NEW)
    hidden = hand.page.get_by_label(hand.says("account.new"))
    expect(hidden).to_have_attribute("type", "password")
    hand.tap("account.show")
    expect(hidden).to_have_attribute("type", "text")
    is_turned_down(hand, tmp_path)
    # What was typed stands, to be mended.
    expect(hidden).to_have_value(NEW)
    hand.type("account.old", demo.G.password)
    hand.tap("account.save")
    hand.reads("account.changed")
    looked_at(hand, tmp_path, "changed")
    assert refused(other)
    hand.tap("account.back")
    expect(hand.page.locator("main li")).to_have_count(1)
    comes_in_with_the_new_one(hand)


def is_turned_down(hand: Hand, pictures: Path) -> None:
    """Try with a wrong old password, and without signal."""
    hand.tap("account.save")
    hand.reads("problem.old_password_wrong", most=8)
    expect(hand.page.get_by_role("alert")).to_be_in_viewport()
    looked_at(hand, pictures, "password")
    hand.page.context.set_offline(True)
    hand.tap("account.save")
    hand.reads("app.no_office")
    hand.page.context.set_offline(False)


def comes_in_with_the_new_one(hand: Hand) -> None:
    hand.page.goto("/#/people/seen")
    hand.reads("access.password_changed")
    hand.page.locator("header summary").click()
    hand.tap("button.sign_out")
    sign_in(hand, NEW)
    hand.reads("people.seen")
