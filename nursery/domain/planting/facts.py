"""What a planting day is judged by, as the book tells it, and what was signed."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from typing import Any

from nursery.domain import grades, holds, quarantine, reentry, seasons
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.overrides import sound
from nursery.domain.planted_together import CONSIGNMENT, Item, items
from nursery.domain.planting import holes
from nursery.domain.planting.booked import PLANTING, bookings, planting_of
from nursery.domain.planting.day import Block, Check, Day, Odds, Plants, checks, verdict
from nursery.domain.planting.dry_spell import Risks
from nursery.domain.planting.figures import FIGURES_COUNT, OF_THE_FIELD, value
from nursery.domain.record import Signature
from nursery.domain.reference import USUAL_LEVELS, Levels
from nursery.domain.toughening import Advice, Doing, course

# Planting weeks are near so many days before they open: as far as phones are told anything.
SOON = timedelta(days=60)
OUTLOOK_DAYS, HEAT_DAYS = 10, 3
_WORST = (Doing.DONE, Doing.FORWARD, Doing.STAY, Doing.FREEZE, Doing.BACK)


@dataclass(frozen=True, slots=True)
class Group:
    """Plants that go out together, and the blocks that wait for them."""

    id: str
    name: str
    batches: tuple[Batch, ...]
    blocks: tuple[str, ...]
    on: date


@dataclass(frozen=True, slots=True)
class Facts:
    """`waiting` are plants of grade B; `spares` as many of them as were signed for."""

    group: Group
    plants: Plants
    day: Day
    blocks: tuple[Block, ...]
    checks: tuple[Check, ...]
    levels: Levels
    signed: dict[str, Signature]
    waiting: int
    spares: int

    def verdict(self, block: str | None = None) -> str:
        return verdict(self.checks, self.signed, block).value


def of_book(book: Book, today: date, risks: Risks | None = None) -> tuple[Facts, ...]:
    """Return the facts of every group that is in the sun, booked, or near its weeks (V-5).

    `risks` are those of a dry spell, where there is weather enough for odds (V-11).
    """
    return tuple(_facts(group, book, today, risks) for group in _groups(book, today))


def levels_of(book: Book) -> Levels:
    """Return the levels that the grower set, or the usual ones (rule V-2)."""
    return next((row.planting for _, row in book.rows_of("site")), USUAL_LEVELS)


def _groups(book: Book, today: date) -> Iterator[Group]:
    near = _near(book, today)
    for item in items(book):
        batches = _going(item, book, today)
        booked = [one for _, one in bookings(batches, book) if one.on >= today]
        begun = any(_begun(one, book, today) for one in batches)
        if batches and (begun or booked or (near and _is_planned(book))):
            on = min((one.on for one in booked), default=near or today)
            blocks = _blocks(batches, on, book)
            wanted = any(holes.waiting(name, book) for name in blocks)
            if booked or wanted or not blocks:
                yield Group(item.id, item.name, batches, blocks, on)


def _going(item: Item, book: Book, today: date) -> tuple[Batch, ...]:
    """Return a whole consignment; of a crop the batches brought to the sun or booked (rule V-5)."""
    if item.kind == CONSIGNMENT:
        return item.batches
    return tuple(
        one
        for one in item.batches
        if _begun(one, book, today) or any(said.on >= today for said in planting_of(one.record))
    )


def _near(book: Book, today: date) -> date | None:
    """Return the first day of planting weeks that are open or near: today where they are open."""
    season = seasons.coming(today, book)
    if season is None or season.first > today + SOON:
        return None
    return max(today, season.first)


def _is_planned(book: Book) -> bool:
    return any(row.holes for _, row in book.rows_of("place"))


def _begun(batch: Batch, book: Book, today: date) -> bool:
    found = course.of_batch(batch, book, today)
    return found is not None and found.standing is not None


def _blocks(batches: Iterable[Batch], on: date, book: Book) -> tuple[str, ...]:
    """Return the blocks that the booking names, or all in which plants are wanted (rule V-5)."""
    wanted = [name for name, row in book.rows_of("place") if row.holes]
    named = {name for name, one in bookings(batches, book) if one.on == on and name in book.places}
    within = {inner for name in named for inner in book.subtree(name)}
    return tuple(name for name in wanted if not within or name in within)


def blocks_of(batches: Iterable[Batch], book: Book, today: date) -> tuple[Block, ...]:
    """Return the blocks that wait for plants, on the first day that is booked for them (V-5)."""
    some = tuple(batches)
    on = min((one.on for _, one in bookings(some, book) if one.on >= today), default=today)
    return tuple(_waiting(name, book, today) for name in _blocks(some, on, book))


def _facts(group: Group, book: Book, today: date, risks: Risks | None) -> Facts:
    levels = levels_of(book)
    graded = [_grade(batch) for batch in group.batches]
    blocks = tuple(_waiting(name, book, today) for name in group.blocks)
    plants = _plants(group, sum(a for a, _ in graded), book, today)
    day = of_day(group, sum(block.planned for block in blocks), book, today, risks)
    signatures = [one for one in signed_for(group, book) if sound(one, book)]
    return Facts(
        group=group,
        plants=plants,
        day=day,
        blocks=blocks,
        checks=checks(plants, day, blocks, levels),
        levels=levels,
        signed={key: one for one in signatures for key in one.checks},
        waiting=sum(b for _, b in graded),
        spares=max((one.plants or 0 for one in signatures), default=0),
    )


def _grade(batch: Batch) -> tuple[int, int]:
    """Return how many plants are A and B by the last grading, never more than live (rule V-7)."""
    last = grades.of_batch(batch)
    return (0, 0) if last is None else (last.a, last.b)


def _plants(group: Group, fit: int, book: Book, today: date) -> Plants:
    batches = group.batches
    held = any(book.once(holds.of_book).get(one.id) for one in batches) or any(
        holds.around(block, book) for block in group.blocks
    )
    seats = (*(one.place for one in batches), *group.blocks)
    noon = book.start_of(group.on) + timedelta(hours=12)
    return Plants(
        fit=fit,
        released=_released(batches, book),
        held=held,
        reentry=any(True for seat in seats for _ in reentry.parts(seat, noon, book)),
        toughened=_toughened(batches, book, today),
        full_weeks=_full_weeks(batches, group.on, book),
    )


def _released(batches: Iterable[Batch], book: Book) -> int | None:
    """Return how many plants the authority released; None where no law ever held them."""
    clocks = [(one, quarantine.clock(one, book)) for one in batches]
    under = [(one, clock) for one, clock in clocks if clock is not None]
    if not under:
        return None
    free = sum(one.alive or 0 for one, clock in clocks if clock is None)
    said = [_said(clock.released, one.alive or 0) if clock.released else 0 for one, clock in under]
    return free + sum(said)


def _said(notice: Mapping[str, Any], alive: int) -> int:
    """Return how many of a batch the notice names; one that names no batches is for all of them."""
    said = notice["count"] if notice["said"] is None else notice["said"]
    return min(int(said), alive)


def _toughened(batches: Iterable[Batch], book: Book, today: date) -> Advice | None:
    """Return the advice for the plants that are least far; None where some have no program."""
    found: list[Advice] = []
    for batch in batches:
        one = course.of_batch(batch, book, today)
        if one is None or one.advice is None:
            return None
        found.append(one.advice)
    return max(found, key=lambda one: (_WORST.index(one.doing), len(one.reasons)), default=None)


def full_on(batches: Iterable[Batch], book: Book) -> date | None:
    """Return the day on which the first of the pots are full; None where nobody knows."""
    found = [day for batch in batches if (day := seasons.full_on(batch, book)) is not None]
    return min(found, default=None)


def _full_weeks(batches: Iterable[Batch], on: date, book: Book) -> int | None:
    full = full_on(batches, book)
    return None if full is None else (on - full).days // seasons.WEEK


def _waiting(name: str, book: Book, today: date) -> Block:
    """Return a block by the holes that nobody has planted yet."""
    return replace(of_block(name, book, today), planned=holes.waiting(name, book))


def of_block(name: str, book: Book, today: date) -> Block:
    row = book.row("place", name)
    pits = value(name, "pits_ready", book, today)
    return Block(
        id=row.id,
        planned=row.holes,
        pits=None if pits is None else int(pits),
        nurse_cm=value(name, "shelter_cm", book, today),
        nurse_wanted_cm=row.shelter_cm,
    )


def of_day(group: Group, planned: int, book: Book, today: date, risks: Risks | None = None) -> Day:
    wet, risk = (
        [value(name, what, book, today, FIGURES_COUNT) for name in group.blocks]
        for what in OF_THE_FIELD
    )
    told, named = [one for one in risk if one is not None], f"{group.on:%m-%d}"
    said = book.once(course.forecasts)
    ahead = [said[day] for day in days_from(today, OUTLOOK_DAYS) if day in said]
    rain = [one.rain_mm for one in ahead if one.rain_mm is not None]
    near = [said[day] for day in days_from(group.on, HEAT_DAYS) if day in said]
    booked = {one.entry: one for _, one in bookings(group.batches, book) if one.on == group.on}
    people = [one.people for one in booked.values() if one.people is not None]
    return Day(
        wet_to_cm=None if not wet or None in wet else min(one for one in wet if one is not None),
        wet_days_ahead=sum(mm >= levels_of(book).wet_day_mm for mm in rain) if rain else None,
        dry_spell_risk=max(told) / 100 if told else risks.risk.get(named) if risks else None,
        dry_spell_odds=None if told else _odds(risks, named),
        high_c=max((one.high_c for one in near if one.high_c is not None), default=None),
        wind_kmh=max((one.wind_kmh for one in near if one.wind_kmh is not None), default=None),
        days_left=_days_left(group.on, book),
        people=sum(people) if people else None,
        people_wanted=_wanted(planned, book),
    )


def _odds(risks: Risks | None, named: str) -> Odds | None:
    if risks is None or named not in risks.risk:
        return None
    return Odds(risks.years[named], risks.invented)


def days_from(first: date, count: int) -> Iterator[date]:
    return (first + timedelta(days=i) for i in range(count))


def _days_left(on: date, book: Book) -> int | None:
    """Return how many days of the planting weeks are left after a day; outside of them none."""
    season = seasons.coming(on, book)
    if season is None:
        return None
    return (season.last - on).days if season.first <= on else 0


def _wanted(planned: int, book: Book) -> int | None:
    rates = [row.plants_per_day for _, row in book.rows_of("site") if row.plants_per_day]
    return ceil(planned / rates[0]) if rates else None


def signed_for(group: Group, book: Book) -> Iterator[Signature]:
    """Yield what was signed for this planting day, oldest first (rule V-8)."""
    records = [one.record for one in group.batches]
    records += [book.places[name].record for name in group.blocks if name in book.places]
    found = {
        one.entry: one
        for record in records
        for one in record.signatures
        if one.act == PLANTING and (one.on or book.day(one.at)) == group.on
    }
    yield from sorted(found.values(), key=lambda one: (one.at, one.entry))
