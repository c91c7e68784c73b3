"""From the day on which the law lets plants go to the day on which they are planted (rule J-4)."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from nursery.domain import groups, quarantine
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.days import later
from nursery.domain.kinds.life import Stepped
from nursery.domain.program import Program
from nursery.domain.seasons import Season
from nursery.domain.toughening import course


@dataclass(frozen=True, slots=True)
class Clock:
    """The legal clock of a whole group: the last of its batches decides. None: nobody can say."""

    earliest: date | None
    notice_from: date | None
    released: bool
    only_if: bool

    def as_json(self) -> dict[str, Any]:
        return {
            "earliest": _iso(self.earliest),
            "notice_from": _iso(self.notice_from),
            "released": self.released,
            "if": self.only_if,
        }


def clock_of(batches: Iterable[Batch], book: Book, today: date) -> Clock | None:
    """Return the clock of a group; None where no law holds any of its plants."""
    known = [quarantine.clock(one, book, today) for one in batches]
    clocks = [one for one in known if one is not None]
    if not clocks:
        return None
    waiting = [one for one in clocks if not one.released]
    last = waiting or clocks
    earliest = [one.earliest for one in last]
    notice = [one.notice_from for one in last]
    return Clock(
        earliest=None if None in earliest else max(one for one in earliest if one),
        notice_from=None if None in notice else max(one for one in notice if one),
        released=not waiting,
        only_if=any(one.only_if is not None for one in waiting),
    )


def free_on(clock: Clock | None, batches: Iterable[Batch], book: Book, today: date) -> date | None:
    """Return the first day on which all plants of a group may leave; None where nobody can say.

    Where nobody can say the day of one that goes out with them, nobody can say theirs (rule P-4).
    """
    if clock is None or clock.released:
        return today
    days = [clock.notice_from, *_together(batches, book, today)]
    known = [day for day in days if day is not None]
    return max(today, *known) if len(known) == len(days) else None


def _together(batches: Iterable[Batch], book: Book, today: date) -> Iterator[date | None]:
    """Yield the day of all that goes out of a room with each batch that does so."""
    for batch in batches:
        room = book.room(batch.place)
        group = None if room is None else groups.of_room(room, book, today)
        if group is not None and batch.id in group.batches:
            yield group.release


def toughening_days(batches: Iterable[Batch], book: Book, today: date) -> int | None:
    """Return how long the plants still take to stand the sun; None where no program is known.

    A step lasts as long as it lasts at least; the batch that is least far decides.
    """
    found = []
    for batch in batches:
        one = course.of_batch(batch, book, today)
        if one is None:
            return None
        found.append(_left(one.program, one, today))
    return max(found, default=None)


def toughening_since(batches: Iterable[Batch], book: Book) -> date | None:
    """Return the day on which the first of the plants were brought to the sun, None before it."""
    steps = (book.day(one.at) for batch in batches for one in batch.record.told(Stepped))
    return min(steps, default=None)


def _left(program: Program, one: course.Course, today: date) -> int:
    days = [int(step.days) for step in program.steps]
    if one.standing is None:
        return sum(days)
    gone = (today - one.standing.since).days
    here = max(0, days[one.standing.at] - gone)
    return here + sum(days[one.standing.at + 1 :])


def ready_on(free: date | None, toughening: int, grown_on: date | None) -> date | None:
    """Return when plants that may leave on `free` stand the sun and are grown."""
    if free is None:
        return None
    ready = later(free, toughening)
    return ready if grown_on is None else max(ready, grown_on)


def planted_from(ready: date | None, weeks: Sequence[Season]) -> tuple[date, Season] | None:
    """Return the first day in planting weeks from which plants are ready, and those weeks."""
    if ready is None:
        return None
    season = next((one for one in weeks if one.last >= ready), None)
    return None if season is None else (max(ready, season.first), season)


def slipped(day: date | None, weeks: int) -> date | None:
    return None if day is None else day + timedelta(weeks=weeks)


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
