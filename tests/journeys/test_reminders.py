"""What is due reaches a phone: as a push that only its browser reads, on its sheet, in a calendar.

Headless Chromium has no push service of its own. So its page is given a subscription whose keys
this test made and whose address is a push service on loopback. The office sends there as it would
to any; what comes is opened by `http_ece`, a library of RFC 8291, handed to the app's service
worker by the browser's own tools, and looked for among the notices that the browser shows.
"""

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import BrowserContext, Page, expect

from nursery.services import demo
from tests.journeys import offices, seen
from tests.journeys.hands import Hand
from tests.journeys.notices import are, delivered, notices
from tests.journeys.offices import Desk, Office
from tests.journeys.phones import DESK, PHONE, Phone, joined
from tests.journeys.test_shell import sign_in
from tests.product import answer, wait_until
from tests.push_service import Browser, PushService
from tests.steps import ROOT

EVENING = demo.EVENINGS[3]
SENDS = """import django
django.setup()
from nursery.services import reminder_send
reminder_send.run("{}")"""
CONTACT = "mailto:ilsa@orrin.example"
# What a page gets where it would ask the browser's own push service.
SUBSCRIBES = """(told => {
  const unsubscribe = async () => { window.ended = true; return true; };
  const made = { toJSON: () => told, unsubscribe };
  PushManager.prototype.subscribe = async function (options) {
    window.asked = { visible: options.userVisibleOnly, key: options.applicationServerKey };
    return made;
  };
  PushManager.prototype.getSubscription = async () => made;
})(%s)"""
# A person's tap lets a worker bring a page to the front; of a tap that nobody made this is all that
# is missing.
TAPPED = """async () => {
  WindowClient.prototype.focus = async function () { return this; };
  const [notice] = await registration.getNotifications();
  dispatchEvent(new NotificationEvent("notificationclick", { notification: notice }));
}"""


@dataclass
class Pushing(Office):
    """An office that may push to this machine itself."""

    def told(self, clock: datetime | None) -> dict[str, str]:
        more = {
            "NURSERY_TEST_PUSH_LOOPBACK": "yes",
            "NURSERY_PUSH_CONTACT": CONTACT,
        }
        return super().told(clock) | more

    def sends(self) -> None:
        """Send what is due, as a worker of the product does."""
        told = self.told(EVENING) | {"DJANGO_SETTINGS_MODULE": "config.settings"}
        words = [sys.executable, "-c", SENDS.format(demo.NURSERY)]
        subprocess.run(words, cwd=ROOT, env=told, check=True)


@dataclass
class Told:
    """A phone, the service that pushes go to, and the keys of its browser."""

    phone: Phone
    service: PushService
    keys: Browser = field(default_factory=Browser)

    @property
    def page(self) -> Page:
        return self.phone.page


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Pushing]:
    office = Pushing(tmp_path / "office")
    office.folder.mkdir()
    offices.told_before(office, EVENING, "config", "demo", "--day", "3")
    with contextmanager(offices._opened)(office, EVENING):
        yield office


@pytest.fixture
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture
def told(browser: Chromium, desk: Desk) -> Iterator[Told]:
    with PushService() as service:
        keys = Browser()
        context = browser.new_context(
            base_url=desk.url, locale="en-GB", viewport={"width": PHONE[0], "height": PHONE[1]}
        )
        context.grant_permissions(["notifications"], origin=desk.url)
        gives(context, service, keys)
        yield Told(joined(context, desk, demo.W2), service, keys)
        context.close()


def gives(context: BrowserContext, service: PushService, keys: Browser) -> None:
    given = {"endpoint": f"{service.origin}/of-this-phone", "keys": keys.keys()}
    context.add_init_script(SUBSCRIBES % json.dumps(given))


