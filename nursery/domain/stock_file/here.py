"""What a nursery has that rows of a file may name, and what speaks against plants in its rooms."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from nursery.domain import exposure, groups, holds, room_gates
from nursery.domain.book import Book
from nursery.domain.gate import Act, Answer
from nursery.domain.labels import canonical
from nursery.domain.reason import Reason
from nursery.domain.reference import PlaceKind
from nursery.domain.stock_file.cells import key

Named = Mapping[str, frozenset[str]]
# Between the names of a place and of what is around it.
INSIDE = "/"
SEATS = frozenset(
    (
        *(PlaceKind.ROOM, PlaceKind.HOUSE, PlaceKind.BENCH, PlaceKind.BED, PlaceKind.STORE),
        *(PlaceKind.TRAY_POSITION, PlaceKind.BLOCK, PlaceKind.TERRACE, PlaceKind.ROW),
    )
)


@dataclass(frozen=True, slots=True)
class Here:
    """What may be named, by compared name, and what is taken.

    `labels` are those of living batches, `begun` the ids of every batch that ever came,
    `permit_of` the permit of goods that are known, `called` what an id is called.
    """

    today: date
    names: Mapping[str, Named]
    labels: Mapping[str, str]
    begun: frozenset[str]
    permit_of: Mapping[str, str | None]
    called: Mapping[tuple[str, str], str]
    conditions: bool


def of_book(book: Book, now: datetime) -> Here:
    """Return what a nursery's book has on the day of `now`."""
    names = {
        "crop": _index((row.id, _said_of_crop(row)) for _, row in book.rows_of("crop")),
        "place": _index((row.id, _ways_to(row, book)) for row in _seats(book)),
        "goods": _index((row.id, (row.name,)) for _, row in book.rows_of("consignment")),
        "permit": _index((row.id, (row.reference,)) for _, row in book.rows_of("permit")),
    }
    living = [one for one in book.batches.values() if one.began_at and not one.closed]
    called = {("crop", row.id): row.name for _, row in book.rows_of("crop")}
    called |= {("place", row.id): row.name for _, row in book.rows_of("place")}
    return Here(
        book.day(now),
        names,
        {canonical(one.label): one.id for one in living if one.label},
        frozenset(book.batches),
        {row.id: row.permit for _, row in book.rows_of("consignment")},
        called,
        book.conditions,
    )


def _index(known: Iterable[tuple[str, Iterable[str | None]]]) -> Named:
    found: dict[str, set[str]] = {}
    for ident, names in known:
        for one in (ident, *names):
            if one:
                found.setdefault(key(one), set()).add(ident)
    return {name: frozenset(idents) for name, idents in found.items()}


def _said_of_crop(row: Any) -> Iterable[str | None]:
    yield from (row.name, row.botanical, *(one.text for one in row.called))
    if row.cultivar:
        yield f"{row.name} {row.cultivar}"


def _seats(book: Book) -> Iterable[Any]:
    return (row for _, row in book.rows_of("place") if row.kind in SEATS)


def _ways_to(row: Any, book: Book) -> Iterable[str | None]:
    """Yield a place's name alone, and behind those of the places around it."""
    yield from (row.name, row.short)
    way: str = row.name
    for around in book.outward(row.id)[1:]:
        outer = book.row("place", around)
        if outer is None or outer.kind is PlaceKind.NURSERY:
            return
        way = f"{outer.name} {INSIDE} {way}"
        yield way


def against(place: str, book: Book, now: datetime) -> list[tuple[Answer, Reason]]:
    """Return what the gates say to more plants in the room of a place: told, and stopping none.

    A fact is never refused: the plants stand there already (rule I-9).
    """
    room = book.rooms.get(place, place)
    row = book.row("place", room)
    about = {"place": room if row is None else row.name}
    said = [
        (gate.answer, Reason(gate.code, gate.params))
        for gate in room_gates.parts(Act.ACCEPTING, place, book, now)
    ]
    breaches = [one for one in book.once(exposure.incidents) if one.kind == "breach"]
    if any(one.open and room in one.rooms for one in breaches):
        said.append((Answer.WAIT, Reason("breach_open", about)))
    held = book.once(holds.of_book)
    if any(batch.id in held for batch in groups.standing_in(room, book)):
        said.append((Answer.NO, Reason("room_held", about)))
    return said
