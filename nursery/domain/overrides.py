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
from nursery.domain.gate import LAW, Act, Answer, Gate
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
        if not _of_planting_day(one) and sound(one, book)
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
        if one.act not in ACTS:
            continue
        allowed = _no_law(one) if _of_planting_day(one) else _allowed(state, one, book)
        if not (sound(one, book) and allowed):
            yield Doubt("override_refused", (one.entry,), {"act": one.act})


def _of_planting_day(one: Signature) -> bool:
    """Whether it is signed for checks or spares of a planting day."""
    return one.act == Act.PLANTING and bool(one.checks or one.plants)


def _no_law(one: Signature) -> bool:
    return not LAW & {key.split(":")[0] for key in one.checks}


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
