"""The folded states of a whole nursery, for the rules that look across subjects."""

from collections.abc import Collection, Mapping

import orjson

from nursery.domain import stored
from nursery.domain.batch import Batch
from nursery.domain.place import Place
from nursery.services import refold
from nursery.store import lines
from nursery.store.models import SubjectRow
from nursery.store.scope import Scope


def read(book: Scope) -> tuple[Mapping[str, Batch], Mapping[str, Place]]:
    """Return all batches and places of the book in order of id: as kept, or folded where stale.

    The order is part of what is handed over: a database gives rows in any order.
    """
    batches: dict[str, Batch] = {}
    places: dict[str, Place] = {}
    for kind, ident, state in book.subjects.filter(stale_from=None).values_list(
        "type", "ident", "state"
    ):
        if kind == SubjectRow.BATCH:
            batches[ident] = stored.batch(orjson.loads(state))
        else:
            places[ident] = stored.place(orjson.loads(state))
    stale = list(book.subjects.exclude(stale_from=None).values_list("ident", flat=True))
    entries = lines.of_subjects(book, stale)
    seats = refold.places_among(book, stale)
    growers = refold.growers(book)
    for ident in stale:
        told = entries.get(ident, [])
        folded = refold.state_of(ident, told, growers, place=ident in seats)
        if isinstance(folded, Batch):
            batches[ident] = folded
        else:
            places[ident] = folded
    return dict(sorted(batches.items())), dict(sorted(places.items()))


def some_batches(
    book: Scope, idents: Collection[str], shelves: Collection[str] | None = None
) -> Mapping[str, Batch]:
    """Return the batches of these names that the book has, as `read` would give them.

    With `shelves` no other part of their records is read, which spares most of a long one.
    """
    found = {}
    stale = []
    rows = book.subjects.filter(type=SubjectRow.BATCH, ident__in=idents)
    for ident, stale_from, state in rows.values_list("ident", "stale_from", "state"):
        if stale_from is None:
            raw = orjson.loads(state)
            if shelves is not None:
                kept = raw["record"].items()
                raw["record"] = {shelf: some for shelf, some in kept if shelf in shelves}
            found[ident] = stored.batch(raw)
        else:
            stale.append(ident)
    entries = lines.of_subjects(book, stale)
    growers = refold.growers(book)
    for ident in stale:
        folded = refold.state_of(ident, entries.get(ident, []), growers, place=False)
        if isinstance(folded, Batch):
            found[ident] = folded
    return found
