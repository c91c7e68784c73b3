"""What a trace may begin with, found by what people call it; and the batches that it may lead to.

Candidates are read by a look for the id in the kept states, which finds too many and misses none:
which of them count, the domain says.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import orjson
from django.db.models import Q

from nursery.domain import reference, trace_start
from nursery.domain.book import Book
from nursery.domain.trace_start import Kind, Start
from nursery.services import rows as reference_rows
from nursery.store.models import SubjectRow
from nursery.store.scope import Scope, scope

MOST = 40


def candidates(rows: Scope, starts: Iterable[Start], book: Book) -> tuple[set[str], set[str]]:
    """Return the batches that may be meant, and the rows of the field to look in."""
    batches: set[str] = set()
    seats: set[str] = set()
    for start in starts:
        places = _places(start, book)
        if start.kind is Kind.BATCH:
            batches.add(start.ident)
            continue
        batches |= _like(rows, start, places, book)
        seats |= _seats(rows, places)
    return batches, seats


def _places(start: Start, book: Book) -> set[str]:
    """Return the places in which a trace from a place, a position or a thing looks."""
    if start.kind is Kind.POSITION:
        return {trace_start.seat_of(start.ident)[0]}
    if start.kind is Kind.PLACE:
        return set(book.subtree(start.ident))
    if start.kind is Kind.THING:
        rooms = {book.rooms[name] for name in trace_start.places_with(start.ident, book)}
        return {place for room in rooms for place in book.subtree(room)}
    return set()


def _like(rows: Scope, start: Start, places: set[str], book: Book) -> set[str]:
    some = rows.subjects.filter(type=SubjectRow.BATCH)
    wanted = Q(stale_from__isnull=False)
    if start.kind in (Kind.CONSIGNMENT, Kind.SUPPLIER):
        of_supplier = trace_start.consignments_of(start.ident, book)
        goods = {start.ident} if start.kind is Kind.CONSIGNMENT else of_supplier
        wanted |= Q(consignment__in=goods)
    elif start.kind is Kind.PERSON:
        wanted |= Q(state__contains=_said("who", start.ident))
    elif start.kind is not Kind.POSITION:
        for place in sorted(places):
            wanted |= Q(state__contains=_said("place", place))
    return set(some.filter(wanted).values_list("ident", flat=True))


def _said(field: str, value: str) -> str:
    """Return a field with its value, as the JSON of a kept state has it."""
    return orjson.dumps({field: value}).decode()[1:-1]


def _seats(rows: Scope, places: set[str]) -> set[str]:
    """Return the rows of the field that bear the names of some blocks."""
    if not places:
        return set()
    wanted = Q(ident__in=places)
    for place in sorted(places):
        wanted |= Q(ident__startswith=f"{place}.")
    return set(rows.subjects.filter(wanted).values_list("ident", flat=True))


@dataclass(frozen=True, slots=True)
class Found:
    """Something that a trace may begin with; `says` is what people call it.

    `was` is the old label by which a batch was found that bears another one now.
    """

    start: Start
    says: str
    was: str | None = None

    def as_json(self) -> dict[str, str]:
        told = {"start": str(self.start), "kind": self.start.kind.value, "says": self.says}
        return told if self.was is None else {**told, "was": self.was}


def search(nursery: str, text: str) -> list[dict[str, str]]:
    """Return what is called so, or has that in its name; what is called exactly so comes first."""
    wanted = text.strip().casefold()
    if not wanted:
        return []
    with scope(nursery) as rows:
        batches = _batches(rows, text.strip())
        told = [
            (row.type, reference.read(row.type, row.id, row.body))
            for row in reference_rows.every(rows)
            if row.type in _CALLED
        ]
    named = {one: None for kind, row in told for one in _CALLED[kind](row)}
    found = [one for one in named if wanted in one.says.casefold()]
    every = [*batches, *_positions(told, wanted), *found]
    every.sort(key=lambda one: (wanted not in _exactly(one), one.says.casefold()))
    return [one.as_json() for one in every[:MOST]]


def _batches(rows: Scope, wanted: str) -> list[Found]:
    some = rows.subjects.filter(type=SubjectRow.BATCH, label__icontains=wanted)
    told = some.order_by("label", "ident").values_list("ident", "label")[:MOST]
    found = [Found(Start(Kind.BATCH, ident), label) for ident, label in told]
    return found + _once_called(rows, wanted, {one.start.ident for one in found})


def _once_called(rows: Scope, wanted: str, known: set[str]) -> list[Found]:
    """Return batches that bore such a label once; a list of old labels is never empty in these."""
    some = rows.subjects.filter(
        type=SubjectRow.BATCH, state__contains='"old_labels":["', state__icontains=wanted
    )
    found = []
    for ident, label, state in some.order_by("ident").values_list("ident", "label", "state"):
        labels = orjson.loads(state)["old_labels"]
        was = next((one for one in labels if wanted.casefold() in one.casefold()), None)
        if was is not None and ident not in known:
            found.append(Found(Start(Kind.BATCH, ident), label, was))
    return found[:MOST]


def _exactly(one: Found) -> tuple[str, ...]:
    return one.says.casefold(), (one.was or "").casefold()


def _positions(told: Iterable[tuple[str, Any]], wanted: str) -> list[Found]:
    """Return the position that is called so: the short name of its block, a dash, its number."""
    block, _, number = wanted.rpartition("-")
    if not block or not number.removeprefix("s").isdigit():
        return []
    return [
        Found(
            Start(Kind.POSITION, f"{row.id}/{number.upper()}"),
            f"{row.short or row.name}-{number.upper()}",
        )
        for kind, row in told
        if kind == "place" and block in ((row.short or "").casefold(), row.name.casefold())
    ]


def _goods(row: Any) -> Iterable[Found]:
    yield Found(Start(Kind.CONSIGNMENT, row.id), row.name)
    if row.supplier:
        yield Found(Start(Kind.SUPPLIER, row.supplier), row.supplier)


def _person(row: Any) -> Iterable[Found]:
    yield Found(Start(Kind.PERSON, row.id), row.name)


def _place(row: Any) -> Iterable[Found]:
    yield Found(Start(Kind.PLACE, row.id), row.name)
    for thing in row.shares:
        yield Found(Start(Kind.THING, thing), thing)


_CALLED: Mapping[str, Callable[[Any], Iterable[Found]]] = {
    "consignment": _goods,
    "person": _person,
    "place": _place,
}
