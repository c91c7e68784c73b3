"""A room logger's file as records: one reading a day, and no day twice."""

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from nursery.domain import logger
from nursery.domain.entry import instant
from nursery.domain.logger import Choices, Log, Logged
from nursery.services import desk, rows
from nursery.services.desk import Said
from nursery.services.errors import WeatherTooLarge, WeatherUnusable
from nursery.services.weather import MOST_BYTES
from nursery.store import lines
from nursery.store.scope import Scope, scope

# What a record's instrument says of a day that came out of a file.
MARK = "logger"


@dataclass(frozen=True, slots=True)
class Taken:
    """How many days became records, were taken before, or are not over yet."""

    days: int
    before: int
    not_over: int


def shown(content: bytes, choices: Choices) -> Log:
    """Return what a file holds. Nothing is written.

    Raises:
        WeatherTooLarge: more bytes than are looked at.
    """
    if len(content) > MOST_BYTES:
        raise WeatherTooLarge(len(content), MOST_BYTES)
    return logger.preview(content, choices)


@dataclass(frozen=True, slots=True)
class File:
    """A file by its name, and what the grower says of its columns."""

    name: str
    content: bytes
    choices: Choices


def take(nursery: str, room: str, file: File, by: str, now: datetime) -> Taken:
    """Write one reading of a room for each whole day of a file that has none from a file yet.

    Each day is a record of its own, so that taking the same file again adds what is missing.

    Raises:
        WeatherTooLarge: more bytes than are looked at.
        WeatherUnusable: something is wrong with the file; its preview says what and where.
        Unknown: there is no such room.
    """
    log = shown(file.content, file.choices)
    if not log.usable:
        raise WeatherUnusable(sum(one.grave for one in log.troubles))
    rows.one(nursery, "place", room)
    with scope(nursery) as book:
        zone, held = book.zone, _held(book, room)
    today = now.astimezone(zone).date()
    whole = [day for day in log.days if day.on < today and day.figures]
    new = [day for day in whole if day.on not in held]
    for day in new:
        noon = datetime.combine(day.on, time(12), zone)
        desk.write(nursery, by, Said("read", [room], _body(day, file.name), noon), now)
    not_over = sum(day.on >= today for day in log.days)
    return Taken(len(new), len(whole) - len(new), not_over)


def _held(book: Scope, room: str) -> set[date]:
    """Return the days of a room that a file has told already."""
    # A text that was blanked is no reading.
    entries: list[Any] = [raw for *_, raw in lines.raw_of_subject(book, room) if raw]
    return {
        instant(entry["occurred_at"], "occurred_at").astimezone(book.zone).date()
        for entry in entries
        if entry["kind"] == "read"
        and str(entry["body"].get("instrument") or "").startswith(f"{MARK} ")
    }


def _body(day: Logged, name: str) -> dict[str, Any]:
    figures = [{"what": what, "value": value} for what, value in day.figures]
    return {"readings": figures, "instrument": f"{MARK} {name}"[:60]}
