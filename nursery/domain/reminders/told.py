"""What reminders are worked out from: the outlook, the rows, and what the office knows."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from nursery.domain.book import Book
from nursery.domain.reminders.figures import Timing

# So many names are told one by one; of more, the number is.
MOST_NAMED = 3


class Phone(NamedTuple):
    """An install that holds unsent records, when it was last heard, and its device's name."""

    install: str
    name: str
    unsent: int
    heard_at: datetime


class Backup(NamedTuple):
    """The last tested backup: its name for good, and since when there is none newer."""

    key: str
    since: datetime


@dataclass(frozen=True)
class Told:
    """One nursery as reminders see it.

    `outlook` is what `outlook.compose` gives, `rows` the rows of reference data by type and id.
    """

    outlook: Mapping[str, Any]
    rows: Mapping[str, Mapping[str, Any]]
    zone: ZoneInfo
    now: datetime
    timing: Timing = field(default_factory=Timing)
    phones: Sequence[Phone] = ()
    backup: Backup | None = None

    @property
    def today(self) -> date:
        return self.day(self.now)

    def day(self, moment: datetime) -> date:
        return moment.astimezone(self.zone).date()

    def end_of(self, day: date) -> datetime:
        """Return the instant at which a day is over in the nursery's zone."""
        return datetime.combine(day + timedelta(days=1), time(), self.zone)

    def book(self) -> Book:
        """Return a book of the rows alone, for rules that ask nothing else."""
        return Book(self.zone, {}, {}, self.rows, ())

    def rows_of(self, kind: str) -> Iterator[tuple[str, Any]]:
        yield from sorted(self.rows.get(kind, {}).items())

    def name(self, subject: str) -> str:
        """Return what people call a batch or a place."""
        batch = self.outlook["batches"].get(subject)
        if batch is not None and batch["label"]:
            return str(batch["label"])
        row = self.rows.get("place", {}).get(subject)
        return subject if row is None else str(row.name)

    def kind(self, subject: str) -> str:
        """Return whether a subject is a batch or a place."""
        return "place" if subject in self.rows.get("place", {}) else "batch"

    def named(self, subjects: Sequence[str]) -> dict[str, Any]:
        """Return the number of subjects and the names of the first few, for a sentence."""
        names = sorted({self.name(one) for one in subjects})
        return {"n": len(subjects), "names": names[:MOST_NAMED]}
