"""Take in what phones wrote: `receive` is the only way into the book.

Parsing and reading come first, outside any transaction. Then, in one: lock the nursery's head, drop
what is known, number, chain, insert, refold the subjects, commit. The numbers are given under the
lock, so their order is the order of commits and no reader can pass one by.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import orjson
from django.db import DatabaseError, DataError

from nursery.domain import admission, chain
from nursery.domain.admission import Admitted, Kept, Status
from nursery.services import ahead, effects, installs
from nursery.services.errors import EpochChanged
from nursery.services.installs import Outbox
from nursery.store import each_push, lines
from nursery.store.models import FeedRow, HeadRow, KeptRawRow
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


def _nothing_besides() -> None:
    """A push that has nothing more to write."""


def receive(
    nursery: str,
    outbox: Outbox,
    texts: Sequence[str],
    now: datetime,
    besides: Callable[[], None] = _nothing_besides,
) -> Receipt:
    """Take in the texts of one push. One bad text never holds back the others.

    Args:
        nursery: its name.
        outbox: what the phone says of itself.
        texts: what it sends, as it stored it.
        now: the instant of the push.
        besides: what writes more in the same transaction; called for each, if there are several.

    Raises:
        NoSuchNursery: no nursery is called so.
        EpochChanged: the phone has a copy of another book; nothing was taken in.
        DatabaseError: nothing was taken in; sending again is safe.
    """
    items = [_admitted(text, nursery, now) for text in texts]
    try:
        return _append(nursery, outbox, items, now, besides)
    except DataError:
        pass  # a value that the database cannot hold
    except (DatabaseError, EpochChanged):
        raise
    except Exception:  # noqa: S110  whatever one text does to us, the others must pass
        pass
    if len(items) <= 1:
        return _append(nursery, outbox, [*map(_laid_aside, items)], now, besides)
    # Halves, so that among two hundred the one is found in eight steps and the others pass.
    half = len(texts) // 2
    first = receive(nursery, outbox, texts[:half], now, besides)
    last = receive(nursery, outbox, texts[half:], now, besides)
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


def _append(
    nursery: str,
    outbox: Outbox,
    items: list[Admitted | Kept],
    now: datetime,
    besides: Callable[[], None],
) -> Receipt:
    with scope(nursery) as book:
        before = _of_epoch(book.head, outbox.epoch)
        folds = ahead.fold(book, before, items)
    with book.writing():
        head = _of_epoch(book.lock_head(), outbox.epoch)
        known = folds.known_now(book, head, items)
        outcomes, fresh, kept = _sorted_out(items, known, head)
        written = _number(fresh, head, now)
        lines.write(book, written)
        _keep_raw(book, kept, outbox, now)
        each_push.keep_head(head)
        again = folds.put(book, written, [item.entry for item in fresh if not item.set_aside])
        came = _numbers(items, outbox.install)
        holes = installs.note(book, outbox, len(items), came, now)
        if written:
            effects.after_entries(book, [item.entry for item in fresh], head.last_seq, now)
        besides()
    if written:
        folds.keep(book, head, again)
    return Receipt(outcomes, holes, head.epoch, head.last_seq, head.chain, head.durable_seq)


def _of_epoch(head: HeadRow, epoch: str | None) -> HeadRow:
    """Return the head, unless a phone has a copy of another book.

    Raises:
        EpochChanged: it has.
    """
    if epoch is not None and epoch != head.epoch:
        raise EpochChanged(epoch[:64], head.epoch)
    return head


def _numbers(items: list[Admitted | Kept], install: str) -> list[int]:
    """Return the numbers that `install` gave; a rescue may hand in those of another as well."""
    given = [
        item.n if isinstance(item, Kept) else item.entry.n
        for item in items
        if isinstance(item, Kept) or item.entry.install == install
    ]
    return [n for n in given if n is not None]


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
