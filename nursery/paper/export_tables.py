"""The tables of a book that is taken away: what is, by the folded states, and what was recorded."""

from collections.abc import Callable, Iterable, Iterator, Mapping

import orjson

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.field import positions
from nursery.domain.place import Place
from nursery.domain.reference.layouts import Layout
from nursery.domain.terms.term import Term
from nursery.paper import export_records
from nursery.paper.export_cells import Cell, table
from nursery.services import layout
from nursery.store.scope import Scope

LEDGER = (
    "alive", "died", "culled", "sampled", "destroyed", "stolen", "planted", "sent", "split",
    "joined", "mixed", "settled", "difference",
)  # fmt: skip
BATCHES = (
    "batch", "label", "crop", "consignment", "permit", "stage", "place", "began", "parents",
    "in (plants)", *(f"{name} (plants)" for name in LEDGER), "estimated", "held", "open doubts",
)  # fmt: skip
PLACES = ("place", "name", "kind", "inside", "floor (m2)", "benches (m2)", "holes", "held")
PEOPLE = ("person", "name", "role", "language", "since", "until")
CONSIGNMENTS = (
    "consignment", "name", "permit", "certificate", "certificate of", "supplier", "origin",
    "arrived", "stated (plants)",
)  # fmt: skip
PERMITS = (
    "permit", "reference", "holder", "authority", "valid from", "valid to", "term", "rule", "says",
    "since", "source",
)  # fmt: skip
POSITIONS = ("block", *positions.COLUMNS)
DOUBTS = ("subject", "label", "doubt", "code", "settled by", "records")

Row = list[Cell]


def every(scope: Scope, book: Book, until: int) -> Iterator[tuple[str, Iterable[bytes]]]:
    """Yield the name of each table and its lines."""
    for name, (header, rows) in _STATES.items():
        yield name, table(header, rows(book))
    heads = export_records.standing(scope, until)
    names = {ident: person.name for ident, person in book.rows_of("person")}
    for name, sheet in export_records.SHEETS.items():
        told = export_records.rows(scope, until, sheet, heads, names)
        yield name, table(sheet.header, told)


def _batches(book: Book) -> Iterator[Row]:
    for ident, batch in book.batches.items():
        ledger = batch.ledger.as_json()
        began = None if batch.began_at is None else book.day(batch.began_at)
        counted: Row = [ledger[name] if batch.counted else None for name in ("in", *LEDGER)]
        yield [
            ident,
            batch.label,
            batch.crop,
            batch.consignment,
            batch.permit,
            batch.stage,
            batch.place,
            began,
            " ".join(batch.parents),
            *counted,
            batch.estimated,
            " ".join(batch.holds),
            _open(batch),
        ]


def _open(batch: Batch) -> int:
    return sum(doubt.settled_by is None for doubt in batch.doubts)


def _places(book: Book) -> Iterator[Row]:
    for ident, row in book.rows_of("place"):
        state = book.places.get(ident)
        held = "" if state is None else " ".join(state.holds)
        area = [row.floor_m2, row.bench_m2]
        yield [ident, row.name, row.kind.value, row.parent, *area, row.holes, held]


def _people(book: Book) -> Iterator[Row]:
    for ident, row in book.rows_of("person"):
        yield [ident, row.name, row.role.value, row.language, row.since, row.until]


def _consignments(book: Book) -> Iterator[Row]:
    for ident, row in book.rows_of("consignment"):
        paper = [row.certificate, row.certificate_on, row.supplier, row.origin]
        yield [ident, row.name, row.permit, *paper, row.arrived_on, row.stated]


def _permits(book: Book) -> Iterator[Row]:
    for ident, row in book.rows_of("permit"):
        paper = [ident, row.reference, row.holder, row.authority, row.valid_from, row.valid_to]
        for term in row.terms or (None,):
            yield [*paper, *_term(term)]


def _term(term: Term | None) -> Row:
    if term is None:
        return [None] * 5
    says = orjson.dumps(term.as_json()["says"]).decode()
    return [term.id, term.code, says, term.since, term.source]


def _positions(book: Book) -> Iterator[Row]:
    for ident, row in book.rows_of("layout"):
        if isinstance(row, Layout):
            for one in layout.told(row, book):
                yield [ident, *(one[name] for name in positions.COLUMNS)]


def _doubts(book: Book) -> Iterator[Row]:
    states: list[tuple[str, Batch | Place]] = [*book.batches.items(), *book.places.items()]
    for ident, state in states:
        label = state.label if isinstance(state, Batch) else None
        for doubt in state.doubts:
            records = " ".join(doubt.entries)
            yield [ident, label, doubt.id, doubt.code, doubt.settled_by, records]


_STATES: Mapping[str, tuple[tuple[str, ...], Callable[[Book], Iterator[Row]]]] = {
    "batches": (BATCHES, _batches),
    "places": (PLACES, _places),
    "people": (PEOPLE, _people),
    "consignments": (CONSIGNMENTS, _consignments),
    "permits": (PERMITS, _permits),
    "positions": (POSITIONS, _positions),
    "doubts": (DOUBTS, _doubts),
}

# What stands in the first line of each table.
HEADERS: Mapping[str, tuple[str, ...]] = {
    **{name: header for name, (header, _) in _STATES.items()},
    **{name: tuple(sheet.header) for name, sheet in export_records.SHEETS.items()},
}
