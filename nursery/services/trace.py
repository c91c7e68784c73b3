"""A trace reads the states of the family alone: a book of a million entries is not gone through.

Its kin are read by name (`kinship`), positions by the rows of the field in which the family was
planted, and what holds it is worked out of the same part and what is near it (`trace_holds`).
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from nursery.domain import reference, timeline, trace_ties
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.entry import write_instant
from nursery.domain.field import from_rows
from nursery.domain.kinds.common import Traced as Asked
from nursery.domain.kinds.health import Told
from nursery.domain.occupants import Field
from nursery.domain.trace import Traced, trace
from nursery.domain.trace_start import Start, batches_of
from nursery.services import kinship, states, trace_holds, trace_starts
from nursery.services import rows as reference_rows
from nursery.store import kin, lines
from nursery.store.scope import Scope, scope

# What a trace asks of a batch's record: its holds and what they rest on, who worked on it, where
# its plants went.
SHELVES = frozenset(("orders", "scions", "presence", "happenings", "looks", "inspections"))
NO_BATCHES: Mapping[str, Batch] = {}


def of(nursery: str, starts: Sequence[Start], now: datetime) -> dict[str, Any]:
    """Return the trace of everything under suspicion, and what is called how."""
    with scope(nursery) as rows:
        found, book, stands = _read(rows, starts)
        seq = rows.head.last_seq
        held = trace_holds.of_family(rows, found.batches, book, stands)
        notices = _notices(rows, found, held)
    return {
        "of": [str(one) for one in starts],
        "as_of_seq": seq,
        "at": now,
        **found.as_json(),
        **trace_ties.of_batches(found.batches, book),
        "held": held,
        **notices,
        "names": _names(found, book),
        "nursery": _nursery(rows, book),
    }


def read(rows: Scope, starts: Sequence[Start]) -> tuple[Traced, Book]:
    """Return a trace, and the part of the book that it rests on."""
    found, book, _ = _read(rows, starts)
    return found, book


def _read(rows: Scope, starts: Sequence[Start]) -> tuple[Traced, Book, Mapping[str, Field]]:
    """Return a trace with its part of the book, and who stands where its batches were planted."""
    bare = _book(rows, NO_BATCHES, _reference(rows))
    suspects, seats = trace_starts.candidates(rows, starts, bare)
    there = fields(rows, seats, bare)
    stood = {one.batch for field in there.values() for at in field.positions.values() for one in at}
    began = _states(rows, {*suspects, *stood})
    asked = batches_of(starts, _book(rows, began, bare.rows), there)
    family = kinship.forward(rows, {name: began[name] for name in asked}, SHELVES)
    book = _book(rows, {**kinship.back(rows, family, SHELVES), **family}, bare.rows)
    stands = fields(rows, kinship.seats(family.values()), book)
    return trace(asked, book, stands), book, stands


def _states(rows: Scope, names: Collection[str]) -> Mapping[str, Batch]:
    return states.some_batches(rows, names, SHELVES)


def fields(rows: Scope, seats: Iterable[str], book: Book) -> Mapping[str, Field]:
    """Return who stands and stood in some rows of the field, by block."""
    return from_rows.fields(lines.of_subjects(rows, seats), book.day)


def _book(rows: Scope, batches: Mapping[str, Batch], told: Mapping[str, Mapping[str, Any]]) -> Book:
    return Book(rows.zone, batches, {}, told, ())


def _reference(rows: Scope) -> dict[str, dict[str, Any]]:
    grouped: dict[str, dict[str, Any]] = defaultdict(dict)
    for row in reference_rows.every(rows):
        grouped[row.type][row.id] = reference.read(row.type, row.id, row.body)
    return grouped


def _notices(
    rows: Scope, found: Traced, held: Mapping[str, Sequence[Mapping[str, Any]]]
) -> dict[str, list[dict[str, Any]]]:
    """Return who asked for traces of these batches and why, and who was told of them."""
    mine = set(found.batches)
    called = {name for one in lines.of_kinds(rows, ("traced",)) for name in one.about} & mine
    every = kin.told_of(rows, called | set(held), ("traced", "told", "withdrawn"))
    entries = {entry.id: entry for told in every.values() for entry in told}
    standing = sorted(timeline.standing(entries.values()).entries, key=lambda one: one.occurred_at)
    asked = [one for one in standing if isinstance(one.body, Asked) and not one.body.drill]
    references = {
        name
        for some in held.values()
        for one in some
        for name in (one["reference"], *one["orders"])
    }
    references |= {one.body.reference for one in asked}
    told = [one for one in standing if isinstance(one.body, Told)]
    return {
        "calls": [
            {
                "at": write_instant(one.occurred_at),
                "by": one.author,
                "asked_by": one.body.asked_by,
                "reason": one.body.reason,
                "reference": one.body.reference,
            }
            for one in asked
        ],
        "told": [
            {
                "at": write_instant(one.occurred_at),
                "who": one.body.who,
                "how": one.body.how,
                "reference": one.body.reference,
            }
            for one in told
            if one.body.reference in references
        ],
    }


def _nursery(rows: Scope, book: Book) -> dict[str, Any]:
    """Return the nursery's name and its manner, for what is printed."""
    row = next((row for _, row in book.rows_of("nursery")), None)
    return {
        "name": rows.nursery.name if row is None else row.name,
        "zone": rows.zone.key,
        "languages": [] if row is None else [str(one) for one in row.languages],
        "decimal_mark": None if row is None else row.decimal_mark.value,
    }


def _names(found: Traced, book: Book) -> dict[str, dict[str, str]]:
    """Return what people call everything that a trace names by its id."""
    some = {name: book.batches[name] for name in (*found.batches, *found.back)}
    wanted = {"place": "name", "consignment": "name", "person": "name"}
    told = {
        kind: {ident: getattr(row, name) for ident, row in book.rows_of(kind)}
        for kind, name in wanted.items()
    }
    shorts = {ident: row.short or row.name for ident, row in book.rows_of("place")}
    return {
        "batch": {name: one.label or name for name, one in some.items()},
        "block": {block: shorts.get(block, block) for block in (*found.field, *found.before)},
        **told,
        "supplier": {
            ident: row.supplier for ident, row in book.rows_of("consignment") if row.supplier
        },
    }
