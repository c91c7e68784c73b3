"""All that people and phones read of the demo nursery at one moment, through the API alone."""

import copy
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from urllib.parse import quote

from django.db import transaction

from nursery.domain import assembled
from nursery.domain.book import Book
from nursery.domain.occupants import Field, Occupant
from nursery.ops.demo import names as n
from nursery.ops.demo.begin import begin
from nursery.ops.demo.days import DAYS
from nursery.ops.demo.play import API, Phone, Teller
from nursery.ops.demo.script import ZONE, Act, Day, Hand, Step
from nursery.ops.demo.wire import Inside
from nursery.services import clock, outlook, refold, verify
from nursery.services.demo import NURSERY
from nursery.store.scope import scope


def there(text: str) -> datetime:
    """Return the instant of a date and time as the nursery's clocks show them."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


@dataclass(frozen=True)
class Reading:
    """What the views answered; `outlook` is what a phone is shipped."""

    at: datetime
    stock: dict[str, dict[str, Any]]
    places: dict[str, dict[str, Any]]
    consignments: dict[str, dict[str, Any]]
    due: list[dict[str, Any]]
    needs: dict[str, Any]
    outlook: dict[str, Any]
    timelines: dict[str, list[dict[str, Any]]]
    records: dict[str, dict[str, Any]]
    file: dict[str, Any]
    rows: dict[str, dict[str, Any]]
    book: Book | None

    def alive(self) -> list[int | None]:
        return [self.stock[tray]["alive"] for tray in n.TRAYS]

    def total(self) -> int:
        batches = (*n.TRAYS, n.MIXED)
        return sum(self.stock[one]["alive"] or 0 for one in batches if one in self.stock)

    def kept(self) -> int:
        """Plants in the officer's bag."""
        return sum(sum(batch["bag"].values()) for batch in self.stock.values())

    def ledger(self) -> dict[str, int]:
        """The account of the whole consignment."""
        ledger: dict[str, int] = self.consignments["con-1"]["ledger"]
        return ledger

    def forecast(self, batch: str) -> dict[str, Any]:
        forecast: dict[str, Any] = self.outlook["batches"][batch]
        return forecast

    def gate(self, batch: str, act: str) -> Any:
        return next(gate for gate in self.forecast(batch)["gates"] if gate["act"] == act)

    def room(self) -> dict[str, Any]:
        """What is told of the quarantine room."""
        told: dict[str, Any] = self.outlook["places"][n.QUARANTINE]
        return told

    def clocks(self, batches: Iterable[str]) -> list[dict[str, Any]]:
        return [self.forecast(batch)["clock"] for batch in batches]

    def checks(self, kind: str) -> list[dict[str, Any]]:
        return [check for check in self.due if check["kind"] == kind]

    def doubts(self, code: str) -> list[dict[str, Any]]:
        """The open doubts of a kind, over all subjects."""
        return [
            doubt
            for item in self.needs["doubts"]
            for doubt in item["doubts"]
            if doubt["code"] == code
        ]

    @property
    def whole(self) -> Book:
        """The whole book as the rules take it."""
        assert self.book is not None, f"nobody asked for the book of {self.at}"
        return self.book

    @property
    def fields(self) -> Mapping[str, Field]:
        """Who stands where, by terrace."""
        book = self.whole
        return assembled.fields(book.batches.values(), book.places.values(), book.day)

    @property
    def firsts(self) -> list[Occupant]:
        """The plants of the first planting, over all terraces."""
        return [one for field in self.fields.values() for one in field.first]

    def notices(self) -> dict[str, int]:
        return {notice["code"]: notice["params"]["n"] for notice in self.needs["notices"]}


