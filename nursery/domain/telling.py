"""What the authority wants to hear of, and how soon: arrivals, finds and breaches."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import NamedTuple

from nursery.domain import conditions, exposure
from nursery.domain.book import Book
from nursery.domain.days import LAST_DAY
from nursery.domain.due_check import Check, ident
from nursery.domain.kinds.health import Told
from nursery.domain.rounds import asked_for
from nursery.domain.terms import Event, Notify
from nursery.domain.timeline import standing


class Happened(NamedTuple):
    """An event of which somebody must be told; `about` are the batches and places it concerns."""

    event: Event
    name: str
    at: datetime
    about: tuple[str, ...]
    batches: tuple[str, ...]


def notifications(book: Book, first: date, last: date) -> Iterable[Check]:
    """Each event is told to whom a term names, within its hours (rule C-11).

    Who was told is written in free words, so whoever it was answers, and is named in `told`.
    """
    for one in sorted(_events(book), key=lambda one: (one.at, one.name)):
        for term, rule in _asked(one, book):
            said = book.once(_said)
            heard = min((t for t in said if t.at >= one.at and t.concerns(one)), default=None)
            if asked_for(one.at, None if heard is None else heard.at, (first, last), book):
                yield Check(
                    id=ident("notify", term.id, one.name, rule.whom),
                    kind="notify",
                    subject=one.about[0],
                    opens_at=one.at,
                    due_by=min(
                        one.at + timedelta(hours=rule.within_hours), book.start_of(LAST_DAY)
                    ),
                    term=term.id,
                    source=term.source,
                    answered_by=None if heard is None else heard.entry,
                    params={
                        "event": one.event.value,
                        "whom": rule.whom,
                        "told": None if heard is None else heard.who,
                    },
                )


def _asked(one: Happened, book: Book) -> conditions.Terms[Notify]:
    found = {
        term.id: (term, rule)
        for name in one.batches
        for term, rule in conditions.of_batch(name, Notify, book.day(one.at), book)
        if rule.event is one.event
    }
    return tuple(found[name] for name in sorted(found))


def _events(book: Book) -> Iterator[Happened]:
    arrived: dict[tuple[str, datetime], list[str]] = {}
    for name, batch in book.batches.items():
        if batch.consignment is not None and batch.began_at is not None and not batch.parents:
            arrived.setdefault((batch.consignment, batch.began_at), []).append(name)
    for (consignment, at), names in arrived.items():
        about = tuple(sorted(names))
        yield Happened(Event.ARRIVAL, f"{consignment} {at.isoformat()}", at, about, about)
    for incident in book.once(exposure.incidents):
        inside = {
            standing.batch
            for room in incident.rooms
            for standing in book.in_room.get(room, ())
            if standing.overlaps(incident.at, incident.at + timedelta(milliseconds=1))
        }
        about = (*incident.about, *sorted({*inside, *incident.rooms} - {*incident.about}))
        batches = tuple(name for name in about if name in book.batches)
        event = Event.FIND if incident.kind == "find" else Event.BREACH
        yield Happened(event, incident.id, incident.at, about, batches)


class _Heard(NamedTuple):
    at: datetime
    entry: str
    who: str
    about: tuple[str, ...]

    def concerns(self, one: Happened) -> bool:
        return not set(self.about).isdisjoint(one.about)


def _said(book: Book) -> tuple[_Heard, ...]:
    """Return who was told of anything, and when."""
    return tuple(
        _Heard(entry.occurred_at, entry.id, entry.body.who, tuple(entry.about))
        for entry in standing(book.finds).entries
        if isinstance(entry.body, Told)
    )


MAKERS = (notifications,)
