"""How plants in the field stand: worked out from the kept states whenever somebody asks."""

from datetime import datetime
from typing import Any

from nursery.domain.field import standing
from nursery.services import outlook
from nursery.services.errors import Unknown
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
