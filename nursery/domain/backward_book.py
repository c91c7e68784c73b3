"""What the book knows for a plan worked back from the field: losses, programs, pots, permits."""

from collections.abc import Iterator
from datetime import date, timedelta

from nursery.domain.backward import BEFORE, LONGEST_DAYS, NURSERY, Known
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.profiles import Profile
from nursery.domain.program import Program
from nursery.domain.reference import Crop
from nursery.domain.terms import Inspection
from nursery.domain.toughening import course

# Seed of which nobody knows how long it takes has come up by then. (From memory.)
LONG_UP = timedelta(weeks=12)


def known(crop: str, permit: str | None, book: Book, today: date) -> Known:
    """Return what is known of a crop here, and how long a permit's last inspection holds good."""
    row: Crop | None = book.row("crop", crop)
    profile = None if row is None else row.profile
    program = _program(crop, profile, book, today)
    days = None if program is None else min(LONGEST_DAYS, sum(s.days for s in program.steps))
    return Known(profile, days, _full_days(row), _look_days(permit, book))


def _program(crop: str, profile: Profile | None, book: Book, today: date) -> Program | None:
    usual = None if profile is None or profile.toughening_weeks.low == 0 else profile.program()
    return course.own_program(crop, book, today) or usual


def _full_days(row: Crop | None) -> int | None:
    """Return the days of the usual container, else those of the pot that is full first."""
    pots = {} if row is None else _full(row)
    usual = None if row is None or row.profile is None else row.profile.container
    return pots.get(usual or "", min(pots.values(), default=None))


def _full(row: Crop) -> dict[str, int]:
    return {p.container: min(LONGEST_DAYS, p.full_days) for p in row.pots if p.full_days}


def _look_days(permit: str | None, book: Book) -> int | None:
    rules = [term.rule for term in book.terms_of(permit) if isinstance(term.rule, Inspection)]
    limits = [one.most_days_before_release for one in rules]
    known = [min(LONGEST_DAYS, one) for one in limits if one is not None]
    return min(known, default=None)


def past(crop: str, book: Book, today: date) -> dict[str, list[tuple[int, int]]]:
    """Return how many of the nursery's own batches went into a stage and came out of it.

    Seed counts once it had its time to come up; plants once none is left in the nursery, and
    none went from one batch to another.
    """
    some = [one for one in book.batches.values() if course.crop_of(one, book) == crop]
    row: Crop | None = book.row("crop", crop)
    profile = None if row is None else row.profile
    up = None if profile is None else profile.stages.get("germination")
    wait = LONG_UP if up is None else timedelta(weeks=up.high or up.low)
    return {
        BEFORE: [pair for one in some for pair in _came_up(one, today - wait, book)],
        NURSERY: [pair for one in some for pair in _went_out(one)],
    }


def _came_up(batch: Batch, by: date, book: Book) -> Iterator[tuple[int, int]]:
    if batch.seeds and batch.began_at is not None and book.day(batch.began_at) <= by:
        yield batch.seeds, min(batch.emerged, batch.seeds)


def _went_out(batch: Batch) -> Iterator[tuple[int, int]]:
    ledger = batch.ledger
    moved = ledger.split or ledger.joined or ledger.mixed
    out = ledger.planted + ledger.sent
    if batch.counted and not moved and ledger.alive == 0 and 0 < out <= ledger.came_in:
        yield ledger.came_in, out
