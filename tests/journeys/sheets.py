"""What people do on the sheet of an act: tap, photograph, save; and what came of it."""

import re
from typing import Any

from playwright.sync_api import Locator, expect

from tests.journeys.offices import Desk
from tests.journeys.workers import Worker

# What the head of a sheet says of records that wait on the phone. The hour is on the line above:
# read without its break, "07:16" and "0 not sent" would be a hundred and sixty.
WAITING = re.compile(r"(^|\s)[1-9]\d* (not sent|sin mandar)")


def opens(worker: Worker, sheet: str) -> None:
    """Open a sheet without signal, by whoever has the phone."""
    worker.phone.offline()
    worker.go(sheet)
    worker.hand.page.locator("main h1").first.wait_for()


def is_killed(worker: Worker, sheet: str) -> None:
    """Let the page be closed in the middle of a form: what was written in it stands again."""
    worker.reloads()
    opens(worker, sheet)


def keeps(worker: Worker, key: str, /, **params: Any) -> None:
    """Tap the bar that saves where there is no signal: it is kept on the phone."""
    hand = worker.hand
    before = hand.page.url
    hand.tap_named(hand.says(key, **params))
    expect(hand.page).not_to_have_url(before)
    expect(hand.page.locator("header .where")).to_contain_text(WAITING, use_inner_text=True)


def saves(worker: Worker, key: str, /, **params: Any) -> None:
    """Tap the bar that saves: on the phone at once, at the office once there is signal."""
    keeps(worker, key, **params)
    worker.is_sent()


def saves_as_it_is(worker: Worker, key: str, /, **params: Any) -> None:
    """What is odd is asked about once, and then kept."""
    hand = worker.hand
    hand.tap_named(hand.says(key, **params))
    expect(hand.page.get_by_role("alert").last).to_be_visible()
    saves(worker, "room.save_odd")


def chips(worker: Worker, key: str) -> Locator:
    return worker.hand.page.get_by_role("group", name=worker.hand.says(key), exact=True)


def chooses(worker: Worker, group: str, says: str) -> None:
    worker.hand.taps += 1
    chips(worker, group).get_by_role("button", name=says, exact=True).click()


def turns(worker: Worker, group: str, *labels: str) -> None:
    """Tap trays by their labels: those that are chosen are chosen no more."""
    for label in labels:
        worker.hand.taps += 1
        tray = worker.hand.page.get_by_role("img", name=re.compile(rf"\b{label}$"))
        chips(worker, group).get_by_role("button").filter(has=tray).click()


def ticks(worker: Worker, key: str, **params: Any) -> None:
    worker.hand.taps += 1
    worker.hand.page.get_by_role("switch", name=worker.hand.says(key, **params)).click()


def types(worker: Worker, board: str, key: str, figures: str) -> None:
    """Tap a figure of a board, and write it on the pad."""
    worker.hand.taps += 1
    name = re.compile(rf"^{re.escape(worker.hand.says(key))}")
    chips(worker, board).get_by_role("button", name=name).click()
    worker.hand.pad(figures)


def photographs(worker: Worker, what: str) -> None:
    worker.photograph(what)
    says = worker.hand.says("photo.of", what=worker.hand.says(what))
    expect(worker.hand.page.get_by_role("img", name=says)).to_be_visible()


def answers(worker: Worker, act: str, subject: str, answer: str) -> None:
    """Ask whether an act may be done: yes, wait, no, or cannot tell."""
    worker.go(f"may/{act}/{subject}")
    shown = worker.hand.page.locator("main [data-answer]")
    expect(shown).to_have_attribute("data-answer", answer, timeout=60_000)


def fills_in_again(worker: Worker, product: str, number: str, told: str) -> None:
    """A product of before brings what its label says; its number, hours and people are new."""
    chooses(worker, "treat.product", product)
    worker.hand.type("treat.batch_number", number)
    chooses(worker, "treat.told", told)
    for key, figures in (("sign", "1620"), ("start", "1630"), ("end", "1650")):
        types(worker, "treat.clock", f"treat.{key}", figures)


def last(desk: Desk, batch: str, kind: str) -> dict[str, Any]:
    entry = desk.records(batch, kind)[-1]
    return {"about": entry["about"], "by_hand": entry["by_hand"], **entry["body"]}


def bodies(desk: Desk, batch: str, kind: str) -> list[dict[str, Any]]:
    return [entry["body"] for entry in desk.records(batch, kind)]
