"""Who shared a room with whom: what an exposed set and its second ring are made of."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from nursery.domain.book import Book, Standing
from nursery.domain.record import Presence
from nursery.domain.reference import PlaceKind

# Nothing grows there, so there is nothing to look at.
BARE = frozenset((PlaceKind.OFFICE, PlaceKind.STORE, PlaceKind.ANTEROOM, PlaceKind.NURSERY))


class Contact(NamedTuple):
    """Plants under suspicion stood in a room from an instant on."""

    room: str
    since: datetime


def may_be(batches: Iterable[str], book: Book) -> tuple[str, ...]:
    """Return the batches, and those of lost labels that may be of them or they of (rule E-5)."""
    start = tuple(batches)
    found = dict.fromkeys(start)

    def from_mixture(name: str) -> Iterable[str]:
        state = book.batches.get(name)
        return state.parents if state is not None and state.one_of_parents else ()

    def into_mixture(name: str) -> Iterable[str]:
        return (one for one in book.children.get(name, ()) if book.batches[one].one_of_parents)

    for following in (from_mixture, into_mixture):
        _spread(found, start, following)
    return tuple(sorted(found))


def _spread(
    found: dict[str, None], start: tuple[str, ...], following: Callable[[str], Iterable[str]]
) -> None:
    waiting, seen = list(start), set(start)
    while waiting:
        for name in following(waiting.pop()):
            if name not in seen:
                seen.add(name)
                found[name] = None
                waiting.append(name)


def rooms_of(batches: Iterable[str], since: datetime, at: datetime, book: Book) -> list[Contact]:
    """Return the rooms in which the plants of batches stood between two instants."""
    earliest: dict[str, datetime] = {}
    for name in batches:
        for stood, until in _lived(name, at, book):
            if stood.since <= until and (stood.until is None or stood.until > since):
                room = book.rooms.get(stood.place, stood.place)
                began = max(since, stood.since)
                earliest[room] = min(began, earliest.get(room, began))
    return [Contact(room, began) for room, began in sorted(earliest.items())]


def _lived(batch: str, at: datetime, book: Book) -> Iterable[tuple[Standing, datetime]]:
    """Yield where the plants of a batch stood, as itself or as a parent before its birth."""
    seen: dict[str, datetime] = {}
    waiting = [(batch, at)]
    while waiting:
        name, until = waiting.pop()
        if (
            name not in book.batches
            or seen.get(name, datetime.min.replace(tzinfo=at.tzinfo)) >= until
        ):
            continue
        seen[name] = until
        yield from ((stood, until) for stood in book.standings[name])
        waiting += [
            (parent, min(until, book.joined_at(name, parent) or until))
            for parent in book.batches[name].parents
        ]


def exposed(
    found: Iterable[str],
    contacts: Iterable[Contact],
    since: datetime,
    until: datetime | None,
    book: Book,
) -> tuple[str, ...]:
    """Return the batches that a find puts in doubt: the found, room mates, and what came of them.

    Only finds and stays go in, so that an exposure never makes another (rule E-4).
    """
    first = dict.fromkeys(found, since)
    for room, began in contacts:
        for stood in book.in_room.get(room, ()):
            if stood.overlaps(began, until):
                met = max(began, stood.since)
                first[stood.batch] = min(met, first.get(stood.batch, met))
    waiting = sorted(first)
    while waiting:
        parent = waiting.pop()
        for child in book.children.get(parent, ()):
            born = book.joined_at(child, parent) or first[parent]
            if born >= first[parent] and (child not in first or born < first[child]):
                first[child] = born
                waiting.append(child)
    return tuple(sorted(name for name in first if name in book.batches))


class Work(NamedTuple):
    """Somebody worked at a place of a room."""

    who: str
    room: str
    since: datetime
    until: datetime


class Works:
    """Work in the order in which it began, so that a spell of it is found without reading all."""

    def __init__(self, some: Iterable[Work]) -> None:
        self._some = sorted(some, key=lambda work: work.since)
        self._longest = max((one.until - one.since for one in self._some), default=timedelta())

    def within(self, since: datetime, at: datetime) -> Iterator[Work]:
        """Yield the work that lies, at least in part, between two instants, both included."""
        first = bisect_left(self._some, since - self._longest, key=lambda work: work.since)
        last = bisect_right(self._some, at, key=lambda work: work.since)
        return (work for work in self._some[first:last] if work.until >= since)


NO_WORK = Works(())


class Hands(NamedTuple):
    by_room: Mapping[str, Works]
    by_person: Mapping[str, Works]


class Spell(NamedTuple):
    """Two instants, both included."""

    since: datetime
    until: datetime

    def days(self) -> Iterator[str]:
        """Yield the days of UTC that lie in it, at least in part, as they begin an instant."""
        first, last = self.since.astimezone(UTC).date(), self.until.astimezone(UTC).date()
        return ((first + timedelta(days=n)).isoformat() for n in range((last - first).days + 1))


def hands(spells: Iterable[Spell], book: Book) -> Hands:
    """Return who worked where and when, from what they wrote about batches and places.

    It holds all that lies in one of the spells, and little else: a find asks for a week or two of
    years of work.
    """
    days = frozenset(day for spell in spells for day in spell.days())
    by_room: dict[str, list[Work]] = {}
    by_person: dict[str, list[Work]] = {}
    for work in _work(days, book) if days else ():
        by_room.setdefault(work.room, []).append(work)
        by_person.setdefault(work.who, []).append(work)
    return Hands(
        {room: Works(work) for room, work in by_room.items()},
        {who: Works(work) for who, work in by_person.items()},
    )


def _work(days: Collection[str], book: Book) -> Iterable[Work]:
    for ident in sorted(book.places):
        room = book.rooms[ident]
        for seen in book.places[ident].record.present(days):
            yield Work(seen.who, room, seen.since, seen.until)
        for visit in book.places[ident].visits:
            yield Work(visit.who, room, visit.since, visit.until or visit.since)
    for ident in sorted(book.batches):
        for seen in book.batches[ident].record.present(days):
            for stood in book.standings[ident]:
                if _during(seen, stood):
                    room = book.rooms.get(stood.place, stood.place)
                    yield Work(seen.who, room, seen.since, seen.until)


def _during(seen: Presence, stood: Standing) -> bool:
    return stood.since <= seen.until and (stood.until is None or seen.since <= stood.until)


class Elsewhere(NamedTuple):
    """A place to be looked at: who of a find's rooms worked there, or what both use."""

    place: str
    people: tuple[str, ...]
    last_at: datetime
    things: tuple[str, ...] = ()


