"""How one more entry changes a place."""

from collections.abc import Callable, Mapping
from typing import Any

from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds import count, field, health, law
from nursery.domain.kinds import place as kinds
from nursery.domain.occupants import told_by
from nursery.domain.place import Inside, Place


def entered(state: Place, entry: Entry) -> None:
    """Let somebody in; who never wrote that they left was out by then at the latest (rule P-1)."""
    body: kinds.Entered = entry.body
    key = _who(entry, body.person, body.visitor)
    _out(state, entry, key)
    visit = Inside(*key, entry.occurred_at)
    state.here[key] = visit
    state.visits.append(visit)


def left(state: Place, entry: Entry) -> None:
    body: kinds.Left = entry.body
    key = _who(entry, body.person, body.visitor)
    if not _out(state, entry, key):
        state.doubt("not_inside", entry.id, who=key[0])


def _out(state: Place, entry: Entry, key: tuple[str, bool]) -> bool:
    visit = state.here.pop(key, None)
    if visit is not None:
        visit.until = entry.occurred_at
    return visit is not None


def _who(entry: Entry, person: str | None, visitor: kinds.Visitor | None) -> tuple[str, bool]:
    if visitor is not None:
        return (visitor.name if visitor.firm is None else f"{visitor.name}, {visitor.firm}", True)
    return (person or entry.author, False)


def read(state: Place, entry: Entry) -> None:
    body: kinds.Read = entry.body
    for reading in body.readings:
        state.readings[reading.what] = {
            "value": reading.value,
            "at": write_instant(entry.occurred_at),
        }


def trapped(state: Place, entry: Entry) -> None:
    """Keep the latest look at a trap. Not readable is not zero: no catches at all (rule P-3)."""
    body: kinds.Trapped = entry.body
    readable = body.answer is kinds.TrapAnswer.READ
    state.trap = {
        "answer": body.answer.value,
        "catches": {catch.pest: catch.count for catch in body.catches} if readable else None,
        "replaced": body.replaced,
        "at": write_instant(entry.occurred_at),
        "entry": entry.id,
    }


def treated(state: Place, entry: Entry) -> None:
    """Keep the latest end of re-entry among the treatments that stand (rule P-2)."""
    body: health.Treated = entry.body
    until = body.reentry_until
    if until is not None and (state.reentry_until is None or until > state.reentry_until):
        state.reentry_until = until


def ordered(state: Place, entry: Entry) -> None:
    body: law.Ordered = entry.body
    if body.act is law.Act.HOLD:
        state.holds[body.reference] = write_instant(entry.occurred_at)
    elif body.act is law.Act.LIFT:
        lift(state.holds, body.lifts)


def lift(holds: dict[str, str], named: str | None) -> None:
    """Take away the named hold; a lift that names none takes away all (rule H-3)."""
    if named is None:
        holds.clear()
    else:
        holds.pop(named, None)


def breached(state: Place, entry: Entry) -> None:
    state.breaches[entry.line] = write_instant(entry.occurred_at)


def repaired(state: Place, entry: Entry) -> None:
    lift(state.breaches, state.line(entry.body.breach))


def _stamp(name: str) -> Callable[[Place, Entry], None]:
    def step(state: Place, entry: Entry) -> None:
        setattr(state, name, entry.occurred_at)

    return step


def seated(state: Place, entry: Entry) -> None:
    """Keep who stands in the positions of a row, in the fold of that row alone (rule F-1)."""
    body: field.Placing = entry.body
    if field.seat(body.block, body.row) == state.id:
        state.seats.take(told_by(entry))


def settled(state: Place, entry: Entry) -> None:
    state.settled[entry.body.doubt] = entry.id


STEPS: Mapping[type, Callable[[Place, Any], None]] = {
    kinds.Entered: entered,
    kinds.Left: left,
    kinds.Read: read,
    kinds.Trapped: trapped,
    health.Treated: treated,
    law.Ordered: ordered,
    kinds.Breached: breached,
    kinds.Repaired: repaired,
    kinds.Cleaned: _stamp("cleaned_at"),
    kinds.Emptied: _stamp("emptied_at"),
    kinds.Readied: _stamp("readied_at"),
    kinds.Dosed: _stamp("dosed_at"),
    kinds.Watered: _stamp("watered_at"),
    field.Planted: seated,
    field.Refilled: seated,
    field.LeftEmpty: seated,
    field.Surveyed: seated,
    count.Settled: settled,
}
