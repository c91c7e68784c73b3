"""The folded states of a whole nursery, for the rules that look across subjects."""

from collections.abc import Collection, Mapping
from typing import Any

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
    kept, stale = _some(book, SubjectRow.BATCH, idents, shelves)
    for ident, raw in kept.items():
        found[ident] = stored.batch(raw)
    entries = lines.of_subjects(book, stale)
    growers = refold.growers(book)
    for ident in stale:
        folded = refold.state_of(ident, entries.get(ident, []), growers, place=False)
        if isinstance(folded, Batch):
            found[ident] = folded
    return found


def some_places(
    book: Scope, idents: Collection[str], shelves: Collection[str] | None = None
) -> Mapping[str, Place]:
    """Return the places of these names about which the book tells, as `some_batches` does."""
    kept, stale = _some(book, SubjectRow.PLACE, idents, shelves)
    found = {ident: stored.place(raw) for ident, raw in kept.items()}
    entries = lines.of_subjects(book, stale)
    growers = refold.growers(book)
    for ident in stale:
        folded = refold.state_of(ident, entries.get(ident, []), growers, place=True)
        if isinstance(folded, Place):
            found[ident] = folded
    return dict(sorted(found.items()))


def _some(
    book: Scope, kind: str, idents: Collection[str], shelves: Collection[str] | None
) -> tuple[dict[str, dict[str, Any]], list[str]]:
    """Return the kept states of some subjects, and the names of those that are stale."""
    kept: dict[str, dict[str, Any]] = {}
    stale = []
    rows = book.subjects.filter(type=kind, ident__in=idents)
    for ident, stale_from, state in rows.values_list("ident", "stale_from", "state"):
        if stale_from is not None:
            stale.append(ident)
            continue
        kept[ident] = raw = orjson.loads(state)
        if shelves is not None:
            some = raw["record"].items()
            raw["record"] = {shelf: one for shelf, one in some if shelf in shelves}
    return kept, stale
