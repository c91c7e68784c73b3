"""How plants in the field stand: worked out from the kept states whenever somebody asks."""

from datetime import datetime
from typing import Any

from nursery.domain.field import standing, trapping
from nursery.domain.reference import PlaceKind
from nursery.services import outlook
from nursery.services.errors import Unknown
from nursery.store import lines
from nursery.store.scope import scope


def read(nursery: str, ident: str, now: datetime) -> dict[str, Any]:
    """Return how the plants of a block, or of all blocks in a place, stand as of now.

    Raises:
        Unknown: neither the place nor one in it is laid out.
    """
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
    found = standing.of_place(ident, book, book.day(now))
    if found is None:
        raise Unknown("layout", ident)
    return {"as_of_seq": seq, **found}


def traps(nursery: str, ident: str, now: datetime) -> dict[str, Any]:
    """Return what the traps in a place caught for each trap and day, as of now.

    Raises:
        Unknown: nobody has described the place.
    """
    with scope(nursery) as rows:
        book = outlook.read_book(rows)
        if book.row("place", ident) is None:
            raise Unknown("place", ident)
        today = book.day(now)
        hung = {
            name: row.since
            for name in book.subtree(ident)
            if (row := book.row("place", name)) is not None
            and row.kind is PlaceKind.TRAP
            and not (row.until and row.until <= today)
        }
        entries = lines.of_subjects(rows, hung)
    some = {
        name: trapping.readings(name, since, entries.get(name, ()), book.day)
        for name, since in hung.items()
    }
    levels = {name: row.act_from for name, row in book.rows_of("pest") if row.act_from}
    return {"id": ident, **trapping.of_traps(some, levels, today)}
