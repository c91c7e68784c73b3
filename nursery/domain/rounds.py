"""Checks that come round: look-overs, trap readings and readings, as often as dated terms say."""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple, TypeVar

from nursery.domain import conditions
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.due_check import Check, Period, ident, periods
from nursery.domain.history import NOTHING, of_book
from nursery.domain.kinds.health import Answer
from nursery.domain.kinds.place import TrapAnswer
from nursery.domain.record import Figure, Look, Record, TrapLook
from nursery.domain.reference import PlaceKind
from nursery.domain.terms import LookOver, Reading, Term, TrapReading

MOMENT = timedelta(milliseconds=1)
NO_RECORD = Record()

R = TypeVar("R", LookOver, TrapReading, Reading)
Kept = TypeVar("Kept", Look, TrapLook, Figure)


class Owed(NamedTuple):
    """One period of one term, and the instants between which it is to be done."""

    term: Term
    period: Period
    opens_at: datetime
    due_by: datetime


def look_overs(book: Book, first: date, last: date) -> Iterable[Check]:
    """Each batch is looked over in each period of its term, from the day it came (rule C-3).

    Plants that are gone or released before a period ends owe nothing more for it.
    """
    for batch in book.batches.values():
        yield from looks_of(batch, book, first, last)


def looks_of(batch: Batch, book: Book, first: date, last: date) -> Iterable[Check]:
    """Yield the look-overs of one batch, done or not."""
    if batch.began_at is None:
        return
    came, left = book.day(batch.began_at), left_on(batch, book)
    if left < first and (first - left).days >= book.once(conditions.longest_period):
        return  # gone before the period began in which the first day lies

    def terms_on(day: date) -> conditions.Terms[LookOver]:
        return conditions.of_batch(batch.id, LookOver, day, book)

    for owed in _owed(terms_on, came, first, min(last, left), book):
        check = _looked_over(batch, owed, book)
        ends = owed.period.last
        past = book.once(of_book).get(batch.id, NOTHING)
        # A newer term replaces an older one only from its own first period on.
        asked = any(term is owed.term for term, _ in terms_on(ends))
        asked = asked or not conditions.released_by(past, ends, book)
        if (asked and ends < left) or check.answered_by is not None:
            yield check


def left_on(batch: Batch, book: Book) -> date:
    left_at = batch.gone_at if gone(batch) else None
    return date.max if left_at is None else book.day(left_at)


def _owed(
    terms_on: Callable[[date], conditions.Terms[R]],
    anchor: date,
    first: date,
    last: date,
    book: Book,
) -> Iterable[Owed]:
    """Yield the periods of the terms, each under the term that held on its first day."""
    days = {anchor, *(day for day in book.once(conditions.changes) if anchor < day <= last)}
    found = {term.id: (term, rule) for day in sorted(days) for term, rule in terms_on(day)}
    for term, rule in found.values():
        for period in periods(rule.every_days, anchor, first, last):
            began = max(period.first, anchor)
            if any(one is term for one, _ in terms_on(began)):
                closes = book.end_of(period.last) - MOMENT
                yield Owed(term, period, book.start_of(began), closes)


def _looked_over(batch: Batch, owed: Owed, book: Book) -> Check:
    name = ident("look_over", owed.term.id, batch.id, owed.period.name)
    looks = [*_before_birth(batch, owed, book)]
    looks += _between(batch.record.looks, owed.opens_at, owed.due_by)
    done = next((one for one in looks if one.answer is not Answer.NOT_LOOKED), None)
    blank = next((one for one in looks if one.answer is Answer.NOT_LOOKED), None)
    said = next(((one.entry, one.reason) for one in batch.record.skips if one.check == name), None)
    if said is None and blank is not None:
        said = (blank.entry, blank.why or "")
    accepted = (
        one.entry
        for one in batch.record.acceptances
        if one.week_of is not None and owed.period.first <= one.week_of <= owed.period.last
    )
    return Check(
        id=name,
        kind="look_over",
        subject=batch.id,
        opens_at=owed.opens_at,
        due_by=owed.due_by,
        term=owed.term.id,
        source=owed.term.source,
        answered_by=None if done is None else done.entry,
        skipped_by=said[0] if said is not None and done is None else None,
        why=said[1] if said is not None and done is None else None,
        accepted_by=next(accepted, None),
        params={"week_of": owed.period.name},
    )


def _before_birth(batch: Batch, owed: Owed, book: Book) -> Iterable[Look]:
    """Yield what answers the period of a batch's birth: its parents' looks of the days before it.

    Of several parents each was looked over by then, and the last of those looks counts (rule C-3).
    """
    born = batch.began_at
    kin = [book.batches[name].record.looks for name in batch.parents if name in book.batches]
    if born is None or not owed.period.first <= book.day(born) <= owed.period.last or not kin:
        return
    since = book.start_of(owed.period.first)
    seen = [
        [one for one in _between(looks, since, born) if one.answer is not Answer.NOT_LOOKED]
        for looks in kin
    ]
    if all(seen) and len(seen) == len(batch.parents):
        yield max((looks[-1] for looks in seen), key=lambda one: (one.at, one.entry))


def _between(items: Sequence[Kept], since: datetime, until: datetime) -> Sequence[Kept]:
    start = bisect_left(items, since, key=lambda one: one.at)
    return items[start : bisect_left(items, until + MOMENT, key=lambda one: one.at)]


def trap_readings(book: Book, first: date, last: date) -> Iterable[Check]:
    """Each trap of a room is read in each period of the room's terms (rule C-5).

    Not readable is an answer of its own: the period stays open, and the count is never zero.
    """
    for room, names in sorted(book.once(traps).items()):
        for owed in _owed_in(room, TrapReading, first, last, book):
            for trap in names:
                row = book.row("place", trap)
                begun = row.since is None or row.since <= owed.period.last
                if begun and (row.until is None or row.until > owed.period.last):
                    yield _trap_read(trap, owed, book)


