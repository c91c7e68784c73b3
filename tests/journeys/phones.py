"""A phone for a journey: a browser that joined the nursery, and somebody who writes on it."""

import re
from dataclasses import dataclass, field

from playwright.sync_api import Browser, BrowserContext, Page, expect

from nursery.services import demo
from tests.journeys.offices import Desk

PHONE, DESK = (390, 844), (1280, 900)


@dataclass
class Phone:
    """One phone. `faults` are what its page complained of; `taps` are counted."""

    context: BrowserContext
    page: Page
    faults: list[str] = field(default_factory=list)
    taps: int = 0

    def go(self, sheet: str) -> None:
        """Open a sheet by its address, as a link would."""
        self.page.evaluate("(hash) => { location.hash = hash; }", f"#/{sheet}")

    def tap(self, name: str, *, role: str = "button", exact: bool = False) -> None:
        self.taps += 1
        self.page.get_by_role(role, name=name, exact=exact).first.click()  # type: ignore[arg-type]

    def figures(self, digits: str) -> None:
        """Tap figures on the big keys; digits are not counted as taps."""
        for digit in digits:
            self.page.get_by_role("button", name=digit, exact=True).click()

    def is_written_by(self, who: demo.Somebody) -> None:
        """Change hands: tap the tile, tap the four figures."""
        self.go("who")
        self.page.locator("main").get_by_role("button", name=who.name).click()
        self.figures(who.pin)
        expect(self.page.locator("nav.thumbs")).to_be_visible()
        expect(self.page).not_to_have_url(re.compile(r"#/who"), timeout=20_000)

    def offline(self, off: bool = True) -> None:
        self.context.set_offline(off)

    def is_sent(self) -> None:
        """Wait until nothing is unsent."""
        self.page.evaluate("dispatchEvent(new Event('online'))")
        # Never the age of what waits, "1 not sent, 0 min old", nor the hour on the line above.
        none = re.compile(r"(^|\s)0 (not sent|sin mandar)")
        # Twice: what was tapped a moment ago may not have been written the first time.
        for settles_ms in (200, 0):
            expect(self.page.locator("header .where")).to_contain_text(
                none, timeout=20_000, use_inner_text=True
            )
            self.page.wait_for_timeout(settles_ms)


def phone_of(
    browser: Browser,
    desk: Desk,
    who: demo.Somebody,
    name: str = "Room phone 2",
    size: tuple[int, int] = PHONE,
) -> Phone:
    """Join a new phone, and let somebody write on it."""
    context = browser.new_context(
        base_url=desk.url, locale="en-GB", viewport={"width": size[0], "height": size[1]}
    )
    return joined(context, desk, who, name)


def joined(
    context: BrowserContext, desk: Desk, who: demo.Somebody, name: str = "Room phone 2"
) -> Phone:
    """Make a phone of a browser's own keeping, and let somebody write on it."""
    page = context.new_page()
    page.set_default_timeout(20_000)
    phone = Phone(context, page)
    page.on("pageerror", lambda error: phone.faults.append(str(error)))
    page.goto(f"/#/join/{desk.invite(name)}")
    page.get_by_role("button", name="Join").click()
    page.get_by_role("button", name=who.name).wait_for()
    # The worker that keeps the app must be in charge before the phone loses its signal.
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.is_written_by(who)
    return phone