def asks_to_be_told(told: Told, desk: Desk) -> None:
    """Tap through to the sheet that says what comes, and allow it there."""
    told.phone.go("")
    told.phone.tap("Reminders", role="link")
    told.phone.tap("On this phone", role="link")
    expect(told.page.get_by_text("This phone does not tell")).to_be_visible()
    told.phone.tap("Tell me on this phone")
    expect(told.page.get_by_text(f"This phone tells {demo.W2.name}.")).to_be_visible()
    assert people(desk) == [demo.W2.id]


def people(desk: Desk) -> list[str]:
    return [one["person"] for one in desk.get("push/subscriptions")["items"]]


def test_what_is_due_is_pushed_read_by_the_phone_alone_and_shown(
    told: Told, office: Pushing, desk: Desk
) -> None:
    asks_to_be_told(told, desk)
    assert seen.wrongs(told.page) == []
    asked = told.page.evaluate("window.asked")
    assert asked["visible"] is True
    office.sends()
    (got,) = told.service.got
    assert (got.path, got.key) == ("/of-this-phone", asked["key"])
    assert (got.token["sub"], got.token["aud"]) == (CONTACT, told.service.origin)
    assert int(got.headers["ttl"]) > 0
    message = told.keys.read(got)
    assert message["title"]
    (notice,) = delivered(told.page, json.dumps(message), are(1))
    assert notice == message
    # A newer one of its tag takes its place; one that nobody can read is shown all the same.
    newer = json.dumps(message | {"body": "newer"})
    (notice,) = delivered(
        told.page, newer, lambda shown: [one["body"] for one in shown] == ["newer"]
    )
    both = delivered(told.page, "not what the office sends", are(2))
    assert {one["title"] for one in both} == {message["title"], "Lathhouse"}
    assert told.phone.faults == []


def test_a_tap_on_the_notice_opens_its_sheet_and_counts_as_seen(
    told: Told, office: Pushing, desk: Desk
) -> None:
    asks_to_be_told(told, desk)
    office.sends()
    message = told.keys.read(told.service.got[0])
    (waiting, *_) = unseen(desk, demo.W2.id)
    to_it = json.dumps(message | {"url": f"/#/reminders/{waiting['id']}"})
    delivered(told.page, to_it, are(1))
    told.phone.go("round")
    told.page.context.service_workers[0].evaluate(TAPPED)
    expect(told.page).to_have_url(re.compile(f"#/reminders/{waiting['id']}$"))
    expect(told.page.locator("main [role=status]")).to_contain_text("seen")
    wait_until(lambda: waiting["id"] not in [one["id"] for one in unseen(desk, demo.W2.id)])
    assert notices(told.page, are(0)) == []
    assert told.phone.faults == []


def test_a_notice_never_opens_another_site(told: Told) -> None:
    elsewhere = json.dumps({"title": "x", "url": "https://elsewhere.example/a"})
    delivered(told.page, elsewhere, are(1))
    told.page.context.service_workers[0].evaluate(TAPPED)
    expect(told.page).to_have_url(re.compile("^http://localhost.*#/reminders$"))


def test_a_browser_that_its_service_forgot_is_forgotten_and_asks_anew_when_it_opens(
    told: Told, office: Pushing, desk: Desk
) -> None:
    asks_to_be_told(told, desk)
    told.service.answers = [(410, {})]
    office.sends()
    assert len(told.service.got) == 1
    assert people(desk) == []
    told.page.reload()
    told.page.get_by_role("heading").first.wait_for()
    wait_until(lambda: told.page.evaluate("window.asked !== undefined"))
    wait_until(lambda: people(desk) == [demo.W2.id])


def test_who_stops_it_is_told_no_more(told: Told, office: Pushing, desk: Desk) -> None:
    asks_to_be_told(told, desk)
    told.phone.tap("Stop telling me here")
    expect(told.page.get_by_text("This phone does not tell")).to_be_visible()
    assert people(desk) == []
    assert told.page.evaluate("window.ended") is True
    office.sends()
    assert told.service.got == []


