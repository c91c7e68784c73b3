"""What hangs in an anteroom: who may go in, after what, and in which order rooms are walked.

The rules are those of the gate and of the round, so paper and phone say the same.
"""

from dataclasses import dataclass
from datetime import datetime

from nursery.domain import checks, gates, holds, people_ends, reentry, round_order
from nursery.domain.book import Book
from nursery.domain.people_ends import Held
from nursery.domain.reference import Call, Person
from nursery.services import outlook
from nursery.services.errors import Unknown
from nursery.services.round_sheet import BEHIND
from nursery.services.word_forms import House
from nursery.store.scope import scope

# A checklist of this name is the nursery's own routine before the inner door.
ROUTINE = "hygiene"
# Hands, boots and a clean garment: entry hygiene of screen houses. (Trade practice, common.)
USUAL = ("hands", "boots", "clothes")


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do before the inner door; `says` by language, empty for one that is usual."""

    id: str
    says: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Inside:
    """Somebody who is inside, by name, and since when."""

    name: str
    since: datetime


@dataclass(frozen=True, slots=True)
class Kept:
    """Somebody who is kept out: by an order, or for a training whose paper is not in date."""

    name: str
    order: str | None
    training: str | None


@dataclass(frozen=True, slots=True)
class Card:
    """What one room's card says as of `at`.

    `shut` are the instants before which nobody goes in, None where that is not known; `held` the
    orders and `incidents` the instants of what holds plants here. `rooms` are those of the round in
    the order in which they are walked, each with whether it is walked last because of a doubt.
    """

    nursery: str
    languages: tuple[str, ...]
    house: House
    at: datetime
    room: str
    shut: tuple[datetime | None, ...]
    held: tuple[str, ...]
    incidents: tuple[datetime, ...]
    only: tuple[str, ...]
    people: tuple[str, ...]
    kept_out: tuple[Kept, ...]
    trainings: tuple[str, ...]
    steps: tuple[Step, ...]
    bath_at: datetime | None
    rooms: tuple[tuple[str, bool, bool], ...]
    inside: tuple[Inside, ...]
    calls: tuple[Call, ...]


def read(nursery: str, room: str, now: datetime) -> Card:
    """Return the card of a room, or of any other place that people go into.

    Raises:
        Unknown: there is no such place.
    """
    with scope(nursery) as rows:
        book = outlook.read_book(rows)
        name, zone = rows.nursery.name, rows.zone
    place = book.row("place", room)
    if place is None:
        raise Unknown("place", room[:40])
    own = next((row for _, row in book.rows_of("nursery")), None)
    people = _people(book, now)
    kept_out = tuple(kept for one in people if (kept := _kept_out(one, room, book, now)))
    out = {kept.name for kept in kept_out}
    here = [one for one in book.once(holds.of_book).items() if _stands_in(one[0], room, book)]
    some = {hold for _, held in here for hold in held}
    return Card(
        name if own is None else own.name,
        () if own is None else own.languages,
        House(zone.key, "." if own is None else own.decimal_mark.value, book.day(now)),
        now,
        place.name,
        tuple(gate.opens_at for gate in reentry.parts(room, now, book)),
        tuple(
            sorted(
                {one.reference for one in some if one.by in ("order", "place_order")}
                | {reference for one in some for reference in one.orders}
                | set(holds.around(room, book))
            )
        ),
        tuple(sorted({one.since for one in some if one.by in ("find", "breach")})),
        tuple(gates.admitting(room, book)),
        tuple(one.name for one in people if one.name not in out),
        kept_out,
        place.trainings,
        _steps(book),
        _bath(room, book),
        _walk(room, book, now),
        _inside(room, book),
        tuple(call for _, card in book.rows_of("emergency_card") for call in card.calls),
    )


def _people(book: Book, now: datetime) -> list[Person]:
    today = book.day(now)
    found = [row for _, row in book.rows_of("person") if people_ends.works(row, today)]
    return sorted(found, key=lambda one: one.name.casefold())


def _kept_out(person: Person, room: str, book: Book, now: datetime) -> Kept | None:
    """Return what keeps somebody out: an order first, then a training (rules G-9, O-3)."""
    if not gates.is_admitted(person.id, room, book):
        return Kept(person.name, gates.admitting(room, book)[0], None)
    for what in book.row("place", room).trainings:
        if people_ends.training(person, what, book.day(now))[0] is not Held.IN_DATE:
            return Kept(person.name, None, what)
    return None


def _stands_in(batch: str, room: str, book: Book) -> bool:
    place = book.batches[batch].place
    return place is not None and room in book.outward(place)


def _steps(book: Book) -> tuple[Step, ...]:
    """Return the nursery's own routine, or what is usual; the phone's anteroom has the same."""
    row = book.row("checklist", ROUTINE)
    if row is None:
        return tuple(Step(one) for one in USUAL)
    return tuple(
        Step(item.id, tuple((said.language, said.text) for said in item.says)) for item in row.items
    )


def _bath(room: str, book: Book) -> datetime | None:
    """Return when the foot bath of a room, or of its anteroom, was last made fresh."""
    seats = (book.places.get(name) for name in book.subtree(room))
    return max((one.dosed_at for one in seats if one and one.dosed_at), default=None)


def _walk(room: str, book: Book, now: datetime) -> tuple[tuple[str, bool, bool], ...]:
    """Return rooms by name, clean before doubtful; whether each is doubtful, and is this one."""
    today = book.day(now)
    due = checks.due(book, today - BEHIND, today)
    mine = book.room(room)
    return tuple(
        (row.name, one.grave, one.room == mine)
        for one in round_order.of_book(book, due, now)
        if (row := book.row("place", one.room)) is not None
    )


def _inside(room: str, book: Book) -> tuple[Inside, ...]:
    place = book.places.get(room)
    return tuple(
        Inside(one.who if one.visitor else gates.names([one.who], book)[0], one.since)
        for one in (() if place is None else place.inside)
    )
