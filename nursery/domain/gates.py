"""May this act be done now? Yes, wait, no or cannot tell, with the reason and what would open it.

A gate stops an act, never a fact: what has already happened is recorded without argument. It is
never better than the worst of its parts, and what nobody knows opens nothing (rules G-1 to G-10).
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta

from nursery.domain import (
    barriers,
    conditions,
    overrides,
    quarantine,
    record,
    reentry,
    room_gates,
    trainings,
)
from nursery.domain.barriers import IGNORANCE, Question
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.gate import OF_BATCHES, OF_PLACES, Act, Answer, Gate, worst
from nursery.domain.kinds.law import Act as Order
from nursery.domain.place import Place
from nursery.domain.reason import Reason
from nursery.domain.terms import GateAge

# How long an answer is good where no rule says otherwise: the next morning asks again. (Caution of
# the product, no source; a term `gate_age` overrules it.)
FRESH = timedelta(hours=24)


def answer(
    act: Act, subject: Batch | Place, book: Book, now: datetime, person: str | None = None
) -> Gate:
    """Return whether an act on a batch, or at a place by a person, may be done now.

    Raises:
        ValueError: entering or leaving is asked of a batch, or any other act of a place.
    """
    if isinstance(subject, Place) != (act in OF_PLACES):
        raise ValueError(f"{act} is no act on a {type(subject).__name__.lower()}")
    if act is Act.LEAVING:
        return worst((Gate(Answer.YES, "leaving_is_free"),), now + FRESH)
    if isinstance(subject, Place):
        seats = {subject.id, book.rooms.get(subject.id, subject.id)}
        records = [book.places[one].record for one in sorted(seats) if one in book.places]
        found = _at_place(act, subject, book, now, person)
        parts = tuple(overrides.applied(found, act, records, now, book))
        until = _until_place(subject, book, now)
        if any(part.code == overrides.OVERRIDDEN for part in parts):
            until = min(until, book.end_of(book.day(now)))
        return worst(parts or (Gate(Answer.YES, FREE[act]),), until)
    return _asked((act,), subject, book, now)[act]


def of_batch(batch: Batch, book: Book, now: datetime) -> dict[Act, Gate]:
    """Return the answer for every act on a batch."""
    return _asked(OF_BATCHES, batch, book, now)


def _asked(acts: Iterable[Act], batch: Batch, book: Book, now: datetime) -> dict[Act, Gate]:
    kin = (book.batches[name] for name in book.ancestors(batch.id) if name in book.batches)
    clock, until = quarantine.clock(batch, book, book.day(now)), _until_batch(batch, book, now)
    ask = Question(Act.MOVING, batch, (batch, *kin), clock, now, book)
    found = {}
    for act in acts:
        asked = ask._replace(act=act)
        parts = tuple(part for barrier in barriers.BARRIERS for part in barrier(asked))
        found[act] = worst(parts or (barriers.nothing_against(asked),), until)
    return found


FREE = {
    Act.ENTERING: "free_to_enter",
    Act.ACCEPTING: "free_to_accept",
    Act.EMPTYING: "free_to_empty",
}


def _at_place(
    act: Act, place: Place, book: Book, now: datetime, person: str | None
) -> Iterable[Gate]:
    if act is Act.ENTERING:
        return _entering(place, book, now, person)
    return room_gates.parts(act, place.id, book, now)


def on_day(act: Act, subject: Batch | Place, book: Book, day: date) -> Gate:
    """Return whether an act may be done on a day, as the book is now: what a booking asks.

    It is asked of the day's last moment, so that a day on which it opens at any hour counts.
    """
    return answer(act, subject, book, book.end_of(day) - timedelta(milliseconds=1))


def _entering(place: Place, book: Book, now: datetime, person: str | None) -> Iterable[Gate]:
    if place.id not in book.rooms:
        yield Gate(Answer.CANNOT_TELL, "unknown_place", {"place": place.id})
    for doubt in place.doubts:
        if doubt.blocks and doubt.code in IGNORANCE:
            about = {"doubt": doubt.id, "code": doubt.code, "label": None}
            yield Gate(Answer.CANNOT_TELL, "cannot_read", about, Reason("when_read"))
    yield from reentry.parts(place.id, now, book)
    yield from _admission(place.id, book, person)
    yield from trainings.against(person, place.id, book.day(now), book)


def _admission(place: str, book: Book, person: str | None) -> Iterable[Gate]:
    """Yield what orders say about who may go in: those admitted, and those let in again (G-9)."""
    for state, order in _admitting(place, book):
        if person in order.admits:
            continue
        again = [
            one
            for one in state.record.acceptances
            if one.person is not None and one.person == person and one.at > order.at
        ]
        about = {"reference": order.reference, "people": names(order.admits, book)}
        if any(one.paper for one in again):
            continue
        if again:
            ref = {"ref": again[-1].reference, "kind": "accepted", "entry": again[-1].entry}
            yield Gate(Answer.WAIT, "paper_missing", ref, Reason("when_photographed", ref))
        else:
            yield Gate(Answer.NO, "not_admitted", about, Reason("when_admitted", about))


def _admitting(place: str, book: Book) -> Iterator[tuple[Place, record.Order]]:
    """Yield the orders that stand and let only some people in, each with the place it is about."""
    for seat in book.outward(place):
        state = book.places.get(seat)
        if state is None:
            continue
        for order in state.record.orders:
            stands = order.act is Order.HOLD and order.reference in state.holds
            if stands and order.admits:
                yield state, order


def admitting(place: str, book: Book) -> list[str]:
    """Return the orders by which only some people may go into a place."""
    return list(dict.fromkeys(order.reference for _, order in _admitting(place, book)))


def is_admitted(person: str, place: str, book: Book) -> bool:
    """Return whether no order keeps somebody out of a place (rule G-9)."""
    return not any(_admission(place, book, person))


def names(people: Iterable[str], book: Book) -> list[str]:
    """Return people by name, or by id where nobody has typed them."""
    rows = ((person, book.row("person", person)) for person in people)
    return [person if row is None else row.name for person, row in rows]


def _until_batch(batch: Batch, book: Book, now: datetime) -> datetime:
    terms = conditions.of_batch(batch.id, GateAge, book.day(now), book)
    return now + min((timedelta(hours=rule.hours) for _, rule in terms), default=FRESH)


def _until_place(place: Place, book: Book, now: datetime) -> datetime:
    room, today = book.rooms.get(place.id, place.id), book.day(now)
    terms = conditions.of_room(room, GateAge, today, today, book)
    return now + min((timedelta(hours=rule.hours) for _, rule in terms), default=FRESH)
