"""When survivors are counted, in which rows, and what of a count was done (rules F-10, F-11).

Twin: `frontend/src/log/survey.ts`; `tests/vectors/survey.json` keeps the two alike.
"""

from calendar import monthrange
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from nursery.domain.field import plan
from nursery.domain.occupants import Field, Occupant
from nursery.domain.reference.layouts import Layout, Stands
from nursery.science import row_sample
from nursery.science.row_sample import Estimate


@dataclass(frozen=True, slots=True)
class Turn:
    """The count that is due, or the next one: so many months after planting, on a day."""

    months: int
    on: date
    due: bool


def sampled(layout: Layout) -> tuple[int, ...]:
    """Return the numbers of the rows that a count asks for: every row, or every so-manieth.

    They begin in the middle of the first so many, so that they lie spread over the whole block; a
    block with fewer rows has its middle one counted.

    Source: trade D5; Cochran (1977) Sampling Techniques, 8.1, a systematic sample, centred.
    """
    rows = [row.number for row in layout.rows if row.stands is Stands.CROP]
    if 0 < len(rows) < layout.count_every:
        return (rows[(len(rows) - 1) // 2],)
    return tuple(rows[(layout.count_every - 1) // 2 :: layout.count_every])


def turn(
    planted: date, months: Iterable[int], counted: date | None, today: date, within: timedelta
) -> Turn | None:
    """Return the count that is due on a day or comes next; None where none is left (F-10).

    Of counts that were missed the last one is due. One that was done up to `within` early was done.
    """
    turns = [(some, months_after(planted, some)) for some in sorted(months)]
    come = [one for one in turns if one[1] <= today]
    if come and (counted is None or counted < come[-1][1] - within):
        return Turn(*come[-1], due=True)
    ahead = next((one for one in turns if one[1] > today), None)
    return None if ahead is None else Turn(*ahead, due=False)


def months_after(day: date, months: int) -> date:
    """Return the day so many months later; the last of its month where that is shorter.

    >>> months_after(date(2032, 8, 31), 6).isoformat()
    '2033-02-28'
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


@dataclass(frozen=True, slots=True)
class RowCount:
    """What the last count found in one row; `open` plants stood there and were not looked at."""

    number: int
    chosen: bool
    planted: int
    alive: int
    open: int

    @property
    def whole(self) -> bool:
        return self.planted > 0 and self.open == 0


def spell(layout: Layout) -> timedelta:
    """Return how far apart looks of one count lie at most, as the block's layout has it."""
    return timedelta(days=layout.count_days)


def last_count(field: Field, within: timedelta) -> tuple[date, date] | None:
    """Return the first and last day of the last count: looks with no longer pause among them."""
    days = sorted(
        {sight.on for some in field.positions.values() for one in some for sight in one.seen}
    )
    if not days:
        return None
    began = days[-1]
    for day in reversed(days):
        if began - day > within:
            break
        began = day
    return began, days[-1]


def row_counts(field: Field, layout: Layout) -> tuple[RowCount, ...]:
    """Return what the last count found of the first planting, row by row."""
    days = last_count(field, spell(layout))
    chosen = sampled(layout)
    found = []
    for row in layout.rows:
        if row.stands is Stands.CROP:
            plants = _first(field, plan.names(row))
            living = [one for one in plants if one.lives]
            rest = [one for one in living if not (days and one.seen and one.seen[-1].on >= days[0])]
            found.append(
                RowCount(row.number, row.number in chosen, len(plants), len(living), len(rest))
            )
    return tuple(found)


def _first(field: Field, names: Iterable[str]) -> list[Occupant]:
    some = (field.positions[name][0] for name in names if name in field.positions)
    return [one for one in some if one.first]


def estimate(rows: Sequence[RowCount]) -> Estimate | None:
    """Return how many of the first planting live, from the rows that a count asked for (F-11).

    Where all rows are counted it is the count itself; rows that somebody counted beside those of
    the sample say nothing about the others. None where no row that was asked for is counted whole.
    """
    some = [row for row in rows if row.planted > 0]
    whole = [row for row in some if row.whole]
    told = whole if len(whole) == len(some) else [row for row in whole if row.chosen]
    pairs = [(row.planted, row.alive) for row in told]
    return row_sample.alive(pairs, len(some)) if pairs else None


def missing(rows: Sequence[RowCount]) -> Mapping[int, int]:
    """Return the rows that the count asked for and that are not done, with what is open."""
    return {row.number: row.open for row in rows if row.chosen and row.open}
