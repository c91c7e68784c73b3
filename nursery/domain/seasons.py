"""The season clock and the plant clock, and where they collide with the legal one, in words.

Planting weeks are rows set by hand; how long a crop takes to fill a pot is a row with its source.
The loss of a season is told when it is known, not when it has come (rules S-1 to S-3).
"""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from nursery.domain import quarantine
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.days import LAST_DAY, later
from nursery.domain.quarantine import Clock
from nursery.domain.reason import Reason
from nursery.domain.reference import Pot

WEEK = 7


class Season(NamedTuple):
    """Planting weeks of one year, both days included; `main` where they are the first given."""

    first: date
    last: date
    main: bool
    set_by: str | None = None
    set_on: date | None = None


def ahead(
    batch: Batch, clock: Clock | None, book: Book, today: date, room: date | None = None
) -> tuple[Reason, ...]:
    """Return what planting weeks are lost, which come next, and whether the pots last till then.

    `room` is the day on which all that goes out with the batch is ready, where that is later.
    """
    planted = None
    found: list[Reason] = []
    free = _free_on(clock, book, today)
    if free is not None:
        free = max(free, room or free)
        season = next(iter(after(free, book)), None)
        if season is not None:
            planted = max(free, season.first)
            found += _told(season, _lost(clock, free, book), planted)
    waits = clock is not None and not clock.released
    return (*found, *_pots(batch, planted, book, waits=waits))


def of_batch(
    batch: Batch, book: Book, today: date, together: date | None = None
) -> tuple[Reason, ...]:
    """Return the same of a batch by its own clock, or with all that goes out with it (rule S-1)."""
    return ahead(batch, quarantine.clock(batch, book, today), book, today, together)


def _free_on(clock: Clock | None, book: Book, today: date) -> date | None:
    """Return the first day on which the plants may be planted, as far as the law decides it."""
    if clock is None or clock.released:
        return today
    return None if clock.notice_from is None else max(clock.notice_from, today)


def _told(season: Season, lost: Season | None, planted: date) -> Iterator[Reason]:
    coming = {"first": planted.isoformat(), "last": season.last.isoformat()}
    if lost is None:
        yield Reason("planting_weeks", coming)
        return
    about = {
        "first": lost.first.isoformat(),
        "last": lost.last.isoformat(),
        "next_first": coming["first"],
        "next_last": coming["last"],
    }
    yield Reason("main_weeks_lost", about) if lost.main else Reason("weeks_lost", about)


def _lost(clock: Clock | None, free: date, book: Book) -> Season | None:
    """Return the planting weeks that the first day of release would have met; the main ones first.

    Of plants that no law holds nothing is lost (rule S-2).
    """
    if clock is None or clock.released or clock.earliest is None:
        return None
    hoped = clock.earliest
    if clock.moved:
        hoped = date.fromisoformat(clock.moved[0].params["from"])
    lost = [one for one in after(hoped, book) if one.last < free]
    return next((one for one in lost if one.main), lost[0] if lost else None)


def coming(day: date, book: Book) -> Season | None:
    """Return the planting weeks that a day lies in, or else the next ones."""
    return next(iter(after(day, book)), None)


def full_on(batch: Batch, book: Book) -> date | None:
    """Return the day on which the pots of a batch are full (rule S-3); None where nobody knows."""
    first = min(_full(batch, book), default=None)
    return None if first is None else first[0]


def weeks_full(full: date, planted: date) -> int:
    """Return for how many weeks pots are full before planting, to the nearest week (rule S-3)."""
    return round((planted - full).days / WEEK)


def after(day: date, book: Book) -> list[Season]:
    """Return the planting weeks that end on a day or later, within some years, by first day."""
    weeks = [one for _, row in book.rows_of("nursery") for one in row.planting]
    found = []
    for year in range(day.year - 1, min(day.year + 3, LAST_DAY.year)):
        for index, one in enumerate(weeks):
            turn = 1 if one.last < one.first else 0
            first = date.fromisoformat(f"{year:04d}-{one.first}")
            last = date.fromisoformat(f"{year + turn:04d}-{one.last}")
            if last >= day:
                found.append(Season(first, last, index == 0, one.set_by, one.set_on))
    return sorted(found, key=lambda one: one[:3])


def _pots(batch: Batch, planted: date | None, book: Book, *, waits: bool) -> Iterator[Reason]:
    """Yield when the pots are full, and whether that is before the plants can be planted (S-3).

    Of plants that are free or under no law, nobody has to consent to potting.
    """
    full = min(_full(batch, book), default=None)
    if full is None or gone(batch):
        return
    on, pot = full
    yield Reason("pots_full", {"on": on.isoformat(), "container": pot})
    weeks = 0 if planted is None else weeks_full(on, planted)
    if planted is not None and weeks > 0:
        about = {"n": weeks, "on": on.isoformat(), "first": planted.isoformat()}
        yield Reason("pots_full_before", about) if waits else Reason("pots_full_free", about)


def _full(batch: Batch, book: Book) -> Iterator[tuple[date, str]]:
    """Yield the day on which the pots are full; of plants not potted since, those of their parents.

    A batch of lost labels may be of any of its parents: the first of their days counts.
    """
    for one in potted_as(batch, book):
        pot = _pot(one, batch, book)
        if pot is not None and pot.full_days is not None and one.contained_at is not None:
            yield later(book.day(one.contained_at), pot.full_days), pot.container


def potted_as(batch: Batch, book: Book) -> tuple[Batch, ...]:
    """Return the batches whose pots these plants stand in: itself, or the nearest it came from."""
    found: dict[str, Batch] = {}
    seen: set[str] = set()
    waiting = [batch.id]
    while waiting:
        name = waiting.pop()
        state = book.batches.get(name)
        if state is None or name in seen:
            continue
        seen.add(name)
        if state.container is not None:
            found[name] = state
        else:
            waiting.extend(state.parents)
    return tuple(found[name] for name in sorted(found))


def _pot(potted: Batch, batch: Batch, book: Book) -> Pot | None:
    """Return what is known of a batch's crop in the container of one that it stands in."""
    return pot_of(_crop(batch, book), potted.container, book)


def _crop(batch: Batch, book: Book) -> str | None:
    """Return the crop of a batch, by its label, its parents' or the one crop of its consignment."""
    names = (batch.id, *book.ancestors(batch.id))
    some = [book.batches[name] for name in names if name in book.batches]
    labelled = next((one.crop for one in some if one.crop is not None), None)
    rows = (book.row("consignment", one.consignment) for one in some)
    lines = {line.crop for row in rows if row is not None for line in row.lines}
    return next(iter(lines)) if labelled is None and len(lines) == 1 else labelled


def pot_of(crop: str | None, container: str | None, book: Book) -> Pot | None:
    """Return what is known of a crop in a container, or None."""
    row = book.row("crop", crop)
    if row is None or container is None:
        return None
    found: Pot | None = next(
        (pot for pot in row.pots if pot.container.casefold() == container.casefold()), None
    )
    return found


def m2_of(batch: Batch, book: Book) -> float | None:
    """Return how much bench a batch takes, or None where nobody said how many stand on a m2."""
    pots = [_pot(one, batch, book) for one in potted_as(batch, book)]
    per_m2 = [pot.per_m2 for pot in pots if pot is not None and pot.per_m2 is not None]
    if not per_m2 or len(per_m2) < len(pots) or batch.alive is None:
        return None
    return max(batch.alive, 0) / min(per_m2)
