"""Who is still held by an incident: since when, by which orders, and what lifts it.

An incident holds provisionally, until an order about the plants or their room replaces that; then
it holds until a lift in writing, which names the order or lifts all (rule E-9).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from nursery.domain.book import Book
from nursery.domain.entry import write_instant
from nursery.domain.kinds.law import Act
from nursery.domain.record import Order


@dataclass(frozen=True, slots=True)
class Held:
    """A batch is held by an incident; `references` are the orders that replaced the first hold."""

    batch: str
    since: datetime
    provisional: bool
    references: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        return {
            "batch": self.batch,
            "since": write_instant(self.since),
            "provisional": self.provisional,
            "references": list(self.references),
        }


@dataclass(frozen=True, slots=True)
class Case:
    """What identifies an incident to an order: when, in which rooms, by which ids of its line."""

    id: str
    at: datetime
    rooms: tuple[str, ...]
    names: frozenset[str]


@dataclass(frozen=True, slots=True)
class _Ruled:
    """What orders have said of one batch: references with their instants, and the lift."""

    said: tuple[tuple[datetime, str], ...]
    lifted_at: datetime | None
    lifted_by: str | None


def held(case: Case, batches: Iterable[str], book: Book) -> tuple[Held, ...]:
    """Return which of the batches the incident still holds."""
    ruled = _rulings(case, batches, book)
    return tuple(
        Held(name, case.at, not one.said, tuple(sorted({ref for _, ref in one.said})))
        for name, one in sorted(ruled.items())
        if one.lifted_at is None and not book.batches[name].closed
    )


def ended(case: Case, core: Sequence[str], book: Book) -> tuple[datetime, str] | None:
    """Return when the last batch of an incident was lifted, and by which entry."""
    room = _ruled(case, _of_places(case, book), ())
    if room.lifted_at is not None and room.lifted_by is not None:
        return room.lifted_at, room.lifted_by
    rulings = _rulings(case, core, book)
    living = [one for name, one in rulings.items() if not book.batches[name].closed]
    lifts = [(one.lifted_at, one.lifted_by) for one in living if one.lifted_at and one.lifted_by]
    return max(lifts) if lifts and len(lifts) == len(living) else None


def decided(case: Case, book: Book) -> str | None:
    """Return the first order about the room after a breach: then the authority has decided."""
    orders = _of_places(case, book)
    return orders[0].entry if orders else None


def undecided(case: Case, inside: Iterable[str], book: Book) -> tuple[Held, ...]:
    """Return which batches a breach holds: what stood inside and what was made of that since.

    An order about the plants frees them, and what is made of them afterwards (rule E-7).
    """
    stood = set(inside)
    freed: dict[str, datetime | None] = {}
    for name in book.parents_first:
        _reach(name, freed, stood, (case, book))
    # In a ring of parents each time round may reach one more, or free one later: as often as there
    # are batches is enough for the last of them.
    before: dict[str, datetime | None] = {}
    rounds = len(book.of_rings)
    while rounds and freed != before:
        before, rounds = dict(freed), rounds - 1
        for name in book.of_rings:
            _reach(name, freed, stood, (case, book))
    return tuple(
        Held(name, case.at, provisional=True)
        for name, at in sorted(freed.items())
        if at is None and not book.batches[name].closed
    )


def _reach(
    name: str,
    freed: dict[str, datetime | None],
    stood: set[str],
    about: tuple[Case, Book],
) -> None:
    """Note when a batch was freed, if the breach reaches it at all."""
    case, book = about
    kin = _made_of(name, freed, case, book)
    held = any(at is None or at > born for at, born in kin)
    if held or name in stood:
        own = [one.at for one in book.batches[name].record.orders if one.at >= case.at]
        whole = not held and len(kin) == len(book.batches[name].parents) > 0
        own += [born for _, born in kin] if whole else []
        freed[name] = min(own, default=None)


def _made_of(
    name: str, freed: dict[str, datetime | None], case: Case, book: Book
) -> list[tuple[datetime | None, datetime]]:
    """Return of each parent that a breach held when it was freed, and when the batch came of it."""
    found = []
    for parent in book.batches[name].parents:
        if parent in freed:
            born = book.joined_at(name, parent) or case.at
            found += [(freed[parent], born)] if born >= case.at else []
    return found


def _rulings(case: Case, batches: Iterable[str], book: Book) -> dict[str, _Ruled]:
    """Return what was ruled about each batch, parents first, since children inherit it."""
    wanted = set(batches)
    seats = _of_places(case, book)
    ruled: dict[str, _Ruled] = {}
    ranks = book.once(_ranks)
    for name in sorted(wanted & ranks.keys(), key=ranks.__getitem__):
        own = [order for order in book.batches[name].record.orders if order.at >= case.at]
        orders = sorted((*own, *seats), key=lambda order: (order.at, order.entry))
        kin = [
            (ruled[parent], book.joined_at(name, parent))
            for parent in book.batches[name].parents
            if parent in ruled
        ]
        ruled[name] = _inherited(case, orders, kin)
    return ruled


def _ranks(book: Book) -> Mapping[str, int]:
    """Return which place each batch has among those that come after their parents."""
    return {name: rank for rank, name in enumerate(book.parents_first)}


def _inherited(
    case: Case, orders: Sequence[Order], kin: Sequence[tuple[_Ruled, datetime | None]]
) -> _Ruled:
    born_before = [one for one, born in kin if born is not None and born < case.at]
    said = [
        (at, reference)
        for one, born in kin
        for at, reference in one.said
        if born is None or at <= born
    ]
    own = _ruled(case, orders, said)
    lifts = [
        (one.lifted_at, one.lifted_by)
        for one, born in kin
        if one.lifted_at is not None and born is not None and one.lifted_at <= born
    ]
    if own.lifted_at is None and lifts and not born_before and len(lifts) == len(kin):
        at, entry = max(lifts, key=lambda one: (one[0], one[1] or ""))
        return _Ruled(own.said, at, entry)
    return own


def _ruled(case: Case, orders: Sequence[Order], said: Iterable[tuple[datetime, str]]) -> _Ruled:
    told = list(said)
    for order in orders:
        if order.act is not Act.LIFT:
            told.append((order.at, order.reference))
        elif order.lifts is None or order.lifts in case.names | {name for _, name in told}:
            return _Ruled(tuple(told), order.at, order.entry)
    return _Ruled(tuple(told), None, None)


def _of_places(case: Case, book: Book) -> list[Order]:
    """Return the orders since then about the rooms of an incident or what is around them."""
    seats = {seat for room in case.rooms for seat in book.outward(room)}
    orders = {
        order.entry: order
        for seat in seats
        if seat in book.places
        for order in book.places[seat].record.orders
        if order.at >= case.at
    }
    return sorted(orders.values(), key=lambda order: (order.at, order.entry))
