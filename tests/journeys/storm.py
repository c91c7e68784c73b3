"""What is asked of the office on the day of the storm, and what a person does on its sheets."""

from datetime import date
from typing import Any

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import PLACES
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk

WEDNESDAY = date(2031, 8, 13)
ROOM = n.QUARANTINE
FILE = "consignments/con-1/file"
NEW_PLANTS_ON = date(2031, 8, 20)
POTS = ("T1", "T2", "T3", "T5", "T6", "U")
# The second treatment, and 180 days later: neither moves on this day.
CLOCKS = {("2031-05-27", "2031-11-23")}


def says(hand: Hand, key: str, **params: Any) -> str:
    """Return a sentence with days and hours as the nursery's own clocks show them."""
    return words.say(hand.language, key, params, House(demo.ZONE, today=WEDNESDAY))


def told_of_the_hold(hand: Hand, desk: Desk) -> str:
    """Return what a person is told while the breach holds, since it was found."""
    [since] = {one["since"] for one in held(desk, "T1")}
    return says(hand, "reason.held_by_breach", place=PLACES[ROOM]["name"], since=since)


def clocks(desk: Desk) -> set[tuple[str, str]]:
    """Return from when the days of the pots count, and when they may go, by the office."""
    told = [desk.batch(pot)["outlook"]["clock"] for pot in POTS]
    return {(clock["started_on"], clock["earliest"]) for clock in told}


def held(desk: Desk, pot: str) -> list[dict[str, Any]]:
    """Return what holds a batch, by the office."""
    return list(desk.batch(pot)["outlook"]["held"])


def picks(hand: Hand, pad: str, on: date, /, **params: str) -> None:
    """Put a day together on one of the pads of the sheet, whatever stands on it."""
    days = hand.page.get_by_role("group", name=hand.says(pad, **params), exact=True)
    days.get_by_role("button", name=hand.says(f"date.month.{on.month}"), exact=True).click()
    for _ in range(2):
        days.get_by_role("button", name=hand.says("keys.back")).click()
    for figure in str(on.day):
        days.get_by_role("button", name=figure, exact=True).click()
    hand.taps += 3 + len(str(on.day))


def book(desk: Desk) -> dict[str, Any]:
    """Return the size of the book, and what it says of the stock, its accounts and the rooms."""
    nothing = {"what": "notice", "on": NEW_PLANTS_ON.isoformat()}
    told = desk.ask("POST", "what-if", {"suppose": [nothing]})
    views = ("batches?closed=true", "consignments", "places", FILE)
    return {"lines": told["as_of_seq"], **{view: desk.get(view) for view in views}}


def asked_for(desk: Desk) -> set[tuple[str, date]]:
    """Return which pots an order wants looked over on which days, as far as nobody did."""
    labels = {one["id"]: one["label"] for one in desk.get("batches")["items"]}
    return {
        (labels[check["subject"]], date.fromisoformat(check["params"]["on"]))
        for check in desk.checks("ordered_look", 60)
    }