def elsewhere(
    contacts: Iterable[Contact], spell: Spell, worked: Hands, book: Book
) -> list[Elsewhere]:
    """Return where else the people of these rooms worked between two instants (rule E-6).

    And where the same tools or water are used, as the rows of the places say (rule E-11).
    """
    rooms = {contact.room for contact in contacts}
    people = {
        work.who for room in rooms for work in worked.by_room.get(room, NO_WORK).within(*spell)
    }
    last: dict[str, dict[str, datetime]] = {}
    for who in sorted(people):
        for work in worked.by_person[who].within(*spell):
            if work.room not in rooms and not _is_bare(work.room, book):
                seen = last.setdefault(work.room, {})
                seen[who] = max(work.until, seen.get(who, work.until))
    things = _shared_with(rooms, book)
    return [
        Elsewhere(
            room,
            tuple(sorted(last.get(room, ()))),
            max(last[room].values()) if room in last else spell.until,
            tuple(sorted(things.get(room, ()))),
        )
        for room in sorted({*last, *things})
    ]


def _is_bare(room: str, book: Book) -> bool:
    row = book.row("place", room)
    return row is not None and row.kind in BARE


def _shared_with(rooms: set[str], book: Book) -> dict[str, set[str]]:
    """Return the other rooms in which a tool or a water line of these rooms is used."""
    used: dict[str, set[str]] = {}
    for name, row in book.rows_of("place"):
        used.setdefault(book.rooms.get(name, name), set()).update(row.shares)
    mine = {thing for room in rooms for thing in used.get(room, ())}
    return {
        room: things & mine
        for room, things in used.items()
        if room not in rooms and things & mine and not _is_bare(room, book)
    }
