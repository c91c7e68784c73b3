"""Holds that have ended: labels that say "do not move" are still out there and are taken off.

Rule H-10. An untrue label is soon not believed, and then no label is. (Common practice, no source.)
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from nursery.domain import exposure, holds
from nursery.domain.book import Book
from nursery.domain.entry import write_instant
from nursery.domain.kinds.law import Act
from nursery.domain.record import Order


@dataclass(frozen=True, slots=True)
class Spell:
    """Something was held from `since` to `until`; None: that order still stands.

    `by` is order, find or breach; `reference` the order's or the incident's.
    """

    by: str
    reference: str
    since: datetime
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Ended:
    """A batch or a place was held and is not any more; told is the hold that ended last."""

    subject: str
    by: str
    reference: str
    since: datetime
    until: datetime

    def as_json(self) -> dict[str, Any]:
        return {
            "subject": self.subject,
            "by": self.by,
            "reference": self.reference,
            "since": write_instant(self.since),
            "until": write_instant(self.until),
        }


def of_book(book: Book) -> tuple[Ended, ...]:
    """Return what was held and no longer is, living batches and places, the last end first."""
    now_held = set(book.once(holds.of_book)) | set(places_held(book))
    told: dict[str, Ended] = {}
    for subject, spell in (*_of_batches(book), *_of_places(book), *_of_incidents(book)):
        if subject in now_held or spell.until is None or _is_closed(subject, book):
            continue
        before = told.get(subject)
        if before is None or before.until < spell.until:
            told[subject] = Ended(subject, spell.by, spell.reference, spell.since, spell.until)
    return tuple(sorted(told.values(), key=lambda one: (-one.until.timestamp(), one.subject)))


def places_held(book: Book) -> Mapping[str, tuple[Spell, ...]]:
    """Return what holds each place itself: orders about it, and incidents that hold plants in it.

    Of what holds several places, each tells of its own: a bench in a held room is not named here.
    """
    found: dict[str, list[Spell]] = {}
    for seat in sorted(book.places):
        for reference, since in holds.at_place(seat, book).items():
            found.setdefault(seat, []).append(Spell("order", reference, since))
    for incident in book.once(exposure.incidents):
        if incident.held:
            for room in incident.rooms:
                spell = Spell(incident.kind, incident.id, incident.at)
                found.setdefault(room, []).append(spell)
    return {seat: tuple(some) for seat, some in found.items()}


def _is_closed(subject: str, book: Book) -> bool:
    return subject in book.batches and book.batches[subject].closed


def _of_batches(book: Book) -> Iterator[tuple[str, Spell]]:
    """Yield the holds by order of each batch, those that its parents bore at its birth included."""
    spells: dict[str, list[Spell]] = {}
    for name in book.parents_first:
        batch = book.batches[name]
        born_with: dict[str, datetime] = {}
        for parent in batch.parents:
            born = book.joined_at(name, parent) if parent in spells else None
            for one in spells.get(parent, ()):
                if born is None or (one.since <= born and (one.until is None or one.until > born)):
                    born_with.setdefault(one.reference, one.since)
        spells[name] = list(_spells(batch.record.orders, born_with))
        yield from ((name, one) for one in spells[name])


def _spells(orders: Iterable[Order], born_with: Mapping[str, datetime]) -> Iterator[Spell]:
    """Yield holds by order with their ends: a lift that names none takes away all (rule H-3)."""
    standing = dict(born_with)
    for order in orders:
        if order.act is Act.HOLD:
            standing.setdefault(order.reference, order.at)
        elif order.act is Act.LIFT:
            for reference in [one for one in standing if order.lifts in (None, one)]:
                yield Spell("order", reference, standing.pop(reference), order.at)
    for reference, since in standing.items():
        yield Spell("order", reference, since)


def _of_places(book: Book) -> Iterator[tuple[str, Spell]]:
    """Yield ended orders about a place: for itself, and for what stood in it meanwhile."""
    for seat in sorted(book.places):
        for spell in _spells(book.places[seat].record.orders, {}):
            if spell.until is not None:
                yield seat, spell
                yield from ((name, spell) for name in _stood(seat, spell, book))


def _of_incidents(book: Book) -> Iterator[tuple[str, Spell]]:
    """Yield incidents that have ended: for the batches that they put in doubt, and their rooms.

    Of one that goes on, a batch that was lifted by itself is told.
    """
    for incident in book.once(exposure.incidents):
        spell = Spell(incident.kind, incident.id, incident.at, incident.ended_at)
        if incident.ended_at is not None:
            inside = [name for room in incident.rooms for name in _stood(room, spell, book)]
            for subject in dict.fromkeys((*incident.exposed, *incident.rooms, *inside)):
                yield subject, spell
            continue
        for name in incident.exposed:
            orders = book.batches[name].record.orders
            lifts = [one.at for one in orders if one.act is Act.LIFT and one.at >= incident.at]
            if lifts:
                yield name, replace(spell, until=max(lifts))


def _stood(place: str, spell: Spell, book: Book) -> list[str]:
    """Return the batches that stood in a place, or inside it, while the hold lasted."""
    inside = frozenset(book.subtree(place))
    rooms = sorted({book.rooms[one] for one in inside if one in book.rooms})
    return [
        stood.batch
        for room in rooms
        for stood in book.in_room.get(room, ())
        if stood.place in inside and stood.overlaps(spell.since, spell.until)
    ]
