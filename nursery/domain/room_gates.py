"""Whether a room may be called empty, and whether it may take new plants (rules A-1 to A-5)."""

from collections.abc import Iterable
from datetime import datetime

from nursery.domain import all_out
from nursery.domain.all_out import Emptiness
from nursery.domain.book import Book
from nursery.domain.entry import write_instant
from nursery.domain.gate import Act, Answer, Gate
from nursery.domain.kinds.law import Act as Order
from nursery.domain.reason import Reason


def parts(act: Act, place: str, book: Book, now: datetime) -> Iterable[Gate]:
    """Yield what speaks against emptying the room of a place, or against new plants in it."""
    room = book.rooms.get(place)
    if room is None:
        yield Gate(Answer.CANNOT_TELL, "unknown_place", {"place": place})
        return
    emptiness = all_out.of_room(room, book)
    if emptiness.hours is not None:
        yield from _filled(emptiness, book)
        if act is Act.ACCEPTING:
            yield from _not_ready(emptiness, now)
    if act is Act.ACCEPTING:
        yield from _held(room, book)


def _filled(one: Emptiness, book: Book) -> Iterable[Gate]:
    if one.plants:
        labels = [book.batches[name].label or name for name in one.plants]
        alive = sum(book.batches[name].alive or 0 for name in one.plants)
        about = {"labels": labels, "alive": alive}
        yield Gate(Answer.NO, "room_has_plants", about, Reason("when_emptied"))
    if one.bags:
        yield Gate(Answer.NO, "bag_in_room", {"n": one.in_bag}, Reason("when_bag_gone"))


def _not_ready(one: Emptiness, now: datetime) -> Iterable[Gate]:
    """Yield what an empty room still waits for, the first thing alone.

    What only the nursery itself asks for may be signed for (rule G-16).
    """
    if one.plants or one.bags:
        return
    if one.emptied_at is None:
        yield Gate(Answer.WAIT, "not_emptied", {}, Reason("when_emptied"), override_allowed=one.own)
    elif one.accepts_from is None:
        yield Gate(Answer.WAIT, "not_cleaned", {}, Reason("when_cleaned"), override_allowed=one.own)
    elif now < one.accepts_from:
        about = {"until": write_instant(one.accepts_from), "hours": one.hours}
        opens = Reason("when_empty_long_enough", about)
        yield Gate(
            Answer.WAIT, "stays_empty", about, opens, one.accepts_from, override_allowed=one.own
        )
    elif one.readied_at is None:
        yield Gate(Answer.WAIT, "not_checked", {}, Reason("when_checked"), override_allowed=one.own)


def _held(room: str, book: Book) -> Iterable[Gate]:
    """Yield the orders that hold a room, or what is around it (rule G-3)."""
    for seat in book.outward(room):
        state = book.places.get(seat)
        for order in () if state is None else state.record.orders:
            if order.act is Order.HOLD and order.reference in state.holds:  # type: ignore[union-attr]
                row = book.row("place", seat)
                about = {
                    "reference": order.reference,
                    "since": write_instant(order.at),
                    "place": seat if row is None else row.name,
                }
                opens = Reason("when_lifted", {"reference": order.reference})
                yield Gate(Answer.NO, "held_by_place_order", about, opens)
