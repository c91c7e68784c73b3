"""What follows from a book at a moment: all that a phone is shipped and the reading views show.

Phones never work out a due date, an exposed set or a gate that rests on them: they are told, as of
a line of the feed, for some weeks ahead. Everything here is in JSON and in a fixed order.
"""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Any

from nursery.domain import (
    all_out,
    certificate,
    checks,
    doubtful,
    exposure,
    gates,
    groups,
    holds,
    labels,
    notices,
    quarantine,
    reach,
    retention,
    sample_plans,
    samples,
    seasons,
    trainings,
)
from nursery.domain.batch import Batch
from nursery.domain.book import ROOMS, Book
from nursery.domain.due_check import Check
from nursery.domain.entry import write_instant
from nursery.domain.gate import Act
from nursery.domain.kinds.field import block_of
from nursery.domain.kinds.law import Act as Order
from nursery.domain.place import Place
from nursery.domain.planting import Risks
from nursery.domain.planting import told as planting
from nursery.domain.reason import Reason
from nursery.domain.reentry import OPEN, of_rooms
from nursery.domain.reference import PlaceKind
from nursery.domain.season_sheet import planting_days
from nursery.domain.season_sheet.planting_days import NO_FORECASTS, Readiness
from nursery.domain.toughening import course
from nursery.domain.toughening import told as toughening

__all__ = ["Book", "compose"]

# So far back a check that nobody answered is still told: the weeks of a month and the week that it
# began in. (Choice of the product.)
BEHIND = timedelta(days=35)


def compose(
    book: Book,
    now: datetime,
    days: int = 60,
    risks: Risks | None = None,
    forecasts: Readiness = NO_FORECASTS,
) -> dict[str, Any]:
    """Return the outlook of a book from now on, for so many days.

    It holds `batches` by id (those that are not closed), `places` by id (rooms, traps and whatever
    orders or treatments are about), `incidents`, `checks`, `consignments`, `notices`,
    `look_alikes`, of `toughening` the programs in use and where each batch stands, and the days of
    `planting` that come, with the `risks` of a dry spell where there are odds. `forecasts` say of
    plants that wait when they are grown.
    """
    today = book.day(now)
    planted = planting_days.of_batches(book, today, forecasts)
    due = checks.due(book, today - BEHIND, today + timedelta(days=days))
    return {
        "made_at": write_instant(now),
        "from": today.isoformat(),
        "to": (today + timedelta(days=days)).isoformat(),
        "batches": {
            name: {**_batch(batch, book, now), "plant": planted.get(name)}
            for name, batch in sorted(book.batches.items())
            if not batch.closed
        },
        "places": _places(book, now),
        "incidents": [one.as_json() for one in book.once(exposure.incidents)],
        "checks": [check.as_json() for check in due if _still_matters(check, today, book)],
        "consignments": _consignments(book, today),
        "notices": [
            notice.as_json() for notice in (*notices.of_book(book), *_trap_notices(book, today))
        ],
        "look_alikes": [list(pair) for pair in labels.look_alikes(_labels(book))],
        "toughening": toughening.of_book(book, today),
        "planting": planting.of_book(book, today, risks),
    }


def _still_matters(check: Check, today: date, book: Book) -> bool:
    """Of what is over, only what was neither done nor explained is still told."""
    return book.day(check.due_by) >= today or check.open


def _batch(batch: Batch, book: Book, now: datetime) -> dict[str, Any]:
    clock = quarantine.clock(batch, book, book.day(now))
    return {
        "label": batch.label,
        "clock": None if clock is None else clock.as_json(),
        "gates": [
            {"act": act.value, "batch": batch.id, **gate.as_json()}
            for act, gate in gates.of_batch(batch, book, now).items()
        ],
        "held": [hold.as_json() for hold in book.once(holds.of_book).get(batch.id, ())],
        "doubts": [doubt.as_json() for doubt in doubtful.beyond(batch, book)],
        # A phone works out few of these by itself, and shows the others as they were told.
        "own_doubts": [one.as_json() for one in batch.doubts if one.settled_by is None],
        "samples": [one.as_json() for one in book.once(samples.of_book).get(batch.id, ())],
        "shades": course.shades(batch, book),
        "season": [one.as_json() for one in _season(batch, book, book.day(now))],
    }


def _season(batch: Batch, book: Book, today: date) -> tuple[Reason, ...]:
    """Tell of planting weeks and pots, for the day on which the whole room is ready (rule S-1)."""
    room = book.room(batch.place)
    group = None if room is None else groups.of_room(room, book, today)
    together = group.release if group is not None and batch.id in group.batches else None
    clock = quarantine.clock(batch, book, today)
    return seasons.ahead(batch, clock, book, today, together)


