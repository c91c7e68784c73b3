"""What the book knows for a plan worked back from the field: losses, programs, pots, permits."""

from collections.abc import Iterator
from datetime import date, timedelta

from nursery.domain import propagation
from nursery.domain.backward import BEFORE, LONGEST_DAYS, NURSERY, TAKE, Known
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.profiles import Profile
from nursery.domain.program import Program
from nursery.domain.reference import Crop
from nursery.domain.terms import Inspection
from nursery.domain.toughening import course

# Seed and cuttings of which nobody knows how long they take have come up by then. (From memory.)
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

    Seed and cuttings count once they had their time, grafts once somebody counted the take;
    plants once none is left in the nursery, and none went from one batch to another (rule K-4).
    """
    some = [one for one in book.batches.values() if course.crop_of(one, book) == crop]
    row: Crop | None = book.row("crop", crop)
    profile = None if row is None else row.profile
    up, root = (today - _wait(profile, stage) for stage in ("germination", "rooting"))
    return {
        BEFORE: [pair for one in some for pair in _came_up(one, (up, root), book)],
        TAKE: [pair for one in some for pair in _took(one)],
        NURSERY: [pair for one in some for pair in _went_out(one)],
    }


def _wait(profile: Profile | None, stage: str) -> timedelta:
    weeks = None if profile is None else profile.stages.get(stage)
    return LONG_UP if weeks is None else timedelta(weeks=weeks.high or weeks.low)


def _came_up(batch: Batch, by: tuple[date, date], book: Book) -> Iterator[tuple[int, int]]:
    began = None if batch.began_at is None else book.day(batch.began_at)
    if began is not None and batch.seeds and began <= by[0]:
        yield batch.seeds, min(batch.emerged, batch.seeds)
    roots = propagation.rooted(batch)
    if began is not None and roots is not None and began <= by[1]:
        yield roots


def _took(batch: Batch) -> Iterator[tuple[int, int]]:
    for one in propagation.grafts(batch):
        if one.took is not None and one.plants:
            yield one.plants, min(one.took, one.plants)


def _went_out(batch: Batch) -> Iterator[tuple[int, int]]:
    ledger = batch.ledger
    moved = ledger.split or ledger.joined or ledger.mixed
    out = ledger.planted + ledger.sent
    if batch.counted and not moved and ledger.alive == 0 and 0 < out <= ledger.came_in:
        yield ledger.came_in, out
