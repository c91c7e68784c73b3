"""One due check: something to be done between two instants, and how it was answered."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any, NamedTuple

from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds.common import Skipped
from nursery.domain.kinds.health import Answer, Looked
from nursery.domain.kinds.place import TrapAnswer, Trapped


@dataclass(frozen=True, slots=True)
class Check:
    """Something to be done between two instants, both included, and how it was answered.

    `skipped_by` and `accepted_by` are the entries that say why it was not done, and that the
    authority accepts that. `term` and `source` are None where an order or a find asks for it.
    """

    id: str
    kind: str
    subject: str
    opens_at: datetime
    due_by: datetime
    term: str | None = None
    source: str | None = None
    answered_by: str | None = None
    skipped_by: str | None = None
    why: str | None = None
    accepted_by: str | None = None
    params: dict[str, Any] = field(default_factory=dict)

    @property
    def open(self) -> bool:
        return self.answered_by is None and self.skipped_by is None

    def as_json(self) -> dict[str, Any]:
        return {
            "id": self.id,
            "kind": self.kind,
            "subject": self.subject,
            "opens_at": write_instant(self.opens_at),
            "due_by": write_instant(self.due_by),
            "term": self.term,
            "source": self.source,
            "answered_by": self.answered_by,
            "skipped_by": self.skipped_by,
            "why": self.why,
            "accepted_by": self.accepted_by,
            "params": self.params,
        }


class Period(NamedTuple):
    """The days of one period, both included; `name` is its first day."""

    first: date
    last: date

    @property
    def name(self) -> str:
        return self.first.isoformat()


def closed_by(entry: Entry) -> str | None:
    """Return the due check that an entry answers or skips, as far as it says so itself.

    A tray that was not looked at and a trap that could not be read close nothing: a blank is no
    answer.
    """
    match entry.body:
        case Looked(answer=Answer.NOT_LOOKED) | Trapped(answer=TrapAnswer.NOT_READABLE):
            return None
        case Looked(check=check) | Trapped(check=check) | Skipped(check=check):
            return check
        case _:
            return None


def ident(kind: str, term: str, subject: str, period: str) -> str:
    """Return the id of a check: always the same, and short enough to be named in a body."""
    return f"{kind}-{sha256('|'.join((term, subject, period)).encode()).hexdigest()[:24]}"


def periods(every_days: int | None, anchor: date, first: date, last: date) -> Iterable[Period]:
    """Yield the periods that share a day with [first, last], none of them before `anchor`.

    Without `every_days` they are calendar weeks, Monday to Sunday (rule C-1); else they are counted
    from the anchor, so that a late answer moves none of them (rule C-2).
    """
    first = max(first, anchor)
    if every_days is None:
        start, length = first - timedelta(days=first.weekday()), 7
    else:
        start, length = first - timedelta(days=(first - anchor).days % every_days), every_days
    while start <= last:
        yield Period(start, start + timedelta(days=length - 1))
        start += timedelta(days=length)
