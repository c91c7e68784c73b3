"""Rows of reference data: what the later one is simply right about.

People, places, crops, pests, permits, consignments, checklists, due rules, the emergency card and
the nursery itself. `read` is the one door from JSON to a row, so that nothing impossible is kept.
"""

from collections.abc import Mapping
from typing import Any

from nursery.domain import profiles
from nursery.domain.errors import (
    RowImpossible,
    RowLacks,
    RowUnknown,
    RowUnreadable,
    TermUnreadable,
)
from nursery.domain.kinds.shape import Misfit, reader_of
from nursery.domain.program import Program
from nursery.domain.reference.checklists import Asked, AskedAt, Checklist, Said
from nursery.domain.reference.fields import OWN
from nursery.domain.reference.growing import Rains, SeedLot, Site, SoilKind
from nursery.domain.reference.impossible import impossible
from nursery.domain.reference.label_size import LabelSize, Stock
from nursery.domain.reference.papers import Consignment, Line, Permit
from nursery.domain.reference.people import Paper, Person, Role, Tile
from nursery.domain.reference.pests import Development
from nursery.domain.reference.planting_levels import SOURCES, USUAL_LEVELS, Levels
from nursery.domain.reference.rows import (
    TYPES,
    Call,
    Crop,
    DueRule,
    EmergencyCard,
    Mark,
    Measure,
    Nursery,
    Pest,
    Place,
    PlaceKind,
    Pot,
    Product,
    Row,
    TrapAt,
    Weeks,
)
from nursery.domain.reference.substances import Substance
from nursery.domain.terms import read as read_term

__all__ = [
    "SOURCES",
    "TYPES",
    "USUAL_LEVELS",
    "Asked",
    "AskedAt",
    "Call",
    "Checklist",
    "Consignment",
    "Crop",
    "Development",
    "DueRule",
    "EmergencyCard",
    "LabelSize",
    "Levels",
    "Line",
    "Mark",
    "Measure",
    "Nursery",
    "Paper",
    "Permit",
    "Person",
    "Pest",
    "Place",
    "PlaceKind",
    "Pot",
    "Product",
    "Program",
    "Rains",
    "Role",
    "Row",
    "Said",
    "SeedLot",
    "Site",
    "SoilKind",
    "Stock",
    "Substance",
    "Tile",
    "TrapAt",
    "Weeks",
    "read",
]


def _profile(value: object) -> profiles.Profile:
    if not isinstance(value, Mapping):
        raise Misfit
    try:
        return profiles.read(value)
    except profiles.Amiss as amiss:
        raise Misfit(amiss.field) from None


_READERS = {
    kind: reader_of(cls, {**OWN, profiles.Profile: _profile}) for kind, cls in TYPES.items()
}


def read(kind: str, ident: str, raw: object) -> Row:
    """Return the row of type `kind` and id `ident` that decoded JSON `raw` holds (rule R-1).

    Raises:
        RowUnknown: there is no such type of row.
        RowLacks: a field that such a row must have is not there.
        RowUnreadable: a field is not what it should be.
        RowImpossible: a field contradicts another, or nothing can meet it.
        TermUnreadable: so it is of one of its conditions.
    """
    reader = _READERS.get(kind)
    if reader is None:
        raise RowUnknown(kind)
    if not isinstance(raw, Mapping):
        raise RowUnreadable(kind, ident, "body", _short(raw))
    try:
        row: Row = reader({**raw, "id": ident})
    except Misfit as misfit:
        field = str(misfit)
        _name_term(kind, ident, raw, field)
        value = _at(raw if field != "id" else {"id": ident}, field)
        if value is None:
            raise RowLacks(kind, ident, field) from None
        raise RowUnreadable(kind, ident, field, _short(value)) from None
    except ValueError as odd:
        # A program says itself what it cannot be, and names the field first.
        field, _, said = str(odd).partition(" ")
        raise RowImpossible(kind, ident, field, _short(said)) from None
    for field, value in impossible(row):
        raise RowImpossible(kind, ident, field, str(value))
    return row


def _name_term(kind: str, ident: str, raw: Mapping[str, Any], field: str) -> None:
    """Say which of several conditions cannot be, and what it says there (rule R-6).

    Raises:
        TermUnreadable: the field is one of a condition.
    """
    if field.startswith(("terms.", "term.")):
        some = raw["terms"] if field.startswith("terms.") else [raw["term"]]
        one, misfit = next((one, found) for one in some if (found := _misfit(one)))
        name = str(one.get("id")) if isinstance(one, Mapping) else ""
        raise TermUnreadable((kind, ident), name, misfit, _short(_at(one, misfit)))


def _misfit(term: object) -> str:
    """Return the field of a condition that cannot be, or nothing."""
    try:
        read_term(term)
    except Misfit as misfit:
        return str(misfit)
    return ""


def _at(raw: Any, path: str) -> Any:
    """Return what stands at a path like `tile.colour`; of a list, the whole list."""
    for name in path.split("."):
        if not isinstance(raw, Mapping):
            return raw
        raw = raw.get(name)
    return raw


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= 60 else f"{text[:59]}…"
