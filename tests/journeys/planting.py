"""What planters do on the row sheet, and what a phone sent for the rows that nobody taps here."""

import json
import re
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any

from playwright.sync_api import Locator, expect

from nursery.domain.kinds.field import seat
from nursery.ops.demo import names as n
from nursery.ops.demo.terraces import AS_PLANTED, row_of
from tests.journeys.hands import sent
from tests.journeys.offices import Desk
from tests.journeys.sheets import WAITING, keeps, opens
from tests.journeys.workers import Worker, there
from tests.phone import Writer

FRIDAY = date(2032, 3, 12)
LABELS = {n.T1: "T1", n.T2: "T2", n.T3: "T3", n.T5: "T5", n.T6: "T6", n.MIXED: "U"}


def at(hour: str) -> datetime:
    """Return the instant of an hour of the day, as records tell it."""
    return there(FRIDAY, hour).astimezone(UTC)


def hit(worker: Worker) -> Locator:
    return worker.hand.page.locator("main button[data-position]")


def plants(worker: Worker, *positions: int) -> None:
    """Tap the vast button once for each of these holes, as they come."""
    for position in positions:
        expect(hit(worker)).to_have_attribute("data-position", str(position))
        worker.hand.taps += 1
        hit(worker).click()
    # The last of them is on the disk: it can be taken back.
    told = re.compile(rf"-{positions[-1]}$")
    expect(undo(worker)).to_have_attribute("aria-label", told)


def left(worker: Worker, plants: int) -> None:
    """Read how many of the present batch are out and in no hole yet."""
    shown = worker.hand.page.locator("main [data-left]")
    expect(shown).to_have_attribute("data-left", str(plants))


def types_label(worker: Worker, label: str) -> None:
    """Type the label on the tag of a pot, as where the camera cannot read it."""
    worker.hand.tap("scan.type")
    worker.hand.page.keyboard.type(label)
    worker.hand.page.keyboard.press("Enter")
    worker.hand.page.wait_for_timeout(300)
    # A trap or a terrace may be called alike: the tray is known by its sign.
    tag = worker.hand.page.get_by_role("img", name=re.compile(rf"\b{label}$"))
    alike = worker.hand.page.get_by_role("dialog").get_by_role("button").filter(has=tag)
    if alike.count() > 0:
        alike.first.click()


def turns_to(worker: Worker, label: str) -> None:
    """Go on with another batch: read the tag of its pot."""
    worker.hand.tap("plant.another")
    worker.hand.tap("button.scan_label")
    types_label(worker, label)
    expect(worker.hand.page.get_by_role("dialog")).to_have_count(0)


def undo(worker: Worker) -> Locator:
    return worker.hand.page.locator("nav.thumbs button").nth(1)


def sends(worker: Worker) -> None:
    """Send what the head of the sheet says that it waits; counting it takes a moment."""
    expect(worker.hand.page.locator("header .where")).to_contain_text(WAITING, use_inner_text=True)
    worker.is_sent()


def carries(worker: Worker, block: str, way: str, figures: Mapping[str, int], n: int) -> None:
    """Say how many go out, come back or broke; of the others what the sheet takes for granted."""
    opens(worker, f"scan-out/{block}/{way}")
    page = worker.hand.page
    for batch, plants in figures.items():
        name = LABELS[batch]
        group = page.locator("main").get_by_role("group").first
        if group.get_by_role("button", name=name).count() == 0:
            worker.hand.tap("plant.more_batches")
            types_label(worker, name)
        group.get_by_role("button", name=name).first.click()
        worker.hand.pad(str(plants))
    keeps(worker, f"plant.{way}_save", n=n)


def taps(
    writer: Writer, block: str, positions: range | tuple[int, ...], begun: datetime
) -> Iterator[str]:
    """Yield what a phone writes when its planter taps so many holes, ten seconds apart."""
    for i, position in enumerate(positions):
        row = str(row_of(block, position))
        yield writer.write(
            "planted",
            [AS_PLANTED[block][position], seat(block, row)],
            {"block": block, "row": row, "positions": [str(position)]},
            begun + timedelta(seconds=10 * i),
        )


def others_plant(
    worker: Worker, writer: Writer, block: str, positions: range | tuple[int, ...], hour: str
) -> None:
    """Let another phone send what was planted by its taps."""
    tells(worker, *taps(writer, block, positions, at(hour)))


def tells(worker: Worker, *texts: str) -> None:
    """Let another phone send its records, from where there is signal."""
    url = worker.hand.page.url.split("/#")[0].rstrip("/")
    worker.phone.offline(False)
    install = json.loads(texts[0])["install"]
    assert set(sent(worker.phone.context, url, install, *texts)) == {"stored"}


def holes_of(desk: Desk, batch: str) -> list[dict[str, Any]]:
    """Return every standing record by which plants of a batch came into the ground."""
    lines = desk.get(f"batches/{batch}")["timeline"]
    gone = {line["entry"]["corrects"] for line in lines if line["entry"]["corrects"]}
    found = [line["entry"] for line in lines if line["entry"]["kind"] == "planted"]
    return [entry["body"] for entry in found if entry["id"] not in gone]
