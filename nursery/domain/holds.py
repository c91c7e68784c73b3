"""Everything that holds a batch: orders, an order about its place, a find, a breach.

Orders to hold are inherited at birth; a batch of lost labels is held with any of its possible
parents, whenever that is ordered (rules G-3, E-5).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from nursery.domain import exposure, grounds
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.entry import write_instant
from nursery.domain.kinds.law import Act
from nursery.domain.record import Order


@dataclass(frozen=True, slots=True)
class Hold:
    """What holds a batch: `by` is order, place_order, ground_order, find or breach.

    `reference` is the order's or the incident's; `place` is what an order is about, or where the
    incident is. An order about ground holds what stands in it, and the batch of it as a whole.
    `orders` are those that replaced an incident's own hold.
    """

    by: str
    reference: str
    since: datetime
    provisional: bool = False
    place: str | None = None
    orders: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        return {
            "by": self.by,
            "reference": self.reference,
            "since": write_instant(self.since),
            "provisional": self.provisional,
            "place": self.place,
            "orders": list(self.orders),
        }


def of_book(book: Book) -> Mapping[str, tuple[Hold, ...]]:
    """Return what holds each batch that is held, in the order in which it was held."""
    found: dict[str, list[Hold]] = {}
    for name, orders in _ordered(book).items():
        for reference, since in orders.items():
            found.setdefault(name, []).append(Hold("order", reference, since))
    for name, hold in (*_by_place(book), *_by_ground(book), *_by_incident(book)):
        found.setdefault(name, []).append(hold)
    return {
        name: tuple(sorted(holds, key=lambda hold: (hold.since, hold.by, hold.reference)))
        for name, holds in found.items()
        if not book.batches[name].closed
    }


def _ordered(book: Book) -> Mapping[str, Mapping[str, datetime]]:
    """Return the orders to hold that stand for each batch, its parents' at its birth included."""
    born_with: dict[str, dict[str, datetime]] = {}
    standing: dict[str, dict[str, datetime]] = {}
    for name in book.parents_first:
        batch = book.batches[name]
        inherited: dict[str, datetime] = {}
        for parent in batch.parents:
            if parent in standing:
                born = book.joined_at(name, parent)
                orders = book.batches[parent].record.orders
                before = [order for order in orders if born is None or order.at <= born]
                inherited |= _after(born_with[parent], before)
                inherited |= standing[parent] if batch.one_of_parents else {}
        born_with[name] = inherited
        standing[name] = _after(inherited, batch.record.orders)
    return {name: orders for name, orders in standing.items() if orders}


def _after(held: Mapping[str, datetime], orders: Iterable[Order]) -> dict[str, datetime]:
    """Return what holds after more orders: a lift that names none takes away all (rule H-3)."""
    held = dict(held)
    for order in orders:
        if order.act is Act.HOLD:
            held.setdefault(order.reference, order.at)
        elif order.act is Act.LIFT:
            held = (
                {} if order.lifts is None else {r: at for r, at in held.items() if r != order.lifts}
            )
    return held


def _by_place(book: Book) -> Iterable[tuple[str, Hold]]:
    """Yield what an order about a place holds: all plants that stood in it since.

    A lift about the plants themselves frees them.
    """
    for seat in sorted(book.places):
        held = at_place(seat, book)
        for reference, since in held.items():
            inside = frozenset(book.subtree(seat))
            for room in sorted({book.rooms[place] for place in inside}):
                for stood in book.in_room.get(room, ()):
                    if stood.place in inside and stood.overlaps(since, None):
                        batch = book.batches[stood.batch]
                        if not _freed(batch, reference, since):
                            yield stood.batch, Hold("place_order", reference, since, place=seat)


def _by_ground(book: Book) -> Iterable[tuple[str, Hold]]:
    """Yield what an order about a block, its rows or what is around it holds (rule F-29).

    At the gate nobody can tell which plant of a batch is meant, so the whole batch is held.
    """
    orders = {seat: held for seat in sorted(book.places) if (held := at_place(seat, book))}
    if not orders:
        return
    told: set[tuple[str, str, str]] = set()
    for ground, names in grounds.batches_in(book).items():
        for seat in book.outward(ground):
            for reference, since in orders.get(seat, {}).items():
                for name in names:
                    one = (name, reference, seat)
                    if one not in told and not _freed(book.batches[name], reference, since):
                        told.add(one)
                        yield name, Hold("ground_order", reference, since, place=seat)


def at_place(seat: str, book: Book) -> Mapping[str, datetime]:
    """Return the orders to hold that stand about a place itself, with when each was given."""
    return _after({}, book.places[seat].record.orders) if seat in book.places else {}


def around(place: str, book: Book) -> Mapping[str, datetime]:
    """Return the orders to hold that stand about a place or what is around it."""
    found: dict[str, datetime] = {}
    for seat in book.outward(place):
        for reference, since in at_place(seat, book).items():
            found[reference] = min(since, found.get(reference, since))
    return found


def _freed(batch: Batch, reference: str, since: datetime) -> bool:
    return any(
        order.act is Act.LIFT and order.lifts in (None, reference) and order.at > since
        for order in batch.record.orders
    )


def _by_incident(book: Book) -> Iterable[tuple[str, Hold]]:
    for incident in book.once(exposure.incidents):
        where = (*incident.rooms, *incident.about)[0]
        for held in incident.held:
            since, orders = held.since, held.references
            yield (
                held.batch,
                Hold(incident.kind, incident.id, since, held.provisional, where, orders),
            )
