"""Checks that are asked for once: inspections, tests, ordered treatments, looks after a find."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from nursery.domain import exposure, quarantine
from nursery.domain import ordered_looks as looks
from nursery.domain.book import Book
from nursery.domain.due_check import Check, ident
from nursery.domain.history import NOTHING, of_book
from nursery.domain.kinds.health import Answer
from nursery.domain.reason import Reason
from nursery.domain.record import Record
from nursery.domain.rounds import MOMENT, asked_for, left_on, record_of


def for_release(book: Book, first: date, last: date) -> Iterable[Check]:
    """Each official inspection and test that a release rests on falls due before it (rule C-7).

    One that must be near the release opens so many days before the first notice; as long as nobody
    can say that day, none is due.
    """
    for batch in book.batches.values():
        if left_on(batch, book) < first:
            continue
        clock = quarantine.clock(batch, book)
        notice = None if clock is None else clock.notice_from
        if clock is None or notice is None or clock.released:
            continue
        for reason in (*clock.met, *clock.unmet):
            kind = BEFORE_RELEASE.get(reason.code)
            if kind is None:
                continue
            opens_at = book.start_of(_opens_on(reason, clock.started_on or first, notice))
            done = reason.params["on"] if reason.code in DONE else None
            done_at = None if done is None else book.start_of(date.fromisoformat(done))
            if asked_for(opens_at, done_at, (first, last), book):
                number = reason.params["number"]
                yield Check(
                    id=ident(kind, ",".join(clock.permits), batch.id, str(number)),
                    kind=kind,
                    subject=batch.id,
                    opens_at=opens_at,
                    due_by=book.end_of(notice) - MOMENT,
                    answered_by=reason.params.get("entry") if done else None,
                    params={name: reason.params[name] for name in ASKED_WITH[kind]},
                )


def _opens_on(reason: Reason, started: date, notice: date) -> date:
    limit = reason.params.get("limit")
    return started if limit is None else max(started, notice - timedelta(days=limit))


INSPECTION, TEST = "inspection", "test"
BEFORE_RELEASE = {
    "inspected": INSPECTION,
    "inspection_missing": INSPECTION,
    "inspection_too_old": INSPECTION,
    "tested": TEST,
    "test_missing": TEST,
    "test_too_old": TEST,
}
DONE = frozenset(("inspected", "tested"))
ASKED_WITH = {INSPECTION: ("number", "active_growth"), TEST: ("number", "test")}


def treatments(book: Book, first: date, last: date) -> Iterable[Check]:
    """The next treatment of a course that an order asks for, from the day on which it counts."""
    for batch in book.batches.values():
        past = book.once(of_book).get(batch.id, NOTHING)
        for reference, course in sorted(past.courses.items()):
            ordered = [one.at for one in batch.record.orders if one.reference == reference]
            if len(course.done) >= course.asked or not ordered or left_on(batch, book) < first:
                continue
            opens_on = course.next_from or book.day(min(ordered))
            number = len(course.done) + 1
            by_day = _by_day(opens_on, batch.record, reference)
            booked = [
                b.on for b in batch.record.bookings if b.order == reference and b.on >= opens_on
            ]
            opens_at = book.start_of(opens_on)
            if asked_for(opens_at, None, (first, last), book):
                yield Check(
                    id=ident("treatment", reference, batch.id, str(number)),
                    kind="treatment",
                    subject=batch.id,
                    opens_at=opens_at,
                    due_by=book.end_of(min([*booked, *by_day], default=opens_on)) - MOMENT,
                    params={"reference": reference, "number": number, "of": course.asked},
                )


def _by_day(opens_on: date, record: Record, reference: str) -> list[date]:
    """Return until when an order wants its treatments done: never before the next one counts."""
    days = [one.due_on for one in record.orders if one.reference == reference]
    return [max(opens_on, one) for one in days if one is not None]


def ordered_looks(book: Book, first: date, last: date) -> Iterable[Check]:
    """A look-over that an order names by its day is due on it, and stays till made (C-12)."""
    for batch in book.batches.values():
        if left_on(batch, book) < first:
            continue
        for one in looks.of_batch(batch.id, book):
            opens_at = book.start_of(one.on)
            done_at = None if one.done is None else one.done.at
            if one.on <= left_on(batch, book) and asked_for(opens_at, done_at, (first, last), book):
                yield Check(
                    id=ident("ordered_look", one.reference, batch.id, one.on.isoformat()),
                    kind="ordered_look",
                    subject=batch.id,
                    opens_at=opens_at,
                    due_by=book.end_of(one.on) - MOMENT,
                    answered_by=None if one.done is None else one.done.entry,
                    params={"reference": one.reference, "on": one.on.isoformat()},
                )


def elsewhere(book: Book, first: date, last: date) -> Iterable[Check]:
    """Where people, tools or water of an incident's room were too is looked over (E-6, E-11)."""
    for incident in book.once(exposure.incidents):
        for outside in incident.ring:
            done = _looked_since(outside.place, incident.at, book)
            done_at = None if done is None else done[0]
            open_or_done = incident.open or done is not None
            if open_or_done and asked_for(incident.at, done_at, (first, last), book):
                yield Check(
                    id=ident("look_elsewhere", incident.id, outside.place, ""),
                    kind="look_elsewhere",
                    subject=outside.place,
                    opens_at=incident.at,
                    due_by=book.end_of(book.day(incident.at)) - MOMENT,
                    answered_by=None if done is None else done[1],
                    params={
                        "incident": incident.id,
                        "people": list(outside.people),
                        "things": list(outside.things),
                    },
                )


def _looked_since(room: str, at: datetime, book: Book) -> tuple[datetime, str] | None:
    """Return when the last batch of a room was looked over since, or the room itself was."""
    seats = [_first_look(record_of(place, book), at) for place in book.subtree(room)]
    whole = [look for look in seats if look is not None]
    if whole:
        return min(whole)
    names = sorted({s.batch for s in book.in_room.get(room, ()) if s.until is None})
    looks = [_first_look(book.batches[name].record, at) for name in names]
    done = [look for look in looks if look is not None]
    return max(done) if done and len(done) == len(looks) else None


def _first_look(record: Record, at: datetime) -> tuple[datetime, str] | None:
    for one in record.looks:
        if one.at > at and one.answer is not Answer.NOT_LOOKED:
            return one.at, one.entry
    return None


MAKERS = (for_release, treatments, ordered_looks, elsewhere)
