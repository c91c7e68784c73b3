"""What a worker does on a round, tap by tap: trays looked over and counted, losses, traps."""

from collections.abc import Iterable

from playwright.sync_api import expect

from nursery.ops.demo import names as n
from nursery.ops.demo.frame import CHECKLISTS, PESTS, PLACES
from tests.journeys.workers import Worker


def at_the_round(worker: Worker) -> None:
    worker.go(f"round/{n.QUARANTINE}")
    expect(worker.hand.page.locator("main h1")).to_contain_text(worker.hand.says("round.title"))


def item(name: str, language: str) -> str:
    """Return how a line of the weekly checklist is called in a language."""
    says = next(one["says"] for one in CHECKLISTS["weekly"]["items"] if one["id"] == name)
    return str(next(one["text"] for one in says if one["language"] == language))


def looks_at_one_fewer(worker: Worker, name: str) -> None:
    """Say of one line of the checklist that a plant fewer was looked at."""
    hand = worker.hand
    said = item(name, hand.language)
    hand.tap_named(said)
    worker.fewer(hand.says("look.plants_of", item=said))
    hand.tap_named(said)


def finds_at(worker: Worker, name: str) -> None:
    """Say by which line of the checklist something was found."""
    hand = worker.hand
    said = item(name, hand.language)
    hand.tap_named(said)
    answers = hand.page.get_by_role("group", name=said)
    answers.get_by_role("button", name=hand.says("look.found"), exact=True).click()


def opens_tray(
    worker: Worker, label: str, minutes: int, fewer: Iterable[str] = (), found: str = ""
) -> None:
    """Tap a tray on the round, and look at it for so long.

    Of the lines of the checklist in `fewer` a plant less is looked at; in `found` is a find.
    """
    worker.opens(label)
    expect(worker.hand.one("batch.act_count")).to_be_visible()
    if fewer or found:
        worker.hand.page.locator("main summary").click()
    for name in fewer:
        looks_at_one_fewer(worker, name)
    if found:
        finds_at(worker, found)
    worker.spends(minutes)


def finds_nothing(worker: Worker, label: str, minutes: int, fewer: Iterable[str] = ()) -> int:
    """Look a clean tray over; return how many taps it took from the round."""
    hand = worker.hand
    before = hand.taps
    opens_tray(worker, label, minutes, fewer)
    hand.tap_on_sheet(hand.says("look.answer_nothing"))
    expect(worker.line(label)).to_contain_text(hand.says("look.nothing"))
    return hand.taps - before


def counts(worker: Worker, label: str, gaps: int, alive: int) -> int:
    """Count a tray from the round; return how many taps it took, figures counted apart."""
    hand = worker.hand
    at_the_round(worker)
    before = hand.taps
    worker.opens(label)
    hand.tap("batch.act_count")
    hand.pad(str(gaps))
    hand.tap("count.save", label=label, n=alive)
    expect(hand.one("count.save", label=label, n=alive)).to_be_hidden()
    return hand.taps - before


def loses(worker: Worker, label: str, plants: int = 1) -> int:
    """Write dead plants of a tray from the round; return how many taps it took."""
    hand = worker.hand
    at_the_round(worker)
    before = hand.taps
    worker.opens(label)
    hand.tap("batch.act_lose")
    for dead in range(plants):
        worker.add(hand.says("fate.died", n=dead))
    lost = hand.says("fate.died", n=plants)
    hand.tap("lose.save", label=label, lost=lost)
    expect(hand.one("lose.save", label=label, lost=lost)).to_be_hidden()
    return hand.taps - before


def reads(worker: Worker, trap: str, pest: str = "", count: int = 0) -> None:
    """Read a trap: what it caught, or a true zero."""
    hand, name = worker.hand, PLACES[trap]["name"]
    worker.opens(name)
    if count == 0:
        hand.tap_named(hand.says("traps.empty"))
    else:
        hand.tap_named(hand.says("traps.caught"))
        worker.add(PESTS[pest]["name"], count)
        hand.tap("traps.save", name=name, n=count)
    expect(worker.line(name).locator(".fig")).to_have_text(str(count))
