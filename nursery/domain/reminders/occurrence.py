"""One reminder to come: what it is about, for whom, and when it falls (rule M-1)."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from nursery.domain.days import LAST_DAY
from nursery.domain.reminders.figures import FIGURES, Timing, To
from nursery.domain.reminders.wall import instant_of, minute_after, wall_of


class Subject(NamedTuple):
    """What a reminder leads to: batch, place, permit, person, install, nursery or backup."""

    type: str
    id: str


@dataclass(frozen=True, slots=True)
class Occurrence:
    """A reminder as the book has it now.

    `rule` and `key` name it for good; `cause` stays the same where its day moves. It falls when a
    clock in the nursery first shows `wall`, or at the instant `at` where a thing has one. `on` is
    the day on which the thing is due, `ends_at` the instant at which it is over. `until` is when
    it is too late to begin with it. `answered`: it was done, so nobody needs to hear.
    """

    rule: str
    key: str
    cause: str
    code: str
    params: Mapping[str, Any]
    subject: Subject
    wall: datetime
    at: datetime | None = None
    on: date | None = None
    ends_at: datetime | None = None
    until: datetime | None = None
    answered: bool = False
    checks: tuple[str, ...] = field(default=())

    @property
    def to(self) -> To:
        return FIGURES[self.rule].to

    @property
    def urgent(self) -> bool:
        return FIGURES[self.rule].urgent

    def due_at(self, zone: ZoneInfo) -> datetime:
        """Return the instant at which it falls. A thing with an instant of its own keeps it."""
        return instant_of(self.wall, zone) if self.at is None else self.at


def short(*parts: str) -> str:
    """Return a key of at most 40 signs, always the same for the same parts.

    >>> short("permit", "cq-118", "2031-12-31") == short("permit", "cq-118", "2031-12-31")
    True
    """
    return sha256("|".join(parts).encode()).hexdigest()[:24]


def before(rule: str, day: date, timing: Timing) -> datetime:
    """Return the wall time at which a rule's reminder falls for a day, within the calendar."""
    lead = timing.lead(rule)
    spare = (day - date.min, LAST_DAY - day)
    on = day - min(lead, spare[0]) if lead >= timedelta() else day + min(-lead, spare[1])
    return datetime.combine(on, timing.at)


def right_at(instant: datetime, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Return wall time and instant of something that is so from an instant on."""
    at = minute_after(instant)
    return wall_of(at, zone), at
