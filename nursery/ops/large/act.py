"""What happens in a book: an act of somebody, or a row that the grower types."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any, NamedTuple

ZONE = "Etc/GMT-10"  # UTC+10 all year: the sign of these zones is turned round
OFFSET_MIN = 600
BEGINS = date(2031, 1, 6)

Body = dict[str, Any]


class Act(NamedTuple):
    """One record: who wrote it when, about what, and its id."""

    at: datetime
    ident: str
    by: str
    kind: str
    about: tuple[str, ...]
    body: Body
    corrects: str | None = None


class Typed(NamedTuple):
    """One revision of a row of reference data."""

    at: datetime
    ident: str
    type: str
    body: Body


def instant(day: date, minute: float) -> datetime:
    """Return the instant, to the second, so many minutes after midnight of a day there.

    >>> instant(date(2031, 3, 3), 7.5 * 60).isoformat()
    '2031-03-02T21:30:00+00:00'
    """
    midnight = datetime.combine(day, time(), UTC) - timedelta(minutes=OFFSET_MIN)
    return midnight + timedelta(seconds=round(60 * minute))


def record_id(at: datetime, bits: int) -> str:
    """Return a UUID of version 7 (RFC 9562) of an instant, with 74 bits that were drawn."""
    ms = round(at.timestamp() * 1000)
    low = bits & ((1 << 62) - 1)
    tail = f"{0x8000 | low >> 48:04x}-{low & 0xFFFFFFFFFFFF:012x}"
    return f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7{bits >> 62 & 0xFFF:03x}-{tail}"
