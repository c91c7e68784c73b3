"""Who worked with traced batches, in which rooms they stood, and with which tools and water."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from nursery.domain.book import Book


def of_batches(names: Iterable[str], book: Book) -> dict[str, Any]:
    """Return people, rooms and things with the days between which they met the plants (rule N-5).

    Before its birth a batch stood where its parents stood; those are told with their own trace.
    """
    some = [book.batches[name] for name in names if name in book.batches]
    worked = ((seen.who, seen.since, seen.until) for one in some for seen in one.record.presence)
    stood = [
        (book.rooms.get(at.place, at.place), at.since, at.until)
        for one in some
        for at in book.standings[one.id]
    ]
    rooms = _between(stood, book)
    things: dict[str, set[str]] = {}
    for place, row in book.rows_of("place"):
        room = book.rooms.get(place, place)
        if room in rooms:
            for thing in row.shares:
                things.setdefault(thing, set()).add(room)
    return {
        "people": [{"who": who, **days} for who, days in _between(worked, book).items()],
        "rooms": [{"place": room, **days} for room, days in rooms.items()],
        "things": [{"thing": thing, "rooms": sorted(at)} for thing, at in sorted(things.items())],
    }


def _between(
    spans: Iterable[tuple[str, datetime, datetime | None]], book: Book
) -> dict[str, dict[str, str | None]]:
    """Return the first and the last day of each name; no last one where it goes on."""
    first: dict[str, datetime] = {}
    last: dict[str, datetime | None] = {}
    for name, since, until in spans:
        first[name] = min(since, first.get(name, since))
        before = last.get(name, until)
        last[name] = None if until is None or before is None else max(until, before)
    return {
        name: {"since": book.day(first[name]).isoformat(), "until": _day(last[name], book)}
        for name in sorted(first)
    }


def _day(at: datetime | None, book: Book) -> str | None:
    return None if at is None else book.day(at).isoformat()