def _places(book: Book, now: datetime) -> dict[str, Any]:
    """Return what is told of each place; of a room also the traps that its terms ask for (C-6)."""
    told = sorted(checks.traps_of(book, book.day(now)), key=lambda one: one[1].number)
    traps = {room: {**wanted.as_json(), "have": have} for room, wanted, have in told}
    return {
        name: {
            **_place(name, book, now),
            "traps": traps.get(name),
            "benches": _benches(name, book),
            "group": _group(name, book, book.day(now)),
        }
        for name in _told(book)
    }


def _benches(name: str, book: Book) -> dict[str, Any] | None:
    """Tell how full the benches of a room are, where somebody measured them (rule P-5)."""
    benches = groups.benches(name, book)
    return None if benches.m2 is None else benches.as_json()


def _group(name: str, book: Book, today: date) -> dict[str, Any] | None:
    """Tell what goes in and out of a room together, and when (rule P-4)."""
    group = groups.of_room(name, book, today)
    return None if group is None else group.as_json()


def _told(book: Book) -> list[str]:
    """Return the places of which something is told: rooms, and what acts of law are about.

    The rows of a block are many, and all that is told of them is who stands there.
    """
    rows = (name for name, row in book.rows_of("place") if row.kind in ROOMS)
    places = (name for name in book.places if book.row("layout", block_of(name)) is None)
    return sorted({*rows, *(name for name in book.in_room if name in book.rooms), *places})


def _place(name: str, book: Book, now: datetime) -> dict[str, Any]:
    state = book.places.get(name) or Place(name)
    shut = book.once(of_rooms).get(book.rooms[name], OPEN)
    anybody = gates.answer(Act.ENTERING, state, book, now)
    told = {
        "entering": {"act": Act.ENTERING.value, "place": name, **anybody.as_json()},
        "reentry_until": None if shut.until is None else write_instant(shut.until),
        "people": {},
        **_of_room(name, state, book, now),
        "doubts": [doubt.as_json() for doubt in doubtful.of_place(state, book)],
    }
    if _restricted(name, book) or trainings.stops(name, book):
        told["people"] = {
            person: gates.answer(Act.ENTERING, state, book, now, person).as_json()
            for person, _ in book.rows_of("person")
        }
    return told


def _of_room(name: str, state: Place, book: Book, now: datetime) -> dict[str, Any]:
    """Return what is told of a room alone: its benches, and how far it is on its way to empty."""
    if book.rooms[name] != name:
        return {}
    emptiness = all_out.of_room(name, book)
    asked = () if emptiness.hours is None else (Act.ACCEPTING, Act.EMPTYING)
    told = {
        act.value: {
            "act": act.value, "place": name, **gates.answer(act, state, book, now).as_json(),
        }
        for act in asked
    }  # fmt: skip
    return {**told, "all_out": emptiness.as_json()}


def _restricted(place: str, book: Book) -> bool:
    """Return whether an order about a place, or one around it, admits only some people."""
    states = (book.places[seat] for seat in book.outward(place) if seat in book.places)
    return any(
        order.act is Order.HOLD and order.admits
        for state in states
        for order in state.record.orders
    )


def _consignments(book: Book, today: date) -> list[dict[str, Any]]:
    return [
        {
            **account.as_json(),
            **_papers(account, book, today),
            "notices": [notice.as_json() for notice in notices.against_certificate(account, book)],
        }
        for account in book.once(notices.accounts)
    ]


def _papers(account: notices.Account, book: Book, today: date) -> dict[str, Any]:
    """Tell how certificate and permit compare, how many to look at, and until when to keep all."""
    row = book.row("consignment", account.consignment)
    compared = () if row is None else certificate.against_permit(row, book)
    kept = retention.kept_until(account, book)
    return {
        "compared": [field.as_json() for field in compared],
        "terms": [
            {**term.as_json(), "reach": why.as_json()}
            for term, why in reach.of_account(account, book, today)
        ],
        "plans": {
            at: plan.as_json() for at, plan in sample_plans.of_account(account, book).items()
        },
        "kept_until": None if kept is None else kept.isoformat(),
    }


def _trap_notices(book: Book, today: date) -> Iterable[notices.Notice]:
    """Yield where a room has fewer traps than its terms ask for, and by which area (rule C-6)."""
    for room, wanted, have in checks.traps_of(book, today):
        if have < wanted.number:
            yield notices.Notice(
                f"traps_short_by_{wanted.area}", room, {**wanted.as_json(), "have": have}
            )


def _labels(book: Book) -> Iterable[str]:
    """Yield what people read aloud or scan: labels of living batches and short names of places."""
    for batch in book.batches.values():
        if batch.label is not None and not batch.closed:
            yield batch.label
    for _, row in book.rows_of("place"):
        if row.short is not None and row.kind not in (PlaceKind.NURSERY, PlaceKind.OFFICE):
            yield row.short