def read(
    teller: Teller,
    at: datetime,
    timelines: Iterable[str] = (),
    *,
    file: bool = False,
    book: bool = False,
) -> Reading:
    """Ask every reading view at an instant, as the grower and as the office phone.

    Timelines and records are those of the batches named; the release file and the book only if
    asked for.
    """
    ask = teller.office.ask
    teller.tell(at)
    whole = {batch: ask("GET", f"{API}/batches/{batch}") for batch in timelines}
    return Reading(
        at=at,
        stock={b["id"]: b for b in ask("GET", f"{API}/batches?closed=true")["items"]},
        places={p["id"]: p for p in ask("GET", f"{API}/places")["items"]},
        consignments={c["id"]: c for c in ask("GET", f"{API}/consignments")["items"]},
        due=list(_pages(teller, f"{API}/due?days=60")),
        needs=ask("GET", f"{API}/needs-a-look"),
        outlook=teller.phones[n.OFFICE_PHONE].asker.ask("GET", f"{API}/sync/outlook"),
        timelines={batch: told["timeline"] for batch, told in whole.items()},
        records={batch: told["record"] for batch, told in whole.items()},
        file=ask("GET", f"{API}/consignments/con-1/file") if file else {},
        rows=_rows(teller.phones[n.OFFICE_PHONE]),
        book=_book() if book else None,
    )


def _book() -> Book:
    with scope(NURSERY) as book:
        return outlook.read_book(book)


def may(teller: Teller, act: str, subject: str, on: str = "") -> dict[str, Any]:
    """Ask whether something may be done, now or on a day."""
    day = f"&on={on}" if on else ""
    answer: dict[str, Any] = teller.office.ask("GET", f"{API}/may?act={act}&subject={subject}{day}")
    return answer


def standing(teller: Teller, place: str = n.FIELD) -> dict[str, Any]:
    """Ask how the plants of a terrace stand, or of all of them."""
    found: dict[str, Any] = teller.office.ask("GET", f"{API}/blocks/{place}/standing")
    return found


def said(gate: Any) -> tuple[str, str]:
    return gate["answer"], gate["reason"]


def _rows(phone: Phone) -> dict[str, dict[str, Any]]:
    """Return the rows that a phone holds, by type and id, as the feed brought them."""
    found: dict[str, dict[str, Any]] = {}
    for line in phone.feed:
        if line["t"] == "ref":
            found.setdefault(line["type"], {})[line["id"]] = line["e"]
    return found


def _pages(teller: Teller, path: str) -> Iterator[dict[str, Any]]:
    after = ""
    while after is not None:
        page = teller.office.ask("GET", f"{path}&after={quote(after)}")
        yield from page["items"]
        after = page["next"]


@contextmanager
def telling(days: Iterable[Day] = DAYS) -> Iterator[Teller]:
    """Tell days to a fresh demo nursery; at the end its book must hold and fold to what is kept."""
    begin()
    with clock.kept():
        teller = Teller(Inside(), days)
        teller.begin(there("2031-02-28T09:00"))
        yield teller
        assert refold.differences(NURSERY) == []
        assert verify.chain(NURSERY) == []


@contextmanager
def told_until(blocker: Any, at: datetime) -> Iterator[Teller]:
    """The story up to a moment, for several tests that each go on from there."""
    with blocker.unblock(), transaction.atomic():
        with telling() as teller:
            teller.tell(at)
            yield teller
        transaction.set_rollback(True)


@contextmanager
def going_on(blocker: Any, teller: Teller) -> Iterator[Teller]:
    """Go on for one test; what it adds is taken back, and so is what was kept of it."""
    with blocker.unblock(), transaction.atomic():
        yield copy.deepcopy(teller, {id(teller.wire): teller.wire})
        assert refold.differences(NURSERY) == []
        assert verify.chain(NURSERY) == []
        transaction.set_rollback(True)


def altered(days: Iterable[Day], change: Callable[[Step], Step | None]) -> tuple[Day, ...]:
    """Return the story with other steps; a step that changes to None is left out."""
    return tuple(
        replace(day, steps=tuple(new for step in day.steps if (new := change(step)) is not None))
        for day in days
    )


def add(teller: Teller, phone: str, by: str, at: datetime, act: Act, **envelope: Any) -> str:
    """Let somebody write one more record, and send it; return its id.

    `envelope` names fields around the body that differ from what a phone writes by itself.
    """
    device = teller.phones[phone]
    ident = device.write(replace(act, phone=phone, by=by), at, {})
    entry = json.loads(device.outbox.pop()) | envelope
    device.outbox.append(json.dumps(entry))
    device.sync(at)
    return ident


def record(kind: str, about: str | Iterable[str], /, **body: Any) -> Act:
    return Hand("", "")("00:00", kind, about, **body)
