"""A breach of a room: how long it may have been open, and what its report says (rule E-7).

The exposure runs from the last good check to the repair: nobody knows when it tore.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds import place
from nursery.domain.timeline import Timeline

MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Breach:
    """What is known of one breach; `minutes` is None until it is mended, or without a check.

    `entry` is the latest version of its record.
    """

    entry: str
    what: str
    size_cm: float | None
    last_good_at: datetime | None
    mended_at: datetime | None
    minutes: int | None
    report: dict[str, Any] | None

    def as_json(self) -> dict[str, Any]:
        return {
            "entry": self.entry,
            "what": self.what,
            "size_cm": self.size_cm,
            "last_good_at": _written(self.last_good_at),
            "mended_at": _written(self.mended_at),
            "minutes": self.minutes,
            "report": self.report,
        }


def of_line(name: str, told: Entry, line: Timeline) -> Breach:
    """Return the breach that the latest version of a line tells."""
    body: place.Breached = told.body
    later = tuple(_naming(name, line))
    mended = [entry.occurred_at for entry in later if isinstance(entry.body, place.Repaired)]
    mended_at = min(mended, default=None)
    minutes = None
    if mended_at is not None and body.last_good_at is not None:
        minutes = (mended_at - body.last_good_at) // MINUTE
    reports = [entry for entry in later if isinstance(entry.body, place.Described)]
    report = _report(reports[-1]) if reports else None
    about = (body.what, body.size_cm, body.last_good_at)
    return Breach(told.id, *about, mended_at, minutes, report)


def _naming(name: str, line: Timeline) -> Iterable[Entry]:
    for entry in line.entries:
        named = None
        if isinstance(entry.body, place.Repaired):
            named = entry.body.breach
        elif isinstance(entry.body, place.Described):
            named = entry.body.incident
        if named is not None and line.lines.get(named, named) == name:
            yield entry


def _report(entry: Entry) -> dict[str, Any]:
    body: place.Described = entry.body
    gap = None
    if body.gap_from is not None and body.gap_until is not None:
        gap = (body.gap_until - body.gap_from) // MINUTE
    return {
        "entry": entry.id,
        "reference": body.reference,
        "people": list(body.people),
        "weather": body.weather,
        "gap_from": _written(body.gap_from),
        "gap_until": _written(body.gap_until),
        "gap_minutes": gap,
        "moved": body.moved,
        "extra_traps": body.extra_traps,
    }


def _written(moment: datetime | None) -> str | None:
    return None if moment is None else write_instant(moment)