def traps(book: Book) -> dict[str, list[str]]:
    """Return the traps of each room."""
    found: dict[str, list[str]] = {}
    for name, row in book.rows_of("place"):
        if row.kind is PlaceKind.TRAP:
            found.setdefault(book.rooms[name], []).append(name)
    return found


def _owed_in(room: str, rule: type[R], first: date, last: date, book: Book) -> Iterable[Owed]:
    """Yield the periods of the terms that apply in a room, those of N days from the term's date."""
    days = {first, *(day for day in book.once(conditions.changes) if first < day <= last)}
    found = {
        term.id: (term, says)
        for day in sorted(days)
        for term, says in conditions.of_room(room, rule, day, last, book)
    }
    for term, says in found.values():
        for period in periods(says.every_days, term.since, first, last):
            if any(one is term for one, _ in conditions.of_room(room, rule, *period, book)):
                opens_at = book.start_of(max(period.first, term.since))
                yield Owed(term, period, opens_at, book.end_of(period.last) - MOMENT)


def record_of(place: str, book: Book) -> Record:
    return book.places[place].record if place in book.places else NO_RECORD


def _trap_read(trap: str, owed: Owed, book: Book) -> Check:
    name, record = ident("trap", owed.term.id, trap, owed.period.name), record_of(trap, book)
    looks = _between(record.traps, owed.opens_at, owed.due_by)
    read = next((one.entry for one in looks if one.answer is TrapAnswer.READ), None)
    unreadable = [one for one in looks if one.answer is TrapAnswer.NOT_READABLE]
    skip = next((one for one in record.skips if one.check == name and read is None), None)
    params: dict[str, Any] = {"week_of": owed.period.name}
    if read is None and unreadable:
        params["not_readable"] = unreadable[-1].entry
    return Check(
        id=name,
        kind="trap",
        subject=trap,
        opens_at=owed.opens_at,
        due_by=owed.due_by,
        term=owed.term.id,
        source=owed.term.source,
        answered_by=read,
        skipped_by=None if skip is None else skip.entry,
        why=None if skip is None else skip.reason,
        params=params,
    )


def replacements(book: Book, first: date, last: date) -> Iterable[Check]:
    """A trap that could not be read is replaced within the days of the term (rule C-5)."""
    for room, names in sorted(book.once(traps).items()):
        for trap in names:
            for index, look in enumerate(record_of(trap, book).traps):
                if look.answer is TrapAnswer.NOT_READABLE and not look.replaced:
                    yield from _replaced(room, trap, index, book, (first, last))


def _replaced(
    room: str, trap: str, index: int, book: Book, days: tuple[date, date]
) -> Iterable[Check]:
    looks = record_of(trap, book).traps
    look = looks[index]
    on = book.day(look.at)
    terms = conditions.of_room(room, TrapReading, on, on, book)
    within = [
        (rule.replace_within_days, term)
        for term, rule in terms
        if rule.replace_within_days is not None
    ]
    if not within:
        return
    soonest, term = min(within, key=lambda one: (one[0], one[1].id))
    done = next(
        (one for one in looks[index + 1 :] if one.replaced or one.answer is TrapAnswer.READ), None
    )
    if asked_for(look.at, None if done is None else done.at, days, book):
        name = ident("replace_trap", term.id, trap, look.entry)
        skip = next(
            (one for one in record_of(trap, book).skips if one.check == name and done is None), None
        )
        yield Check(
            id=name,
            kind="replace_trap",
            subject=trap,
            opens_at=look.at,
            due_by=book.end_of(on + timedelta(days=soonest)) - MOMENT,
            term=term.id,
            source=term.source,
            answered_by=None if done is None else done.entry,
            skipped_by=None if skip is None else skip.entry,
            why=None if skip is None else skip.reason,
            params={"not_readable": look.entry, "why": look.why},
        )


def asked_for(
    opens_at: datetime, done_at: datetime | None, days: tuple[date, date], book: Book
) -> bool:
    """Return whether a check that stays until it is answered belongs to these days."""
    first, last = days
    begun = opens_at < book.end_of(last)
    return begun and (done_at is None or done_at >= book.start_of(first))


def readings(book: Book, first: date, last: date) -> Iterable[Check]:
    """Each instrument is read in each room, or at each place that the nursery's own rule names."""
    for room in sorted({*book.in_room, *book.rooms.values()}):
        for owed in _owed_in(room, Reading, first, last, book):
            yield _was_read(room, owed, book)


def _was_read(room: str, owed: Owed, book: Book) -> Check:
    what = owed.term.rule.what if isinstance(owed.term.rule, Reading) else ""
    name = ident("reading", owed.term.id, room, owed.period.name)
    records = [record_of(place, book) for place in book.subtree(room)]
    records += [book.batches[standing.batch].record for standing in book.in_room.get(room, ())]
    figures = [
        (one.at, one.entry)
        for record in records
        for one in _between(record.figures, owed.opens_at, owed.due_by)
        if one.what == what
    ]
    skip = next((one for record in records for one in record.skips if one.check == name), None)
    skip = None if figures else skip
    return Check(
        id=name,
        kind="reading",
        subject=room,
        opens_at=owed.opens_at,
        due_by=owed.due_by,
        term=owed.term.id,
        source=owed.term.source,
        answered_by=min(figures)[1] if figures else None,
        skipped_by=None if skip is None else skip.entry,
        why=None if skip is None else skip.reason,
        params={"week_of": owed.period.name, "what": what},
    )


MAKERS = (look_overs, trap_readings, replacements, readings)
