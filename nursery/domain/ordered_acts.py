"""What orders ask to be done by a day: destroy plants, treat them, or look at them.

An order to destroy a part says how many; how many more or fewer were destroyed is told. An order
reaches plants as one to look them over does (rules C-12, C-13).
"""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any, NamedTuple

from nursery.domain import ordered_looks
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.doubts import Doubt
from nursery.domain.due_check import Check, ident
from nursery.domain.kinds.health import Answer
from nursery.domain.kinds.law import Act
from nursery.domain.record import Destruction, Order
from nursery.domain.rounds import MOMENT, asked_for


class Reach(NamedTuple):
    """An order, and the batches that it is about."""

    order: Order
    batches: tuple[str, ...]


def of_book(book: Book) -> Mapping[str, Reach]:
    """Return the orders to destroy or to look, by the entry that tells each."""
    found: dict[str, Reach] = {}
    for name in sorted(book.batches):
        for order in ordered_looks.reaching(name, book):
            if order.act in (Act.DESTROY, Act.LOOK):
                batches = found[order.entry].batches if order.entry in found else ()
                found[order.entry] = Reach(order, tuple(dict.fromkeys((*batches, name))))
    return found


def destroyed(one: Reach, book: Book) -> list[Destruction]:
    """Return what was destroyed for an order, in order of happening."""
    found = [
        gone_
        for name in one.batches
        for gone_ in book.batches[name].record.destructions
        if gone_.at >= one.order.at and gone_.order in (None, one.order.reference)
    ]
    return sorted(found, key=lambda gone_: (gone_.at, gone_.entry))


def odd(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield where another number was destroyed than an order says, once any were."""
    for one in book.once(of_book).values():
        if one.order.count is None or batch.id not in one.batches:
            continue
        done = sum(each.count for each in destroyed(one, book))
        if done not in (0, one.order.count):
            about = {
                "reference": one.order.reference,
                "ordered": one.order.count,
                "destroyed": done,
                "difference": done - one.order.count,
            }
            yield Doubt("destroyed_differs", (one.order.entry,), about)


def due(book: Book, first: date, last: date) -> Iterable[Check]:
    """What an order asks for by a day is due till then, and stays till it is done (C-13)."""
    for one in book.once(of_book).values():
        if one.order.due_on is None or one.order.looks_on:
            continue
        kind = "ordered_look" if one.order.act is Act.LOOK else "ordered_destruction"
        for name in one.batches:
            done = _done(one, book.batches[name], book)
            here = done is not None or not gone(book.batches[name])
            done_at = None if done is None else done[0]
            span = (first, last)
            if here and asked_for(one.order.at, done_at, span, book):
                yield Check(
                    id=ident(kind, one.order.entry, name, one.order.due_on.isoformat()),
                    kind=kind,
                    subject=name,
                    opens_at=one.order.at,
                    due_by=max(one.order.at, book.end_of(one.order.due_on) - MOMENT),
                    answered_by=None if done is None else done[1],
                    params=_params(one, book),
                )


def _params(one: Reach, book: Book) -> dict[str, Any]:
    on = None if one.order.due_on is None else one.order.due_on.isoformat()
    told: dict[str, Any] = {"reference": one.order.reference, "on": on}
    if one.order.count is not None:
        done = sum(each.count for each in destroyed(one, book))
        told |= {"count": one.order.count, "left": max(0, one.order.count - done)}
    return told


def _done(one: Reach, batch: Batch, book: Book) -> tuple[datetime, str] | None:
    """Return when and by which record an order was done for a batch."""
    if one.order.act is Act.LOOK:
        looks = batch.record.looks
        seen = (x for x in looks if x.at >= one.order.at and x.answer is not Answer.NOT_LOOKED)
        return next(((look.at, look.entry) for look in seen), None)
    if one.order.count is None:
        last = [each for each in destroyed(Reach(one.order, (batch.id,)), book) if gone(batch)]
        return (last[-1].at, last[-1].entry) if last else None
    left = one.order.count
    for each in destroyed(one, book):
        left -= each.count
        if left <= 0:
            return each.at, each.entry
    return None


MAKERS = (due,)
