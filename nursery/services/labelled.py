"""What stands on labels: batches and places with the names of what they are and came from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import orjson

from nursery.domain import reference
from nursery.domain.batch import Batch
from nursery.domain.reference import LabelSize, Nursery, Place
from nursery.services import held_now, outlook, states
from nursery.services.errors import Unknown
from nursery.services.held_now import HeldNow
from nursery.store.models import RefRow
from nursery.store.scope import Scope, scope

# Of a tree of places or parents that goes round in a ring, no more is walked.
MOST_STEPS = 30
Names = Mapping[tuple[str, str], dict[str, Any]]


@dataclass(frozen=True, slots=True)
class BatchFacts:
    """A batch, and in words what it is, what it or its parents came with, and where it stands.

    `stands` begins with the nearest place.
    """

    batch: Batch
    crop: str | None
    cultivar: str | None
    consignments: tuple[str, ...]
    permits: tuple[str, ...]
    stands: tuple[str, ...]
    held: HeldNow | None


@dataclass(frozen=True, slots=True)
class PlaceFacts:
    """A place, the names of the places around it, the nearest first, and why it is held."""

    place: Place
    inside: tuple[str, ...]
    held: HeldNow | None


@dataclass(frozen=True, slots=True)
class House:
    """Whose labels they are, and what day it is there; `zone` is a time zone's IANA name."""

    name: str
    languages: tuple[str, ...]
    size: LabelSize
    today: date
    zone: str = "UTC"


@dataclass(frozen=True, slots=True)
class Facts:
    house: House
    batches: tuple[BatchFacts, ...]
    places: tuple[PlaceFacts, ...]


def read(nursery: str, batches: Sequence[str], places: Sequence[str], now: datetime) -> Facts:
    """Return what the labels of the batches and places say, in the order asked for.

    Raises:
        Unknown: no entry names such a batch, or no row such a place.
    """
    with scope(nursery) as book:
        found = _family(book, batches)
        for ident in batches:
            if ident not in found:
                raise Unknown("batch", ident)
        names = _names(book)
        held = held_now.of_book(outlook.read_book(book))
        return Facts(
            _house(book, names, now),
            tuple(_batch(ident, found, names, held) for ident in batches),
            tuple(_place(ident, names, held) for ident in places),
        )


def _family(book: Scope, batches: Sequence[str]) -> Mapping[str, Batch]:
    """Return the batches and all that they came from, one generation after the other."""
    found: dict[str, Batch] = {}
    wanted = set(batches)
    while wanted and len(found) < len(batches) * MOST_STEPS:
        generation = states.some_batches(book, sorted(wanted))
        found.update(generation)
        wanted = {name for batch in generation.values() for name in batch.parents} - found.keys()
    return found


def _names(book: Scope) -> Names:
    """Return the last known words of every row that a label may name, gone or not."""
    kinds = ("nursery", "place", "crop", "consignment", "permit")
    return {
        (row.type, row.ident): orjson.loads(row.text)
        for row in RefRow.objects.filter(nursery_id=book.key, type__in=kinds)
    }


def _house(book: Scope, names: Names, now: datetime) -> House:
    raw = names.get(("nursery", book.ident), {"name": book.nursery.name, "zone": book.nursery.zone})
    row = reference.read("nursery", book.ident, raw)
    assert isinstance(row, Nursery)  # noqa: S101  # what `read` gives for this type
    today = now.astimezone(book.zone).date()
    return House(row.name, row.languages, row.label, today, book.zone.key)


def _batch(
    ident: str, family: Mapping[str, Batch], names: Names, held: Mapping[str, HeldNow]
) -> BatchFacts:
    batch = family[ident]
    line = _line(batch, family)
    crop = names.get(("crop", batch.crop or ""), {})
    consignments = dict.fromkeys(one.consignment for one in line if one.consignment)
    rows = {name: names.get(("consignment", name), {}) for name in consignments}
    permits = [one.permit for one in line] + [row.get("permit") for row in rows.values()]
    return BatchFacts(
        batch,
        crop.get("name", batch.crop),
        crop.get("cultivar"),
        tuple(row.get("name", name) for name, row in rows.items()),
        tuple(
            names.get(("permit", name), {}).get("reference", name)
            for name in dict.fromkeys(permits)
            if name is not None
        ),
        () if batch.place is None else _around(batch.place, names),
        held.get(ident),
    )


def _line(batch: Batch, family: Mapping[str, Batch]) -> tuple[Batch, ...]:
    """Return a batch and what it came from, or may have come from."""
    line = {batch.id: batch}
    waiting = list(batch.parents)
    while waiting:
        name = waiting.pop(0)
        if name not in line and name in family:
            line[name] = family[name]
            waiting += family[name].parents
    return tuple(line.values())


def _place(ident: str, names: Names, held: Mapping[str, HeldNow]) -> PlaceFacts:
    raw = names.get(("place", ident))
    if raw is None:
        raise Unknown("place", ident)
    row = reference.read("place", ident, raw)
    assert isinstance(row, Place)  # noqa: S101  # what `read` gives for this type
    return PlaceFacts(row, _around(row.parent, names) if row.parent else (), held.get(ident))


def _around(ident: str, names: Names) -> tuple[str, ...]:
    """Return the name of a place and of those around it, short of the whole nursery."""
    found: list[str] = []
    here: str | None = ident
    while here is not None and len(found) < MOST_STEPS:
        row = names.get(("place", here))
        if row is None:
            found += [here] if here == ident else []
            break
        if row["kind"] == "nursery":
            break
        found.append(row["name"])
        here = row.get("parent")
    return tuple(found)
