"""What a round on paper asks for: rooms and plants in walking order, as of now."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from nursery.domain import checks, holds, reentry, round_order, rounds
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.round_order import Turn
from nursery.services import outlook
from nursery.services.errors import Unknown
from nursery.services.word_forms import House
from nursery.store.scope import scope

# What was due weeks ago and stays until it is done is asked for as well.
BEHIND = timedelta(days=31)


@dataclass(frozen=True, slots=True)
class Line:
    """A batch to be looked over; `stands` is the place right under it, unless that is the room."""

    turn: Turn
    batch: Batch
    stands: str


@dataclass(frozen=True, slots=True)
class Room:
    """One room of the sheet; `name` is empty for what stands in no place.

    `whole` asks for a place in which nothing of ours stands. `traps` are their names. Plants in it
    are `held` by these orders, and by incidents of these days. `shut` are the instants before which
    nobody goes in, None where that is not known.
    """

    id: str
    name: str
    lines: tuple[Line, ...]
    whole: bool
    traps: tuple[str, ...]
    held: tuple[str, ...]
    incidents: tuple[date, ...]
    shut: tuple[datetime | None, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A round on paper: whose it is, when it was drawn up, and its rooms as they are walked."""

    nursery: str
    languages: tuple[str, ...]
    house: House
    at: datetime
    rooms: tuple[Room, ...]


def read(nursery: str, wanted: Collection[str], now: datetime, *, every: bool) -> Sheet:
    """Return the round of today: of some rooms, or with none named of all.

    With `every` it has all living plants and traps of the rooms, asked for or not.

    Raises:
        Unknown: one of `wanted` is no room in which there is anything to look at.
    """
    with scope(nursery) as rows:
        book = outlook.read_book(rows)
        name, zone = rows.nursery.name, rows.zone
    today = book.day(now)
    due = checks.due(book, today - BEHIND, today)
    asked = {check.subject for check in due if round_order.is_open(check, now)}
    turns = {one.room: one.turns for one in round_order.of_book(book, due, now)}
    traps = book.once(rounds.traps)
    for room in wanted:
        if room not in turns and room not in traps:
            raise Unknown("place", room)
    steps = round_order.walk(book)
    # Traps hang in rooms without plants as well; such a room has no doubtful plant.
    bare = sorted(traps.keys() - turns.keys(), key=lambda room: steps.get(room, len(steps)))
    order = [room for room in (*bare, *turns) if not wanted or room in wanted]
    rooms = []
    for room in order:
        some = [turn for turn in turns.get(room, ()) if every or turn.asked]
        hung = [trap for trap in traps.get(room, ()) if every or trap in asked]
        hung.sort(key=lambda trap: steps.get(trap, len(steps)))
        rooms.append(_room(room, some, hung, book, now))
    row = next((row for _, row in book.rows_of("nursery")), None)
    return Sheet(
        name if row is None else row.name,
        () if row is None else row.languages,
        House(zone.key, "." if row is None else row.decimal_mark.value, today),
        now,
        tuple(one for one in rooms if one.lines or one.whole or one.traps),
    )


def _room(
    ident: str, turns: Sequence[Turn], traps: Sequence[str], book: Book, now: datetime
) -> Room:
    held = book.once(holds.of_book)
    batches = [turn.batch for turn in turns if turn.batch is not None]
    some = {one for name in batches for one in held.get(name, ())}
    orders = {one.reference for one in some if one.by in ("order", "place_order")}
    orders |= {reference for one in some for reference in one.orders}
    incidents = {book.day(one.since) for one in some if one.by in ("find", "breach")}
    return Room(
        ident,
        "" if ident == "" else _called(ident, book, whole=True),
        tuple(
            Line(turn, book.batches[turn.batch], _under(turn, ident, book))
            for turn in turns
            if turn.batch is not None
        ),
        any(turn.batch is None for turn in turns),
        tuple(_called(name, book, whole=True) for name in traps),
        tuple(sorted(orders)),
        tuple(sorted(incidents)),
        tuple(gate.opens_at for gate in reentry.parts(ident, now, book)) if ident else (),
    )


def _under(turn: Turn, room: str, book: Book) -> str:
    return _called(turn.place, book) if turn.place not in ("", room) else ""


def _called(place: str, book: Book, *, whole: bool = False) -> str:
    row = book.row("place", place)
    if row is None:
        return place.replace("_", " ")
    name: str = row.name
    return name if whole else row.short or name
