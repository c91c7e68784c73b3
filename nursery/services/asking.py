"""May this be done, now or on a day? What somebody asks before booking, from the whole book."""

from dataclasses import replace
from datetime import date, datetime
from typing import Any

from nursery.domain import gates
from nursery.domain.gate import OF_PLACES, Act
from nursery.domain.place import Place
from nursery.services.errors import Unknown
from nursery.services.outlook import read_book
from nursery.store.scope import scope


def may(nursery: str, act: Act, subject: str, on: date | None, now: datetime) -> dict[str, Any]:
    """Return the answer of the gate, with all that speaks for or against it.

    Without a day it is asked of now; a day is asked as the book stands now.

    Raises:
        Unknown: nobody has described such a place, or brought in such a batch.
    """
    with scope(nursery) as rows:
        book = read_book(rows)
    if act in OF_PLACES:
        if subject not in book.rooms:
            raise Unknown("place", subject)
        asked: Any = book.places.get(subject) or Place(subject)
    else:
        if subject not in book.batches:
            raise Unknown("batch", subject)
        asked = book.batches[subject]
    gate = gates.on_day(act, asked, book, on) if on else gates.answer(act, asked, book, now)
    parts = [replace(part, valid_until=gate.valid_until).as_json() for part in gate.parts]
    about = {"act": act.value, "subject": subject, "on": None if on is None else on.isoformat()}
    return {**about, **gate.as_json(), "parts": parts}
