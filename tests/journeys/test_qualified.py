"""Trainings at a door: a phone without signal says what somebody lacks, and leaving stays free."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, Phone, phone_of
from tests.journeys.test_people import refreshed
from tests.journeys.test_shell import sign_in

ROOM = n.QUARANTINE
WHAT = "Hygiene of the room"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("qualified"), 1) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Hand]:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": DESK[0], "height": DESK[1]}
    )
    hand = Hand(context.new_page())
    sign_in(hand.page)
    yield hand
    assert hand.faults == []
    context.close()


@pytest.fixture(scope="module")
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    phone = phone_of(browser, desk, demo.W1)
    yield phone
    assert phone.faults == []
    phone.context.close()


def place(grower: Hand) -> None:
    grower.page.goto(f"/#/rooms/{ROOM}/edit")
    expect(grower.page.get_by_label(grower.says("rooms.trainings"))).to_be_visible()


def test_a_room_wants_a_training_and_a_phone_without_signal_says_who_lacks_it(
    grower: Hand, phone: Phone, desk: Desk
) -> None:
    place(grower)
    grower.type("rooms.trainings", f" {WHAT} ,")
    assert seen.wrongs(grower.page) == []
    grower.tap("button.save")
    grower.page.wait_for_timeout(500)
    body = next(row for row in desk.get("rows/place")["items"] if row["id"] == ROOM)["body"]
    assert (body["trainings"], body.get("training_stops")) == ([WHAT], None)
    refreshed(phone)
    phone.offline()
    hand = Hand(phone.page, demo.W1.language)
    for sheet in (f"may/entering/{ROOM}", f"access/{ROOM}"):
        phone.go(sheet)
        hand.reads("reason.training_none", name=demo.W1.name, what=WHAT)
        hand.reads("access.untrained")
        assert seen.wrongs(phone.page) == []
    expect(hand.one("access.go_in")).to_be_visible()
    phone.offline(False)


def test_where_the_room_is_strict_the_door_says_no_and_what_has_happened_is_kept(
    grower: Hand, phone: Phone, desk: Desk
) -> None:
    place(grower)
    grower.page.get_by_role("switch", name=grower.says("rooms.training_stops")).click()
    grower.tap("button.save")
    grower.page.wait_for_timeout(500)
    refreshed(phone)
    phone.offline()
    hand = Hand(phone.page, demo.W1.language)
    phone.go(f"may/entering/{ROOM}")
    hand.reads("reason.training_none", name=demo.W1.name, what=WHAT)
    expect(phone.page.locator("[data-answer=no]")).to_be_visible()
    phone.go(f"access/{ROOM}")
    hand.reads("gate.opens", what=hand.says("reason.when_trained", name=demo.W1.name, what=WHAT))
    hand.tap("gate.happened")
    hand.tap("access.go_in")
    expect(hand.one("access.go_out")).to_be_visible()
    expect(phone.page.get_by_text(hand.says("gate.no"), exact=True)).to_have_count(0)
    hand.tap("access.go_out")
    phone.go("")
    phone.offline(False)
    phone.is_sent()
    assert desk.get(f"places/{ROOM}")["inside"] == []


def test_the_training_typed_in_opens_the_door(grower: Hand, phone: Phone) -> None:
    hand = Hand(phone.page, demo.W1.language)
    grower.page.goto(f"/#/people/person/{demo.W1.id}")
    grower.tap("papers.add_trainings")
    grower.type("papers.what", WHAT.upper())
    grower.tap("people.save", name=demo.W1.name)
    grower.is_at("people.title")
    refreshed(phone)
    phone.offline()
    phone.go(f"access/{ROOM}")
    expect(hand.one("access.go_in")).to_be_visible()
    lacks = hand.says("reason.training_none", name=demo.W1.name, what=WHAT)
    expect(phone.page.get_by_text(lacks)).to_have_count(0)
    phone.offline(False)


def test_the_nurserys_figures_are_set_where_its_reminders_are(grower: Hand, desk: Desk) -> None:
    page = grower.page
    page.goto("/#/reminders/settings/nursery")
    figures = {"gap": "0", "mail": "3", "grower": "5", "ends": "30", "access": "24", "trap": "10"}
    grower.type("reminders.figure_mail", "0")
    what = grower.says("reminders.figure_mail")
    grower.reads("reminders.odd_figure", what=what, value="0", least=1, most=72)
    expect(grower.one("reminders.keep")).to_be_disabled()
    assert seen.wrongs(page) == []
    for name, value in figures.items():
        grower.type(f"reminders.figure_{name}", value)
    grower.tap("reminders.keep")
    grower.is_at("reminders.title")
    told = desk.get("reminders/settings")["nursery"]
    assert (told["gap_minutes"], told["mail_after_hours"], told["grower_after_hours"]) == (0, 3, 5)
    [row] = desk.get("rows/nursery")["items"]
    kept = [row["body"][name] for name in ("ends_days", "access_months", "trap_late_days")]
    assert kept == [30, 24, 10]
    assert desk.get("access")["months"] == 24


def test_a_licence_that_ends_is_looked_at_before_and_after(grower: Hand, desk: Desk) -> None:
    row = next(one for one in desk.get("rows/person")["items"] if one["id"] == demo.W2.id)
    licences = [
        {"what": "Spraying", "until": "2031-03-20"},
        {"what": "Fumes", "until": "2031-03-01"},
    ]
    body = {"rev": row["rev"], "body": {**row["body"], "licences": licences}}
    desk.ask("PUT", f"rows/person/{demo.W2.id}", body)
    grower.page.goto("/#/looks")
    grower.page.reload()
    name = demo.W2.name
    grower.reads("looks.licence_ends", name=name, what="Spraying", on="2031-03-20")
    grower.reads("looks.licence_ended", name=name, what="Fumes", on="2031-03-01")
    assert seen.wrongs(grower.page) == []


def test_the_list_of_who_looked_says_without_signal_that_it_needs_some(grower: Hand) -> None:
    page = grower.page
    page.goto("/#/people/seen")
    grower.reads("access.signed_in")
    page.context.set_offline(True)
    page.goto("/#/people")
    page.goto("/#/people/seen")
    grower.reads("seen.needs_signal")
    grower.reads("access.signed_in")
    page.context.set_offline(False)
