"""The phytosanitary certificate of a consignment against its permit, field by field.

Nothing here is a judgement of the papers: it says what is the same, what differs and what is not
there, so that a person reads the two side by side (rule G-15).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

from nursery.domain.book import Book
from nursery.domain.reference import Consignment, Permit
from nursery.domain.terms import MostPlants, in_force


class Held(StrEnum):
    """How two papers stand in one field; `not_asked` where the permit says nothing of it."""

    SAME = "same"
    DIFFERENT = "different"
    MISSING = "missing"
    NOT_ASKED = "not_asked"


@dataclass(frozen=True, slots=True)
class Field:
    """One field of both papers, as they were typed: text, list of texts, figure or days."""

    field: str
    held: Held
    permit: Any
    certificate: Any

    def as_json(self) -> dict[str, Any]:
        return {
            "field": self.field,
            "held": self.held.value,
            "permit": self.permit,
            "certificate": self.certificate,
        }


def against_permit(row: Consignment, book: Book) -> tuple[Field, ...]:
    """Return every field of a consignment's certificate beside the permit's; empty without one."""
    permit: Permit | None = book.row("permit", row.permit)
    return () if permit is None else tuple(_fields(row, permit, book))


def _fields(row: Consignment, permit: Permit, book: Book) -> Iterator[Field]:
    asked = [_taxon(crop, book) for crop in permit.crops]
    stated = sorted({_taxon(line.crop, book) for line in row.lines})
    yield _field("taxa", asked, stated, agrees=set(stated) <= set(asked))
    yield _text("origin", permit.origin, row.origin)
    yield _text("form", permit.form, row.form)
    yield _quantity(row, permit)
    yield _validity(row, permit)
    wanted = {_plain(one) for one in permit.treatments}
    done = {_plain(one) for one in row.treatments}
    yield _field("treatments", list(permit.treatments), list(row.treatments), agrees=wanted <= done)
    yield _text("declaration", permit.declaration, row.declaration)


def _taxon(crop: str, book: Book) -> str:
    row = book.row("crop", crop)
    if row is None:
        return crop
    name: str = row.botanical or row.name
    return name


def _quantity(row: Consignment, permit: Permit) -> Field:
    """The certificate's figure is the same where it is no larger than the permit's."""
    on = row.certificate_on or row.arrived_on or permit.valid_from or date.max
    most = next((rule.plants for _, rule in in_force(permit.terms, MostPlants, on, on)), None)
    within = most is not None and row.stated is not None and row.stated <= most
    return _field("quantity", most, row.stated, agrees=within)


def _validity(row: Consignment, permit: Permit) -> Field:
    """The certificate was issued, and the goods came, while the permit was valid."""
    days = [day for day in (row.certificate_on, row.arrived_on) if day is not None]
    first, last = permit.valid_from or date.min, permit.valid_to or date.max
    bounds = [_iso(permit.valid_from), _iso(permit.valid_to)]
    return _field(
        "days",
        None if bounds == [None, None] else bounds,
        [day.isoformat() for day in days],
        agrees=all(first <= day <= last for day in days),
    )


def _text(name: str, permit: str | None, certificate: str | None) -> Field:
    """Texts are the same but for case and spaces."""
    return _field(name, permit, certificate, agrees=_plain(permit) == _plain(certificate))


def _field(name: str, permit: Any, certificate: Any, *, agrees: bool) -> Field:
    if permit in (None, [], ""):
        return Field(name, Held.NOT_ASKED, None, certificate or None)
    if certificate in (None, [], ""):
        return Field(name, Held.MISSING, permit, None)
    return Field(name, Held.SAME if agrees else Held.DIFFERENT, permit, certificate)


def _plain(text: str | None) -> str:
    return " ".join((text or "").casefold().split())


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
