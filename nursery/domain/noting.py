"""How one more entry is kept in the record of a subject (rule H-1)."""

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from nursery.domain.entry import Entry
from nursery.domain.kinds import common, field, health, law, life
from nursery.domain.kinds import place as rooms
from nursery.domain.kinds.count import Fate, Lost, Sent
from nursery.domain.record import (
    Acceptance,
    Booking,
    Destruction,
    Emptying,
    Figure,
    Happening,
    Inspection,
    Look,
    Order,
    Presence,
    Record,
    Scion,
    Signature,
    Skip,
    TrapLook,
    Treatment,
)

# Written at a desk: these say nothing about who stood where.
DESK = frozenset(
    (
        common.Booked,
        common.Noted,
        common.Signed,
        common.Skipped,
        common.Traced,
        health.Resulted,
        health.Told,
        law.Accepted,
        law.Opened,
        law.Ordered,
        law.Released,
        rooms.Described,
        rooms.Forecast,
    )
)

_SHELVES: Mapping[type, tuple[str, type]] = {
    health.Looked: ("looks", Look),
    health.Inspected: ("inspections", Inspection),
    health.Treated: ("treatments", Treatment),
    rooms.Emptied: ("emptyings", Emptying),
    law.Ordered: ("orders", Order),
    law.Accepted: ("acceptances", Acceptance),
    life.Worked: ("scions", Scion),
    common.Booked: ("bookings", Booking),
    common.Skipped: ("skips", Skip),
    common.Signed: ("signatures", Signature),
    rooms.Trapped: ("traps", TrapLook),
}
# Kept whole: growing and toughening are asked about by what each of them says. So is an act that
# is only proposed, which no rule takes for planned.
HAPPENINGS = frozenset(
    (
        life.Sown,
        life.Emerged,
        life.Stuck,
        life.Rooted,
        life.Worked,
        life.Took,
        life.Graded,
        life.Measured,
        life.Fed,
        life.Stepped,
        life.Plugged,
        life.Wilted,
        field.Planted,
        field.Refilled,
        field.LeftEmpty,
        field.Surveyed,
        field.Thinned,
        field.Carried,
        Sent,
        rooms.Watered,
        rooms.Forecast,
    )
)
_NOT_IN_THE_BODY = frozenset(("entry", "at", "by", "typed_by", "paper", "alive", "confirmed"))
_FIELDS = {cls: tuple(f.name for f in fields(cls)) for _, cls in _SHELVES.values()}


def note(record: Record, entry: Entry, alive: int | None = None) -> None:
    """Keep what the rules will ask of one more standing entry, given in order (rule H-1).

    `alive` is the count of living plants when it happened, where the subject has one.
    """
    kind = type(entry.body)
    proposed = isinstance(entry.body, common.Booked) and entry.body.proposed
    if kind in _SHELVES and not proposed:
        shelf, cls = _SHELVES[kind]
        getattr(record, shelf).append(_copied(cls, entry, alive))
    elif kind is rooms.Read:
        record.figures += [
            Figure(entry.id, entry.occurred_at, reading.what, reading.value)
            for reading in entry.body.readings
        ]
    elif isinstance(entry.body, Lost) and entry.body.fate is Fate.DESTROYED:
        body = entry.body
        gone = Destruction(entry.id, entry.occurred_at, body.count, body.order)
        record.destructions.append(gone)
    if kind in HAPPENINGS or proposed:
        record.happenings.append(
            Happening(entry.id, entry.occurred_at, entry.author, entry.kind, entry.body)
        )
    if kind not in DESK:
        _was_here(record, entry)


def _copied(cls: type, entry: Entry, alive: int | None) -> Any:
    outside = {
        "entry": entry.id,
        "at": entry.occurred_at,
        "by": entry.doer,
        "typed_by": None if entry.doer == entry.author else entry.author,
        "paper": getattr(entry.body, "photo", None) is not None,
        "alive": alive,
        "confirmed": entry.confirmed,
    }
    return cls(
        **{
            name: outside[name] if name in _NOT_IN_THE_BODY else getattr(entry.body, name)
            for name in _FIELDS[cls]
        }
    )


def _was_here(record: Record, entry: Entry) -> None:
    who = entry.doer
    if isinstance(entry.body, rooms.Entered | rooms.Left):
        visitor = entry.body.visitor
        who = entry.body.person or entry.author if visitor is None else visitor.name
    for index in range(len(record.presence) - 1, -1, -1):
        last = record.presence[index]
        if last.until.date() != entry.occurred_at.date():
            break
        if last.who == who:
            record.presence[index] = Presence(who, last.since, entry.occurred_at)
            return
    record.presence.append(Presence(who, entry.occurred_at, entry.occurred_at))
