"""Take in what phones wrote: `receive` is the only way into the book.

Parsing and reading come first, outside any transaction. Then, in one: lock the nursery's head, drop
what is known, number, chain, insert, refold the subjects, commit. The numbers are given under the
lock, so their order is the order of commits and no reader can pass one by.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import datetime

import orjson
from django.db import DatabaseError, DataError

from nursery.domain import admission, chain
from nursery.domain.admission import Admitted, Kept, Status
from nursery.domain.entry import Entry
from nursery.domain.fold import Going
from nursery.services import effects, goings, installs, refold
from nursery.services.installs import Outbox
from nursery.store import lines, many, others
from nursery.store.models import FeedRow, HeadRow, KeptRawRow, SubjectRow
from nursery.store.scope import Scope, scope

# A longer transaction would keep other phones of the nursery waiting for the head.
AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one text. All four statuses end sending."""

    id: str
    status: Status
    seq: int | None = None
    code: str | None = None
    ref: str | None = None
    skew_ms: int | None = None


@dataclass(frozen=True, slots=True)
class Receipt:
    """The answer to a push: one outcome for each text, in the order they were sent."""

    outcomes: list[Outcome]
    holes: list[list[int]]
    epoch: str
    last_seq: int
    chain: str
    durable_seq: int


@dataclass(frozen=True, slots=True)
class _Ahead:
    """The states as they will be if nobody else writes: folded before anybody waits for the lock.

    They rest on the feed up to `seq` and on the new entries `ids`.
    """

    seq: int
    ids: frozenset[str]
    states: dict[str, SubjectRow]
    goings: dict[str, Going]


def receive(nursery: str, outbox: Outbox, texts: Sequence[str], now: datetime) -> Receipt:
    """Take in the texts of one push. One bad text never holds back the others.

    Raises:
        NoSuchNursery: no nursery is called so.
        DatabaseError: nothing was taken in; sending again is safe.
    """
    items = [_admitted(text, nursery, now) for text in texts]
    try:
        return _append(nursery, outbox, items, now)
    except DataError:
        pass  # a value that the database cannot hold
    except DatabaseError:
        raise
    except Exception:  # noqa: S110  whatever one text does to us, the others must pass
        pass
    if len(items) <= 1:
        return _append(nursery, outbox, [_laid_aside(item) for item in items], now)
    # Halves, so that among two hundred the one is found in eight steps and the others pass.
    half = len(texts) // 2
    first = receive(nursery, outbox, texts[:half], now)
    last = receive(nursery, outbox, texts[half:], now)
    return replace(last, outcomes=[*first.outcomes, *last.outcomes])


def receive_all(nursery: str, outbox: Outbox, texts: Sequence[str], now: datetime) -> Receipt:
    """Take in any number of texts, a push at a time; all that was taken in so far stays.

    Raises:
        NoSuchNursery: no nursery is called so.
    """
    receipt = receive(nursery, outbox, texts[:AT_ONCE], now)
    outcomes = list(receipt.outcomes)
    for start in range(AT_ONCE, len(texts), AT_ONCE):
        receipt = receive(nursery, outbox, texts[start : start + AT_ONCE], now)
        outcomes += receipt.outcomes
    return replace(receipt, outcomes=outcomes)


def _admitted(text: str, nursery: str, now: datetime) -> Admitted | Kept:
    try:
        raw = orjson.loads(text)
    except ValueError:  # no JSON, or text that no UTF-8 can hold
        raw = None
    return admission.admit(text, raw, nursery, now)


def _laid_aside(item: Admitted | Kept) -> Kept:
    return admission.crashed(item) if isinstance(item, Admitted) else item


def _append(nursery: str, outbox: Outbox, items: list[Admitted | Kept], now: datetime) -> Receipt:
    with scope(nursery) as book:
        ahead = _fold_ahead(book, items)
    with scope(nursery, write=True) as book:
        head = book.lock_head()
        known = _known(book, items)
        outcomes, fresh, kept = _sorted_out(items, known, head)
        written = _number(fresh, head, now)
        lines.write(book, written)
        _keep_raw(book, kept, outbox, now)
        _save(head)
        again = _refold(book, ahead, written, fresh)
        came = _numbers(items, outbox.install)
        holes = installs.note(book, outbox, len(items), came, now)
        if written:
            effects.after_entries(book, [item.entry for item in fresh], head.last_seq, now)
    if written:
        current = {name: one for name, one in ahead.goings.items() if name not in again}
        goings.keep(book, head, current)
    return Receipt(outcomes, holes, head.epoch, head.last_seq, head.chain, head.durable_seq)


def _numbers(items: list[Admitted | Kept], install: str) -> list[int]:
    """Return the numbers that `install` gave; a rescue may hand in those of another as well."""
    given = [
        item.n if isinstance(item, Kept) else item.entry.n
        for item in items
        if isinstance(item, Kept) or item.entry.install == install
    ]
    return [n for n in given if n is not None]


