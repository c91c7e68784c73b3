"""What the instruments said: each figure of a room, month by month.

Thousands of readings are summed; each of them is handed over as a record beside the file.
"""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from nursery.domain.book import Book
from nursery.domain.climate import room_at
from nursery.domain.entry import Entry
from nursery.domain.kinds.place import Read
from nursery.domain.release_file.told import Records


@dataclass(slots=True)
class _Month:
    days: set[date] = field(default_factory=set)
    values: list[float] = field(default_factory=list)


def readings(records: Records) -> list[dict[str, Any]]:
    """Return the lowest and the highest of each figure by month and room."""
    book = records.book
    found: dict[tuple[str, str, str], _Month] = {}
    for entry in records.line.entries:
        if isinstance(entry.body, Read):
            day = book.day(entry.occurred_at)
            for room in _rooms(entry, book):
                for one in entry.body.readings:
                    month = found.setdefault((month_of(day), room, one.what), _Month())
                    month.days.add(day)
                    month.values.append(one.value)
    return [
        {
            "month": month,
            "place": room,
            "what": what,
            "days": len(told.days),
            "readings": len(told.values),
            "low": min(told.values),
            "high": max(told.values),
        }
        for (month, room, what), told in sorted(found.items())
    ]


def _rooms(entry: Entry, book: Book) -> set[str]:
    """Return the rooms in which was read; of what stands in none, what it is about."""
    batches = ((name, book.batches.get(name)) for name in entry.about)
    return {
        book.rooms.get(name, name)
        if batch is None
        else room_at(batch, entry.occurred_at, book) or name
        for name, batch in batches
    }


def month_of(day: date) -> str:
    return day.isoformat()[:7]
