"""A person at a screen who counts: taps, fields that are typed, figures on the pad."""

import json
import re
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import BrowserContext, Locator, Page, expect

from nursery.services import words

# A machine that does other things as well is slower than a person waits for.
PATIENCE_MS = 30_000
expect.set_options(timeout=PATIENCE_MS)


@dataclass
class Hand:
    """One person at one page, speaking one language; `faults` are what the page complained of."""

    page: Page
    language: str = "en"
    taps: int = 0
    typed: int = 0
    figures: int = 0
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.set_default_timeout(PATIENCE_MS)
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))

    def says(self, key: str, **params: Any) -> str:
        return words.say(self.language, key, params)

    def one(self, key: str, **params: Any) -> Locator:
        """Return the button or link that bears these words."""
        text = self.says(key, **params)
        both = self.page.get_by_role("button", name=text, exact=True)
        return both.or_(self.page.get_by_role("link", name=text, exact=True)).first

    def tap(self, key: str, **params: Any) -> None:
        self.taps += 1
        self.one(key, **params).click()

    def tap_named(self, name: str) -> None:
        """Tap what bears a name that is nobody's sentence: a person, a folder."""
        self.taps += 1
        self.page.get_by_role("button", name=name).first.click()

    def tap_on_sheet(self, name: str) -> None:
        """Tap what the sheet names so; Undo, below it, names what was saved last as well."""
        self.taps += 1
        self.page.locator("main").get_by_role("button", name=name).first.click()

    def type(self, key: str, text: str, **params: Any) -> None:
        self.typed += 1
        label = re.compile(f"^{re.escape(self.says(key, **params))}")
        self.page.get_by_label(label).first.fill(text)

    def pad(self, figures: str) -> None:
        for figure in figures:
            self.figures += 1
            self.page.get_by_role("button", name=figure, exact=True).click()

    def reads(self, key: str, **params: Any) -> None:
        """Wait until a sentence stands on the page."""
        text = self.says(key, **params)
        expect(self.page.get_by_text(text).first).to_be_visible(timeout=60_000)

    def is_at(self, key: str) -> None:
        """Wait until a sheet has this title."""
        expect(self.page.get_by_role("heading", name=self.says(key), level=1)).to_be_visible()


def sent(phone: BrowserContext, url: str, install: str, *texts: str) -> list[str]:
    """Send records as a joined phone does; return what became of each."""
    ping = phone.request.get(f"{url}/api/v1/sync/ping").json()
    body = {"epoch": ping["epoch"], "install": install, "entries": list(texts)}
    headers = {"X-Sync": "1", "Content-Type": "application/json", "Origin": url}
    answer = phone.request.post(f"{url}/api/v1/sync/push", data=json.dumps(body), headers=headers)
    assert answer.ok, answer.text()
    return [result["status"] for result in answer.json()["results"]]
