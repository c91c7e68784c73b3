"""What if? Asked of the book as it stands; nothing is written, and no forecast is made anew."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from nursery.domain import supposed, what_if
from nursery.services import outlook
from nursery.store.scope import scope


def ask(nursery: str, raws: Sequence[object], now: datetime) -> dict[str, Any]:
    """Return what would follow from all that is supposed, as of a line of the feed.

    Raises:
        Refusal: something cannot be supposed; with the field and what it says.
    """
    some = [supposed.read(raw) for raw in raws]
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
    today = book.day(now)
    found = what_if.ask(some, book, today)
    return {"as_of_seq": seq, "on": today.isoformat(), **found.as_json()}
