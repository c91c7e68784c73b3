"""Survival counts as due checks: what a block's chosen months ask for (rules F-30, F-31)."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from nursery.domain.assembled import of_book
from nursery.domain.book import Book
from nursery.domain.due_check import Check, ident
from nursery.domain.field import counting, plan
from nursery.domain.occupants import Field, Occupant
from nursery.domain.record import Skip
from nursery.domain.reference.layouts import Layout
from nursery.domain.rounds import MOMENT, asked_for, record_of

KIND = "survival"
DAY = timedelta(days=1)


class Turn(NamedTuple):
    """One count: so many months after planting, from its day until the next one's comes."""

    months: int
    on: date
    until: date


def counts(book: Book, first: date, last: date) -> Iterable[Check]:
    """Each block is counted so many months after it was planted; a look at a plant answers it.

    It stays until it is answered or the next one comes: then the one that was missed is past.
    """
    some = book.once(of_book)
    for name, layout in book.rows_of("layout"):
        if name in some:
            plants = _plants(some[name], layout)
            began = min((one.on for one in plants if one.first), default=None)
            turns = [] if began is None else _turns(began, layout.count_months)
            # A record tells of a whole row, so a block has few of them beside its plants.
            looks = sorted({(sight.on, sight.entry) for one in plants for sight in one.seen})
            for turn in turns:
                # One that was missed is asked for no more once the next one has come.
                if turn.until >= first:
                    yield from _asked(layout, turn, looks, (first, last), book)


def _plants(field: Field, layout: Layout) -> list[Occupant]:
    """Return whoever stands or stood in the positions of the crop; not of shelter trees."""
    crop = plan.places(layout)
    return [one for name, some in field.positions.items() if name in crop for one in some]


def _turns(planted: date, months: Iterable[int]) -> list[Turn]:
    days = [(n, counting.months_after(planted, n)) for n in sorted(set(months))]
    ends = [*(on - DAY for _, on in days[1:]), date.max]
    return [Turn(n, on, until) for (n, on), until in zip(days, ends, strict=False)]


def _asked(
    layout: Layout,
    turn: Turn,
    looks: Sequence[tuple[date, str]],
    days: tuple[date, date],
    book: Book,
) -> Iterable[Check]:
    within = counting.spell(layout)
    early, late = turn.on - within, min(turn.on + within, turn.until)
    done = next((one for one in looks if early <= one[0] <= turn.until), None)
    opens_at = book.start_of(turn.on)
    done_at = None if done is None else book.start_of(done[0])
    if not asked_for(opens_at, done_at, days, book):
        return
    skip = None if done is not None else skipped(layout, turn.months, turn.on, book)
    yield Check(
        id=named(layout, turn.months, turn.on),
        kind=KIND,
        subject=layout.id,
        opens_at=opens_at,
        due_by=book.end_of(late) - MOMENT,
        answered_by=None if done is None else done[1],
        skipped_by=None if skip is None else skip.entry,
        why=None if skip is None else skip.reason,
        params={"months": turn.months, "on": turn.on.isoformat()},
    )


def named(layout: Layout, months: int, on: date) -> str:
    """Return the id of the check that asks for a count."""
    return ident(KIND, str(months), layout.id, on.isoformat())


def skipped(layout: Layout, months: int, on: date, book: Book) -> Skip | None:
    """Return the record that says why a count is not made; None where nobody skipped it."""
    name = named(layout, months, on)
    return next((one for one in record_of(layout.id, book).skips if one.check == name), None)


MAKERS = (counts,)
