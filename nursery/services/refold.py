"""Bring the kept states of batches and places up to date with the book.

A subject is folded from all of its entries. A fold that was kept (`goings`) may go on instead where
the new entries come after all it has, so that a late entry is no special case.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence

import orjson

from nursery.domain import fold
from nursery.domain.batch import Batch
from nursery.domain.entry import Entry
from nursery.domain.kinds.field import block_of
from nursery.domain.place import Place
from nursery.domain.reference import Role
from nursery.store import lines, many, others
from nursery.store.models import SubjectRow
from nursery.store.scope import Scope, scope

# Columns and their types on PostgreSQL.
COLUMNS = {
    "nursery_id": "bigint", "type": "text", "ident": "text", "label": "text", "place": "text",
    "consignment": "text", "alive": "bigint", "closed": "boolean", "doubts": "integer",
    "state": "text", "stale_from": "bigint", "as_of_seq": "bigint",
}  # fmt: skip

# Few enough that a writing transaction stays short.
CHUNK = 50


def places_among(book: Scope, subjects: Iterable[str]) -> frozenset[str]:
    """Return which of the subjects are places, or rows of one; any other subject is a batch."""
    some = list(subjects)
    blocks = {subject: block_of(subject) for subject in some}
    asked = {*some, *(block for block in blocks.values() if block)}
    found = book.refs.filter(many.among("ident", asked), type="place")
    known = set(found.values_list("ident", flat=True))
    return frozenset(one for one in some if one in known or blocks[one] in known)


def growers(book: Scope) -> frozenset[str]:
    """Return who lifts a mis-tap here: the people whose row says grower."""
    people = book.refs.filter(type="person", gone=False, text__contains=Role.GROWER.value)
    return frozenset(
        ident
        for ident, text in people.values_list("ident", "text")
        if orjson.loads(text)["role"] == Role.GROWER.value
    )


def state_of(
    ident: str, entries: Iterable[Entry], growers: Collection[str], *, place: bool
) -> Batch | Place:
    return fold.place(ident, entries) if place else fold.batch(ident, entries, growers)


def keep(
    book: Scope, entries: Mapping[str, Sequence[Entry]], places: frozenset[str], seq: int
) -> None:
    """Fold each subject from its entries and keep the states, as of feed number `seq`."""
    put(folded(book, entries, places).values(), seq)


def folded(
    book: Scope, entries: Mapping[str, Sequence[Entry]], places: frozenset[str]
) -> dict[str, SubjectRow]:
    """Return the state of each subject as its entries make it, ready to be kept."""
    lifting = growers(book)
    return {
        ident: row(book.key, state_of(ident, some, lifting, place=ident in places))
        for ident, some in sorted(entries.items())
    }


def put(rows: Iterable[SubjectRow], seq: int) -> None:
    """Keep folded states as of feed number `seq`."""
    told = []
    for kept in rows:
        kept.as_of_seq = seq
        told.append([getattr(kept, name) for name in COLUMNS])
    if told:
        many.insert("subject", COLUMNS, told, once=("nursery_id", "type", "ident"))


def row(key: int, state: Batch | Place) -> SubjectRow:
    """Return an ended state as it is kept; it may change afterwards."""
    kept = SubjectRow(
        nursery_id=key,
        ident=state.id,
        type=SubjectRow.PLACE,
        doubts=sum(doubt.settled_by is None for doubt in state.doubts),
        state=orjson.dumps(state.as_json()).decode(),
        stale_from=None,
    )
    if isinstance(state, Batch):
        kept.type = SubjectRow.BATCH
        kept.label = state.label or ""
        kept.place = state.place or ""
        kept.consignment = state.consignment or ""
        kept.alive = state.alive
        kept.closed = state.closed
    return kept


def stale(nursery: str) -> int:
    """Fold every stale state anew; return how many there were."""
    with scope(nursery) as book:
        names = list(book.subjects.filter(stale_from__isnull=False).values_list("ident", flat=True))
    for start in range(0, len(names), CHUNK):
        _again(nursery, names[start : start + CHUNK])
    return len(names)


def everything(nursery: str) -> int:
    """Fold the whole book of a nursery anew; return how many subjects it has."""
    with scope(nursery) as book:
        names = sorted(set(book.subjects.values_list("ident", flat=True)))
    for start in range(0, len(names), CHUNK):
        _again(nursery, names[start : start + CHUNK])
    return len(names)


def _again(nursery: str, names: Sequence[str]) -> None:
    """Read and fold outside the lock, and keep only what no push has overtaken meanwhile."""
    with scope(nursery) as book:
        seq = book.head.last_seq
        places = places_among(book, names)
        entries = lines.of_subjects(book, names)
    with scope(nursery, write=True) as book:
        book.lock_head()
        if others.more_than_entries(book, seq):
            places, seq = places_among(book, names), 0
        for name, some in lines.of_subjects(book, names, after=seq).items():
            entries[name] = [*entries.get(name, []), *some]
        # A subject that changed from batch to place, or back, leaves its old row behind.
        book.subjects.filter(ident__in=names).exclude(
            type=SubjectRow.PLACE, ident__in=places
        ).exclude(type=SubjectRow.BATCH).delete()
        book.subjects.filter(ident__in=places, type=SubjectRow.BATCH).delete()
        keep(book, {name: entries.get(name, []) for name in names}, places, book.head.last_seq)


def differences(nursery: str) -> list[str]:
    """Return the subjects whose kept state is not what the book folds to, and is not stale."""
    wrong = []
    with scope(nursery) as book:
        lifting = growers(book)
        names = sorted(set(book.subjects.values_list("ident", flat=True)))
        for start in range(0, len(names), CHUNK):
            some = names[start : start + CHUNK]
            places = places_among(book, some)
            entries = lines.of_subjects(book, some)
            for row in book.subjects.filter(ident__in=some, stale_from=None):
                told = entries.get(row.ident, [])
                state = state_of(row.ident, told, lifting, place=row.ident in places)
                if row.state != orjson.dumps(state.as_json()).decode():
                    wrong.append(row.ident)
    return wrong
