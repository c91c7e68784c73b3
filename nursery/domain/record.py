"""What happened to a batch or a place, as the later rules ask for it.

The state of a subject says what it is now. Clocks, checks and exposed sets also ask when somebody
looked, what was ordered and who was there: that is kept here, in plain values, oldest first.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, fields
from datetime import date, datetime
from enum import StrEnum
from functools import cache
from typing import Any, get_args, get_type_hints

from nursery.domain.entry import write_instant
from nursery.domain.kinds import health, law
from nursery.domain.kinds import place as rooms


@dataclass(frozen=True, slots=True)
class Look:
    """One look-over. `check` is the due check that its maker had before them.

    `typed_by` typed in what `by` had written on a sheet of paper.
    """

    entry: str
    at: datetime
    by: str
    answer: health.Answer
    plants: int | None = None
    minutes: float | None = None
    check: str | None = None
    why: str | None = None
    typed_by: str | None = None


@dataclass(frozen=True, slots=True)
class Inspection:
    """One official inspection; `alive` is how many plants the batch had then."""

    entry: str
    at: datetime
    answer: health.Answer
    plants: int
    active_growth: bool
    paper: bool
    alive: int | None = None


@dataclass(frozen=True, slots=True)
class Treatment:
    entry: str
    started_at: datetime
    ended_at: datetime
    by: str
    product: str
    reentry_until: datetime | None = None
    order: str | None = None
    operator: str | None = None
    licence: str | None = None
    litres: float | None = None
    area_m2: float | None = None
    sign_posted_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Emptying:
    """Somebody wrote that a room is empty."""

    entry: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Order:
    """One act of an order; `paper` says whether its picture is there."""

    entry: str
    at: datetime
    act: law.Act
    reference: str
    paper: bool
    days: int | None = None
    times: int | None = None
    interval_days: int | None = None
    after_treatment: int | None = None
    not_before: date | None = None
    lifts: str | None = None
    admits: tuple[str, ...] = ()
    looks_on: tuple[date, ...] = ()
    due_on: date | None = None
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Destruction:
    """Plants that were destroyed, by which order where their record says so."""

    entry: str
    at: datetime
    count: int
    order: str | None = None


@dataclass(frozen=True, slots=True)
class Acceptance:
    entry: str
    at: datetime
    what: str
    reference: str
    paper: bool
    person: str | None = None
    week_of: date | None = None


@dataclass(frozen=True, slots=True)
class Scion:
    """Buds or scions of another batch joined this one, and brought its clock and holds."""

    entry: str
    at: datetime
    scion: str | None = None


@dataclass(frozen=True, slots=True)
class Booking:
    entry: str
    act: str
    on: date
    order: str | None = None
    people: int | None = None
    plants: int | None = None
    plan: str | None = None
    product: str | None = None
    operator: str | None = None


@dataclass(frozen=True, slots=True)
class Skip:
    """A due check that was not done, with its reason."""

    entry: str
    check: str
    reason: str


@dataclass(frozen=True, slots=True)
class Signature:
    """A signed exception: an act against a gate, with its reason; `confirmed` is by PIN."""

    entry: str
    at: datetime
    by: str
    act: str
    reason: str
    confirmed: bool
    plants: int | None = None
    checks: tuple[str, ...] = ()
    on: date | None = None


@dataclass(frozen=True, slots=True)
class TrapLook:
    entry: str
    at: datetime
    by: str
    answer: rooms.TrapAnswer
    replaced: bool
    check: str | None = None
    why: str | None = None
    typed_by: str | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of an instrument."""

    entry: str
    at: datetime
    what: str
    value: float


@dataclass(frozen=True, slots=True)
class Presence:
    """A person worked here between two instants of one day."""

    who: str
    since: datetime
    until: datetime


@dataclass(frozen=True, slots=True)
class Happening:
    """A record of growth, toughening or weather, with its whole body."""

    entry: str
    at: datetime
    by: str
    kind: str
    body: Any


# So much of a written instant is its day.
DAY = len("2031-03-03")


@dataclass(slots=True)
class Record:
    """Everything of these kinds that stands, oldest happening first."""

    looks: list[Look] = field(default_factory=list)
    inspections: list[Inspection] = field(default_factory=list)
    treatments: list[Treatment] = field(default_factory=list)
    emptyings: list[Emptying] = field(default_factory=list)
    orders: list[Order] = field(default_factory=list)
    acceptances: list[Acceptance] = field(default_factory=list)
    scions: list[Scion] = field(default_factory=list)
    bookings: list[Booking] = field(default_factory=list)
    skips: list[Skip] = field(default_factory=list)
    destructions: list[Destruction] = field(default_factory=list)
    signatures: list[Signature] = field(default_factory=list)
    traps: list[TrapLook] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    presence: list[Presence] = field(default_factory=list)
    happenings: list[Happening] = field(default_factory=list)
    # A fold that goes on is written with each push: what was written before is not worked out anew.
    _told: dict[int, tuple[Any, dict[str, Any]]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def told(self, *classes: type) -> list[Happening]:
        """Return the happenings whose bodies are of these classes, oldest first."""
        return [one for one in self.happenings if type(one.body) in classes]

    def present(self, days: Collection[str]) -> list[Presence]:
        """Return who was here on some days of UTC, written as in an instant.

        A presence is of one day of the nursery, so it begins or ends on each day that it touches.
        """
        return [
            one
            for one in self.presence
            if write_instant(one.since)[:DAY] in days or write_instant(one.until)[:DAY] in days
        ]

    def as_json(self) -> dict[str, Any]:
        """Return the record in JSON; what is absent is left out. Nobody may change it."""
        kept = {name: getattr(self, name) for name in SHELVES}
        return {name: [self._once(item) for item in items] for name, items in kept.items() if items}

    def _once(self, item: Any) -> dict[str, Any]:
        known = self._told.get(id(item))
        if known is None:
            # The item is held with it, so that its id stays its own.
            known = self._told[id(item)] = (item, _written(item))
        return known[1]


_AS_THEY_ARE = frozenset((str, int, float, bool))


# With each push many records are written anew, so fields are asked for once a class.
@cache
def _names(cls: type) -> tuple[str, ...]:
    return tuple(f.name for f in fields(cls))


def _written(item: Any) -> dict[str, Any]:
    told = {}
    for name in _names(item.__class__):
        value = getattr(item, name)
        if value is not None and value != ():
            told[name] = value if value.__class__ in _AS_THEY_ARE else _plain(value)
    return told


def _plain(value: Any) -> Any:
    if value.__class__ in _AS_THEY_ARE:
        return value
    match value:
        case datetime():
            return write_instant(value)
        case date():
            return value.isoformat()
        case tuple():
            return [_plain(inner) for inner in value]
        case StrEnum():
            return value.value
        case _:
            return _written(value)


SHELVES: Mapping[str, type] = {
    shelf: get_args(hint)[0]
    for shelf, hint in get_type_hints(Record).items()
    if not shelf.startswith("_")
}
