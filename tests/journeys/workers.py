"""A worker at a phone whose clock is moved by hand; it learned the office's hour at first."""

import io
import re
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.law import CONSIGNMENT_BODY
from nursery.services import demo
from tests.journeys.hands import PATIENCE_MS, Hand
from tests.journeys.offices import Desk, Office
from tests.journeys.phones import DESK, PHONE, Phone, joined
from tests.journeys.test_shell import sign_in

ZONE = ZoneInfo(demo.ZONE)
# A phone that nobody touched for so long asks who writes.
REST_MINUTES = 10


def there(day: date, hour: str) -> datetime:
    """Return the instant at which the nursery's clocks show an hour of a day."""
    return datetime.combine(day, time.fromisoformat(hour), ZONE)


class Worker:
    """A person at a phone that joined when the office's clock showed `began`."""

    def __init__(
        self, browser: Browser, office: Office, who: demo.Somebody, began: datetime
    ) -> None:
        context = browser.new_context(
            base_url=office.url, viewport={"width": PHONE[0], "height": PHONE[1]}
        )
        # Before any page: a clock that is put in later looks like one that somebody set.
        context.clock.install()
        # A worker's clock cannot be moved; where none starts the page itself sends and fetches.
        context.add_init_script("delete globalThis.Worker")
        context.set_default_timeout(PATIENCE_MS)
        self.faults: list[str] = []
        context.on("weberror", lambda error: self.faults.append(str(error.error)))
        self.phone: Phone = joined(context, Desk(office.url), who, f"Phone of {who.name}")
        self.who = who
        self.hand = Hand(self.phone.page, who.language)
        self._opened = began.astimezone(ZONE)
        self._began = self._ms()

    def _ms(self) -> float:
        return float(self.hand.page.evaluate("Date.now()"))

    def _becomes(self, moment: datetime) -> None:
        passed = (moment - self._opened).total_seconds() * 1000
        ahead = self._began + passed - self._ms()
        self.hand.page.clock.fast_forward(max(0, round(ahead)))

    def at(self, hour: str, day: date | None = None) -> None:
        """Let it be this hour at the nursery; a phone that lay about asks who writes."""
        self._becomes(there(day or self._opened.date(), hour))
        self.phone.is_written_by(self.who)

    def spends(self, minutes: int) -> None:
        """Let so many minutes pass over the open sheet; who is asked for says who writes."""
        self.hand.page.clock.fast_forward(minutes * 60_000)
        if minutes >= REST_MINUTES:
            self.says_who()

    def says_who(self) -> None:
        """Tap the tile and the four figures where the phone asks; the sheet goes on after it."""
        page = self.hand.page
        page.locator("section.who").get_by_role("button", name=self.who.name).click()
        self.phone.figures(self.who.pin)
        expect(page.locator("section.who")).to_have_count(0)

    def hands_to(self, who: demo.Somebody) -> None:
        """Give the phone to somebody else, who writes on it in another language."""
        self.who, self.hand.language = who, who.language
        self.phone.is_written_by(who)

    def go(self, sheet: str) -> None:
        self.phone.go(sheet)

    def reloads(self) -> None:
        """Open the app anew, as after a flat battery, and say who writes."""
        self.hand.page.reload()
        self.phone.is_written_by(self.who)

    def opens_anew(self) -> None:
        """Let the page be closed and the app be opened again, with signal or without."""
        phone, page = self.phone, self.phone.context.new_page()
        phone.page.close()
        phone.page = self.hand.page = page
        page.goto("/")
        phone.is_written_by(self.who)

    def is_sent(self) -> None:
        """Come to where there is signal, and wait until nothing is unsent."""
        self.phone.offline(False)
        self.phone.is_sent()

    def hears(self) -> None:
        """Fetch what others wrote."""
        with self.hand.page.expect_response("**/sync/outlook**"):
            self.hand.page.evaluate("dispatchEvent(new Event('online'))")
        self.hand.page.wait_for_timeout(300)

    def figure(self) -> Locator:
        """The vast figure in the head of the sheet."""
        return self.hand.page.locator("main h1 b")

    def add(self, label: str, times: int = 1) -> None:
        """Tap +1 of a tray, or of anything else that is counted so."""
        for _ in range(times):
            self.hand.tap("tally.more", n=1, of=label)

    def fewer(self, label: str, times: int = 1) -> None:
        for _ in range(times):
            self.hand.tap("tally.less", n=1, of=label)

    def line(self, has: str | re.Pattern[str]) -> Locator:
        """Return the line of a list that says this, or bears the tag of this tray."""
        lines = self.hand.page.locator("main").get_by_role("listitem")
        tagged = self.hand.page.get_by_role("img", name=re.compile(rf"\b{has}$"))
        return lines.filter(has_text=has).or_(lines.filter(has=tagged)).first

    def opens(self, has: str) -> None:
        """Tap a line of a list."""
        self.hand.taps += 1
        self.line(has).get_by_role("link").first.click()

    def photograph(self, what: str) -> None:
        picture = io.BytesIO()
        Image.new("RGB", (1600, 1200), (90, 120, 60)).save(picture, "JPEG")
        file: Any = {"name": "box.jpg", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
        take = self.hand.says("photo.take", what=self.hand.says(what))
        self.hand.page.get_by_label(take, exact=True).set_input_files(file)
        expect(self.hand.page.get_by_role("img").last).to_be_visible()


def person(
    browser: Browser, office: Office, who: demo.Somebody, began: datetime
) -> Iterator[Worker]:
    """Give somebody a phone for as long as a fixture lasts."""
    found = Worker(browser, office, who, began)
    yield found
    found.phone.context.close()


def at_the_desk(browser: Browser, office: Office) -> Page:
    """Let the grower sign in at the office's computer."""
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": DESK[0], "height": DESK[1]}
    )
    page = context.new_page()
    sign_in(page)
    return page


def living(page: Page) -> Locator:
    """What lives of the consignment of the first day, as the stock shows it."""
    name = str(CONSIGNMENT_BODY["name"])
    return page.locator("main summary").filter(has_text=name).locator(".sum")


def goes_in(worker: Worker, room: str = n.QUARANTINE) -> int:
    """Go in by oneself; return how many taps it took on the anteroom's sheet."""
    hand = worker.hand
    worker.go(f"access/{room}")
    before = hand.taps
    hand.tap_named(hand.says("access.all_done"))
    hand.tap("access.go_in")
    expect(hand.one("access.go_out")).to_be_visible()
    return hand.taps - before


def goes_out(worker: Worker, room: str = n.QUARANTINE) -> None:
    worker.go(f"access/{room}")
    worker.hand.tap("access.go_out")
    expect(worker.hand.one("access.go_out")).to_be_hidden()


def somebody_goes_in(worker: Worker, name: str, firm: str | None = None) -> None:
    """Let somebody else in: one of the people, or a visitor by name and firm."""
    hand = worker.hand
    worker.go(f"access/{n.QUARANTINE}")
    hand.page.get_by_text(hand.says("access.others")).click()
    if firm is None:
        hand.tap_named(name)
    else:
        hand.type("access.name", name)
        hand.type("access.firm", firm)
        hand.tap("access.newcomer_in")
    hand.tap_named(hand.says("access.all_done"))
    hand.tap("access.in_says", name=name if firm is None else f"{name}, {firm}")
    expect(hand.page.get_by_role("listitem").filter(has_text=name)).to_be_visible()
