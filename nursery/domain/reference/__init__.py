"""Rows of reference data: what the later one is simply right about.

People, places, crops, pests, permits, consignments, checklists, due rules, the emergency card and
the nursery itself. `read` is the one door from JSON to a row, so that nothing impossible is kept.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from nursery.domain.errors import (
    RowImpossible,
    RowLacks,
    RowUnknown,
    RowUnreadable,
    TermUnreadable,
)
from nursery.domain.kinds.shape import LONGEST_NAME, Misfit, reader_of
from nursery.domain.reference.checklists import Asked, AskedAt, Checklist, Said
from nursery.domain.reference.fields import OWN
from nursery.domain.reference.label_size import LabelSize, Stock
from nursery.domain.reference.papers import Consignment, Line, Permit
from nursery.domain.reference.rows import (
    TYPES,
    Call,
    Crop,
    DueRule,
    EmergencyCard,
    Mark,
    Measure,
    Nursery,
    Person,
    Pest,
    Place,
    PlaceKind,
    Pot,
    Product,
    Role,
    Row,
    Tile,
    TrapAt,
    Weeks,
)
from nursery.domain.reference.substances import LEAST_TOXIC, LOW_RISK_NEVER, MOST_TOXIC, Substance
from nursery.domain.terms import read as read_term
from nursery.domain.terms.possible import LONGEST_DAYS

__all__ = [
    "TYPES",
    "Asked",
    "AskedAt",
    "Call",
    "Checklist",
    "Consignment",
    "Crop",
    "DueRule",
    "EmergencyCard",
    "LabelSize",
    "Line",
    "Mark",
    "Measure",
    "Nursery",
    "Permit",
    "Person",
    "Pest",
    "Place",
    "PlaceKind",
    "Pot",
    "Product",
    "Role",
    "Row",
    "Said",
    "Stock",
    "Substance",
    "Tile",
    "TrapAt",
    "Weeks",
    "read",
]

# More than has ever fallen anywhere in a year.
MOST_RAIN_MM = 30_000.0

_READERS = {kind: reader_of(cls, OWN) for kind, cls in TYPES.items()}


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
    for field, value in _IMPOSSIBLE.get(type(row), _nothing)(row):
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


Odd = Iterator[tuple[str, object]]


def _nothing(_: Any) -> Odd:
    yield from ()


def _person(row: Person) -> Odd:
    yield from _over(row)
    if (row.pin_hash is None) != (row.pin_salt is None):
        yield "pin_salt", row.pin_salt


def _place(row: Place) -> Odd:
    if row.parent == row.id:
        yield "parent", row.parent
    yield from _over(row)
    if row.trap_at is not None and row.kind is not PlaceKind.TRAP:
        yield "trap_at", row.trap_at


def _crop(row: Crop) -> Odd:
    yield from _named(row)
    yield from _over(row)
    yield from _twice("pots", [pot.container.casefold() for pot in row.pots])
    for pot in row.pots:
        if not pot.container.strip():
            yield "pots.container", pot.container
        if pot.full_days is not None and not 0 < pot.full_days <= LONGEST_DAYS:
            yield "pots.full_days", pot.full_days


def _pest(row: Pest) -> Odd:
    yield from _named(row)
    yield from _over(row)


def _named(row: Pest | Crop) -> Odd:
    """Of rows that people choose by their names, in the languages that somebody wrote."""
    if not row.name.strip() or len(row.name) > LONGEST_NAME:
        yield "name", row.name
    yield from _said("called", row.called)


def _said(field: str, texts: Sequence[Said]) -> Odd:
    yield from _twice(f"{field}.language", [one.language for one in texts])
    for one in texts:
        if not one.text.strip():
            yield f"{field}.text", one.text


def _over(row: Any) -> Odd:
    if row.since and row.until and row.until < row.since:
        yield "until", row.until


def _permit(row: Permit) -> Odd:
    if row.valid_from and row.valid_to and row.valid_to < row.valid_from:
        yield "valid_to", row.valid_to
    yield from _twice("terms", [term.id for term in row.terms])


def _consignment(row: Consignment) -> Odd:
    if row.without_conditions and row.permit is not None:
        yield "without_conditions", row.permit
    yield from _twice("lines", [line.id for line in row.lines])


def _checklist(row: Checklist) -> Odd:
    yield from _over(row)
    if not row.name.strip():
        yield "name", row.name
    if not row.items:
        yield "items", 0
    yield from _twice("items", [item.id for item in row.items])
    for item in row.items:
        if not item.says:
            yield "items.says", item.id
        yield from _said("items.says", item.says)


def _product(row: Product) -> Odd:
    if not row.name.strip() or len(row.name) > LONGEST_NAME:
        # Records of treatments name it so.
        yield "name", row.name
    if row.reentry_hours is not None and not 0 <= row.reentry_hours <= LONGEST_DAYS * 24:
        yield "reentry_hours", row.reentry_hours
    if row.interval_days is not None and row.interval_days > LONGEST_DAYS:
        yield "interval_days", row.interval_days
    for field in ("litres_per_m2", "per_litre"):
        rate = getattr(row, field)
        if rate is not None and rate <= 0:
            yield field, rate
    yield from _twice("substances", [one.name.casefold() for one in row.substances])
    for one in row.substances:
        yield from _substance(one)
        if row.low_risk and one.category in LOW_RISK_NEVER:
            yield "low_risk", True
    yield from _over(row)


def _substance(row: Substance) -> Odd:
    for field in ("dermal", "eye", "skin", "oral"):
        category = getattr(row, field)
        if category is not None and not MOST_TOXIC <= category <= LEAST_TOXIC:
            yield f"substances.{field}", category


def _nursery(row: Nursery) -> Odd:
    if not row.languages:
        yield "languages", 0
    if row.rain_mm is not None and not 0 <= row.rain_mm <= MOST_RAIN_MM:
        yield "rain_mm", row.rain_mm
    for field, value in row.label.impossible():
        yield f"label.{field}", value


def _twice(field: str, names: Sequence[str]) -> Odd:
    for name in names:
        if names.count(name) > 1:
            yield field, name


_IMPOSSIBLE: Mapping[type, Callable[[Any], Odd]] = {
    Person: _person,
    Place: _place,
    Crop: _crop,
    Pest: _pest,
    Permit: _permit,
    Consignment: _consignment,
    Checklist: _checklist,
    Product: _product,
    Nursery: _nursery,
}