def unseen(desk: Desk, person: str) -> list[dict[str, Any]]:
    items = desk.get(f"reminders?person={person}")["items"]
    return [one for one in items if one["state"] in ("sent", "unreached")]


def test_what_was_told_is_seen_by_a_tap_and_what_comes_is_counted_down_without_signal(
    told: Told, office: Pushing, desk: Desk, tmp_path: Path
) -> None:
    asks_to_be_told(told, desk)
    office.sends()
    before = unseen(desk, demo.W2.id)
    assert before != []
    told.phone.go("reminders")
    told.page.get_by_role("heading", name="Not seen yet").wait_for()
    seen.picture(told.page, tmp_path, "reminders")
    assert seen.wrongs(told.page) == []
    told.phone.tap("Seen")
    expect(told.page.get_by_role("button", name=re.compile("^Seen"))).to_have_count(len(before) - 1)
    assert len(unseen(desk, demo.W2.id)) < len(before)
    told.phone.offline()
    told.page.reload()
    expect(told.page.get_by_role("heading", name="Due next")).to_be_visible()
    ahead = told.page.get_by_role("link", name=re.compile("Look-over: Quarantine room"))
    expect(ahead.first).to_be_visible()
    told.phone.go("")
    expect(told.page.get_by_text(re.compile(r" left, until |by \w+ \d+")).first).to_be_visible()
    assert told.phone.faults == []


def test_a_worker_sets_her_own_quiet_hours_on_the_phone(told: Told, desk: Desk) -> None:
    told.phone.go("reminders/settings")
    told.page.get_by_label(re.compile("^Quiet hours from")).fill("25")
    expect(told.page.get_by_text("An hour has two figures")).to_be_visible()
    told.page.get_by_label(re.compile("^Quiet hours from")).fill("1930")
    assert seen.wrongs(told.page) == []
    told.phone.tap("Keep it so")
    expect(told.page).to_have_url(re.compile("#/reminders$"))
    said = {one["person"]: one for one in desk.get("reminders/settings")["people"]}
    assert said[demo.W2.id]["in_force"]["quiet_from"] == "19:30"


def test_a_grower_makes_a_calendar_that_a_calendar_reads_and_ends_it(
    browser: Chromium, office: Office
) -> None:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": DESK[0], "height": DESK[1]}
    )
    grower = Hand(context.new_page())
    sign_in(grower.page)
    link = makes(grower, "Ilsa; phone, blue")
    titles = read(link)
    assert {"Planting weeks", "Earliest release: Quarantine room"} <= titles
    assert any(title.startswith("Official inspection") for title in titles)
    ends(grower)
    assert answer(link)[0] == 404
    assert grower.faults == []
    context.close()


def makes(grower: Hand, name: str) -> str:
    """Make the address of a calendar, and return it as the sheet tells it this once."""
    grower.page.goto("/#/reminders")
    grower.tap("reminders.calendar")
    grower.tap("reminders.calendar_new")
    grower.type("reminders.calendar_for", name)
    grower.tap("reminders.calendar_make")
    code = grower.says("reminders.calendar_code", name=name)
    expect(grower.page.get_by_role("img", name=code)).to_be_visible()
    assert seen.wrongs(grower.page) == []
    return grower.page.locator("main .link").inner_text()


def read(link: str) -> set[str]:
    """Read an address as a calendar does, by the library of the standard."""
    status, text = answer(link)
    assert status == 200
    return {str(one["SUMMARY"]) for one in Calendar.from_ical(text).walk("VEVENT")}


def ends(grower: Hand) -> None:
    """The first tap asks, the second ends."""
    grower.tap("reminders.calendar")
    expect(grower.page.get_by_text("last read")).to_be_visible()
    for key in ("reminders.calendar_end", "reminders.calendar_sure"):
        name = re.compile(f"^{re.escape(grower.says(key))}")
        grower.page.get_by_role("button", name=name).click()
    expect(grower.page.get_by_text(re.compile("^ended"))).to_be_visible()
    assert seen.wrongs(grower.page) == []
