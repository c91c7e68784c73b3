"""Signed exceptions: the grower may go against what the nursery alone asks of itself, for a day.

Never against a hold, an order, a permit, a re-entry time or what nobody knows: there a signature
opens nothing, and is asked about (rule G-16).
"""

from collections.abc import Iterable, Iterator
from datetime import datetime

from nursery.domain import all_out, holds, quarantine
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.gate import Act, Answer, Gate
from nursery.domain.mistaps import NO_SIGN
from nursery.domain.place import Place
from nursery.domain.record import Record, Signature

ACTS = frozenset(act.value for act in Act)
OVERRIDDEN = "overridden"


def applied(
    parts: Iterable[Gate], act: Act, records: Iterable[Record], now: datetime, book: Book
) -> Iterator[Gate]:
    """Yield the parts of a gate; those that the grower signed for today answer yes, and say so.

    What was signed for checks of a planting day opens those, and no gate (rule V-8).
    """
    signed = [
        one
        for record in records
        for one in record.signatures
        if one.act == act and one.at <= now and book.day(one.at) == book.day(now)
        if not one.checks and sound(one, book)
    ]
    for part in parts:
        if signed and part.override_allowed:
            row = book.row("person", signed[-1].by)
            about = {"who": row.name, "reason": signed[-1].reason, "code": part.code}
            yield Gate(Answer.YES, OVERRIDDEN, about)
        else:
            yield part


def odd(state: Batch | Place, book: Book) -> Iterable[Doubt]:
    """Yield each signature that opens nothing: by another hand, or against what stands above it."""
    for one in state.record.signatures:
        if one.act in ACTS and not (sound(one, book) and _allowed(state, one, book)):
            yield Doubt("override_refused", (one.entry,), {"act": one.act})


def sound(one: Signature, book: Book) -> bool:
    """Whether it is the grower's, by PIN, with a reason."""
    return one.confirmed and one.by in book.growers and not NO_SIGN.fullmatch(one.reason)


def _allowed(state: Batch | Place, one: Signature, book: Book) -> bool:
    if isinstance(state, Place):
        room = book.rooms.get(state.id, state.id)
        return one.act == Act.ACCEPTING and all_out.of_room(room, book).own
    held = any(hold.since <= one.at for hold in book.once(holds.of_book).get(state.id, ()))
    clock = quarantine.clock(state, book)
    released = None if clock is None else clock.released
    free = released is not None and datetime.fromisoformat(released["at"]) <= one.at
    return not held and (clock is None or free)
