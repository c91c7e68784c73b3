"""Plants that go to a neighbour with a file: what it says of them, and what is made of it there.

It tells what the other nursery must know to trace them: their origin, what they were made of, the
permit that they are under, since when its clock runs, and what holds them (rule N-7).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from nursery.domain import holds
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.history import of_book
from nursery.domain.kinds.count import Sent
from nursery.domain.kinds.shape import Count, Misfit, Name, reader_of

FORMAT = "plants 1"


@dataclass(frozen=True, slots=True)
class Origin:
    """The goods that plants came in with."""

    name: str
    supplier: str | None = None
    origin: str | None = None
    certificate: str | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """Plants of one batch; `parents` are the labels of what it was made of.

    `permit` is the reference of the permit that they are still under; none where nothing of it
    is left to do, as after a release.
    """

    id: Name
    label: Name
    plants: Count
    crop: str | None = None
    parents: tuple[str, ...] = ()
    origins: tuple[Origin, ...] = ()
    permit: str | None = None
    clock_started_on: date | None = None
    holds: tuple[Name, ...] = ()


@dataclass(frozen=True, slots=True)
class Handover:
    """What one record of sending handed over; `record` is its id in the nursery's book."""

    nursery: str
    record: Name
    on: date
    receiver: str
    batches: tuple[Part, ...]
    paper: str | None = None


_READ = reader_of(Handover)


def read(raw: Mapping[str, Any]) -> Handover:
    """Return what the facts of a file say.

    Raises:
        Misfit: a field is missing or is not what it must be; its path.
    """
    found: Handover = _READ(raw)
    if not found.batches:
        raise Misfit("batches")
    return found


def of_record(record: str, nursery: str, book: Book) -> dict[str, Any] | None:
    """Return the facts of a record of sending, or None where the book has no such record."""
    held = holds.of_book(book)
    for batch in book.batches.values():
        for one in batch.record.told(Sent):
            if one.entry == record:
                return {
                    "nursery": nursery,
                    "record": record,
                    "on": book.day(one.at).isoformat(),
                    "receiver": one.body.receiver,
                    "paper": one.body.paper,
                    "batches": [
                        _part(book.batches[part.id], part.count, held, book)
                        for part in one.body.plants
                        if part.id in book.batches
                    ],
                }
    return None


def _part(
    batch: Batch, plants: int, held: Mapping[str, tuple[holds.Hold, ...]], book: Book
) -> dict[str, Any]:
    crop = book.row("crop", batch.crop)
    permit, started = _law(batch, book)
    return {
        "id": batch.id,
        "label": batch.label or batch.id,
        "plants": int(plants),
        "crop": batch.crop if crop is None else crop.name,
        "parents": [_label(name, book) for name in sorted(book.ancestors(batch.id))],
        "origins": list(_origins(batch, book)),
        "permit": permit,
        "clock_started_on": started,
        "holds": sorted({one.reference for one in held.get(batch.id, ())}),
    }


def _label(name: str, book: Book) -> str:
    batch = book.batches.get(name)
    return name if batch is None else batch.label or name


def _law(batch: Batch, book: Book) -> tuple[str | None, str | None]:
    """Return the permit that plants are under still and since when its clock runs."""
    if batch.released is not None:
        return None, None
    for one in book.once(of_book)[batch.id].origins:
        row = book.row("permit", one.permit)
        if one.permit is not None:
            started = None if one.started_on is None else one.started_on.isoformat()
            return one.permit if row is None else row.reference, started
    return None, None


def _origins(batch: Batch, book: Book) -> Iterator[dict[str, Any]]:
    names = (batch.id, *book.ancestors(batch.id))
    goods = {book.batches[one].consignment for one in names if one in book.batches}
    for ident in sorted(one for one in goods if one):
        row = book.row("consignment", ident)
        told = (None,) * 4 if row is None else (row.name, row.supplier, row.origin, row.certificate)
        name, supplier, origin, certificate = told
        yield {
            "name": name or ident,
            "supplier": supplier,
            "origin": origin,
            "certificate": certificate,
        }


def goods(told: Handover, permit: str | None) -> dict[str, Any]:
    """Return the body of the consignment in which handed plants come in.

    Its supplier is the nursery that handed them over, so that a trace from that name finds them.
    `permit` is the receiving nursery's own permit of that reference: where it has none typed,
    none is given, and no gate opens until somebody types it.
    """
    free = all(part.permit is None for part in told.batches)
    origins = {one.supplier or one.name for part in told.batches for one in part.origins}
    parents = sorted({label for part in told.batches for label in part.parents})
    before = "; ".join((*sorted(origins), *([", ".join(parents)] if parents else [])))
    return {
        "name": f"{told.nursery}, {told.paper or told.on.isoformat()}",
        "supplier": told.nursery,
        "origin": before or None,
        "certificate": told.paper,
        "without_conditions": free,
        "permit": None if free else permit,
        "lines": [],
        "arrived_on": None,
    }


def records(
    told: Handover, consignment: str, place: str | None, permit: str | None
) -> Iterator[tuple[str, list[str], dict[str, Any]]]:
    """Yield kind, subjects and body of each record that takes handed plants on."""
    new = [
        {"id": part.id, "label": part.label, **({"place": place} if place else {})}
        for part in told.batches
    ]
    came = {"consignment": consignment, "batches": new, "certificate": told.paper}
    yield "received", [part.id for part in told.batches], came
    for part in told.batches:
        yield "counted", [part.id], {"method": "full", "alive": part.plants}
        if permit is not None and part.clock_started_on is not None:
            began = {"on": part.clock_started_on.isoformat(), "permit": permit}
            yield "opened", [part.id], began
        for reference in part.holds:
            yield "ordered", [part.id], {"act": "hold", "reference": reference}