def _fold_ahead(book: Scope, items: list[Admitted | Kept]) -> _Ahead:
    seq = book.head.last_seq
    known = _known(book, items)
    fresh: dict[str, Entry] = {}
    for item in items:
        if isinstance(item, Admitted) and item.entry.id not in known and not item.set_aside:
            fresh.setdefault(item.entry.id, item.entry)
    about = _by_subject(fresh.values())
    folds = goings.with_new(book, about, refold.places_among(book, about))
    states = {ident: refold.row(book.key, one.state) for ident, one in folds.items()}
    return _Ahead(seq, frozenset(fresh), states, folds)


def _by_subject(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    about: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        for subject in entry.about:
            about[subject].append(entry)
    return about


def _known(book: Scope, items: list[Admitted | Kept]) -> dict[str, tuple[int, str]]:
    ids = [item.entry.id for item in items if isinstance(item, Admitted)]
    rows = book.entries.filter(many.among("ident", ids)).values_list("ident", "seq", "hash")
    return {ident: (seq, hashed) for ident, seq, hashed in rows}


def _sorted_out(
    items: list[Admitted | Kept], known: dict[str, tuple[int, str]], head: HeadRow
) -> tuple[list[Outcome], list[Admitted], list[Kept]]:
    """Tell the new from the known and from what is kept raw; the new get the next numbers."""
    outcomes: list[Outcome] = []
    fresh: list[Admitted] = []
    kept: list[Kept] = []
    for item in items:
        if isinstance(item, Kept):
            kept.append(item)
            outcomes.append(_outcome_of_kept(item))
            continue
        entry = item.entry
        before = known.get(entry.id)
        if before is None:
            fresh.append(item)
            seq = head.last_seq + len(fresh)
            known[entry.id] = (seq, item.hash)
            status = Status.SET_ASIDE if item.set_aside else Status.STORED
            code = "future" if item.set_aside else None
            outcomes.append(Outcome(entry.id, status, seq, code, skew_ms=entry.skew_ms))
        elif before[1] == item.hash:
            outcomes.append(Outcome(entry.id, Status.KNOWN, before[0]))
        else:
            kept.append(admission.reused(item))
            outcomes.append(_outcome_of_kept(kept[-1]))
    return outcomes, fresh, kept


def _outcome_of_kept(item: Kept) -> Outcome:
    return Outcome(item.ident, Status.KEPT_RAW, code=item.code, ref=item.hash[:16])


def _number(fresh: list[Admitted], head: HeadRow, now: datetime) -> list[lines.Line]:
    """Give the next numbers, and link each line to the one before. Moves the head along."""
    written = []
    for item in fresh:
        entry = item.entry
        head.last_seq += 1
        head.chain = chain.link(head.chain, head.last_seq, entry.id, item.hash)
        written.append(
            lines.Line(
                seq=head.last_seq,
                type=FeedRow.ENTRY,
                what=entry.kind,
                ident=entry.id,
                rev=0,
                text=item.text,
                hash=item.hash,
                link=head.chain,
                received_at=now,
                occurred_at=entry.occurred_at,
                install=entry.install,
                n=entry.n,
                set_aside=item.set_aside,
                about=entry.about,
            )
        )
    return written


def _keep_raw(book: Scope, kept: list[Kept], outbox: Outbox, now: datetime) -> None:
    rows = [
        KeptRawRow(
            nursery_id=book.key,
            ident=item.ident,
            raw=item.text.encode(),
            hash=item.hash,
            code=item.code,
            field=item.field[:200],
            install=outbox.install,
            device=outbox.device,
            received_at=now,
        )
        for item in kept
    ]
    KeptRawRow.objects.bulk_create(rows, ignore_conflicts=True)


def _save(head: HeadRow) -> None:
    head.save(update_fields=["last_seq", "chain"])


def _refold(
    book: Scope, ahead: _Ahead, written: list[lines.Line], fresh: list[Admitted]
) -> Set[str]:
    """Keep the states of the new entries' subjects; return which were overtaken, folded again."""
    about = _by_subject(item.entry for item in fresh if not item.set_aside)
    if not about:
        return ahead.goings.keys()
    again = _overtaken(book, ahead, written, about)
    states = {subject: ahead.states[subject] for subject in about.keys() - again}
    if again:
        entries = lines.of_subjects(book, again)
        states |= refold.folded(book, entries, refold.places_among(book, again))
    refold.put([states[subject] for subject in sorted(states)], written[-1].seq)
    return again


def _overtaken(
    book: Scope, ahead: _Ahead, written: list[lines.Line], about: Mapping[str, list[Entry]]
) -> Set[str]:
    """Return the subjects whose state ahead is no longer what the book folds to."""
    ids = {entry.id for some in about.values() for entry in some}
    if ids != ahead.ids:
        return about.keys()
    if written[0].seq == ahead.seq + 1:
        return set()
    if others.more_than_entries(book, ahead.seq):
        # A place may have been described, or an entry that was set aside released.
        return about.keys()
    newer = lines.of_subjects(book, about, after=ahead.seq)
    return {name for name, some in newer.items() if any(e.id not in ids for e in some)}
