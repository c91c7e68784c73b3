"""Who may go into the rooms of the plants: everybody, or those whom orders admit (rule G-9)."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from nursery.domain import gates
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone


def admitted(batches: Iterable[Batch], book: Book, on: date) -> list[dict[str, Any]]:
    """Return of each room the orders that admit only some people, and all whom they let in now.

    Where no order does, nobody is named: whoever works in the nursery may go in.
    """
    rooms = {book.room(one.place) for one in batches if not gone(one)}
    return [_of_room(room, book, on) for room in sorted(name for name in rooms if name is not None)]


def _of_room(room: str, book: Book, on: date) -> dict[str, Any]:
    orders = gates.admitting(room, book)
    people = [who for who in _working(book, on) if gates.is_admitted(who, room, book)]
    return {"place": room, "orders": orders, "people": people if orders else []}


def _working(book: Book, on: date) -> Iterator[str]:
    for ident, person in book.rows_of("person"):
        if person.until is None or on <= person.until:
            yield ident
